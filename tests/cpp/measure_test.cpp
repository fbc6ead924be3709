#include "enginewright/measure.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <new>
#include <numeric>
#include <random>
#include <thread>

#include "enginewright/measure/quantity_column.hpp"
#include "enginewright/measure/quantity_text.hpp"

namespace measure = enginewright::measure;
using enginewright::Standing;
using measure::Contribution;
using measure::Kind;
using measure::Quantity;
using measure::QuantityColumn;
using measure::Series;
using measure::Sources;

namespace {

thread_local std::size_t allocations = 0;

constexpr double infinite = measure::infinite_freedom;

Quantity ring_and_own(double value, Sources& sources)
{
    return Quantity(value, 0.002, sources.named("ring")) +
           Quantity(0.0, 0.001, sources.unnamed(4, Kind::a));
}

double relative_steps(double a, double b)
{
    return std::abs(a - b) / (std::numeric_limits<double>::epsilon() * std::abs(a));
}

}  // namespace

// The whole program's allocations are counted, so that "no allocation" can be shown.
// Not inlined: the compiler would otherwise take malloc and delete for a mismatched pair.
[[gnu::noinline]] void* operator new(std::size_t size)
{
    ++allocations;
    if (void* memory = std::malloc(size)) {
        return memory;
    }
    throw std::bad_alloc();
}
[[gnu::noinline]] void* operator new(std::size_t size, const std::nothrow_t&) noexcept
{
    ++allocations;
    return std::malloc(size);
}
[[gnu::noinline]] void operator delete(void* memory) noexcept { std::free(memory); }
[[gnu::noinline]] void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

TEST(Sources, TheNameIsTheIdentity)
{
    Sources sources;
    const auto ring = sources.named("86 mm ring");
    EXPECT_EQ(sources.named("86 mm ring"), ring);
    EXPECT_NE(sources.named("87 mm ring"), ring);
    EXPECT_NE(sources.unnamed(), sources.unnamed());
    EXPECT_EQ(sources.name(ring), "86 mm ring");
}

TEST(Sources, TheFirstIsASourceLikeAnyOther)
{
    // 0 stands for "no source": the first unnamed one of a table once had that number.
    Sources sources;
    EXPECT_NE(sources.unnamed(), 0U);
}

TEST(Sources, AMemberIsKnownByItsFullName)
{
    Sources sources;
    const auto family = sources.named("bores", 4.5, Kind::a);
    const auto third = sources.named("bores[3]", 4.5, Kind::a);
    EXPECT_EQ(third, Sources::member(family, 3));
    EXPECT_EQ(sources.name(third), "bores[3]");
    EXPECT_EQ(Sources::family(third), family);
    EXPECT_EQ(sources.degrees_of_freedom(third), 4.5);
    EXPECT_EQ(Sources::kind(third), Kind::a);
    EXPECT_NE(sources.named("bores[03]", 4.5, Kind::a), third);
}

TEST(Sources, OtherFreedomOrKindUnderOneNameIsRefused)
{
    Sources sources;
    sources.named("ring", 18);
    EXPECT_THROW(sources.named("ring"), std::invalid_argument);
    EXPECT_THROW(sources.named("ring", 18, Kind::a), std::invalid_argument);
    EXPECT_THROW(sources.named("#3"), std::invalid_argument);
    EXPECT_THROW(sources.named(""), std::invalid_argument);
    EXPECT_THROW(sources.named("x", 0), std::invalid_argument);
}

TEST(Sources, FreedomsAreKeptWhateverTheirSize)
{
    Sources sources;
    for (const double freedom : {0.5, 1.0, 14.0, 15.0, 16.7, 1e9, infinite}) {
        EXPECT_EQ(sources.degrees_of_freedom(sources.unnamed(freedom)), freedom);
    }
}

TEST(Sources, ThreadsAgreeOnNames)
{
    Sources sources;
    std::vector<std::vector<std::uint64_t>> seen(4);
    std::vector<std::thread> threads;
    for (auto& mine : seen) {
        threads.emplace_back([&] {
            for (int i = 0; i < 500; ++i) {
                mine.push_back(sources.named("gauge " + std::to_string(i), i + 0.5));
            }
        });
    }
    for (auto& thread : threads) {
        thread.join();
    }
    for (const auto& mine : seen) {
        EXPECT_EQ(mine, seen.front());
    }
}

TEST(Quantity, ACommonRingDropsOutOfAClearance)
{
    // derived: JCGM 100:2008, 5.2.2, by hand: only the two repeatabilities remain
    Sources sources;
    const Quantity ring(82.0, 0.002, sources.named("ring"));
    const Quantity bore = ring + Quantity(0.015, 0.001, sources.unnamed());
    const Quantity piston = ring + Quantity(-0.03, 0.0015, sources.unnamed());
    const Quantity clearance = bore - piston;
    EXPECT_NEAR(clearance.value(), 0.045, 1e-12);
    EXPECT_NEAR(clearance.standard_uncertainty(), std::hypot(0.001, 0.0015), 1e-15);
    EXPECT_EQ(clearance.contributions().size(), 2U);
}

TEST(Quantity, ClearanceAllocatesNothing)
{
    Sources sources;
    std::vector<Contribution> first;
    std::vector<Contribution> second;
    for (int i = 0; i < 8; ++i) {
        first.push_back({sources.named("source " + std::to_string(i)), 0.001});
        second.push_back({sources.named("source " + std::to_string(i + 4)), 0.002});
    }
    const Quantity bore(82.0, first);
    const Quantity piston(81.9, second);
    const std::size_t before = allocations;
    const Quantity clearance = bore - piston;
    EXPECT_EQ(allocations, before);
    EXPECT_EQ(clearance.contributions().size(), 12U);
}

TEST(Quantity, TheThirteenthContributionSpillsAndNothingIsLost)
{
    // derived: plain arithmetic on 40 independent sources
    Sources sources;
    Quantity sum;
    double squares = 0;
    for (int i = 1; i <= 40; ++i) {
        sum = sum + Quantity(1.0, i * 0.001, sources.unnamed());
        squares += i * 0.001 * i * 0.001;
        EXPECT_EQ(sum.contributions().size(), static_cast<std::size_t>(i));
    }
    EXPECT_NEAR(sum.value(), 40, 1e-12);
    EXPECT_NEAR(sum.standard_uncertainty(), std::sqrt(squares), 1e-15);
    const Quantity nothing = sum - sum;
    EXPECT_EQ(nothing.value(), 0);
    EXPECT_EQ(nothing.standard_uncertainty(), 0);
}

TEST(Quantity, MergeOrderDoesNotMatter)
{
    std::mt19937 random(20);  // seed printed by the name of the test: 20
    std::uniform_real_distribution<double> amount(0.001, 1);
    std::uniform_int_distribution<int> which(0, 19);
    Sources sources;
    std::vector<std::uint64_t> ids;
    for (int i = 0; i < 20; ++i) {
        ids.push_back(sources.unnamed());
    }
    for (int round = 0; round < 200; ++round) {
        std::vector<Quantity> parts;
        for (int i = 0; i < 15; ++i) {
            parts.emplace_back(amount(random), amount(random),
                               ids[static_cast<std::size_t>(which(random))]);
        }
        const auto total = [&] { return std::accumulate(parts.begin(), parts.end(), Quantity{}); };
        const double first = total().standard_uncertainty();
        std::shuffle(parts.begin(), parts.end(), random);
        EXPECT_LE(relative_steps(first, total().standard_uncertainty()), 4);
    }
}

TEST(Quantity, SubtractingWhatWasAddedRestoresTheContributions)
{
    Sources sources;
    const Quantity a(3.0, 0.5, sources.named("a"));
    const Quantity b =
        Quantity(2.0, 0.25, sources.named("b")) * Quantity(1.5, 0.1, sources.named("c"));
    const Quantity back = (a + b) - b;
    ASSERT_EQ(back.contributions().size(), a.contributions().size());
    EXPECT_EQ(back.contributions()[0], a.contributions()[0]);
}

TEST(Quantity, WelchAndSatterthwaiteByHand)
{
    // derived: 5^4 / (3^4 / 4 + 4^4 / 9), JCGM 100:2008, G.4
    Sources sources;
    const Quantity sum = Quantity(0.0, 3.0, sources.unnamed(4, Kind::a)) +
                         Quantity(0.0, 4.0, sources.unnamed(9, Kind::a));
    EXPECT_NEAR(sum.degrees_of_freedom(sources), 625 / (81.0 / 4 + 256.0 / 9), 1e-12);
    EXPECT_EQ(Quantity(1.0, 0.5, sources.unnamed()).degrees_of_freedom(sources), infinite);
    EXPECT_EQ(Quantity(1.0).degrees_of_freedom(sources), infinite);
}

TEST(Quantity, ProductsAndRatiosAreFirstOrder)
{
    // derived: relative uncertainties add in squares, JCGM 100:2008, 5.1.6
    Sources sources;
    const Quantity a(4.0, 0.04, sources.unnamed());
    const Quantity b(5.0, 0.1, sources.unnamed());
    const double relative = std::hypot(0.01, 0.02);
    EXPECT_NEAR((a * b).standard_uncertainty() / 20, relative, 1e-15);
    EXPECT_NEAR((a / b).standard_uncertainty() / 0.8, relative, 1e-15);
    EXPECT_NEAR((a / a).standard_uncertainty(), 0, 1e-16);
    EXPECT_THROW(a / Quantity(0.0), std::invalid_argument);
    EXPECT_THROW(a * Quantity(1e308), std::invalid_argument);
}

TEST(Quantity, ValueAndSlopesCombineLikeTheFormulaItself)
{
    Sources sources;
    const std::vector<Quantity> inputs{ring_and_own(86.0, sources), ring_and_own(85.9, sources)};
    const std::vector<double> slopes{1.0, -1.0};
    const Quantity combined = combine(0.1, slopes, inputs);
    const Quantity plain = inputs[0] - inputs[1];
    EXPECT_NEAR(combined.standard_uncertainty(), plain.standard_uncertainty(), 1e-18);
    EXPECT_EQ(combined.contribution(sources.named("ring")), 0);
}

TEST(Quantity, JsonKeepsWhatTwoReadingsShare)
{
    Sources sources;
    const Quantity bore = ring_and_own(86.0, sources);
    const Quantity own_again = bore + Quantity(0.0, 0.0005, sources.unnamed());
    const double before = measure::correlation(bore, own_again);
    const auto first = quantity_to_json(bore, sources);
    const auto second = quantity_to_json(own_again, sources);

    measure::Document document;
    const auto back = std::get<Quantity>(quantity_from_json(first, document, sources));
    const auto other = std::get<Quantity>(quantity_from_json(second, document, sources));
    EXPECT_DOUBLE_EQ(measure::correlation(back, other), before);
    EXPECT_DOUBLE_EQ(back.degrees_of_freedom(sources), bore.degrees_of_freedom(sources));

    // Another document: the ring is the same ring, the unnamed sources are strangers.
    measure::Document elsewhere;
    const auto stranger = std::get<Quantity>(quantity_from_json(first, elsewhere, sources));
    EXPECT_NEAR(measure::covariance(stranger, back), 0.002 * 0.002, 1e-18);
}

TEST(Quantity, JsonThatIsNoneIsRefused)
{
    Sources sources;
    measure::Document document;
    for (const char* text :
         {"", "{", "[]", "{\"value\": 1}", "{\"value\": \"1\", \"sources\": []}",
          "{\"value\": 1, \"sources\": [1]}", "{\"value\": [1, [2]], \"sources\": []}",
          "{\"value\": 1, \"sources\": [{\"source\": \"#1[\", \"contribution\": 1, "
          "\"degrees_of_freedom\": null, \"kind\": \"B\", \"common\": true}]}"}) {
        EXPECT_THROW(quantity_from_json(text, document, sources), std::invalid_argument) << text;
    }
}

TEST(QuantityColumn, AgreesWithItsElements)
{
    Sources sources;
    const Eigen::ArrayXd values = Eigen::ArrayXd::LinSpaced(6, 1.0, 2.0);
    const QuantityColumn own(values, {6}, Series(values * 0.01), sources.named("own", 5), false);
    const QuantityColumn ring(Quantity(0.5, 0.02, sources.named("ring")), {6});
    const QuantityColumn product = combine(own.values() * ring.values(), Series(ring.values()), own,
                                           Series(own.values()), ring);
    const auto u = product.standard_uncertainty();
    const auto freedom = product.degrees_of_freedom(sources);
    for (std::size_t i = 0; i < 6; ++i) {
        const Quantity one = own.at(i) * ring.at(i);
        EXPECT_NEAR(u[static_cast<Eigen::Index>(i)], one.standard_uncertainty(), 1e-16);
        EXPECT_NEAR(freedom[static_cast<Eigen::Index>(i)], one.degrees_of_freedom(sources), 1e-9);
        EXPECT_EQ(product.at(i).contributions().size(), one.contributions().size());
    }
}

TEST(QuantityColumn, TheMeanKeepsTheRingWholeAndAveragesTheRest)
{
    // derived: 24 bores, u^2 = ring^2 + own^2 / 24
    Sources sources;
    const QuantityColumn own(Eigen::ArrayXd::Constant(24, 86.0), {24}, 0.003, sources.unnamed(),
                             false);
    const QuantityColumn ring(Quantity(0.0, 0.002, sources.named("ring")), {24});
    const QuantityColumn bores = combine(own.values(), 1.0, own, 1.0, ring);
    const Quantity mean = combine(1 / 24.0, bores.sum(), 0.0, Quantity{});
    EXPECT_NEAR(mean.value(), 86.0, 1e-12);
    EXPECT_NEAR(mean.variance(), 0.002 * 0.002 + 0.003 * 0.003 / 24, 1e-18);

    // Less its mean a bore has lost the ring and a share of its own.
    const QuantityColumn off =
        combine(bores.values() - mean.value(), 1.0, bores, -1.0, QuantityColumn(mean, {24}));
    EXPECT_NEAR(off.variance()[7], 0.003 * 0.003 * (1 - 1 / 24.0), 1e-18);
    EXPECT_NEAR(off.sum().standard_uncertainty(), 0, 1e-12);
    EXPECT_NEAR(covariance_matrix(off)(2, 5), -0.003 * 0.003 / 24, 1e-18);
}

TEST(QuantityColumn, RowsAreNotMixed)
{
    Sources sources;
    const QuantityColumn jobs(Eigen::ArrayXd::Ones(12), {3, 4}, 0.1, sources.unnamed(), false);
    const std::vector<std::ptrdiff_t> first_row{0, 1, 2, 3};
    const QuantityColumn first = jobs.take(first_row, {4}).stretched({3, 4});
    EXPECT_THROW(combine(jobs.values() - first.values(), 1.0, jobs, -1.0, first),
                 std::invalid_argument);

    const QuantityColumn sums = jobs.sum_last();
    EXPECT_NEAR(sums.standard_uncertainty()[1], 0.2, 1e-15);
    const std::vector<std::ptrdiff_t> same{0, 1, 2};
    const QuantityColumn beside = sums.take(same, {3, 1}).stretched({3, 4});
    const QuantityColumn off =
        combine(jobs.values() - 0.25 * beside.values(), 1.0, jobs, -0.25, beside);
    EXPECT_NEAR(off.variance()[5], 0.01 * 0.75, 1e-16);
}

TEST(QuantityColumn, ElementsThatMeetThemselvesCancel)
{
    Sources sources;
    const QuantityColumn q(Eigen::ArrayXd::LinSpaced(5, 1, 5), {5}, 0.1, sources.unnamed(), false);
    const std::vector<std::ptrdiff_t> reversed{4, 3, 2, 1, 0};
    const QuantityColumn back = q.take(reversed, {5});
    const QuantityColumn off = combine(q.values() - back.values(), 1.0, q, -1.0, back);
    EXPECT_EQ(off.variance()[2], 0);
    EXPECT_NEAR(off.variance()[0], 0.02, 1e-16);
    EXPECT_NEAR(measure::covariance(off.at(0), off.at(4)), -0.02, 1e-16);
}

TEST(QuantityColumn, AScalarOfItsOwnElementsIsRecognised)
{
    Sources sources;
    const QuantityColumn q(Eigen::ArrayXd::LinSpaced(5, 1, 5), {5}, 0.1, sources.unnamed(), false);
    const QuantityColumn third(q.at(2), {5});
    const QuantityColumn off = combine(q.values() - third.values(), 1.0, q, -1.0, third);
    EXPECT_EQ(off.variance()[2], 0);
    EXPECT_NEAR(off.variance()[0], 0.02, 1e-16);
}

TEST(QuantityColumn, StackKeepsEveryCorrelation)
{
    Sources sources;
    std::vector<Quantity> readings;
    for (int i = 0; i < 7; ++i) {
        readings.push_back(ring_and_own(80.0 + i, sources));
    }
    const QuantityColumn column = QuantityColumn::stack(readings);
    for (std::size_t i = 0; i < readings.size(); ++i) {
        EXPECT_NEAR(column.at(i).variance(), readings[i].variance(), 1e-18);
        EXPECT_NEAR(measure::covariance(column.at(i), readings[0]),
                    measure::covariance(readings[i], readings[0]), 1e-18);
    }
}

TEST(QuantityColumn, JsonKeepsColumnsWhateverHappenedToThem)
{
    Sources sources;
    const QuantityColumn own(Eigen::ArrayXd::LinSpaced(6, 1, 6), {2, 3}, 0.1, sources.unnamed(4.5),
                             false);
    const QuantityColumn ring(Quantity(0.0, 0.2, sources.named("ring")), {2, 3});
    const QuantityColumn both = combine(own.values(), 1.0, own, 2.0, ring);
    const std::vector<std::ptrdiff_t> picks{5, 0, 2};
    measure::Document document;
    for (const auto& column : {both, both.take(picks, {3})}) {
        const auto text = column_to_json(column, sources);
        const auto back = std::get<QuantityColumn>(quantity_from_json(text, document, sources));
        EXPECT_EQ(back.shape(), column.shape());
        EXPECT_TRUE((back.values() == column.values()).all());
        EXPECT_TRUE((back.variance() == column.variance()).all());
        EXPECT_NEAR(back.degrees_of_freedom(sources)[1], column.degrees_of_freedom(sources)[1],
                    1e-9);
    }
    // The pick shares its elements with the whole, also after the round trip.
    const auto whole = std::get<QuantityColumn>(
        quantity_from_json(column_to_json(both, sources), document, sources));
    const auto part = std::get<QuantityColumn>(
        quantity_from_json(column_to_json(both.take(picks, {3}), sources), document, sources));
    EXPECT_NEAR(measure::covariance(whole.at(5), part.at(0)), 0.01 + 0.16, 1e-15);
    EXPECT_NEAR(measure::covariance(whole.at(4), part.at(0)), 0.16, 1e-15);
}

TEST(Judge, GuardBandOfOneLimit)
{
    // derived: normal quantile at 0.95 times u
    const auto verdict = measure::judge(82.046, 0.002, infinite, {}, 82.05);
    EXPECT_EQ(verdict.verdict, Standing::within);
    EXPECT_NEAR(*verdict.guard, 1.6448536269514727 * 0.002, 1e-15);
    EXPECT_NEAR(*verdict.accept_upper, 82.05 - *verdict.guard, 1e-12);
    EXPECT_FALSE(verdict.accept_lower.has_value());
    EXPECT_NEAR(*verdict.margin, 0.004, 1e-12);
    EXPECT_EQ(verdict.reason, "4.0 µm below the upper limit, the gauge needs 3.3 µm");
}

TEST(Judge, TheZoneBetweenTwoLimitsIsWhereTheProbabilityReachesTheLevel)
{
    for (const double freedom : {infinite, 7.3}) {
        for (const double u : {0.001, 0.002, 0.004}) {
            const auto middle = measure::judge(10.01, u, freedom, 10.0, 10.02);
            ASSERT_TRUE(middle.accept_upper.has_value()) << u;
            const double guard = *middle.guard;
            const auto edge = measure::decide(10.02 - guard, u, freedom, 10.0, 10.02);
            EXPECT_NEAR(edge.probability, 0.95, 1e-9);
            EXPECT_NEAR(*middle.accept_lower, 10.0 + guard, 1e-12);
            EXPECT_LE(guard, 0.01);
        }
        EXPECT_FALSE(measure::judge(10.01, 0.008, freedom, 10.0, 10.02).accept_upper.has_value());
    }
}

TEST(Judge, AFarLimitIsNoLimit)
{
    // derived: the guard band of the near limit alone
    const auto both = measure::judge(1, 0.1, 7.3, 0.0, 1e308);
    const auto one = measure::judge(1, 0.1, 7.3, 0.0, {});
    EXPECT_NEAR(*both.guard, *one.guard, 1e-12);
    EXPECT_FALSE(both.capability && std::isinf(*both.capability));
}

TEST(Judge, ProbabilityKeepsItsDigitsOutsideToo)
{
    // derived: Phi(-5), 2.8665157187919391e-7 by mpmath
    const auto verdict = measure::decide(15, 1, infinite, {}, 10.0);
    EXPECT_NEAR(verdict.probability / 2.8665157187919391e-7, 1, 1e-13);
    EXPECT_EQ(verdict.verdict, Standing::outside);
}

TEST(Judge, OneBitOverTheLimitIsOnTheLimit)
{
    // 2.5 thou is 0.0635 mm; 25.4 * 0.0025 in doubles need not be.
    const auto verdict = measure::judge(std::nextafter(0.0635, 1.0), 0, infinite, {}, 0.0635);
    EXPECT_EQ(verdict.verdict, Standing::within);
    EXPECT_EQ(*verdict.margin, 0);
    EXPECT_NE(verdict.reason.find("no uncertainty stated, judged at face value"),
              std::string::npos);
}

TEST(Judge, ExpandedAndSimpleRules)
{
    using measure::Rule;
    // derived: U = 1.96 u = 3.92 µm
    EXPECT_EQ(measure::decide(10.0039, 0.002, infinite, 10.0, {}, Rule::expanded).verdict,
              Standing::unproven);
    EXPECT_EQ(measure::decide(10.0040, 0.002, infinite, 10.0, {}, Rule::expanded).verdict,
              Standing::within);
    EXPECT_EQ(measure::decide(9.9960, 0.002, infinite, 10.0, {}, Rule::expanded).verdict,
              Standing::outside);
    EXPECT_EQ(measure::decide(10.0001, 0.002, infinite, 10.0, {}, Rule::simple).verdict,
              Standing::within);
    const auto crossed = measure::judge(10.0, 0.2, infinite, 9.9, 10.1, Rule::expanded);
    EXPECT_FALSE(crossed.accept_lower.has_value());
    EXPECT_FALSE(crossed.accept_upper.has_value());
}

TEST(Judge, WithoutALimitThereIsNothingToJudge)
{
    const auto verdict = measure::judge(82, 0.002, infinite, {}, {});
    EXPECT_EQ(verdict.verdict, Standing::unlimited);
    EXPECT_FALSE(verdict.probability.has_value());
    EXPECT_NEAR(verdict.expanded, 1.959963984540054 * 0.002, 1e-15);
}

TEST(Judge, RefusesWhatCannotBe)
{
    EXPECT_THROW(measure::decide(1, 0.1, infinite, 2.0, 1.0), std::invalid_argument);
    EXPECT_THROW(measure::decide(std::nan(""), 0.1, infinite, 0.0, 1.0), std::invalid_argument);
    EXPECT_THROW(measure::decide(1, -0.1, infinite, 0.0, 1.0), std::invalid_argument);
    EXPECT_THROW(measure::decide(1, 0.1, 0, 0.0, 1.0), std::invalid_argument);
    EXPECT_THROW(measure::decide(1, 0.1, infinite, 0.0, 1.0, measure::Rule::guarded, 0.5),
                 std::invalid_argument);
}

TEST(Judge, SentencesSpeakOfTheUnitGiven)
{
    EXPECT_EQ(measure::judge(9, 0.5, infinite, 10.0, {}, measure::Rule::guarded, 0.95, "g").reason,
              "1.00 g below the lower limit, the gauge needs 0.822 g");
    EXPECT_EQ(measure::judge(12, 0.5, infinite, 10.0, {}).reason,
              "2.000 mm above the lower limit, the gauge needs 822.4 µm");
}

TEST(Worst, OutsideComesFirst)
{
    EXPECT_EQ(measure::worst({Standing::within, Standing::unproven}), Standing::unproven);
    EXPECT_EQ(measure::worst({Standing::unlimited, Standing::within}), Standing::within);
    EXPECT_EQ(measure::worst({Standing::outside, Standing::unproven}), Standing::outside);
    EXPECT_EQ(measure::worst({}), Standing::unlimited);
}

TEST(Reading, TwoGaugesZeroedOnOneRingShareIt)
{
    Sources sources;
    const Quantity ring(82.0, 0.002, sources.named("82 mm ring"));
    const measure::Gauge bore_gauge{.name = "bore gauge", .resolution = 0.001};
    measure::ReadingOptions options{.master = ring};
    const std::vector<double> first{0.012, 0.013};
    const std::vector<double> second{-0.031};
    const auto bore = measure::reading(first, &bore_gauge, options, sources);
    const auto piston = measure::reading(second, &bore_gauge, options, sources);
    const Quantity clearance = bore.size - piston.size;
    EXPECT_EQ(clearance.contribution(sources.named("82 mm ring")), 0);
    EXPECT_NEAR(clearance.value(), 0.0435, 1e-12);
    EXPECT_EQ(piston.notes, std::vector<std::string>{"repeatability not assessed"});
    EXPECT_FALSE(piston.standard_deviation.has_value());
}

TEST(Reading, TheSameZeroingIsSharedByItsLabel)
{
    Sources sources;
    const measure::Gauge gauge{.name = "bore gauge", .resolution = 0.01};
    const std::vector<double> zero{0.0, 0.002};
    measure::ReadingOptions options{.master = 82.0, .zero = zero, .setting = "Monday"};
    const std::vector<double> first{0.012};
    const auto a = measure::reading(first, &gauge, options, sources);
    const auto b = measure::reading(first, &gauge, options, sources);
    // derived: sqrt(0.01^2 + 0.002^2) / sqrt(12), by hand
    EXPECT_NEAR(std::abs(a.size.contribution(sources.named("bore gauge: zero Monday"))),
                std::hypot(0.01, 0.002) / std::sqrt(12.0), 1e-15);
    EXPECT_EQ((a.size - b.size).contribution(sources.named("bore gauge: zero Monday")), 0);
}

TEST(Reading, TheRecordCountsUnlessTheReadingsStandOutOfIt)
{
    Sources sources;
    measure::Gauge gauge{.name = "micrometer", .repeatability = 0.001};
    gauge.repeatability_freedom = 30;
    const std::vector<double> calm{10.0, 10.001, 10.0};
    const std::vector<double> wild{10.0, 10.01, 9.99};
    const auto quiet = measure::reading(calm, &gauge, {}, sources);
    EXPECT_TRUE(quiet.notes.empty());
    EXPECT_NEAR(quiet.size.standard_uncertainty(), 0.001 / std::sqrt(3.0), 1e-15);
    const auto loud = measure::reading(wild, &gauge, {}, sources);
    EXPECT_EQ(loud.notes,
              std::vector<std::string>{"readings scatter more than the gauge's record"});
    EXPECT_NEAR(loud.size.standard_uncertainty(), 0.01 / std::sqrt(3.0), 1e-15);
    EXPECT_EQ(loud.size.degrees_of_freedom(sources), 2);
}

TEST(Reading, ARoomSharedByPartAndGaugeNearlyCancels)
{
    // derived: first-order, |a_g - a_p| * u(T) * L remains, a_p * u(T) * L without sharing
    Sources sources;
    const Quantity room(24.0, 0.5, sources.named("room"));
    const measure::Gauge gauge{.name = "micrometer"};
    const std::vector<double> readings{100.0};
    const auto shared =
        measure::reading(readings, &gauge, {.temperature = room, .expansion = 10.5e-6}, sources);
    EXPECT_NEAR(shared.size.standard_uncertainty(), 1.0e-6 * 0.5 * 100, 2e-8);
    const auto apart = measure::reading(
        readings, &gauge,
        {.temperature = room, .expansion = 10.5e-6, .gauge_temperature = Quantity(20.0)}, sources);
    EXPECT_NEAR(apart.size.standard_uncertainty(), 10.5e-6 * 0.5 * 100, 2e-7);
}

TEST(Reading, RefusesWhatItCannotCorrect)
{
    Sources sources;
    const std::vector<double> readings{100.0};
    const std::vector<double> zero{0.001};
    EXPECT_THROW(measure::reading(readings, nullptr, {.temperature = 24.0}, sources),
                 std::invalid_argument);
    EXPECT_THROW(measure::reading(readings, nullptr, {.zero = zero}, sources),
                 std::invalid_argument);
    EXPECT_THROW(measure::reading({}, nullptr, {}, sources), std::invalid_argument);
    const measure::Gauge coarse{.name = "x", .resolution = -1};
    EXPECT_THROW(measure::reading(readings, &coarse, {}, sources), std::invalid_argument);
}

TEST(SizeAt, ThereAndBack)
{
    const double warm = measure::size_at(82.0, 21e-6, 20.0, 90.0);
    EXPECT_NEAR(measure::size_at(warm, 21e-6, 90.0, 20.0), 82.0, 1e-13);
}
