#include <gtest/gtest.h>

#include <limits>

#include "enginewright/measure.hpp"
#include "enginewright/stats.hpp"
#include "json.hpp"
#include "refusal.hpp"

namespace enginewright {
namespace {

enum class Finish { rough, honed };

struct Ring {
    double gap = 0;
    bool operator==(const Ring&) const = default;
    static constexpr auto fields() { return std::tuple{Field{"gap", "mm", &Ring::gap, "end gap"}}; }
};

struct Sample {
    double gap = 0;
    double freedom = 0;
    std::optional<double> side{};
    Finish finish = Finish::rough;
    int number = 0;
    bool marked = false;
    std::string note{};
    std::vector<double> stations{};
    std::vector<Ring> rings{};
    std::map<std::string, double> sizes{};
    std::complex<double> heavy{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"gap", "mm", &Sample::gap, "end gap"},
            Field{"freedom", "", &Sample::freedom, "degrees of freedom"},
            Field{"side", "mm", &Sample::side, "side clearance"},
            Field{"finish", "", &Sample::finish, "how it is finished"},
            Field{"number", "", &Sample::number, "which one"},
            Field{"marked", "", &Sample::marked, "whether it bears a mark"},
            Field{"note", "", &Sample::note, "what was noted"},
            Field{"stations", "mm", &Sample::stations, "sizes along it"},
            Field{"rings", "", &Sample::rings, "its rings"},
            Field{"sizes", "mm", &Sample::sizes, "by name"},
            Field{"heavy", "g mm", &Sample::heavy, "its unbalance"},
        };
    }
    bool operator==(const Sample&) const = default;
};

}  // namespace

template <>
inline constexpr Words<2> words<Finish>{"finish", {"rough", "honed"}};

namespace {

Sample sample()
{
    return {.gap = 0.1 + 0.2,
            .freedom = std::numeric_limits<double>::infinity(),
            .side = 1.0 / 3,
            .finish = Finish::honed,
            .number = 4,
            .marked = true,
            .note = "=1+1 <b>\"",
            .stations = {86.0, 5e-324},
            .rings = {{0.3}, {0.4}},
            .sizes = {{"red", 1.985}},
            .heavy = {0.0, -2.5}};
}

TEST(RecordJson, WritesNumbersWithUnitAndAllDigits)
{
    const Json json = sample();
    EXPECT_EQ(json["gap"], "0.30000000000000004 mm");
    EXPECT_EQ(json["freedom"], nullptr);
    EXPECT_EQ(json["finish"], "honed");
    EXPECT_EQ(json["stations"][1], "5e-324 mm");
    EXPECT_EQ(json["rings"][1]["gap"], "0.4 mm");
    EXPECT_EQ(json["heavy"]["amount"], "2.5 g mm");
    EXPECT_EQ(json["heavy"]["angle"], "270.0 deg");
    EXPECT_EQ(json.begin().key(), "gap");
}

TEST(RecordJson, ComesBackBitForBit)
{
    const Json json = sample();
    EXPECT_EQ(Json::parse(json.dump()).get<Sample>(), sample());
    EXPECT_EQ(Json(Sample{}).get<Sample>(), Sample{});
}

TEST(RecordJson, ServesTheRecordsOfABench)
{
    const measure::Gauge gauge{
        .name = "micrometer 50-75", .resolution = 0.001, .correction = -0.002};
    const nlohmann::json plain = gauge;
    EXPECT_EQ(plain["correction"], "-0.002 mm");
    EXPECT_EQ(plain.get<measure::Gauge>(), gauge);
    const auto verdict = measure::Verdict{.side = measure::Side::upper};
    EXPECT_EQ(Json(verdict)["side"], "upper");
    EXPECT_EQ(Json(verdict).get<measure::Verdict>(), verdict);
}

TEST(RecordJson, RefusesNanOnTheWayOut)
{
    auto wrong = sample();
    wrong.stations[1] = std::numeric_limits<double>::quiet_NaN();
    try {
        const Json json = wrong;
        FAIL() << json;
    } catch (const std::invalid_argument& refused) {
        EXPECT_STREQ(refused.what(), "stations[1] must be a finite number, got nan");
    }
}

TEST(RecordJson, RefusesWhatDoesNotFitByTheFieldsName)
{
    const auto said = [](const char* field, Json value) -> std::string {
        Json json = sample();
        json[field] = std::move(value);
        try {
            (void)json.get<Sample>();
        } catch (const std::invalid_argument& refused) {
            return refused.what();
        }
        return "";
    };
    EXPECT_EQ(said("gap", "0.3 in"), "gap must be a number in mm, got '0.3 in'");
    EXPECT_EQ(said("gap", "0.3"), "gap must be a number in mm, got '0.3'");
    EXPECT_EQ(said("gap", "nan mm"), "gap must be a number in mm, got 'nan mm'");
    EXPECT_EQ(said("gap", 0.3), "gap must be a text with its unit, got number");
    EXPECT_EQ(said("finish", "hoend"), "finish must be one of rough, honed; got 'hoend'");
    EXPECT_EQ(said("number", 1.5), "number must be a whole number, got number");
    EXPECT_EQ(said("number", 4294967296), "number must be a whole number, got number");
    EXPECT_EQ(said("number", 18446744073709551615U), "number must be a whole number, got number");
    EXPECT_EQ(said("marked", 1), "marked must be true or false, got number");
    EXPECT_EQ(said("note", 1), "note must be a text, got number");
    EXPECT_EQ(said("stations", "86 mm"), "stations must be a list, got string");
    EXPECT_EQ(said("rings", Json::array({1})), "rings[0] must be an object, got number");
    EXPECT_EQ(said("unknown", "of another program"), "");
}

TEST(RecordJson, NamesLineAndColumnOfDamage)
{
    try {
        (void)parsed_json("{\n\"a\": 1,\n}", "job.json");
        FAIL();
    } catch (const std::invalid_argument& refused) {
        EXPECT_STREQ(refused.what(), "job.json must be JSON, it is damaged near line 3, column 1");
    }
}

TEST(RecordJson, AnIntervalComesBackAndHasTwoEnds)
{
    stats::Trend trend;
    trend.slope_interval = {-0.25, 0.5};
    const Json json(trend);
    EXPECT_EQ(json.get<stats::Trend>(), trend);
    auto three = json;
    three["slope_interval"].push_back(1.0);
    EXPECT_EQ(refusal([&] { (void)three.get<stats::Trend>(); }),
              "slope_interval must be a list of 2, got array");
    stats::Capability able;
    able.cpk_interval = {1.1, 1.4};
    EXPECT_EQ(Json(able).get<stats::Capability>(), able);
}

TEST(RecordJson, RefusesANumberBeyondEveryDouble)
{
    EXPECT_EQ(refusal([] { (void)parsed_json(R"({"gap": 1e999})", "job.json"); }),
              "job.json must hold numbers below 1.8e308, got '1e999'");
}

TEST(RecordJson, RefusesNestingBeyondAnyFile)
{
    const std::string deep(100000, '[');
    EXPECT_THROW((void)parsed_json(deep, "job.json"), std::invalid_argument);
    EXPECT_EQ(parsed_json(R"({"a": "[[[\\\"[[["})", "job.json")["a"], "[[[\\\"[[[");
    const std::string allowed = std::string(64, '[') + std::string(64, ']');
    EXPECT_NO_THROW((void)parsed_json(allowed, "job.json"));
}

}  // namespace
}  // namespace enginewright
