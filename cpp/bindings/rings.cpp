#include "enginewright/rings.hpp"

#include "bind.hpp"
#include "blocks.hpp"
#include "doc/rings.hpp"
#include "rings_formulas.hpp"

namespace enginewright::bind {

namespace {

rings::GapRule made_rule(std::string duty, std::string position, double per_bore, double least,
                         rings::Provenance provenance, std::string source)
{
    rings::GapRule rule{.duty = std::move(duty),
                        .position = std::move(position),
                        .per_bore = per_bore,
                        .least = least,
                        .provenance = provenance,
                        .source = std::move(source)};
    rings::require_rule(rule);
    return rule;
}

}  // namespace

void bind_rings(py::module_ module)
{
    namespace text = doc::rings;
    const py::kw_only keyword_only;

    auto rule = bind_record<rings::GapRule>(module, "GapRule", text::GapRule);
    construct(rule, made_rule, "duty"_a, "position"_a, "per_bore"_a, "least"_a = 0.0,
              "provenance"_a = "common practice", "source"_a = "");
    bind_record<rings::RuleGap>(module, "RuleGap", text::RuleGap);
    bind_record<rings::SecondRing>(module, "SecondRing", text::SecondRing);
    bind_record<rings::LeakArea>(module, "LeakArea", text::LeakArea);
    bind_record<rings::GapPlan>(module, "GapPlan", text::GapPlan);

    define(module, "gap_at_bore", by_blocks(rings::gap_at_bore, rings::formula::gap_at_bore),
           text::gap_at_bore, "gap"_a, "bore"_a, "bore_new"_a);
    define(module, "thermal_gap", by_blocks(rings::thermal_gap, rings::formula::thermal_gap),
           text::thermal_gap, "bore"_a, "ring_temperature"_a, "bore_temperature"_a, keyword_only,
           "ring_expansion"_a, "bore_expansion"_a);
    define(module, "hot_gap", by_blocks(rings::hot_gap, rings::formula::hot_gap), text::hot_gap,
           "bore"_a, "cold_gap"_a, "ring_temperature"_a, "bore_temperature"_a, keyword_only,
           "ring_expansion"_a, "bore_expansion"_a);
    define(module, "gap_rules", plain(rings::gap_rules), text::gap_rules);
    define(module, "gap_by_rule", plain(rings::gap_by_rule), text::gap_by_rule, "bore"_a,
           "position"_a, "duty"_a, keyword_only, "rules"_a = py::none());
    define(module, "side_clearance",
           by_blocks(rings::side_clearance, rings::formula::side_clearance), text::side_clearance,
           "groove_width"_a, "ring_width"_a);
    define(module, "back_clearance",
           by_blocks(rings::back_clearance, rings::formula::back_clearance), text::back_clearance,
           "bore"_a, "groove_root_diameter"_a, "radial_thickness"_a);
    define(module, "second_ring", broadcast(rings::second_ring), text::second_ring, "top_gap"_a,
           "second_gap"_a, keyword_only, "least_difference"_a = 0.05, "uncertainty"_a = 0.0);
    define(module, "leak_area", plain(rings::leak_area), text::leak_area, "gaps"_a, "bore"_a,
           "land_diameter"_a);
    define(module, "gap_plan", without_gil(rings::gap_plan), text::gap_plan, "gaps"_a, keyword_only,
           "target"_a, "upper"_a = py::none(), "bores"_a = py::none(),
           "reference_bore"_a = py::none());
}

}  // namespace enginewright::bind
