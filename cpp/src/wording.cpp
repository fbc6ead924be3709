#include "wording.hpp"

#include <cmath>

#include "enginewright/check.hpp"

namespace enginewright::wording {

std::string mm(double value) { return fixed_text(value, 3) + " mm"; }

std::string grams(double value) { return fixed_text(value, 1) + " g"; }

std::string kilonewtons(double newtons) { return fixed_text(newtons / 1000, 1) + " kN"; }

std::string newton_metres(double value) { return fixed_text(value, 1) + " N·m"; }

// A millionth of slack: 513.8 held as 513.79999 is meant as 513.8.
double tenths_down(double value) { return std::floor(value * 10 + 1e-6) / 10; }

double tenths_up(double value) { return std::ceil(value * 10 - 1e-6) / 10; }

std::string sentence(std::string text)
{
    if (!text.empty()) {
        const bool small = text[0] >= 'a' && text[0] <= 'z';
        text[0] = small ? static_cast<char>(text[0] - 'a' + 'A') : text[0];
        text += text.ends_with('.') ? "" : ".";
    }
    return text;
}

std::string part(std::string_view word, int index)
{
    return std::string(word).append(" ").append(std::to_string(index + 1));
}

std::string parts(std::string_view word, std::span<const int> indices)
{
    std::string text = std::string(word).append(indices.size() == 1 ? " " : "s ");
    const char* separator = "";
    for (const int index : indices) {
        text.append(separator).append(std::to_string(index + 1));
        separator = ", ";
    }
    return text;
}

std::string whole_set(std::string_view word, std::size_t count)
{
    if (count == 1) {
        return part(word, 0);
    }
    return count == 2 ? "both" : "all " + std::to_string(count);
}

std::string joined(std::span<const std::string> pieces, std::string_view separator)
{
    std::string text;
    for (const auto& piece : pieces) {
        text.append(text.empty() ? "" : separator).append(piece);
    }
    return text;
}

}  // namespace enginewright::wording
