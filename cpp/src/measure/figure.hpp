#pragma once

#include <string>
#include <string_view>

/// Figures in the sentences of `measure`.
namespace enginewright::measure {

/// A length or other figure for a sentence: "2.1 µm", "1.250 mm", "0.0123 g". Without its sign.
std::string figure(double value, std::string_view unit);

}  // namespace enginewright::measure
