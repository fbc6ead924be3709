#include "numerics/shelf_choice.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <tuple>

#include "numerics/shelf_swaps.hpp"

namespace enginewright::numerics {
namespace {

using Rank =
    std::tuple<std::int64_t, std::int64_t, std::int64_t, std::int64_t, std::vector<std::size_t>>;

/// How a complete list of options ranks; none when stock or neighbours forbid it.
std::optional<Rank> rank_of(const Shelf& shelf, const std::vector<std::size_t>& options)
{
    std::int64_t outside = 0;
    std::int64_t worst = 0;
    std::int64_t total = 0;
    std::int64_t extra = 0;
    std::vector<int> used(shelf.stock ? shelf.stock->size() : 0);
    for (std::size_t place = 0; place < options.size(); ++place) {
        const ShelfOption& option = shelf.places[place][options[place]];
        outside += option.outside ? 1 : 0;
        worst = std::max(worst, option.deviation);
        total += option.deviation;
        extra += option.extra;
        if (place > 0 && shelf.together &&
            !shelf.together(place - 1, options[place - 1], options[place])) {
            return std::nullopt;
        }
        for (const auto& each : option.pieces) {
            if (shelf.stock && (used[each.size] += each.count) > (*shelf.stock)[each.size]) {
                return std::nullopt;
            }
        }
    }
    return Rank{outside, worst, total, extra, options};
}

/// The best list by trying every one.
std::optional<Rank> by_trying_all(const Shelf& shelf)
{
    std::optional<Rank> best;
    std::vector<std::size_t> options(shelf.places.size(), 0);
    for (;;) {
        const auto rank = rank_of(shelf, options);
        if (rank && (!best || *rank < *best)) {
            best = rank;
        }
        std::size_t place = 0;
        while (place < options.size() && ++options[place] == shelf.places[place].size()) {
            options[place++] = 0;
        }
        if (place == options.size()) {
            return best;
        }
    }
}

Shelf random_shelf(std::mt19937& random)
{
    const auto pick = [&](int low, int high) {
        return std::uniform_int_distribution<int>(low, high)(random);
    };
    Shelf shelf;
    const int sizes = pick(1, 4);
    for (int place = pick(1, 5); place > 0; --place) {
        auto& options = shelf.places.emplace_back();
        for (int k = pick(1, 5); k > 0; --k) {
            ShelfOption option{
                .outside = pick(0, 2) == 0, .deviation = pick(0, 4), .extra = pick(0, 2)};
            const auto first = static_cast<std::size_t>(pick(0, sizes - 1));
            const auto second = static_cast<std::size_t>(pick(0, sizes - 1));
            option.pieces = first == second ? std::vector<Pieces>{{first, 2}}
                                            : std::vector<Pieces>{{first, 1}, {second, 1}};
            options.push_back(std::move(option));
        }
    }
    if (pick(0, 3) > 0) {
        shelf.stock.emplace();
        for (int k = 0; k < sizes; ++k) {
            shelf.stock->push_back(pick(0, 5));
        }
    }
    if (pick(0, 1) == 0) {
        // Any rule will do, as long as it is one: neighbours of odd index sum are forbidden.
        shelf.together = [](std::size_t place, std::size_t option, std::size_t next) {
            return (place + 2 * option + next) % 3 != 0;
        };
    }
    return shelf;
}

TEST(ShelfChoice, IsTheBestOfAllByTryingEveryOne)
{
    std::mt19937 random(20);
    int without = 0;
    for (int round = 0; round < 3000; ++round) {
        const Shelf shelf = random_shelf(random);
        const auto wanted = by_trying_all(shelf);
        const auto found = choose_from_shelf(shelf);
        ASSERT_EQ(found.has_value(), wanted.has_value()) << "round " << round;
        if (found) {
            ASSERT_EQ(found->options, std::get<4>(*wanted)) << "round " << round;
            ASSERT_TRUE(found->optimal);
        }
        without += found ? 0 : 1;
    }
    EXPECT_GT(without, 100);
    EXPECT_LT(without, 2900);
}

TEST(ShelfChoice, AnEmptyPlaceHasNoChoice)
{
    EXPECT_FALSE(choose_from_shelf({.places = {{}}}));
    EXPECT_FALSE(choose_from_shelf({.places = {{ShelfOption{}}, {}}}));
}

TEST(ShelfChoice, AHardShelfEndsInTimeAndSaysThatItIsNotProven)
{
    std::mt19937 random(7);
    std::uniform_int_distribution<int> deviation(0, 1'000'000);
    constexpr std::size_t sizes = 20;
    Shelf shelf{.stock = std::vector<int>(sizes, 3)};
    for (int place = 0; place < 24; ++place) {
        auto& options = shelf.places.emplace_back();
        for (std::size_t i = 0; i < sizes; ++i) {
            for (std::size_t j = i + 1; j < sizes; ++j) {
                options.push_back({.deviation = deviation(random), .pieces = {{i, 1}, {j, 1}}});
            }
        }
    }
    const auto found = choose_from_shelf(shelf);
    ASSERT_TRUE(found);
    const auto rank = rank_of(shelf, found->options);
    EXPECT_TRUE(rank);
    EXPECT_FALSE(found->optimal);
    EXPECT_EQ(improved_by_swaps(shelf, found->options), found->options);
}

TEST(ShelfChoice, SwapsNeverMakeAChoiceWorseAndSettleTwoPlaces)
{
    std::mt19937 random(21);
    int settled = 0;
    for (int round = 0; round < 3000; ++round) {
        const Shelf shelf = random_shelf(random);
        std::vector<std::size_t> start;
        for (const auto& options : shelf.places) {
            start.push_back(random() % options.size());
        }
        const auto before = rank_of(shelf, start);
        if (!before) {
            continue;
        }
        const auto after = rank_of(shelf, improved_by_swaps(shelf, start));
        const auto figures = [](const Rank& rank) {
            return std::tuple(std::get<0>(rank), std::get<1>(rank), std::get<2>(rank),
                              std::get<3>(rank));
        };
        ASSERT_TRUE(after) << "round " << round;
        ASSERT_LE(figures(*after), figures(*before)) << "round " << round;
        if (shelf.places.size() <= 2) {
            ASSERT_EQ(figures(*after), figures(*by_trying_all(shelf))) << "round " << round;
            ++settled;
        }
    }
    EXPECT_GT(settled, 100);
}

}  // namespace
}  // namespace enginewright::numerics
