#pragma once

#include <algorithm>
#include <cctype>
#include <ranges>
#include <string>
#include <string_view>
#include <vector>

/// Near spellings: what somebody may have meant. Nothing of the trade in here.
namespace enginewright {

/// Fewest single letters to change, leave out, put in or swap with the next, to turn one word into
/// the other; capitals count as small letters.
///
/// Source: optimal string alignment distance, a standard method.
inline std::size_t spelling_distance(std::string_view a, std::string_view b)
{
    const auto same = [](char x, char y) {
        return std::tolower(static_cast<unsigned char>(x)) ==
               std::tolower(static_cast<unsigned char>(y));
    };
    std::vector<std::vector<std::size_t>> cost(a.size() + 1,
                                               std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) {
        for (std::size_t j = 0; j <= b.size(); ++j) {
            if (i == 0 || j == 0) {
                cost[i][j] = i + j;
                continue;
            }
            const std::size_t changed = same(a[i - 1], b[j - 1]) ? 0 : 1;
            cost[i][j] =
                std::min({cost[i - 1][j] + 1, cost[i][j - 1] + 1, cost[i - 1][j - 1] + changed});
            if (i > 1 && j > 1 && same(a[i - 1], b[j - 2]) && same(a[i - 2], b[j - 1])) {
                cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
            }
        }
    }
    return cost[a.size()][b.size()];
}

/// The nearest of some words; empty when none is near: more than a third of its letters differ.
template <std::ranges::input_range Candidates>
std::string nearest(std::string_view word, const Candidates& candidates)
{
    std::string best;
    std::size_t least = std::max<std::size_t>(2, word.size() / 3) + 1;
    // Beyond this no spelling is a slip, and the cost of comparing grows with the square.
    constexpr std::size_t longest = 60;
    if (word.size() > longest) {
        return best;
    }
    for (const std::string_view each : candidates) {
        const auto distance = each.size() > longest ? least : spelling_distance(word, each);
        if (distance < least && distance < each.size()) {
            least = distance;
            best = each;
        }
    }
    return best;
}

/// "; did you mean bore?", or nothing when no word is near.
template <std::ranges::input_range Candidates>
std::string did_you_mean(std::string_view word, const Candidates& candidates)
{
    const auto best = nearest(word, candidates);
    return best.empty() ? best : "; did you mean " + best + "?";
}

}  // namespace enginewright
