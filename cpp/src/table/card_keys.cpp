#include "table/card_keys.hpp"

#include <algorithm>
#include <array>

#include "enginewright/balance/plan.hpp"
#include "enginewright/table/limits.hpp"

namespace enginewright::table {

namespace {

constexpr std::array<std::string_view, 11> adjuster_keys{
    "sprocket_teeth", "tooth_jumps", "slot_travel", "slot_position", "slot_step",  "hole_circles",
    "hole_limit",     "offsets",     "reversible",  "fitted_offset", "bolt_radius"};

constexpr TableKey typed_length(std::string_view key, Holds holds = Holds::figure)
{
    return {key, holds, "length", "mm"};
}

constexpr TableKey typed_word(std::string_view key, std::span<const std::string_view> allowed)
{
    return {key, Holds::word, {}, {}, allowed};
}

constexpr std::array rotor_keys{
    typed_length("planes", Holds::figures),
    typed_length("tolerance_planes", Holds::figures),
    TableKey{"tolerance", Holds::figure_or_each, "unbalance", "g·mm"},
    TableKey{"zero", Holds::figure, "angle", "°"},
    typed_word("seen_from", words<balance::SeenFrom>.list),
    typed_word("counted", words<balance::Counted>.list),
    typed_word("spot", words<balance::Spot>.list),
    TableKey{"target", Holds::share},
    TableKey{"maximum_operations", Holds::whole},
    typed_length("wall"),
};

constexpr std::array site_keys{
    TableKey{"name", Holds::text},
    typed_word("kind", words<balance::SiteKind>.list),
    TableKey{"angle", Holds::figure, "angle", "°"},
    typed_length("position"),
    typed_length("radius"),
    typed_word("direction", words<balance::Direction>.list),
    TableKey{"sense", Holds::number},
    typed_length("diameter"),
    TableKey{"point_angle", Holds::figure, "angle", "°"},
    typed_length("existing_depth"),
    typed_length("minimum_depth"),
    typed_length("maximum_depth"),
    typed_length("step"),
    TableKey{"density", Holds::number},
    TableKey{"slug_density", Holds::number},
    typed_length("width"),
    TableKey{"half_angle", Holds::figure, "angle", "°"},
    TableKey{"sizes", Holds::figures, "mass", "g"},
    typed_length("web", Holds::figures),
    typed_length("edge"),
};

constexpr CardKeyRule length(std::string_view key, std::string_view meaning)
{
    return {key, Holds::figure, "length", "mm", meaning};
}

constexpr CardKeyRule each_length(std::string_view key, std::string_view meaning)
{
    return {key, Holds::figure_or_each, "length", "mm", meaning};
}

constexpr CardKeyRule each_volume(std::string_view key, std::string_view meaning)
{
    return {key, Holds::figure_or_each, "volume", "cc", meaning};
}

constexpr CardKeyRule each_angle(std::string_view key, std::string_view meaning)
{
    return {key, Holds::figure_or_each, "angle", "°", meaning};
}

constexpr std::array rules{
    CardKeyRule{"name", Holds::text, "", "", "engine type, as the readings name it"},
    CardKeyRule{"source", Holds::text, "", "", "where the figures are from"},
    CardKeyRule{"layout", Holds::text, "", "",
                "\"inline 4\", \"V8\": as a common layout is called"},
    CardKeyRule{"cylinders", Holds::whole, "", "", "how many"},
    CardKeyRule{"firing_order", Holds::wholes, "", "", "cylinders in the order in which they fire"},
    CardKeyRule{"valves_per_cylinder", Holds::whole, "", "", "how many"},
    CardKeyRule{"journals", Holds::whole_by_word, "", "", "how many of each"},
    length("bore", "standard bore"),
    length("stroke", "standard stroke"),
    length("rod_length", "between centres"),
    CardKeyRule{"ring_duty", Holds::text, "", "", "duty of the rule for ring gaps"},
    CardKeyRule{"materials", Holds::text_by_word, "", "", "by feature; others are steel"},
    CardKeyRule{"undersizes", Holds::figures_by_word, "length", "mm", "by feature, rising"},
    CardKeyRule{"oversizes", Holds::figures, "length", "mm", "of pistons, rising"},
    length("grinding_allowance", "metal a regrind needs, on diameter"),
    length("hone_allowance", "left for the hone, on diameter"),
    length("clean_up", "metal a rebore needs, on diameter"),
    CardKeyRule{"aim", Holds::share, "", "", "where in the finish band to aim, 0 low to 1 high"},
    length("case_depth", "hardened depth of a new crankshaft, on radius"),
    CardKeyRule{"wear_side", Holds::text, "", "", "\"even\" or \"one side\""},
    length("largest_bore", "greatest finished bore the casting bears"),
    CardKeyRule{"most_shims", Holds::whole, "", "", "most shims in one place"},
    CardKeyRule{"rod_pads", Holds::figures, "length", "mm", "balance pads along the rod"},
    CardKeyRule{"shelf", Holds::shelf, "length", "mm", "pieces by size, or by grade"},
    CardKeyRule{"valve_contact", Holds::text, "", "", "\"pocket\" or \"flat crown\""},
    each_length("pin_offset", "of the piston pin"),
    each_length("deck_clearance", "piston below the deck; proud is negative"),
    each_volume("chamber", "chamber volume"),
    CardKeyRule{"chamber_area", Holds::figure_or_each, "area", "mm²", "opening in the joint face"},
    each_length("gasket_thickness", "crushed, of the gasket to be fitted"),
    each_length("gasket_bore", "of the gasket's fire ring"),
    CardKeyRule{"gasket_area", Holds::figure_or_each, "area", "mm²", "of the gasket's opening"},
    each_length("gasket_found", "crushed, fitted when timing and drop were read"),
    each_volume("piston_volume", "dish and pockets; a dome is negative"),
    each_volume("crevice", "down to the top ring"),
    each_volume("plug_volume", "recess of the plug"),
    each_length("piston_diameter", "where the piston is widest"),
    each_length("ring_gap", "top ring, in the standard bore"),
    each_length("pushrod_length", "fitted"),
    each_length("inlet_spring_height", "fitted"),
    each_length("exhaust_spring_height", "fitted"),
    CardKeyRule{"altitude", Holds::figure_or_each, "length", "m", "of the place it runs at"},
    each_length("head_skim", "taken off the head"),
    each_length("deck_cut", "taken off the block"),
    each_length("overbore", "on diameter"),
    each_length("stroke_change", "of another crankshaft"),
    each_length("rod_change", "of other rods"),
    each_length("piston_height_change", "of other pistons"),
    each_volume("chamber_grind", "ground out of the chamber"),
    each_length("inlet_sink", "of the valve into its seat"),
    each_length("exhaust_sink", "of the valve into its seat"),
    each_angle("cam_advance", "by the adjuster, + = earlier"),
    each_length("inlet_spring_shim", "under the spring"),
    each_length("exhaust_spring_shim", "under the spring"),
    each_length("cam_sprocket_radius", "pitch radius"),
    each_angle("cam_run_angle", "between the drive's run and the bore axis"),
    each_angle("inlet_full_lift", "after top dead centre"),
    each_angle("exhaust_full_lift", "before top dead centre"),
    each_angle("inlet_closing", "after bottom dead centre"),
    each_angle("inlet_valve_angle", "to the bore axis"),
    each_angle("exhaust_valve_angle", "to the bore axis"),
    each_length("inlet_drop_at_tdc", "valve to piston at top dead centre"),
    each_length("exhaust_drop_at_tdc", "valve to piston at top dead centre"),
    CardKeyRule{"inlet_lift", Holds::curve, "", "", "angles from full lift and lifts"},
    CardKeyRule{"exhaust_lift", Holds::curve, "", "", "angles from full lift and lifts"},
    CardKeyRule{"adjuster", Holds::table, "", "", "what can be moved on the cam drive",
                adjuster_keys},
    CardKeyRule{"rotor",
                Holds::table,
                "",
                "",
                "how the balancing machine's readings count",
                {},
                rotor_keys},
    CardKeyRule{
        "site", Holds::tables, "", "", "places to drill, grind or add weight", {}, site_keys},
};

constexpr std::array<std::string_view, 16> holds_words{
    "text",
    "whole number",
    "list of whole numbers",
    "number from 0 to 1",
    "figure",
    "list of figures",
    "figure, or one a cylinder",
    "list of figures by feature",
    "text by feature",
    "whole number by feature",
    "pieces by size, or wall and pieces by grade",
    "curve",
    "table",
    "list of tables",
    "number",
    "word"};

std::vector<CardKey> described()
{
    std::vector<CardKey> keys;
    keys.reserve(std::size(rules));
    for (const auto& rule : rules) {
        keys.push_back({.key = std::string(rule.key),
                        .holds = std::string(holds_words[static_cast<std::size_t>(rule.holds)]),
                        .unit = std::string(rule.unit),
                        .meaning = std::string(rule.meaning)});
    }
    return keys;
}

}  // namespace

std::span<const CardKeyRule> card_key_rules() { return rules; }

const CardKeyRule* card_key_rule(std::string_view key)
{
    const auto found = std::find_if(rules.begin(), rules.end(),
                                    [&](const CardKeyRule& rule) { return rule.key == key; });
    return found == rules.end() ? nullptr : &*found;
}

std::span<const CardKey> card_keys()
{
    static const std::vector<CardKey> keys = described();
    return keys;
}

}  // namespace enginewright::table
