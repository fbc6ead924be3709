#pragma once

#include <cstddef>
#include <string>
#include <string_view>

/// Texts as they come from keyboards, sheets and pasted tables.
namespace enginewright::units {

/// A text with the look-alikes of a sign in one form, invisible marks left out, blanks folded.
///
/// U+2212 becomes a minus, U+03BC a micro sign, U+00BA a degree sign. A run of blanks becomes one
/// ' '; a run that cuts lines or cells apart (a line break, a tab) becomes one '\n', because what
/// stands on two lines is never one grouped number. No blank stands at either end.
std::string normalised(std::string_view text);

/// A text in quotes for a refusal: sixty signs at most, and nothing that would upset a terminal.
std::string quoted(std::string_view text);

/// Without blanks at either end.
std::string_view trimmed(std::string_view text);

/// Length in bytes of the UTF-8 sign at the start of a text; 0 when there is none.
std::size_t sign_length(std::string_view text);

}  // namespace enginewright::units
