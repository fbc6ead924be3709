#include "enginewright/matching.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <optional>
#include <random>

#include "refusal.hpp"

namespace enginewright::matching {
namespace {

using std::numbers::pi;

std::vector<double> drawn(std::mt19937& draw, std::size_t count, int low, int high)
{
    std::vector<double> values(count);
    for (auto& each : values) {
        each = 0.1 * static_cast<double>(low * 10 +
                                         static_cast<int>(draw() % unsigned((high - low) * 10)));
    }
    return values;
}

TEST(MatchMasses, TakesNothingOffAPartInsideTheBand)
{
    const auto plan = match_masses(std::vector{500.0, 500.4, 500.6}, std::nullopt, 0.5);
    EXPECT_EQ(plan.removal[0], 0.0);
    EXPECT_EQ(plan.removal[1], 0.0);
    EXPECT_NEAR(plan.removal[2], 0.6, 1e-9);
    EXPECT_EQ(plan.next, "take 0.6 g off part 3");
    const auto least = match_masses(std::vector{500.0, 500.4, 500.6}, std::nullopt, 0.5, {}, true);
    EXPECT_NEAR(least.removal[2], 0.1, 1e-9);
}

TEST(MatchMasses, NeverTakesMoreOffForAWiderBand)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto masses = drawn(draw, 2 + draw() % 6, 500, 510);
        for (const bool least : {false, true}) {
            double before = 1e9;
            for (double tolerance = 0; tolerance < 5; tolerance += 0.3) {
                const auto plan = match_masses(masses, 503.0, tolerance, 4.0, least);
                EXPECT_LE(plan.total_removal, before + 1e-9);
                before = plan.total_removal;
                for (const int heavy : plan.over_limit) {
                    EXPECT_EQ(std::count(plan.too_light.begin(), plan.too_light.end(), heavy), 0);
                }
            }
        }
    }
}

TEST(MatchMasses, ReachesItsLeastTargetAndNothingBelow)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto masses = drawn(draw, 5, 500, 510);
        const double tolerance = 0.1 * static_cast<double>(draw() % 5);
        const OneOrEach removable = drawn(draw, 5, 0, 6);
        const double least = *match_masses(masses, std::nullopt, tolerance, removable).least_target;
        EXPECT_TRUE(match_masses(masses, least, tolerance, removable).over_limit.empty());
        EXPECT_FALSE(match_masses(masses, least - 0.001, tolerance, removable).over_limit.empty());
    }
}

TEST(MatchMasses, SaysWhichPartToReplace)
{
    const std::vector masses{512.6, 509.8, 511.0, 515.6};
    const auto heavy = match_masses(masses, std::nullopt, 0.0, 4.0);
    EXPECT_EQ(heavy.reason, "part 4 must lose 5.8 g, 4.0 g may come off");
    EXPECT_EQ(heavy.next,
              "replace part 4 by one of 513.8 g at most, or parts 2, 3 by ones of 511.6 g at "
              "least");
    const auto light = match_masses(masses, 510.5);
    EXPECT_EQ(light.reason, "part 2 is 0.7 g too light");
    EXPECT_EQ(light.next, "replace part 2 by one of 510.5 g at least");
    EXPECT_EQ(light.status, MatchStatus::cannot_match);
    EXPECT_EQ(match_masses(std::vector{500.0, 500.0}).next, "");
}

TEST(MatchMasses, RefusesByNameRuleAndValue)
{
    EXPECT_EQ(refusal([] { match_masses(std::vector{500.0}); }),
              "masses must hold at least 2 readings, got 1");
    EXPECT_EQ(refusal([] { match_masses(std::vector{500.0, 0.0}); }),
              "masses[1] must be above 0 g, got 0.0");
    EXPECT_EQ(refusal([] { match_masses(std::vector{500.0, 501.0}, {}, -0.1); }),
              "tolerance must be at least 0 g, got -0.1");
    EXPECT_EQ(refusal([] { match_masses(std::vector{500.0, 501.0}, {}, 0, std::vector{1.0}); }),
              "removable must hold one figure or 2, one a part, got 1");
}

TEST(RodEnds, ShareTheMisclosureInThirds)
{
    const auto ends = rod_ends(430.9, 170.8, 600.2, 140);
    EXPECT_NEAR(*ends.residual, 1.5, 1e-9);
    EXPECT_NEAR(ends.big_end, 430.4, 1e-9);
    EXPECT_NEAR(ends.small_end, 170.3, 1e-9);
    EXPECT_NEAR(ends.total, 600.7, 1e-9);
    EXPECT_EQ(ends.verdict, Standing::unlimited);
    EXPECT_EQ(ends.residual_allowed, std::nullopt);
    const auto as_weighed = rod_ends(430.9, 170.8);
    EXPECT_EQ(as_weighed.residual, std::nullopt);
    EXPECT_EQ(as_weighed.big_end, 430.9);
}

TEST(RodEnds, AreOutsideBeyondWhatTheBalanceExplains)
{
    const auto ends = rod_ends(432.0, 170.5, 600.0, std::nullopt, 0.3);
    EXPECT_EQ(ends.verdict, Standing::outside);
    EXPECT_EQ(ends.next, "level the fixture and weigh again: ends and whole differ by 2.5 g");
    EXPECT_NEAR(*ends.residual_allowed, 2 * std::sqrt(3.0) * 0.3, 1e-12);
}

TEST(RodRemoval, GivesItsExcessesBack)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        std::uniform_real_distribution<double> any(-5, 5);
        const double length = 140;
        const double x1 = -28 + any(draw);
        const double x2 = 154 + any(draw);
        const double big = any(draw);
        const double small = any(draw);
        const auto plan = rod_removal(big, small, length, x1, x2);
        EXPECT_NEAR(plan.remove_big * (1 - x1 / length) + plan.remove_small * (1 - x2 / length),
                    big, 1e-9);
        EXPECT_NEAR((plan.remove_big * x1 + plan.remove_small * x2) / length, small, 1e-9);
        EXPECT_EQ(plan.status == RemovalStatus::not_possible,
                  plan.remove_big < -1e-9 || plan.remove_small < -1e-9);
    }
}

TEST(RodRemoval, CuresOneHeavyEndOnlyWithPadsBeyondTheCentres)
{
    EXPECT_EQ(rod_removal(3, 0, 140, 0, 140).status, RemovalStatus::possible);
    const auto between = rod_removal(3, 0, 140, 20, 120);
    EXPECT_EQ(between.status, RemovalStatus::not_possible);
    EXPECT_EQ(between.next, "lower the excess or use a pad beyond the centre");
    EXPECT_EQ(between.reason, "0.6 g would have to be added at the small-end pad");
    const auto much = rod_removal(13.1, 0, 140, 0, 140, 12.0);
    EXPECT_EQ(much.status, RemovalStatus::over_limit);
    EXPECT_EQ(much.reason, "13.1 g must come off at the big-end pad, 12.0 g may");
}

TEST(RodRemoval, RefusesPadsThatCross)
{
    EXPECT_EQ(refusal([] { rod_removal(1, 1, 140, 70, 70); }),
              "pad_small must be above pad_big, 70.0 mm, got 70.0");
    EXPECT_EQ(refusal([] { rod_removal(1, 1, 0, -20, 160); }),
              "length must be above 0 mm, got 0.0");
}

/// Least metal off a set by its linear programme in two targets: all corners tried.
double least_metal(const std::vector<double>& big, const std::vector<double>& small, double length,
                   double x1, double x2)
{
    // Removals are linear in the targets (A, B) hung at the pads, none may be negative: the corner
    // of the feasible quarter plane with the greatest A + B takes the least.
    double best = 1e9;
    const std::size_t n = big.size();
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j) {
            const auto at = [&](std::size_t k) {
                return rod_removal(big[k], small[k], length, x1, x2);
            };
            const double a = at(i).remove_big;
            const double b = at(j).remove_small;
            double sum = 0;
            bool possible = true;
            for (std::size_t k = 0; k < n; ++k) {
                const double off_big = at(k).remove_big - a;
                const double off_small = at(k).remove_small - b;
                possible = possible && off_big >= -1e-9 && off_small >= -1e-9;
                sum += off_big + off_small;
            }
            if (possible) {
                best = std::min(best, sum);
            }
        }
    }
    return best;
}

TEST(MatchRods, TakesTheLeastMetalThereIs)
{
    for (unsigned seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto big = drawn(draw, 4, 425, 432);
        const auto small = drawn(draw, 4, 160, 166);
        const auto plan = match_rods(big, small, 140, -28, 154);
        EXPECT_NEAR(plan.total_removed, least_metal(big, small, 140, -28, 154), 1e-6);
        for (std::size_t i = 0; i < big.size(); ++i) {
            const double b = plan.remove_big[i];
            const double s = plan.remove_small[i];
            EXPECT_NEAR(big[i] - b * (1 + 28.0 / 140) - s * (1 - 154.0 / 140), plan.target_big,
                        1e-9);
            EXPECT_NEAR(small[i] - (b * -28 + s * 154) / 140, plan.target_small, 1e-9);
        }
    }
}

TEST(MatchRods, BringsEachEndToItsLightestWithPadsAtTheCentres)
{
    const std::vector big{432.0, 430.0, 431.0};
    const std::vector small{166.0, 167.0, 165.0};
    const auto plan = match_rods(big, small, 140, 0, 140);
    const auto big_plan = match_masses(big);
    const auto small_plan = match_masses(small);
    for (std::size_t i = 0; i < big.size(); ++i) {
        EXPECT_NEAR(plan.remove_big[i], big_plan.removal[i], 1e-9);
        EXPECT_NEAR(plan.remove_small[i], small_plan.removal[i], 1e-9);
    }
    EXPECT_EQ(plan.next,
              "rod 1: 2.0 g off at the big-end pad, 1.0 g off at the small-end pad; rod 2: 2.0 g "
              "off at the small-end pad; rod 3: 1.0 g off at the big-end pad");
}

TEST(MatchRods, SaysWhichRodIsTheOddOne)
{
    const auto plan = match_rods(std::vector{440.0, 430.0, 441.1, 443.1},
                                 std::vector{165.0, 165.0, 165.0, 165.0}, 140, 0, 140, 12.0);
    EXPECT_EQ(plan.status, MatchStatus::cannot_match);
    EXPECT_EQ(plan.over_limit_big, (std::vector{3}));
    EXPECT_EQ(plan.reason, "rod 4 would lose 13.1 g at the big-end pad, 12.0 g may come off");
    EXPECT_EQ(plan.next,
              "replace rod 2, the light one there, by one at least 1.1 g heavier, or rod 4");
}

/// The best columns by trying every order: cost of the objective, then total, then dictionary.
std::optional<std::vector<int>> by_trying_all(const Costs& cost, const Allowed& allowed,
                                              Objective objective)
{
    std::vector<int> order(static_cast<std::size_t>(cost.cols()));
    std::iota(order.begin(), order.end(), 0);
    std::optional<std::tuple<double, double, std::vector<int>>> best;
    do {
        const std::vector<int> columns(order.begin(), order.begin() + cost.rows());
        double least = 1e9;
        double greatest = -1e9;
        double total = 0;
        bool possible = true;
        for (Eigen::Index i = 0; i < cost.rows(); ++i) {
            const int j = columns[static_cast<std::size_t>(i)];
            possible = possible && allowed(i, j);
            least = std::min(least, cost(i, j));
            greatest = std::max(greatest, cost(i, j));
            total += cost(i, j);
        }
        if (!possible) {
            continue;
        }
        const double first = objective == Objective::sum          ? total
                             : objective == Objective::bottleneck ? greatest
                                                                  : greatest - least;
        const auto candidate = std::tuple(first, total, columns);
        best = best ? std::min(*best, candidate) : candidate;
    } while (std::next_permutation(order.begin(), order.end()));
    return best ? std::optional(std::get<2>(*best)) : std::nullopt;
}

TEST(MatchingAssign, MatchesEveryOrderForAllObjectives)
{
    for (unsigned seed = 0; seed < 4000; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto rows = static_cast<Eigen::Index>(1 + draw() % 4);
        const auto columns = rows + static_cast<Eigen::Index>(draw() % unsigned(6 - rows));
        Costs cost(rows, columns);
        Allowed allowed(rows, columns);
        for (auto& each : cost.reshaped()) {
            each = static_cast<int>(draw() % 7) - 3;
        }
        for (auto& each : allowed.reshaped()) {
            each = draw() % 5 != 0;
        }
        for (const auto objective : {Objective::sum, Objective::bottleneck, Objective::spread}) {
            const auto expected = by_trying_all(cost, allowed, objective);
            const auto found = assign(cost, allowed, objective);
            ASSERT_EQ(found.status == AssignmentStatus::assigned, expected.has_value());
            if (expected) {
                ASSERT_EQ(found.columns, *expected) << word(objective);
            }
        }
    }
}

TEST(MatchingAssign, NamesRowsWithOneColumnTooFew)
{
    Allowed allowed = Allowed::Constant(4, 5, false);
    allowed.block(0, 1, 4, 3).setConstant(true);
    for (const auto objective : {Objective::sum, Objective::bottleneck, Objective::spread}) {
        const auto found = assign(Costs::Zero(4, 5), allowed, objective);
        EXPECT_EQ(found.status, AssignmentStatus::no_assignment);
        EXPECT_EQ(found.reason, "rows 1, 2, 3, 4 have only columns 2, 3, 4 between them");
        EXPECT_EQ(found.next, "allow one of rows 1, 2, 3, 4 another column");
        EXPECT_TRUE(found.columns.empty() && found.costs.empty());
        EXPECT_EQ(found.unused, (std::vector{0, 1, 2, 3, 4}));
        EXPECT_EQ(found.total, std::nullopt);
    }
    const auto shut = assign(Costs::Zero(1, 1), Allowed::Constant(1, 1, false));
    EXPECT_EQ(shut.reason, "row 1 has no column");
}

TEST(MatchingAssign, HoldsItsAnswerWithCostsOfAnySize)
{
    for (const double scale : {1e-6, 1.0, 1e6, 1e280}) {
        const Costs cost{{4 * scale, 1 * scale, 3 * scale},
                         {2 * scale, 0, 5 * scale},
                         {3 * scale, 2 * scale, 2 * scale}};
        EXPECT_EQ(assign(cost).columns, (std::vector{1, 0, 2})) << scale;
    }
}

TEST(MatchingAssign, RefusesTablesThatCannotBe)
{
    EXPECT_EQ(refusal([] { assign(Costs::Zero(3, 2)); }),
              "cost must hold no more rows than columns, got 3 by 2");
    EXPECT_EQ(refusal([] { assign(Costs(0, 0)); }),
              "cost must hold at least 1 row and 1 column, got 0 by 0");
    EXPECT_EQ(refusal([] { assign(Costs::Constant(1, 2, std::nan(""))); }),
              "cost[0][0] must be a finite number, got nan");
    EXPECT_EQ(refusal([] { assign(Costs::Zero(2, 2), Allowed::Constant(2, 3, true)); }),
              "allowed must be as large as cost, 2 by 2, got 2 by 3");
}

/// Least spread of sums, or least worst deviation, by trying every order.
double best_pairing(const std::vector<double>& first, const std::vector<double>& second,
                    std::optional<double> target)
{
    std::vector<std::size_t> order(second.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    double best = 1e9;
    do {
        double least = 1e9;
        double greatest = -1e9;
        for (std::size_t i = 0; i < first.size(); ++i) {
            least = std::min(least, first[i] + second[order[i]]);
            greatest = std::max(greatest, first[i] + second[order[i]]);
        }
        best = std::min(best,
                        target ? std::max(greatest - *target, *target - least) : greatest - least);
    } while (std::next_permutation(order.begin(), order.end()));
    return best;
}

TEST(PairParts, IsAsEvenAsAnyOrder)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto first = drawn(draw, 1 + draw() % 4, 500, 503);
        const auto second = drawn(draw, first.size() + draw() % 3, 600, 603);
        EXPECT_NEAR(pair_parts(first, second).spread, best_pairing(first, second, std::nullopt),
                    1e-9);
        EXPECT_NEAR(pair_parts(first, second, 1103.0).worst_deviation,
                    best_pairing(first, second, 1103.0), 1e-9);
    }
}

TEST(PairParts, SaysWhoGoesWithWhom)
{
    const auto pairs = pair_parts(std::vector{500.0, 502.0}, std::vector{604.0, 601.0, 620.0});
    EXPECT_EQ(pairs.next, "part 1 with 1 (1104.0), part 2 with 2 (1103.0)");
    EXPECT_EQ(pairs.unused, (std::vector{2}));
    EXPECT_EQ(refusal([] { pair_parts(std::vector{1.0, 2.0}, std::vector{1.0}); }),
              "second must hold at least 2 values, as many as first, got 1");
}

TEST(ChooseParts, IsAsEvenAsAnyChoice)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto values = drawn(draw, 7, 610, 612);
        const int count = 1 + static_cast<int>(draw() % 7);
        double even = 1e9;
        double near = 1e9;
        for (unsigned set = 0; set < 128; ++set) {
            std::vector<double> those;
            for (unsigned k = 0; k < 7; ++k) {
                if ((set >> k & 1U) != 0) {
                    those.push_back(values[k]);
                }
            }
            if (static_cast<int>(those.size()) != count) {
                continue;
            }
            const auto [low, high] = std::minmax_element(those.begin(), those.end());
            even = std::min(even, *high - *low);
            near = std::min(near, std::max(*high - 611.0, 611.0 - *low));
        }
        EXPECT_NEAR(choose_parts(values, count).spread, even, 1e-9);
        EXPECT_NEAR(choose_parts(values, count, 611.0).worst_deviation, std::max(near, 0.0), 1e-9);
    }
}

TEST(ChooseParts, TakesTheLowerOfEqualWindowsAndTheSmallerOfEquallyNear)
{
    EXPECT_EQ(choose_parts(std::vector{3.0, 1.0, 2.0}, 2).parts, (std::vector{1, 2}));
    EXPECT_EQ(choose_parts(std::vector{610.1, 609.9}, 1, 610.0).parts, (std::vector{1}));
    EXPECT_EQ(choose_parts(std::vector{610.0, 610.0}, 1, 610.0).parts, (std::vector{0}));
    EXPECT_EQ(refusal([] { choose_parts(std::vector{1.0}, 2); }),
              "count must be between 1 and 1, got 2");
}

/// Mass and inertia of a ring of metal by adding up thin rings.
std::pair<double, double> added_up(double outer, double inner, double width, double density)
{
    double mass = 0;
    double inertia = 0;
    constexpr int rings = 20000;
    const double step = (outer - inner) / 2 / rings;
    for (int k = 0; k < rings; ++k) {
        const double r = inner / 2 + (k + 0.5) * step;
        const double ring = 1e-3 * density * 2 * pi * r * step * width;
        mass += ring;
        inertia += 1e-9 * ring * r * r;
    }
    return {mass, inertia};
}

TEST(TurnedBand, IsTheSumOfItsRings)
{
    const auto [mass, inertia] = added_up(280, 230, 12, 7.2);
    const auto band = turned_band(280, 230, 12, 7.2);
    EXPECT_NEAR(band.mass, mass, 1e-6 * mass);
    EXPECT_NEAR(band.inertia, inertia, 1e-6 * inertia);
}

TEST(DrilledHoles, AreTheSumOfTheirSlices)
{
    // Slices along the drill: discs of falling radius in the point, each with its own inertia.
    const double a = 6;
    const double arm = 110;
    double mass = 0;
    double inertia = 0;
    constexpr int slices = 20000;
    const double point = a / std::tan(59 * pi / 180);
    for (int k = 0; k < slices; ++k) {
        const double depth = (20 + point) * (k + 0.5) / slices;
        const double r = depth < 20 ? a : a * (1 - (depth - 20) / point);
        const double disc = 1e-3 * 7.85 * pi * r * r * (20 + point) / slices;
        mass += disc;
        inertia += 1e-9 * disc * (arm * arm + r * r / 2);
    }
    const auto holes = drilled_holes(12, 20, 110, 4, 7.85, 118);
    EXPECT_NEAR(holes.mass, 4 * mass, 1e-5 * mass);
    EXPECT_NEAR(holes.inertia, 4 * inertia, 1e-5 * inertia);
}

TEST(DrilledHoles, RefusesHolesThatMeet)
{
    EXPECT_EQ(drilled_holes(12, 20, 6, 1).mass, drilled_holes(12, 20, 60, 1).mass);
    EXPECT_NE(refusal([] { drilled_holes(12, 20, 20, 12); }).find("count must be so small"),
              std::string::npos);
    EXPECT_EQ(refusal([] { drilled_holes(12, 20, 110, 2.5); }),
              "count must be a whole number of at least 1, got 2.5");
}

TEST(Lightened, LeavesWhatIsNotTakenOff)
{
    const std::vector off{turned_band(280, 230, 12, 7.2), drilled_holes(12, 20, 110, 6)};
    const auto left = lightened(9500, 0.105, off);
    EXPECT_NEAR(left.mass + left.removed_mass, 9500, 1e-9);
    EXPECT_NEAR(left.inertia + left.removed_inertia, 0.105, 1e-12);
    EXPECT_NEAR(left.removed_mass, off[0].mass + off[1].mass, 1e-9);
    EXPECT_GT(left.inertia_share, left.removed_mass / 9500);
    EXPECT_EQ(lightened(9500, 0.105, {}).inertia_share, 0.0);
    EXPECT_NE(refusal([&] { lightened(1000, 0.105, off); }).find("removals must be lighter"),
              std::string::npos);
}

TEST(SpinStress, IsDoubledByAPinholeAndPlainInAThinRing)
{
    const double solid = spin_stress(280, 0, 7000);
    EXPECT_NEAR(spin_stress(280, 1e-6, 7000), 2 * solid, 1e-6 * solid);
    const double omega = 7000 * pi / 30;
    // A thin ring: density * speed of the rim squared.
    EXPECT_NEAR(spin_stress(280, 279.9999, 7000), 7850 * omega * omega * 0.14 * 0.14 / 1e6, 1e-3);
    EXPECT_EQ(spin_stress(280, 30, 0), 0.0);
}

}  // namespace
}  // namespace enginewright::matching
