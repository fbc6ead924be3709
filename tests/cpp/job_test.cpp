#include "enginewright/job.hpp"

#include <gtest/gtest.h>

#include <deque>
#include <map>
#include <random>

#include "enginewright/check.hpp"

namespace enginewright::job {
namespace {

using table::Findings;

/// Readings made line by line, owned here; `view` gives them to the core.
class Bench {
  public:
    struct Line {
        std::string job = "1", stage = "as received", feature{}, part{}, station{}, axis{},
                    quantity = "diameter", unit = "mm", observation{}, gauge{};
        int number = 0;
        double value = 0, uncertainty = -1, temperature = -1000;
    };
    void add(const Line& line)
    {
        put(job_, line.job);
        put(engine_, "Linnet 2.0");
        put(stage_, line.stage);
        put(feature_, line.feature);
        put(part_, line.part);
        put(station_, line.station);
        put(axis_, line.axis);
        put(quantity_, line.quantity);
        put(unit_, line.unit);
        put(observation_, line.observation);
        put(gauge_, line.gauge);
        number_.push_back(line.number);
        mark(number_present_, line.number > 0);
        value_.push_back(line.value);
        mark(value_present_, line.observation.empty());
        uncertainty_.push_back(line.uncertainty);
        mark(uncertainty_present_, line.uncertainty >= 0);
        temperature_.push_back(line.temperature);
        mark(temperature_present_, line.temperature > -1000);
        ++rows_;
    }
    table::ReadingsView view()
    {
        table::ReadingsView v;
        v.rows = rows_;
        v.job = job_.view();
        v.engine = engine_.view();
        v.stage = stage_.view();
        v.feature = feature_.view();
        v.part = part_.view();
        v.station = station_.view();
        v.axis = axis_.view();
        v.quantity = quantity_.view();
        v.unit = unit_.view();
        v.observation = observation_.view();
        v.gauge = gauge_.view();
        v.number = {number_, {number_present_.data(), 0}};
        v.value = {value_, {value_present_.data(), 0}};
        v.uncertainty = {uncertainty_, {uncertainty_present_.data(), 0}};
        v.temperature = {temperature_, {temperature_present_.data(), 0}};
        return v;
    }

  private:
    struct Words {
        std::vector<std::int32_t> codes;
        std::deque<std::string> texts;
        std::vector<std::string_view> words;
        table::WordView view() { return {codes, words}; }
    };
    static void put(Words& column, const std::string& word)
    {
        if (word.empty()) {
            column.codes.push_back(-1);
            return;
        }
        for (std::size_t i = 0; i < column.words.size(); ++i) {
            if (column.words[i] == word) {
                column.codes.push_back(static_cast<std::int32_t>(i));
                return;
            }
        }
        column.texts.push_back(word);
        column.words.push_back(column.texts.back());
        column.codes.push_back(static_cast<std::int32_t>(column.words.size() - 1));
    }
    void mark(std::vector<std::uint8_t>& bits, bool present) const
    {
        if (rows_ % 8 == 0) {
            bits.push_back(0);
        }
        if (present) {
            bits.back() = static_cast<std::uint8_t>(bits.back() | (1U << (rows_ % 8)));
        }
    }
    std::size_t rows_ = 0;
    Words job_, engine_, stage_, feature_, part_, station_, axis_, quantity_, unit_, observation_,
        gauge_;
    std::vector<std::int32_t> number_;
    std::vector<double> value_, uncertainty_, temperature_;
    std::vector<std::uint8_t> number_present_, value_present_, uncertainty_present_,
        temperature_present_;
};

table::Limit limit(std::string feature, std::string quantity, std::optional<double> lower,
                   std::optional<double> upper, std::string kind = "")
{
    table::Limit row;
    row.feature = std::move(feature);
    row.quantity = std::move(quantity);
    row.lower = lower;
    row.upper = upper;
    row.kind = std::move(kind);
    row.unit = "mm";
    row.source = "Linnet 2.0 data card (invented)";
    row.place = "limit of " + row.feature;
    return row;
}

std::string check_of(const Findings& f, std::size_t i)
{
    return f.check.words[static_cast<std::size_t>(f.check.codes[i])];
}

std::string verdict_of(const Findings& f, std::size_t i)
{
    return f.verdict.words[static_cast<std::size_t>(f.verdict.codes[i])];
}

std::vector<std::size_t> rows_of(const Findings& f, const std::string& check)
{
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < f.rows; ++i) {
        if (check_of(f, i) == check) {
            rows.push_back(i);
        }
    }
    return rows;
}

TEST(Inspect, JudgesAReadingAgainstItsWearLimitAndFallsBackToNew)
{
    Bench bench;
    bench.add({.feature = "bore", .number = 1, .value = 86.12, .uncertainty = 0.004});
    bench.add({.feature = "pin", .number = 1, .value = 20.0, .uncertainty = 0.004});
    table::Limits limits;
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.10, "wear"),
                   limit("bore", "diameter", 86.0, 86.02, "new"),
                   limit("pin", "diameter", 19.9, 20.1, "new")};
    const auto found = inspect(bench.view(), limits);
    const auto rows = rows_of(found, "limits");
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(verdict_of(found, rows[0]), "outside");
    EXPECT_NEAR(found.margin.values[rows[0]], -0.02, 1e-12);
    EXPECT_NEAR(found.amount.values[rows[0]], 0.02, 1e-12);
    EXPECT_EQ(found.kind.words[static_cast<std::size_t>(found.kind.codes[rows[1]])], "new");
    EXPECT_EQ(verdict_of(found, rows[1]), "within");
}

TEST(Inspect, TakesTheMostSpecificLimit)
{
    Bench bench;
    bench.add({.feature = "bore", .number = 3, .value = 86.05, .uncertainty = 0.002});
    table::Limits limits;
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.10, "wear"),
                   limit("bore", "diameter", std::nullopt, 86.03, "wear")};
    limits.rows[1].number = 3;
    const auto found = inspect(bench.view(), limits);
    EXPECT_EQ(verdict_of(found, 0), "outside");
}

TEST(Inspect, RefusesTwoLimitsThatFitEquallyWellAndDiffer)
{
    Bench bench;
    bench.add({.feature = "bore", .station = "top", .number = 3, .value = 86.05});
    table::Limits limits;
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.10, "wear"),
                   limit("bore", "diameter", std::nullopt, 86.03, "wear")};
    limits.rows[0].number = 3;
    limits.rows[1].station = "top";
    EXPECT_THROW(inspect(bench.view(), limits), std::invalid_argument);
}

TEST(Inspect, LeavesOutTheCertificateFromADifferenceOfTwoReadings)
{
    Bench bench;
    for (const auto* axis : {"thrust", "along"}) {
        bench.add({.feature = "bore",
                   .station = "top",
                   .axis = axis,
                   .gauge = "bore gauge 2",
                   .number = 1,
                   .value = std::string(axis) == "thrust" ? 86.050 : 86.020});
    }
    table::Gauges gauges;
    gauges.rows = {{.gauge = {.name = "bore gauge 2",
                              .resolution = 0.001,
                              .calibration_uncertainty = 0.02,
                              .coverage_factor = 2}}};
    table::Limits limits;
    limits.rows = {limit("bore", "ovality", std::nullopt, 0.028)};
    const auto found = inspect(bench.view(), limits, gauges);
    const auto rows = rows_of(found, "ovality");
    ASSERT_EQ(rows.size(), 1U);
    EXPECT_NEAR(found.value.values[rows[0]], 0.030, 1e-12);
    // Only the resolution of both readings is left: 1.96 * sqrt(2) * 0.001 / sqrt(12).
    EXPECT_NEAR(found.uncertainty.values[rows[0]], 1.959964 * std::sqrt(2.0 / 12.0) * 0.001, 1e-9);
    EXPECT_EQ(verdict_of(found, rows[0]), "outside");
    // The reading itself keeps the certificate whole.
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.06)};
    const auto sizes = inspect(bench.view(), limits, gauges);
    EXPECT_NEAR(sizes.uncertainty.values[rows_of(sizes, "limits")[0]],
                1.959964 * std::sqrt(0.01 * 0.01 + 0.001 * 0.001 / 12), 1e-7);
}

TEST(Inspect, CallsAFigureUnprovenWhenAPlaceOfTheSetIsMissing)
{
    Bench bench;
    for (const int number : {1, 2}) {
        for (const auto* axis : {"thrust", "along"}) {
            if (number == 2 && std::string(axis) == "along") {
                continue;
            }
            bench.add({.feature = "bore",
                       .station = "top",
                       .axis = axis,
                       .number = number,
                       .value = 86.01,
                       .uncertainty = 0.001});
        }
    }
    const auto found = inspect(bench.view(), {});
    const auto rows = rows_of(found, "ovality");
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(verdict_of(found, rows[0]), "unlimited");
    EXPECT_EQ(verdict_of(found, rows[1]), "unproven");
    EXPECT_NE(found.reason[rows[1]].find("along"), std::string_view::npos);
}

TEST(Inspect, PlansOneUndersizeForTheSet)
{
    Bench bench;
    const std::map<int, double> sizes{{1, 59.94}, {2, 59.80}, {3, 59.95}};
    for (const auto& [number, size] : sizes) {
        bench.add(
            {.feature = "main journal", .number = number, .value = size, .uncertainty = 0.002});
    }
    table::Limits limits;
    limits.rows = {limit("main journal", "diameter", 59.93, std::nullopt, "wear"),
                   limit("main journal", "diameter", 59.97, 59.99, "new")};
    table::EngineCard card;
    card.name = "Linnet 2.0";
    card.undersizes["main journal"] = {0.25, 0.50};
    card.grinding_allowance = 0.03;
    limits.cards["Linnet 2.0"] = card;
    const auto found = inspect(bench.view(), limits);
    const auto rows = rows_of(found, "regrind");
    ASSERT_EQ(rows.size(), 1U);
    // 59.80 - 0.03 = 59.77 is the least clean-up; 0.25 under aims at 59.73, which is below it.
    EXPECT_DOUBLE_EQ(found.value.values[rows[0]], 0.25);
    EXPECT_EQ(verdict_of(found, rows[0]), "unlimited");
    const std::string next(found.next[rows[0]]);
    EXPECT_NE(next.find("59.720-59.740 mm (0.25 under)"), std::string::npos) << next;
    EXPECT_NE(next.find("main journal 2 decides"), std::string::npos) << next;
}

TEST(Inspect, SaysWhatItCouldNotCheck)
{
    Bench bench;
    bench.add({.feature = "main journal", .number = 1, .value = 59.95, .uncertainty = 0.002});
    const auto found = inspect(bench.view(), {});
    bool said = false;
    for (const auto& line : found.not_checked.lines()) {
        said |= line.check == "bearing clearance";
    }
    EXPECT_TRUE(said);
}

TEST(Inspect, CarriesARingGapToThePlannedBore)
{
    Bench bench;
    bench.add({.feature = "bore", .number = 1, .value = 86.15, .uncertainty = 0.002});
    bench.add({.feature = "ring",
               .part = "top ring",
               .quantity = "gap",
               .number = 1,
               .value = 0.30,
               .uncertainty = 0.0});
    table::Limits limits;
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.10, "wear"),
                   limit("piston", "diameter", 85.95, 85.97, "new"),
                   limit("piston", "clearance", 0.03, 0.05, "new"),
                   limit("ring", "gap", 0.30, 0.60)};
    table::EngineCard card;
    card.name = "Linnet 2.0";
    card.oversizes = {0.25, 0.50};
    card.hone_allowance = 0.06;
    limits.cards["Linnet 2.0"] = card;
    const auto found = inspect(bench.view(), limits);
    ASSERT_EQ(rows_of(found, "rebore").size(), 1U);
    const auto rows = rows_of(found, "ring gap");
    ASSERT_EQ(rows.size(), 1U);
    // Finish bore 85.96 + 0.25 + 0.04 = 86.25; common practice: "3.14 of gap for 1 of bore".
    EXPECT_NEAR(found.value.values[rows[0]], 0.30 + 3.14159265 * (86.25 - 86.15), 1e-7);
    EXPECT_EQ(rows_of(found, "limits").size(), 1U) << "the gap is judged once, as carried";
}

TEST(Inspect, NamesTheBearingThatAJournalLacks)
{
    Bench bench;
    for (const int number : {1, 2}) {
        bench.add(
            {.feature = "main journal", .number = number, .value = 59.95, .uncertainty = 0.002});
    }
    bench.add({.feature = "main bearing", .number = 1, .value = 60.0, .uncertainty = 0.002});
    const auto found = inspect(bench.view(), {});
    bool said = false;
    for (const auto& line : found.not_checked.lines()) {
        said |= line.missing == "the diameter of main bearing 2";
    }
    EXPECT_TRUE(said);
}

TEST(Inspect, LetsTheDoubtOfOneBoreDropOutBetweenItsTwoRings)
{
    Bench bench;
    bench.add({.feature = "bore", .number = 1, .value = 86.15, .uncertainty = 0.02});
    for (const auto* part : {"top ring", "second ring"}) {
        bench.add({.feature = "ring",
                   .part = part,
                   .quantity = "gap",
                   .number = 1,
                   .value = 0.30,
                   .uncertainty = 0.01});
    }
    table::Limits limits;
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.10, "wear"),
                   limit("piston", "diameter", 85.95, 85.97, "new"),
                   limit("piston", "clearance", 0.03, 0.05, "new")};
    table::EngineCard card;
    card.name = "Linnet 2.0";
    card.oversizes = {0.25, 0.50};
    limits.cards["Linnet 2.0"] = card;
    const auto found = inspect(bench.view(), limits);
    const auto rows = rows_of(found, "second ring");
    ASSERT_EQ(rows.size(), 1U);
    // Two gaps of standard uncertainty 0.005 mm; the bore carries both and is the same bore.
    EXPECT_NEAR(found.uncertainty.values[rows[0]], 1.959964 * std::sqrt(2.0) * 0.005, 1e-8);
    EXPECT_NE(found.next[rows[0]].find("Gap the new second ring of cylinder 1"),
              std::string_view::npos);
}

TEST(Inspect, KeepsAScoredPartFromBeingWithin)
{
    Bench bench;
    bench.add({.feature = "main journal",
               .station = "front",
               .number = 1,
               .value = 59.98,
               .uncertainty = 0.001});
    bench.add({.feature = "main journal", .station = "back", .observation = "scored", .number = 1});
    table::Limits limits;
    limits.rows = {limit("main journal", "diameter", 59.90, 60.0)};
    const auto found = inspect(bench.view(), limits);
    for (const auto i : rows_of(found, "limits")) {
        EXPECT_EQ(verdict_of(found, i), "unproven");
        EXPECT_NE(found.reason[i].find("scored"), std::string_view::npos);
    }
}

TEST(Inspect, BringsAWarmPistonBackToTwentyDegrees)
{
    Bench bench;
    bench.add({.feature = "piston", .number = 1, .value = 86.0185, .temperature = 30});
    table::Limits limits;
    limits.rows = {limit("piston", "diameter", 85.9, 86.1)};
    limits.cards["Linnet 2.0"].name = "Linnet 2.0";
    limits.cards["Linnet 2.0"].materials["piston"] = "cast aluminium";
    const auto found = inspect(bench.view(), limits);
    // 86 mm of aluminium grow by 86 * 21.5e-6 * 10 = 0.0185 mm.
    EXPECT_NEAR(found.value.values[0], 86.0, 1e-4);
}

/// A year of jobs with everything in them, from one seed.
Bench many_jobs(int jobs, unsigned seed)
{
    Bench bench;
    std::mt19937 random(seed);
    std::normal_distribution<double> spread(0.0, 0.03);
    for (int j = 0; j < jobs; ++j) {
        const auto job = "J" + std::to_string(j);
        for (int n = 1; n <= 4; ++n) {
            for (const auto* station : {"top", "middle", "bottom"}) {
                for (const auto* axis : {"thrust", "along"}) {
                    bench.add({.job = job,
                               .feature = "bore",
                               .station = station,
                               .axis = axis,
                               .gauge = "bore gauge 2",
                               .number = n,
                               .value = 86.05 + spread(random)});
                }
            }
            bench.add({.job = job,
                       .feature = "piston",
                       .number = n,
                       .value = 85.96 + spread(random) / 10,
                       .uncertainty = 0.003});
            bench.add({.job = job,
                       .feature = "ring",
                       .part = "top ring",
                       .quantity = "gap",
                       .number = n,
                       .value = 0.4 + spread(random),
                       .uncertainty = 0.01});
        }
    }
    return bench;
}

TEST(Inspect, DoesNotDependOnTheNumberOfThreads)
{
    auto bench = many_jobs(40, 7);
    table::Limits limits;
    limits.rows = {limit("bore", "diameter", std::nullopt, 86.10, "wear"),
                   limit("bore", "diameter", 86.0, 86.02, "new"),
                   limit("piston", "clearance", 0.03, 0.12)};
    const auto one = inspect(bench.view(), limits, {}, {.threads = 1});
    for (const int threads : {2, 7, 64}) {
        const auto many = inspect(bench.view(), limits, {}, {.threads = threads});
        ASSERT_EQ(many.rows, one.rows);
        EXPECT_EQ(many.verdict.codes, one.verdict.codes);
        EXPECT_EQ(many.reading_rows, one.reading_rows);
        EXPECT_EQ(many.next.bytes, one.next.bytes);
        for (std::size_t i = 0; i < one.rows; ++i) {
            EXPECT_TRUE(std::isnan(one.value.values[i]) ||
                        one.value.values[i] == many.value.values[i]);
        }
    }
}

TEST(Inspect, LeavesNoReadingWithoutAFinding)
{
    auto bench = many_jobs(5, 11);
    const auto view = bench.view();
    for (const bool with_limits : {false, true}) {
        table::Limits limits;
        if (with_limits) {
            limits.rows = {limit("bore", "diameter", std::nullopt, 86.06, "wear")};
        }
        const auto found = inspect(view, limits);
        std::vector<bool> seen(view.rows, false);
        for (const auto row : found.reading_rows) {
            seen[static_cast<std::size_t>(row)] = true;
        }
        EXPECT_EQ(std::count(seen.begin(), seen.end(), true),
                  static_cast<std::ptrdiff_t>(view.rows));
    }
}

TEST(Inspect, NumbersTheFindingsWithinTheirJobInTheOrderOfTheChecks)
{
    auto bench = many_jobs(3, 3);
    const auto found = inspect(bench.view(), {});
    for (std::size_t i = 1; i < found.rows; ++i) {
        if (found.job.codes[i] == found.job.codes[i - 1]) {
            EXPECT_EQ(found.finding[i], found.finding[i - 1] + 1);
            EXPECT_GE(found.check.codes[i], found.check.codes[i - 1]);
        } else {
            EXPECT_EQ(found.finding[i], 0);
        }
    }
}

TEST(Join, PutsACustomFindingBehindThoseOfItsJob)
{
    auto bench = many_jobs(2, 5);
    const auto view = bench.view();
    const auto built = inspect(view, {});
    const CustomFinding made{.check = "shop.look",
                             .rows = {0, 1},
                             .value = 0.07,
                             .uncertainty = 0.001,
                             .upper = 0.05,
                             .unit = "mm",
                             .next = "Look again."};
    const auto all = join(built, view, std::span(&made, 1));
    EXPECT_EQ(all.rows, built.rows + 1);
    const auto rows = rows_of(all, "shop.look");
    ASSERT_EQ(rows.size(), 1U);
    EXPECT_EQ(verdict_of(all, rows[0]), "outside");
    EXPECT_EQ(all.job.codes[rows[0]], view.job.code(0));
    EXPECT_EQ(all.next[rows[0]], "Look again.");
    EXPECT_NE(all.job.codes[rows[0] + 1], view.job.code(0)) << "it is the last of its job";
}

TEST(Checks, AreDescribedInTheOrderOfTheFindings)
{
    const auto list = checks();
    ASSERT_EQ(list.size(), 17U);
    EXPECT_EQ(list.front().check, "limits");
    for (const auto& each : list) {
        EXPECT_FALSE(each.rule.empty()) << each.check;
        EXPECT_FALSE(each.source.empty()) << each.check;
    }
}

}  // namespace
}  // namespace enginewright::job
