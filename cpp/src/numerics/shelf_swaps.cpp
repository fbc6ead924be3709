#include "numerics/shelf_swaps.hpp"

#include <algorithm>
#include <tuple>

namespace enginewright::numerics {

namespace {

/// What is wanted, in its order: less is better.
struct Figures {
    std::int64_t outside = 0;
    std::int64_t greatest = 0;
    std::int64_t total = 0;
    std::int64_t extra = 0;

    void add(const ShelfOption& option)
    {
        outside += option.outside ? 1 : 0;
        greatest = std::max(greatest, option.deviation);
        total += option.deviation;
        extra += option.extra;
    }

    auto operator<=>(const Figures&) const = default;
};

/// Pairs of options that are looked at: half a second's worth.
constexpr std::size_t most_tries = 30'000'000;

class Swaps {
  public:
    Swaps(const Shelf& shelf, std::vector<std::size_t> options)
        : shelf_(shelf),
          options_(std::move(options)),
          left_(shelf.stock.value_or(std::vector<int>{}))
    {
        for (std::size_t place = 0; place < options_.size(); ++place) {
            take(place, 1);
        }
    }

    std::vector<std::size_t> result() &&
    {
        // Every swap lowers the figures, so this ends by itself, or where it would take too long.
        while (improve_once()) {
        }
        return std::move(options_);
    }

  private:
    const ShelfOption& at(std::size_t place) const { return shelf_.places[place][options_[place]]; }

    /// Takes the pieces of a place's option off the shelf, or puts them back.
    void take(std::size_t place, int sign)
    {
        for (const auto& each : at(place).pieces) {
            if (!left_.empty()) {
                left_[each.size] -= sign * each.count;
            }
        }
    }

    bool stock_lasts() const
    {
        return std::ranges::all_of(left_, [](int left) { return left >= 0; });
    }

    bool suits_neighbours(std::size_t place) const
    {
        if (!shelf_.together) {
            return true;
        }
        const bool before =
            place == 0 || shelf_.together(place - 1, options_[place - 1], options_[place]);
        return before && (place + 1 == options_.size() ||
                          shelf_.together(place, options_[place], options_[place + 1]));
    }

    /// All places but two, which may be the same.
    Figures others(std::size_t a, std::size_t b) const
    {
        Figures figures;
        for (std::size_t place = 0; place < options_.size(); ++place) {
            if (place != a && place != b) {
                figures.add(at(place));
            }
        }
        return figures;
    }

    /// Goes over all pairs of places once; whether anything became better.
    bool improve_once()
    {
        bool better = false;
        for (std::size_t a = 0; a < options_.size(); ++a) {
            for (std::size_t b = a; b < options_.size() && tries_ < most_tries; ++b) {
                better |= improve(a, b);
            }
        }
        return better;
    }

    /// The best options of two places while the others stay; of one place where a is b.
    bool improve(std::size_t a, std::size_t b)
    {
        const Figures rest = others(a, b);
        const auto now = std::pair{options_[a], options_[b]};
        auto best = now;
        Figures least = rest;
        least.add(at(a));
        if (b != a) {
            least.add(at(b));
        }
        take(a, -1);
        if (b != a) {
            take(b, -1);
        }
        for (std::size_t i = 0; i < shelf_.places[a].size(); ++i) {
            Figures first = rest;
            first.add(shelf_.places[a][i]);
            if (first >= least) {
                continue;  // A second option only adds.
            }
            const std::size_t count = b == a ? 1 : shelf_.places[b].size();
            tries_ += count;
            for (std::size_t j = 0; j < count; ++j) {
                Figures both = first;
                if (b != a) {
                    both.add(shelf_.places[b][j]);
                }
                if (both < least && allowed(a, i, b, j)) {
                    least = both;
                    best = {i, b == a ? i : j};
                }
            }
        }
        options_[a] = best.first;
        options_[b] = best.second;
        take(a, 1);
        if (b != a) {
            take(b, 1);
        }
        return best != now;
    }

    /// Whether shelf and neighbours allow these options, once those of both places are put back.
    bool allowed(std::size_t a, std::size_t i, std::size_t b, std::size_t j)
    {
        const auto before = std::pair{options_[a], options_[b]};
        options_[a] = i;
        take(a, 1);
        if (b != a) {
            options_[b] = j;
            take(b, 1);
        }
        const bool suits = stock_lasts() && suits_neighbours(a) && suits_neighbours(b);
        take(a, -1);
        if (b != a) {
            take(b, -1);
        }
        options_[a] = before.first;
        options_[b] = before.second;
        return suits;
    }

    const Shelf& shelf_;
    std::vector<std::size_t> options_;
    std::vector<int> left_;
    std::size_t tries_ = 0;
};

}  // namespace

std::vector<std::size_t> improved_by_swaps(const Shelf& shelf, std::vector<std::size_t> options)
{
    return Swaps(shelf, std::move(options)).result();
}

}  // namespace enginewright::numerics
