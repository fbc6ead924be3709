#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "enginewright/cylinders/liners.hpp"
#include "judging.hpp"
#include "numerics/shelf_choice.hpp"
#include "turns.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using wording::mm;
using wording::part;

namespace {

constexpr std::size_t most_sizes = 24;

/// What is given, checked.
struct Row {
    std::span<const double> heights;
    std::span<const double> sizes;
    double lower;
    double upper;
    double target;
    std::optional<double> neighbour_limit;
};

/// A stack of shims: which sizes, thinnest first, and their sum.
struct Stack {
    std::vector<std::size_t> sizes{};
    double total = 0;
};

/// Every stack of up to `most` shims: by count, then by rising sizes.
std::vector<Stack> stacks_of(std::span<const double> sizes, int most)
{
    std::vector<std::size_t> order(sizes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return sizes[a] < sizes[b]; });
    std::vector<Stack> stacks{Stack{}};
    std::vector<std::vector<std::size_t>> ranks{{}};  // Of each stack, by rank of size.
    std::size_t from = 0;
    for (int count = 1; count <= most; ++count) {
        const std::size_t to = stacks.size();
        for (; from < to; ++from) {
            for (std::size_t k = ranks[from].empty() ? 0 : ranks[from].back(); k < order.size();
                 ++k) {
                Stack larger = stacks[from];
                larger.sizes.push_back(order[k]);
                larger.total += sizes[order[k]];
                auto rank = ranks[from];
                rank.push_back(k);
                stacks.push_back(std::move(larger));
                ranks.push_back(std::move(rank));
            }
        }
    }
    return stacks;
}

std::vector<numerics::Pieces> pieces_of(const Stack& stack)
{
    std::vector<numerics::Pieces> pieces;
    for (const std::size_t size : stack.sizes) {
        if (!pieces.empty() && pieces.back().size == size) {
            ++pieces.back().count;
        } else {
            pieces.push_back({size, 1});
        }
    }
    return pieces;
}

bool in_stock(const Stack& stack, const std::optional<std::vector<int>>& stock)
{
    const auto pieces = pieces_of(stack);
    return !stock || std::all_of(pieces.begin(), pieces.end(), [&](const auto& each) {
        return each.count <= (*stock)[each.size];
    });
}

/// The stacks that put each liner inside its limits, as options of a shelf.
struct Options {
    numerics::Shelf shelf{};
    std::vector<std::vector<std::size_t>> stack{};  ///< of each option, by liner
};

Options options_of(const Row& row, const std::vector<Stack>& stacks)
{
    Options options;
    for (const double height : row.heights) {
        auto& place = options.shelf.places.emplace_back();
        auto& indices = options.stack.emplace_back();
        for (std::size_t k = 0; k < stacks.size(); ++k) {
            const double standing = height + stacks[k].total;
            if (judging::inside(standing, row.lower, row.upper)) {
                place.push_back({.deviation = judging::whole(standing - row.target),
                                 .extra = static_cast<std::int64_t>(stacks[k].sizes.size()),
                                 .pieces = pieces_of(stacks[k])});
                indices.push_back(k);
            }
        }
    }
    return options;
}

void add_neighbours(Options& options, const Row& row, const std::vector<Stack>& stacks)
{
    if (!row.neighbour_limit) {
        return;
    }
    options.shelf.together = [&](std::size_t place, std::size_t option, std::size_t next) {
        const double here = row.heights[place] + stacks[options.stack[place][option]].total;
        const double there = row.heights[place + 1] + stacks[options.stack[place + 1][next]].total;
        return std::abs(here - there) <= *row.neighbour_limit + judging::slack;
    };
}

/// Liners that no stack from the stock brings inside, and what to cut for them.
void find_unreachable(LinerShims& found, const Row& row, const std::vector<Stack>& stacks,
                      const std::optional<std::vector<int>>& stock)
{
    for (std::size_t i = 0; i < row.heights.size(); ++i) {
        bool reached = false;
        double cut = std::numeric_limits<double>::infinity();
        for (const auto& stack : stacks) {
            const double standing = row.heights[i] + stack.total;
            if (standing < row.lower - judging::slack || !in_stock(stack, stock)) {
                continue;
            }
            reached = reached || judging::inside(standing, row.lower, row.upper);
            cut = std::min(cut, std::max(0.0, standing - row.upper));
        }
        if (!reached) {
            found.unreachable.push_back(static_cast<int>(i));
        }
        found.cut.push_back(reached || !std::isfinite(cut) ? 0.0 : cut);
    }
}

void write_choice(LinerShims& found, const Row& row, const std::vector<Stack>& stacks,
                  const Options& options, const numerics::ShelfChoice& choice)
{
    found.worst_deviation = found.total_deviation = 0;
    for (std::size_t i = 0; i < choice.options.size(); ++i) {
        const Stack& stack = stacks[options.stack[i][choice.options[i]]];
        ShimStack shims{.total = stack.total, .height = row.heights[i] + stack.total};
        for (const std::size_t size : stack.sizes) {
            shims.sizes.push_back(row.sizes[size]);
        }
        const double deviation = std::abs(shims.height - row.target);
        found.worst_deviation = std::max(*found.worst_deviation, deviation);
        *found.total_deviation += deviation;
        if (i > 0) {
            found.neighbour.push_back(std::abs(found.heights.back() - shims.height));
        }
        found.heights.push_back(shims.height);
        found.shim_total.push_back(shims.total);
        found.liners.push_back(std::move(shims));
    }
    found.optimal = choice.optimal;
}

std::vector<int> taken(const Options& options, const numerics::ShelfChoice& choice,
                       std::size_t sizes)
{
    std::vector<int> count(sizes, 0);
    for (std::size_t i = 0; i < choice.options.size(); ++i) {
        for (const auto& each : options.shelf.places[i][choice.options[i]].pieces) {
            count[each.size] += each.count;
        }
    }
    return count;
}

std::string stack_in_words(const ShimStack& stack)
{
    if (stack.sizes.empty()) {
        return "no shim";
    }
    std::vector<std::string> sizes;
    for (const double size : stack.sizes) {
        sizes.push_back(fixed_text(size, 3));
    }
    return wording::joined(sizes, " + ") + " mm";
}

std::string order_list(const LinerShims& found, const Row& row)
{
    std::vector<std::string> wanted;
    for (std::size_t k = 0; k < found.to_order.size(); ++k) {
        if (found.to_order[k] > 0) {
            wanted.push_back(std::to_string(found.to_order[k]) + " of " + mm(row.sizes[k]));
        }
    }
    return wording::joined(wanted, ", ");
}

void say_selected(LinerShims& found, const Row& row)
{
    std::vector<std::string> told;
    for (std::size_t i = 0; i < found.liners.size(); ++i) {
        told.push_back(part("liner", static_cast<int>(i)) + ": " + stack_in_words(found.liners[i]) +
                       " (" + mm(found.heights[i]) + ")");
    }
    found.next = wording::joined(told, "; ");
    if (const auto order = order_list(found, row); !order.empty()) {
        found.next += "; nearer the target with " + order;
    }
    if (!found.optimal) {
        found.reason = "too many ways to try them all: a better choice is possible";
    }
}

void say_cut(LinerShims& found, const Row& row)
{
    std::vector<std::string> high;
    std::vector<std::string> cuts;
    for (std::size_t i = 0; i < found.cut.size(); ++i) {
        if (found.cut[i] > 0) {
            const auto name = part("liner", static_cast<int>(i));
            const double standing = row.upper + found.cut[i];
            high.push_back(name + " stands " + mm(standing) + " at the least, " + mm(row.upper) +
                           " allowed");
            cuts.push_back(mm(found.cut[i]) + " off the counterbore of " + name + " at least, " +
                           mm(standing - row.target) + " for the target");
        }
    }
    found.reason = wording::joined(high, "; ");
    found.next = "cut " + wording::joined(cuts, ", ") + "; measure and plan again";
}

void say_none(LinerShims& found, const Row& row, bool unlimited_does)
{
    if (!found.unreachable.empty()) {
        found.reason = wording::parts("liner", found.unreachable) + " too low on every stack";
        found.next = unlimited_does ? "order " + order_list(found, row) : "find thicker shims";
    } else if (unlimited_does) {
        found.reason = "the stock does not go round";
        found.next = "order " + order_list(found, row);
    } else {
        found.reason = "no stacks keep the steps between neighbours within " +
                       mm(row.neighbour_limit.value_or(0));
        found.next = "find sizes in between, or cut a counterbore";
    }
}

Row checked(std::span<const double> heights, std::span<const double> sizes,
            const std::optional<std::vector<int>>& stock, double lower, double upper,
            std::optional<double> target, std::optional<double> neighbour_limit, int most)
{
    require_readings("heights", heights, 1);
    if (heights.size() > numerics::most_places) {
        refuse_all("heights", "hold at most " + std::to_string(numerics::most_places) + ", got " +
                                  std::to_string(heights.size()));
    }
    for (std::size_t i = 0; i < heights.size(); ++i) {
        require_length(element_name("heights", i), heights[i]);
    }
    judging::require_sizes("sizes", sizes);
    judging::require_different("sizes", sizes);
    if (sizes.size() > most_sizes) {
        refuse_all("sizes", "hold at most " + std::to_string(most_sizes) + ", got " +
                                std::to_string(sizes.size()));
    }
    if (stock) {
        judging::require_stock("stock", *stock, sizes.size());
    }
    judging::require_limits(lower, upper);
    turns::require_limit("neighbour_limit", neighbour_limit, "mm");
    require_between("most", most, 1, 4);
    return {.heights = heights,
            .sizes = sizes,
            .lower = lower,
            .upper = upper,
            .target = judging::target_between(lower, upper, target),
            .neighbour_limit = neighbour_limit};
}

}  // namespace

LinerShims liner_shims(std::span<const double> heights, std::span<const double> sizes,
                       const std::optional<std::vector<int>>& stock, double lower, double upper,
                       std::optional<double> target, std::optional<double> neighbour_limit,
                       int most)
{
    const Row row = checked(heights, sizes, stock, lower, upper, target, neighbour_limit, most);
    const auto stacks = stacks_of(sizes, most);
    LinerShims found;
    find_unreachable(found, row, stacks, stock);
    Options options = options_of(row, stacks);
    add_neighbours(options, row, stacks);
    const auto endless = numerics::choose_from_shelf(options.shelf);
    if (stock) {
        found.stock_left = *stock;
        found.to_order.assign(sizes.size(), 0);
        if (endless) {
            const auto wanted = taken(options, *endless, sizes.size());
            for (std::size_t k = 0; k < wanted.size(); ++k) {
                found.to_order[k] = std::max(0, wanted[k] - (*stock)[k]);
            }
        }
    }
    options.shelf.stock = stock;
    const auto choice = stock ? numerics::choose_from_shelf(options.shelf) : endless;
    if (choice) {
        write_choice(found, row, stacks, options, *choice);
        const auto used = taken(options, *choice, sizes.size());
        for (std::size_t k = 0; k < found.stock_left.size(); ++k) {
            found.stock_left[k] -= used[k];
        }
        say_selected(found, row);
    } else if (std::any_of(found.cut.begin(), found.cut.end(), [](double c) { return c > 0; })) {
        found.status = ShimStatus::cut_the_counterbore;
        say_cut(found, row);
    } else {
        found.status = ShimStatus::no_selection;
        say_none(found, row, endless.has_value());
    }
    return found;
}

}  // namespace enginewright::cylinders
