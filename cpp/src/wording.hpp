#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Pieces of the sentences that benches write: figures to a micrometre, parts counted from 1.
namespace enginewright::wording {

/// "0.050 mm".
std::string mm(double value);

/// "5.8 g".
std::string grams(double value);

/// "48.1 kN", from newtons.
std::string kilonewtons(double newtons);

/// "57.7 N·m".
std::string newton_metres(double value);

/// A figure that must not be passed, cut to tenths: 57.78 is 57.7, so "at most" stays true.
double tenths_down(double value);

/// A figure that must be reached, raised to tenths: 57.72 is 57.8, so "at least" stays true.
double tenths_up(double value);

/// "Fit 2.410 mm at the front.": a capital and a full stop.
std::string sentence(std::string text);

/// "journal 2": one part, its index from 0.
std::string part(std::string_view word, int index);

/// "journal 2" or "journals 1, 3": the plural takes an s.
std::string parts(std::string_view word, std::span<const int> indices);

/// "journal 1", "both" or "all 5": a whole set of so many.
std::string whole_set(std::string_view word, std::size_t count);

/// Puts pieces together with a separator: "a; b".
std::string joined(std::span<const std::string> pieces, std::string_view separator);

}  // namespace enginewright::wording
