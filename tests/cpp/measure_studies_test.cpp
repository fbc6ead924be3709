#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <thread>
#include <vector>

#include "enginewright/measure/gauge_study.hpp"
#include "enginewright/measure/outliers.hpp"
#include "enginewright/measure/propagate.hpp"
#include "enginewright/measure/risk.hpp"
#include "enginewright/measure/settle.hpp"
#include "refusal.hpp"

namespace measure = enginewright::measure;
using enginewright::refusal;
using enginewright::Standing;
using measure::Quantity;
using measure::Sources;

namespace {

measure::Reading some_reading(Sources& sources)
{
    const auto card = measure::gauge("bore gauge", 0.001, {}, 0.002);
    return measure::reading(std::array{86.095, 86.099, 86.097}, &card, {}, sources);
}

}  // namespace

TEST(Repeatability, TheRecordCountsUnlessTheReadingsStandOutOfIt)
{
    const measure::Repeats card{.resolution = 0.001, .record = 0.002, .record_freedom = 20};
    EXPECT_EQ(measure::repeatability(card, 4, 0.002),
              (measure::Repeatability{.uncertainty = 0.001, .freedom = 20, .assessed = true}));
    const auto out = measure::repeatability(card, 4, 0.010);
    EXPECT_TRUE(out.stands_out);
    EXPECT_EQ(out.freedom, 3);
    EXPECT_EQ(out.uncertainty, 0.005);
    const auto fine = measure::repeatability(card, 100, 0.002);
    EXPECT_TRUE(fine.by_resolution);
    EXPECT_EQ(fine.freedom, measure::infinite_freedom);
    EXPECT_FALSE(measure::repeatability({}, 1, {}).assessed);
}

TEST(Settle, CountsReadingsUpwardUntilTheVerdictIsGiven)
{
    Sources sources;
    const auto reading = some_reading(sources);
    const auto settle = measure::settle(reading, {}, 86.099, 0.95, 50, sources);
    EXPECT_EQ(settle.status, measure::Settling::more_readings);
    EXPECT_EQ(settle.readings, 9);
    // derived: 2 µm over the normal quantile at 95 %
    EXPECT_NEAR(*settle.needed_uncertainty, 0.002 / 1.6448536269514722, 1e-12);
    const auto fewer = measure::settle(reading, {}, 86.099, 0.95, 8, sources);
    EXPECT_EQ(fewer.status, measure::Settling::better_gauge);
    EXPECT_FALSE(fewer.readings);
}

TEST(Settle, NamesTheCertificateThatNoCountCures)
{
    Sources sources;
    const auto settle = measure::settle(some_reading(sources), {}, 86.0985, 0.95, 50, sources);
    EXPECT_EQ(settle.status, measure::Settling::better_gauge);
    EXPECT_EQ(settle.largest_source, "bore gauge: certificate");
}

TEST(Settle, OnTheLimitAndSettled)
{
    Sources sources;
    const auto reading = some_reading(sources);
    EXPECT_EQ(measure::settle(reading, {}, 86.097, 0.95, 50, sources).status,
              measure::Settling::on_the_limit);
    EXPECT_EQ(measure::settle(reading, 85.0, 86.2, 0.95, 50, sources).status,
              measure::Settling::settled);
    EXPECT_EQ(refusal([&] { (void)measure::settle(reading, {}, 86.1, 0.95, 0, sources); }),
              "most must be between 1 and 10000, got 0.0");
}

TEST(Risk, DefinitionsOfTheGuide)
{
    // derived: double integral with SciPy and again with mpmath
    const auto risk = measure::risk(1500.0, 0.12, 0.04, 1499.8, 1500.2);
    EXPECT_NEAR(risk.consumer, 0.018942206717, 1e-11);
    EXPECT_NEAR(risk.producer, 0.037207800178, 1e-11);
    EXPECT_NEAR(risk.accepted, risk.conforming - risk.producer + risk.consumer, 1e-12);
}

TEST(Risk, WithoutLimitsEverythingIsGood)
{
    const auto risk = measure::risk(5.0, 1.0, 0.5);
    EXPECT_NEAR(risk.accepted, 1, 1e-15);
    EXPECT_NEAR(risk.producer + risk.consumer, 0, 1e-15);
}

TEST(Outliers, GrubbsAsTheHandbookHasIt)
{
    // published: NIST/SEMATECH e-Handbook, 1.3.5.17.1: G = 2.4687, critical value 2.032
    const std::array readings{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57};
    const auto found = measure::outliers(readings, 1, 0.05, measure::Tail::upper);
    EXPECT_EQ(found.flagged, std::vector{7});
    EXPECT_NEAR(found.statistics.front(), 2.4687, 0.0001);
    EXPECT_NEAR(found.critical.front(), 2.032, 0.0005);
}

TEST(GaugeStudy, SharesOfTheVarianceAddUp)
{
    const std::array readings{59.981, 59.982, 59.982, 59.982, 59.969, 59.970,
                              59.970, 59.971, 59.990, 59.990, 59.990, 59.991};
    const auto study = measure::gauge_study(readings, 3, 2, 2, 0.020);
    EXPECT_NEAR(study.contribution.at("gauge") + study.contribution.at("part"), 1, 1e-14);
    EXPECT_EQ(study.status, measure::Fitness::marginal);
    EXPECT_EQ(study.table.back().degrees_of_freedom, 8);
    EXPECT_EQ(refusal([&] { (void)measure::gauge_study(readings, 4, 2, 2); }),
              "readings must be parts x operators x repeats, 16 in all, got 12");
}

TEST(Propagate, CarriesTheDoubtOfAFormula)
{
    Sources sources;
    const auto ring = sources.named("ring");
    const std::array arguments{Quantity(4.0, 0.3, ring), Quantity(5.0, 0.2, sources.unnamed())};
    const measure::Formula product = [](std::span<const double> x) { return x[0] * x[1]; };
    const auto first = measure::propagate(product, arguments, 1, sources);
    EXPECT_NEAR(first.contribution(ring), 1.5, 1e-12);
    EXPECT_NEAR(first.variance(), 1.5 * 1.5 + 0.8 * 0.8, 1e-11);
    // derived: variance of a product of independent factors
    const auto second = measure::propagate(product, arguments, 2, sources);
    EXPECT_NEAR(second.variance(), 1.5 * 1.5 + 0.8 * 0.8 + 0.06 * 0.06, 1e-11);
}

TEST(Propagate, ColumnsAndSingleQuantitiesAgree)
{
    Sources sources;
    const auto own = sources.unnamed();
    const Eigen::ArrayXd values = Eigen::ArrayXd::LinSpaced(5, 1.0, 2.0);
    const std::array columns{measure::QuantityColumn(values, {5}, 0.01, own, false)};
    const auto column = measure::propagate_each(
        [](std::span<const Eigen::ArrayXd> x) -> Eigen::ArrayXd { return x[0].exp(); }, columns);
    for (std::size_t i = 0; i < 5; ++i) {
        const std::array one{columns[0].at(i)};
        const auto single = measure::propagate(
            [](std::span<const double> x) { return std::exp(x[0]); }, one, 1, sources);
        EXPECT_NEAR(column.at(i).variance() / single.variance(), 1, 1e-9);
    }
}

TEST(Simulate, IsTheSameWhateverElseWasDrawn)
{
    Sources sources;
    const std::array one{Quantity(1.0, 0.1, sources.unnamed())};
    const std::array two{one[0], Quantity(2.0, 0.1, sources.unnamed(4))};
    const auto alone = measure::simulate([](auto x) -> Eigen::ArrayXd { return x[0]; }, one, 2000,
                                         3, 0.95, sources);
    const auto beside = measure::simulate([](auto x) -> Eigen::ArrayXd { return x[0]; }, two, 2000,
                                          3, 0.95, sources);
    EXPECT_EQ(alone, beside);
    EXPECT_TRUE(alone.agrees || std::abs(alone.upper - 1.196) < 0.02);
}

TEST(Simulate, IsTheSameFromManyThreadsAtOnce)
{
    Sources sources;
    const std::array both{Quantity(86.1, 0.01, sources.unnamed(4)),
                          Quantity(86.05, 0.01, sources.unnamed())};
    const auto draw = [&] {
        return measure::simulate([](auto x) -> Eigen::ArrayXd { return x[0] - x[1]; }, both, 2000,
                                 3, 0.95, sources);
    };
    const auto alone = draw();
    std::vector<measure::Simulation> found(4);
    std::vector<std::thread> threads;
    threads.reserve(found.size());
    for (auto& mine : found) {
        threads.emplace_back([&] { mine = draw(); });
    }
    for (auto& thread : threads) {
        thread.join();
    }
    for (const auto& each : found) {
        EXPECT_EQ(each, alone);
    }
}
