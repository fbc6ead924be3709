#include <gtest/gtest.h>

#include "enginewright/table.hpp"
#include "json.hpp"
#include "refusal.hpp"

namespace enginewright::table {
namespace {

std::string said_of_limits(const std::string& text)
{
    return refusal([&] { (void)limits_from_json(text, "limits.toml"); });
}

const std::string good_row = R"({"feature": "bore", "quantity": "diameter", "kind": "wear",
                                 "upper": "86.10 mm", "source": "card, line 12, invented"})";

Limits limits_of(const std::string& row)
{
    return limits_from_json(R"({"limit": [)" + row + "]}", "limits.toml");
}

std::string said_of_row(const std::string& row)
{
    return said_of_limits(R"({"limit": [)" + row + "]}");
}

TEST(Limits, AreReadInCanonicalUnits)
{
    const auto limits = limits_of(R"({"feature": "ring", "quantity": "gap", "lower": "12 thou",
        "upper": "0.5 mm", "number": 2, "part": "top ring", "source": "shop"})");
    const auto& row = limits.rows.at(0);
    EXPECT_DOUBLE_EQ(*row.lower, 0.3048);
    EXPECT_EQ(row.upper, 0.5);
    EXPECT_EQ(row.unit, "mm");
    EXPECT_EQ(row.given_unit, "thou");
    EXPECT_EQ(row.number, 2);
    EXPECT_EQ(row.place, "limits.toml, limit 1");
}

TEST(Limits, TakeNumbersBesideTheirUnit)
{
    const auto row = limits_of(R"({"quantity": "gap", "lower": 12, "upper": "20",
                                   "unit": "thou", "source": "shop"})")
                         .rows.at(0);
    EXPECT_DOUBLE_EQ(*row.lower, 0.3048);
    EXPECT_DOUBLE_EQ(*row.upper, 0.508);
    EXPECT_EQ(row.given_unit, "thou");
}

TEST(Limits, ComeBackFromJsonBitForBit)
{
    const auto limits = limits_from_json(R"({"limit": [
        {"quantity": "gap", "lower": "1.1 thou", "upper": "0.1 in", "target": "7 thou",
         "number": 3, "axis": "x", "source": "a", "provenance": "from memory"},
        {"quantity": "ratio", "lower": "9.3 1", "source": "b"}],
        "engine": [{"name": "Linnet 2.0", "bore": "86.00 mm", "gasket_thickness": "47 thou",
                    "shelf": {"tappet shim": {"2.20 mm": 2}}}]})",
                                         "limits.toml");
    EXPECT_EQ(limits_from_json(limits_to_json(limits), "elsewhere"), limits);
}

TEST(Limits, AreRefusedForEachFault)
{
    const auto row = [](const std::string& more) {
        return R"({"quantity": "gap", "source": "shop", )" + more + "}";
    };
    EXPECT_EQ(said_of_row(good_row), "not refused");
    EXPECT_EQ(said_of_row(row(R"("lower": "0.5 mm", "upper": "0.3 mm")")),
              "limits.toml, limit 1: upper must be at least lower, 0.5 mm, got 0.3 mm");
    EXPECT_EQ(said_of_row(row(R"("upper": "0.3 mm", "target": "0.4 mm")")),
              "limits.toml, limit 1: target must be at most upper, 0.3 mm, got 0.4 mm");
    EXPECT_EQ(said_of_row(row(R"("lower": "0.3 mm", "target": "0.2 mm")")),
              "limits.toml, limit 1: target must be at least lower, 0.3 mm, got 0.2 mm");
    EXPECT_EQ(said_of_row(row(R"("kind": "new")")),
              "limits.toml, limit 1: lower, upper or target must be given, all are missing");
    EXPECT_EQ(said_of_row(row(R"("lower": 0.5)")),
              "limits.toml, limit 1: lower must have its unit, as in \"0.5 mm\", got 0.5");
    EXPECT_EQ(said_of_row(row(R"("lowr": "0.5 mm", "upper": "1 mm")")),
              "limits.toml, limit 1: unknown key 'lowr'; did you mean lower?");
    EXPECT_EQ(said_of_row(row(R"("lower": "0.5 mm", "kind": "worn")")),
              "limits.toml, limit 1: kind must be one of new, wear, machining, repair size; got "
              "'worn'");
    EXPECT_EQ(said_of_row(row(R"("lower": "0.5 mm", "number": 0)")),
              "limits.toml, limit 1: number must be a whole number of at least 1, got 0");
    EXPECT_NE(said_of_row(row(R"("lower": "5 g")")), "not refused");
    EXPECT_EQ(said_of_row(R"({"quantity": "gap", "lower": "0.5 mm"})"),
              "limits.toml, limit 1: source must be given: where the figure is from");
}

TEST(Limits, NameAllTheirFaultsAtOnce)
{
    const auto said = said_of_limits(R"({"limits": [], "limit": [
        {"quantity": "gap", "lower": "0.5 mm", "upper": "0.3 mm", "source": "x"},
        {"quantity": "gap", "colour": "red"}]})");
    EXPECT_EQ(std::count(said.begin(), said.end(), '\n') + 1, 5) << said;
    EXPECT_NE(said.find("unknown key 'limits'; did you mean limit?"), std::string::npos);
}

TEST(Limits, ThatContradictEachOtherAreBothNamed)
{
    const auto other = [](const std::string& upper, const std::string& kind) {
        return R"({"feature": "bore", "quantity": "diameter", "kind": ")" + kind +
               R"(", "upper": ")" + upper + R"(", "source": "y"})";
    };
    EXPECT_EQ(said_of_row(good_row + "," + other("86.20 mm", "wear")),
              "limits.toml, limit 2: figures must be those of limits.toml, limit 1, which is for "
              "the same readings");
    EXPECT_EQ(said_of_row(good_row + "," + other("86.1 mm", "wear")), "not refused");
    EXPECT_EQ(said_of_row(good_row + "," + other("86.02 mm", "new")), "not refused");
}

TEST(Limits, SayWhereDamagedTextIsDamaged)
{
    EXPECT_EQ(said_of_limits("{\"limit\": [\n  {\"feature\" \"bore\"}]}"),
              "limits.toml must be JSON, it is damaged near line 2, column 19");
    EXPECT_NE(said_of_limits("[]"), "not refused");
    EXPECT_NE(said_of_limits(R"({"schema": "enginewright.limits/2"})"), "not refused");
    EXPECT_NE(said_of_limits(R"({"limit": {"feature": "bore"}})"), "not refused");
}

std::string card(const std::string& more)
{
    return R"({"engine": [{"name": "Linnet 2.0", )" + more + "}]}";
}

TEST(EngineCard, IsReadWithAllItsKeys)
{
    const auto limits = limits_from_json(card(R"(
        "layout": "inline 4", "cylinders": 4, "firing_order": [1, 3, 4, 2], "bore": "86.00 mm",
        "ring_duty": "road, naturally aspirated",
        "undersizes": {"main journal": ["0.25 mm", "0.50 mm"]}, "oversizes": ["10 thou"],
        "materials": {"piston": "cast aluminium"}, "journals": {"main journal": 5},
        "grinding_allowance": "0.03 mm", "aim": 0.5, "rod_pads": ["-28 mm", "158 mm"],
        "shelf": {"tappet shim": {"2.20 mm": 2, "2.25 mm": 5},
                  "main shell": {"red": {"wall": "1.985 mm", "pieces": 4}}},
        "chamber": ["44.1 cc", "44.3 cc"], "altitude": "120 m", "inlet_full_lift": "108 °",
        "adjuster": {"sprocket_teeth": 36}, "rotor": {"seen_from": "front"},
        "site": [{"name": "web 1", "kind": "drill"}], "source": "invented")"));
    const auto& linnet = limits.cards.at("Linnet 2.0");
    EXPECT_EQ(linnet.cylinders, 4);
    EXPECT_EQ(linnet.firing_order, (std::vector{1, 3, 4, 2}));
    EXPECT_EQ(linnet.bore, 86.0);
    EXPECT_EQ(linnet.undersizes.at("main journal"), (std::vector{0.25, 0.50}));
    EXPECT_DOUBLE_EQ(linnet.oversizes.at(0), 0.254);
    EXPECT_EQ(linnet.journals.at("main journal"), 5);
    EXPECT_EQ(linnet.aim, 0.5);
    EXPECT_FALSE(linnet.hone_allowance.has_value());
    const auto figures = Json::parse(card_figures(linnet));
    EXPECT_EQ(figures["altitude"], 120.0);
    EXPECT_EQ(figures["inlet_full_lift"], 108.0);
    EXPECT_EQ(figures["chamber"][1], 44.3);
    EXPECT_EQ(figures["shelf"]["tappet shim"][1]["pieces"], 5);
    EXPECT_EQ(figures["shelf"]["main shell"]["red"]["wall"], 1.985);
    EXPECT_EQ(figures["adjuster"]["sprocket_teeth"], 36);
}

TEST(EngineCard, IsRefusedForEachFault)
{
    const auto said = [](const std::string& more) { return said_of_limits(card(more)); };
    const std::string here = "limits.toml, engine Linnet 2.0: ";
    EXPECT_EQ(said(R"("stroek": "86 mm")"), here + "unknown key 'stroek'; did you mean stroke?");
    EXPECT_EQ(said(R"("bore": 86.0)"),
              here + "bore must have its unit, as in \"86.0 mm\", got 86.0");
    EXPECT_EQ(said(R"("bore": "-86 mm")"), here + "bore must be above 0 mm, got -86.0");
    EXPECT_EQ(said(R"("oversizes": ["0.5 mm", "0.25 mm"])"),
              here + "oversizes must rise strictly from above 0 mm, got 0.25 after 0.5");
    EXPECT_EQ(said(R"("cylinders": 4, "firing_order": [1, 3, 3, 2])"),
              here + "firing_order must name each cylinder once, from 1 to 4");
    EXPECT_EQ(said(R"("aim": 2)"), here + "aim must be between 0 and 1, got 2");
    EXPECT_EQ(said(R"("wear_side": "left")"),
              here + "wear_side must be one of even; one side, got 'left'");
    EXPECT_NE(said(R"("ring_duty": "road, natural")"), "not refused");
    EXPECT_EQ(said(R"("adjuster": {"tooth_jump": 2})"),
              here + "adjuster has an unknown key 'tooth_jump'; did you mean tooth_jumps?");
    EXPECT_EQ(said(R"("shelf": {"main shell": {"red": {"wall": "2 mm"}}})"),
              here + "shelf.main shell.red must have wall and pieces");
    EXPECT_EQ(said_of_limits(R"({"engine": [{"name": "A"}, {"name": "A"}]})"),
              "limits.toml, engine A: name must stand once, got it twice");
    EXPECT_EQ(said_of_limits(R"({"engine": [{"bore": "1 mm"}]})"),
              "limits.toml, engine 1: name must be given, it is missing");
}

TEST(EngineCard, KnowsTheKeyOfEveryMember)
{
    std::vector<std::string> keys;
    for (const auto& each : card_keys()) {
        keys.push_back(each.key);
    }
    std::sort(keys.begin(), keys.end());
    EXPECT_EQ(std::adjacent_find(keys.begin(), keys.end()), keys.end());
    for (const char* key : {"bore", "shelf", "aim", "inlet_drop_at_tdc", "site"}) {
        EXPECT_TRUE(std::binary_search(keys.begin(), keys.end(), key)) << key;
    }
}

TEST(Gauges, AreReadAndComeBackBitForBit)
{
    const auto gauges = gauges_from_json(R"({"gauge": [
        {"name": "bore gauge 2", "resolution": "0.001 mm", "calibration_uncertainty": "0.2 thou",
         "coverage_factor": 3.1, "due": "2027-02-01", "setting": "86 mm ring",
         "setting_uncertainty": "0.0017 mm", "repeatability": "1e-3 mm",
         "repeatability_freedom": 9, "expansion": 1.1e-5, "temperature": "21.5 °C"},
        {"name": "steel rule", "resolution": "0.5 mm", "same_place": true}]})");
    const auto& first = gauges.rows.at(0);
    EXPECT_EQ(first.gauge.resolution, 0.001);
    EXPECT_DOUBLE_EQ(*first.gauge.calibration_uncertainty, 0.00508);
    EXPECT_DOUBLE_EQ(first.setting_uncertainty, 0.0017 / 3.1);
    EXPECT_EQ(first.due, days_of(2027, 2, 1));
    EXPECT_EQ(first.temperature, 21.5);
    EXPECT_TRUE(gauges.rows.at(1).gauge.same_place);
    EXPECT_EQ(gauges_from_json(gauges_to_json(gauges)), gauges);
    EXPECT_EQ(gauges_table(gauges).rows(), 2U);
}

TEST(Gauges, AreRefusedForEachFault)
{
    const auto said = [](const std::string& rows) {
        return refusal(
            [&] { (void)gauges_from_json(R"({"gauge": [)" + rows + "]}", "gauges.toml"); });
    };
    EXPECT_EQ(said(R"({"name": "a", "resolutoin": "1 mm"})"),
              "gauges.toml, gauge 1: unknown key 'resolutoin'; did you mean resolution?");
    EXPECT_EQ(said(R"({"resolution": "1 mm"})"),
              "gauges.toml, gauge 1: name must be given, it is missing");
    EXPECT_EQ(said(R"({"name": "a", "resolution": "-1 mm"})"),
              "gauges.toml, gauge 1: resolution must be at least 0 mm, got -1.0");
    EXPECT_EQ(said(R"({"name": "a", "coverage_factor": 0})"),
              "gauges.toml, gauge 1: coverage_factor must be above 0, got 0.0");
    EXPECT_EQ(said(R"({"name": "a"}, {"name": "a"})"),
              "gauges.toml, gauge a: name must stand once, got it twice");
    EXPECT_NE(said(R"({"name": "a", "setting_uncertainty": "0.001 mm"})"), "not refused");
    EXPECT_NE(said(R"({"name": "a", "setting": "r", "setting_uncertainty": "0.001 mm"},
                      {"name": "b", "setting": "r", "setting_uncertainty": "0.002 mm"})"),
              "not refused");
    EXPECT_NE(said(R"({"name": "a", "due": "tomorrow"})"), "not refused");
}

TEST(Gauges, MayStandInOneFileWithLimits)
{
    const std::string both = R"({"gauge": [{"name": "a"}], "limit": [)" + good_row + "]}";
    EXPECT_EQ(limits_from_json(both).rows.size(), 1U);
    EXPECT_EQ(gauges_from_json(both).rows.size(), 1U);
}

}  // namespace
}  // namespace enginewright::table
