#pragma once

#include <vector>

#include "balance/metal.hpp"
#include "enginewright/balance/plan.hpp"
#include "numerics/segments.hpp"

/// Sites in figures: what each setting does, where each hole runs.
namespace enginewright::balance {

/// One setting of a site and the metal that it puts on (below 0: takes off).
struct Setting {
    double setting = 0;
    MetalMoment metal{};
};

/// What a setting of a site does, whether or not it is a multiple of the step.
MetalMoment metal_at(const Site& site, double setting);

/// All settings of a site in rising order.
std::vector<Setting> settings_of(const Site& site);

/// Axis of a site's hole, from its entry face to the tip at this depth.
numerics::Segment axis_of(const Site& site, double depth);

/// Greatest depth that the tip of a site's drill may reach, mm.
double greatest_depth(const Site& site);

inline bool is_hole(const Site& site)
{
    return site.kind == SiteKind::drill || site.kind == SiteKind::slug;
}

/// Whether a radial hole would come too near to the faces of its web.
bool too_near_edge(const Site& site);

/// Whether two holes leave less than the wall between them at these depths.
bool too_near(const Site& a, double depth_a, const Site& b, double depth_b, double wall);

}  // namespace enginewright::balance
