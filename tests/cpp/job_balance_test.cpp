#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <list>
#include <numbers>

#include "enginewright/job/assembly.hpp"

namespace enginewright::job {
namespace {

using balance::Vector;

/// Spins written one after the other, owned here; `view` gives them to the core.
class Machine {
  public:
    /// One spin: amount and phase of both planes.
    void spin(const std::string& stage, int repeat, Vector left, Vector right)
    {
        for (const auto& [plane, vector] :
             {std::pair{"left plane", left}, std::pair{"right plane", right}}) {
            put(stage, plane, repeat, "amount", "g mm", std::abs(vector));
            put(stage, plane, repeat, "phase", "deg", std::arg(vector) * 180 / std::numbers::pi);
        }
    }
    table::ReadingsView view()
    {
        table::ReadingsView v;
        v.rows = value_.size();
        v.job = zeros({"C-1"});
        v.engine = zeros({"Curlew V8"});
        v.feature = zeros({"rotor"});
        v.stage = stage_.view();
        v.station = station_.view();
        v.quantity = quantity_.view();
        v.unit = unit_.view();
        v.repeat = {repeat_, {}};
        v.value = {value_, {}};
        return v;
    }

  private:
    struct Words {
        std::vector<std::int32_t> codes;
        std::vector<std::string> texts;
        std::vector<std::string_view> words;
        void put(const std::string& word)
        {
            const auto at = std::find(texts.begin(), texts.end(), word);
            codes.push_back(static_cast<std::int32_t>(at - texts.begin()));
            if (at == texts.end()) {
                texts.push_back(word);
            }
        }
        table::WordView view()
        {
            words.assign(texts.begin(), texts.end());
            return {codes, words};
        }
    };
    void put(const std::string& stage, const char* plane, int repeat, const char* quantity,
             const char* unit, double value)
    {
        stage_.put(stage);
        station_.put(plane);
        quantity_.put(quantity);
        unit_.put(unit);
        repeat_.push_back(repeat);
        value_.push_back(value);
    }
    table::WordView zeros(const std::string& word)
    {
        auto& made = constant_.emplace_back();
        made.texts = {word};
        made.codes.assign(value_.size(), 0);
        return made.view();
    }
    Words stage_, station_, quantity_, unit_;
    std::list<Words> constant_;
    std::vector<std::int32_t> repeat_;
    std::vector<double> value_;
};

table::Limits card(const std::string& rotor)
{
    return table::limits_from_json(R"({"limit": [{"feature": "rotor", "quantity": "residual",
        "upper": "40 g mm", "source": "invented"}],
        "engine": [{"name": "Curlew V8", "rotor": )" +
                                   rotor + "}]}");
}

TEST(JobBalance, CarriesTheMeanToTheBearings)
{
    Machine machine;
    machine.spin("bare crank", 1, {58, 0}, {0, 20});
    machine.spin("bare crank", 2, {62, 0}, {0, 20});
    const auto limits = card(R"({"zero": 0, "counted": "clockwise", "planes": ["100 mm", "300 mm"],
                                 "tolerance_planes": ["0 mm", "400 mm"]})");
    const auto rotors = assemblies(machine.view(), limits);
    ASSERT_EQ(rotors.size(), 1U);
    const auto& stage = rotors[0].stages.at(0);
    // Lever rule: a plane at a quarter of the span gives three quarters to the near bearing.
    EXPECT_NEAR(std::abs(stage.residual[0] - Vector(45, 5)), 0, 1e-9);
    EXPECT_NEAR(std::abs(stage.residual[1] - Vector(15, 15)), 0, 1e-9);
    // Left: 58 and 62 scatter by sqrt(8 / 2) per axis, their mean by sqrt(2) of that less: 1.414;
    // the right plane repeats exactly.
    EXPECT_NEAR(stage.uncertainty[0], 0.75 * std::sqrt(2.0), 1e-9);
    EXPECT_NEAR(stage.uncertainty[1], 0.25 * std::sqrt(2.0), 1e-9);
    EXPECT_EQ(stage.verdict[0], Standing::outside);
    EXPECT_EQ(stage.verdict[1], Standing::within);
}

TEST(JobBalance, BlamesThePartAndNotTheCrank)
{
    Machine machine;
    machine.spin("bare crank", 1, {10, 0}, {5, 0});
    machine.spin("pulley", 1, {10, 60}, {5, 0});
    auto limits = card(R"({"zero": 0, "counted": "clockwise"})");
    limits.rows.push_back({.stage = "pulley",
                           .feature = "rotor",
                           .quantity = "contribution",
                           .upper = 20.0,
                           .unit = "g·mm",
                           .source = "invented"});
    const auto rotors = assemblies(machine.view(), limits);
    const auto& parts = rotors.at(0).parts;
    ASSERT_EQ(parts.size(), 2U);
    EXPECT_EQ(parts[0].advice, balance::StageAdvice::accept);
    EXPECT_EQ(parts[1].advice, balance::StageAdvice::correct_part);
    EXPECT_NEAR(parts[1].amount[0], 60, 1e-9);
}

TEST(JobBalance, RefusesAnglesThatNobodyCanRead)
{
    Machine machine;
    machine.spin("bare crank", 1, {1, 0}, {1, 0});
    const auto found = inspect(machine.view(), card(R"({"zero": 0})"));
    ASSERT_EQ(found.rows, 1U);
    EXPECT_NE(found.reason[0].find("rotor.counted"), std::string_view::npos);
}

}  // namespace
}  // namespace enginewright::job
