#include "numerics/shelf_choice.hpp"

#include <algorithm>
#include <numeric>
#include <string>
#include <tuple>
#include <unordered_map>
#include <utility>

#include "numerics/shelf_swaps.hpp"

namespace enginewright::numerics {

namespace {

/// A table beyond this keeps its best entries only.
constexpr std::size_t widest_table = 500'000;
/// Steps of the walk that one question may take before its tables are kept narrow: about a second.
constexpr std::size_t most_steps = 1'500'000;
/// Steps a place afterwards, and ways that are followed all the same.
constexpr std::size_t narrow_steps = 20'000;
constexpr std::size_t narrowest_table = 16;

/// One way through the first places: its last option, and the way it came by.
struct Way {
    std::int64_t outside = 0;
    std::int64_t total = 0;
    std::int64_t extra = 0;
    std::uint32_t option = 0;
    std::uint32_t before = 0;  ///< index among the ways one place shorter

    auto figures() const { return std::tie(outside, total, extra); }
};

/// The ways up to one place, with the state of each: pieces used of the scarce sizes, then the last
/// option where neighbours matter.
struct Layer {
    std::vector<Way> ways{};
    std::vector<std::string> states{};
};

/// What the climb wants to know of a pass.
struct Found {
    std::int64_t outside = 0;
    std::vector<std::size_t> options{};
};

/// The options of each place that one pass may use, by index.
using Kept = std::vector<std::vector<std::size_t>>;

int used_of(const ShelfOption& option, std::size_t size)
{
    for (const auto& each : option.pieces) {
        if (each.size == size) {
            return each.count;
        }
    }
    return 0;
}

class Search {
  public:
    explicit Search(const Shelf& shelf) : shelf_(shelf) {}

    std::optional<ShelfChoice> choose()
    {
        std::int64_t floor = 0;
        std::int64_t lowest_cap = 0;
        for (const auto& options : shelf_.places) {
            if (options.empty()) {
                return std::nullopt;
            }
            const auto by_deviation = [](const auto& a, const auto& b) {
                return a.deviation < b.deviation;
            };
            lowest_cap =
                std::max(lowest_cap,
                         std::min_element(options.begin(), options.end(), by_deviation)->deviation);
            const bool some_inside = std::any_of(options.begin(), options.end(),
                                                 [](const auto& each) { return !each.outside; });
            floor += some_inside ? 0 : 1;
        }
        list_caps(lowest_cap);
        auto [found, uncapped] = climb(floor);
        if (!found && uncapped) {
            // The floor is out of reach: the pass without a cap knows how many must be outside.
            found = climb(uncapped->outside).first;
        }
        if (!found) {
            return std::nullopt;
        }
        // What was not followed to its end may still have left something on the table.
        return ShelfChoice{.options = optimal_ ? std::move(found->options)
                                               : improved_by_swaps(shelf_, found->options),
                           .optimal = optimal_};
    }

  private:
    void list_caps(std::int64_t lowest)
    {
        for (const auto& options : shelf_.places) {
            for (const auto& option : options) {
                if (option.deviation >= lowest) {
                    caps_.push_back(option.deviation);
                }
            }
        }
        std::sort(caps_.begin(), caps_.end());
        caps_.erase(std::unique(caps_.begin(), caps_.end()), caps_.end());
    }

    /// The pass at the lowest cap that reaches `outside`; beside it the last pass when none does.
    std::pair<std::optional<Found>, std::optional<Found>> climb(std::int64_t outside)
    {
        std::size_t failed = 0;  // One past the highest cap known to be too low.
        std::optional<Found> found;
        std::size_t reached = 0;
        for (std::size_t step = 1, at = 0;; step *= 2) {
            const auto way = pass(caps_[at]);
            if (way && way->outside <= outside) {
                found = way;
                reached = at;
                break;
            }
            if (at + 1 == caps_.size()) {
                return {std::nullopt, way};
            }
            failed = at + 1;
            at = exhausted() ? caps_.size() - 1 : std::min(at + step, caps_.size() - 1);
        }
        while (failed < reached && !exhausted()) {
            const std::size_t middle = failed + (reached - failed) / 2;
            const auto way = pass(caps_[middle]);
            if (way && way->outside <= outside) {
                found = way;
                reached = middle;
            } else {
                failed = middle + 1;
            }
        }
        return {found, std::nullopt};
    }

    Kept kept_under(std::int64_t cap) const
    {
        Kept kept;
        for (const auto& options : shelf_.places) {
            auto& indices = kept.emplace_back();
            for (std::size_t i = 0; i < options.size(); ++i) {
                if (options[i].deviation <= cap) {
                    indices.push_back(i);
                }
            }
        }
        return kept;
    }

    /// Sizes that could run out: fewer than the places could use at the most.
    std::vector<std::size_t> scarce_sizes(const Kept& kept) const
    {
        std::vector<std::size_t> scarce;
        if (!shelf_.stock) {
            return scarce;
        }
        std::vector<int> wanted(shelf_.stock->size());
        for (std::size_t place = 0; place < kept.size(); ++place) {
            std::vector<int> most(wanted.size());
            for (const std::size_t i : kept[place]) {
                for (const auto& piece : shelf_.places[place][i].pieces) {
                    most[piece.size] = std::max(most[piece.size], piece.count);
                }
            }
            for (std::size_t size = 0; size < most.size(); ++size) {
                wanted[size] += most[size];
            }
        }
        for (std::size_t size = 0; size < wanted.size(); ++size) {
            if ((*shelf_.stock)[size] < wanted[size]) {
                scarce.push_back(size);
            }
        }
        return scarce;
    }

    /// The best way through all places with the options up to a cap.
    std::optional<Found> pass(std::int64_t cap)
    {
        const Kept kept = kept_under(cap);
        const auto scarce = scarce_sizes(kept);
        layers_.assign(1, Layer{.ways = {Way{}}, .states = {std::string(scarce.size(), '\0')}});
        for (std::size_t place = 0; place < kept.size(); ++place) {
            keep_narrow(layers_.back(), kept[place].size());
            layers_.push_back(walk_on(place, kept[place], scarce));
        }
        const auto& last = layers_.back().ways;
        if (last.empty()) {
            return std::nullopt;
        }
        std::size_t best = 0;
        for (std::size_t i = 1; i < last.size(); ++i) {
            best = goes_before(last[i], last[best], kept.size()) ? i : best;
        }
        return Found{.outside = last[best].outside, .options = path_of(last[best], kept.size())};
    }

    Layer walk_on(std::size_t place, const std::vector<std::size_t>& kept,
                  const std::vector<std::size_t>& scarce)
    {
        const Layer& from = layers_.back();
        Layer next;
        std::unordered_map<std::string, std::size_t> known;
        for (std::size_t k = 0; k < from.ways.size(); ++k) {
            const Way& way = from.ways[k];
            for (const std::size_t i : kept) {
                if (place > 0 && shelf_.together && !shelf_.together(place - 1, way.option, i)) {
                    continue;
                }
                const ShelfOption& option = shelf_.places[place][i];
                auto after = state_after(from.states[k], option, scarce);
                if (!after) {
                    continue;
                }
                if (shelf_.together) {
                    append(*after, static_cast<std::uint32_t>(i));
                }
                const Way longer{.outside = way.outside + (option.outside ? 1 : 0),
                                 .total = way.total + option.deviation,
                                 .extra = way.extra + option.extra,
                                 .option = static_cast<std::uint32_t>(i),
                                 .before = static_cast<std::uint32_t>(k)};
                const auto [at, is_new] = known.try_emplace(std::move(*after), next.ways.size());
                if (is_new) {
                    next.ways.push_back(longer);
                    next.states.push_back(at->first);
                } else if (goes_before(longer, next.ways[at->second], place + 1)) {
                    next.ways[at->second] = longer;
                }
            }
            steps_ += kept.size();
        }
        return next;
    }

    /// The options of a way through so many places.
    std::vector<std::size_t> path_of(const Way& way, std::size_t places) const
    {
        std::vector<std::size_t> path(places);
        Way at = way;
        for (std::size_t place = places; place-- > 0;) {
            path[place] = at.option;
            at = layers_[place].ways[at.before];
        }
        return path;
    }

    bool goes_before(const Way& a, const Way& b, std::size_t places) const
    {
        if (a.figures() != b.figures()) {
            return a.figures() < b.figures();
        }
        return path_of(a, places) < path_of(b, places);
    }

    /// What has been used after one more option; none when the shelf has run out.
    std::optional<std::string> state_after(const std::string& state, const ShelfOption& option,
                                           const std::vector<std::size_t>& scarce) const
    {
        std::string after(state, 0, scarce.size());
        for (std::size_t k = 0; k < scarce.size(); ++k) {
            // At most 24 places of 4 pieces: the count fits a byte.
            const int used = static_cast<unsigned char>(after[k]) + used_of(option, scarce[k]);
            if (used > (*shelf_.stock)[scarce[k]]) {
                return std::nullopt;
            }
            after[k] = static_cast<char>(used);
        }
        return after;
    }

    static void append(std::string& state, std::uint32_t option)
    {
        for (int shift = 0; shift < 32; shift += 8) {
            state.push_back(static_cast<char>((option >> shift) & 0xFFU));
        }
    }

    /// No search goes on for ever: what was found so far is then the answer, not proven the best.
    bool exhausted() const { return steps_ > most_steps + most_steps / 4; }

    void keep_narrow(Layer& layer, std::size_t options)
    {
        const bool tired = steps_ + layer.ways.size() * options > most_steps;
        const std::size_t width =
            tired ? std::max(narrowest_table, narrow_steps / std::max<std::size_t>(options, 1))
                  : widest_table;
        if (layer.ways.size() <= width) {
            return;
        }
        optimal_ = false;
        std::vector<std::size_t> order(layer.ways.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::nth_element(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(width),
                         order.end(), [&](std::size_t a, std::size_t b) {
                             return std::tuple_cat(layer.ways[a].figures(), std::tie(a)) <
                                    std::tuple_cat(layer.ways[b].figures(), std::tie(b));
                         });
        Layer kept;
        for (std::size_t k = 0; k < width; ++k) {
            kept.ways.push_back(layer.ways[order[k]]);
            kept.states.push_back(std::move(layer.states[order[k]]));
        }
        layer = std::move(kept);
    }

    const Shelf& shelf_;
    std::vector<std::int64_t> caps_{};
    std::vector<Layer> layers_{};
    std::size_t steps_ = 0;
    bool optimal_ = true;
};

}  // namespace

std::optional<ShelfChoice> choose_from_shelf(const Shelf& shelf) { return Search(shelf).choose(); }

}  // namespace enginewright::numerics
