#include "balance/sites.hpp"

#include <cmath>

#include "balance/bounds.hpp"
#include "numerics/angles.hpp"

namespace enginewright::balance {

namespace {

constexpr double per_cubic_millimetre = 1e-3;
constexpr double most_settings = 20000;

double needed(const Site& site, const char* field, const std::optional<double>& value)
{
    if (!value) {
        refuse_all(field, "be given for a site of kind " + std::string(word(site.kind)) +
                              ", got none (site " + site.name + ")");
    }
    return *value;
}

MetalMoment difference(const MetalMoment& a, const MetalMoment& b)
{
    return {.moment = a.moment - b.moment,
            .lever = a.lever - b.lever,
            .mass = a.mass - b.mass,
            .slope = a.slope};
}

MetalMoment opposite(const MetalMoment& a)
{
    return {.moment = -a.moment, .lever = -a.lever, .mass = -a.mass, .slope = -a.slope};
}

void require_hole(const Site& site)
{
    require_drill(site.radius, needed(site, "diameter", site.diameter), site.point_angle);
    const double deepest = needed(site, "maximum_depth", site.maximum_depth);
    require_size("maximum_depth", deepest);
    require_length_at_least_zero("existing_depth", site.existing_depth);
    if (site.sense != 1 && site.sense != -1) {
        refuse("sense", "+1 or -1", site.sense);
    }
    if (site.direction == Direction::radial) {
        const double tip = drill_of(*site.diameter, site.point_angle).tip;
        const double room = site.radius - (site.kind == SiteKind::slug ? tip : 0.0);
        require_below("maximum_depth", deepest, room, "mm");
        require_below("existing_depth", site.existing_depth, site.radius, "mm");
    }
    if (site.web) {
        require_count("web", site.web->size(), 2, "positions");
        require_length("web[0]", (*site.web)[0]);
        require_length("web[1]", (*site.web)[1]);
        require_ordered("web[0]", (*site.web)[0], "web[1]", (*site.web)[1], "mm");
    }
    require_length_at_least_zero("edge", site.edge);
}

void require_steps(const Site& site)
{
    require_length_at_least_zero("minimum_depth", site.minimum_depth);
    require_size("step", site.step);
    if (*site.maximum_depth < site.minimum_depth) {
        refuse("maximum_depth",
               "at least minimum_depth, " + number_text(site.minimum_depth) + " mm",
               *site.maximum_depth);
    }
    if ((*site.maximum_depth - site.minimum_depth) / site.step > most_settings) {
        refuse("step",
               "at least " +
                   number_text((*site.maximum_depth - site.minimum_depth) / most_settings) + " mm",
               site.step);
    }
}

}  // namespace

void require_site(const Site& site)
{
    if (site.name.empty()) {
        refuse_all("name", "hold a word, got ''");
    }
    require_angle("angle", site.angle);
    require_length("position", site.position);
    require_radius("radius", site.radius);
    require_density("density", site.density);
    require_density("slug_density", site.slug_density);
    switch (site.kind) {
        case SiteKind::drill:
        case SiteKind::slug:
            require_hole(site);
            require_steps(site);
            break;
        case SiteKind::grind:
            require_size("width", needed(site, "width", site.width));
            require_positive("half_angle", needed(site, "half_angle", site.half_angle), "deg");
            require_at_most("half_angle", *site.half_angle, 180, "deg");
            require_size("maximum_depth", needed(site, "maximum_depth", site.maximum_depth));
            require_below("maximum_depth", *site.maximum_depth, site.radius, "mm");
            require_steps(site);
            break;
        case SiteKind::weight:
            if (site.sizes.empty()) {
                refuse_all("sizes",
                           "be given for a site of kind weight, got none (site " + site.name + ")");
            }
            for (std::size_t i = 0; i < site.sizes.size(); ++i) {
                require_positive(element_name("sizes", i), site.sizes[i], "g");
                require_mass(element_name("sizes", i), site.sizes[i]);
            }
    }
}

MetalMoment metal_at(const Site& site, double setting)
{
    const double rho = site.density * per_cubic_millimetre;
    switch (site.kind) {
        case SiteKind::drill: {
            const Drill drill = drill_of(*site.diameter, site.point_angle);
            return opposite(difference(
                metal_of_hole(drill, setting, site.radius, site.direction, rho),
                metal_of_hole(drill, site.existing_depth, site.radius, site.direction, rho)));
        }
        case SiteKind::slug:
            return metal_of_slug(drill_of(*site.diameter, site.point_angle), setting, 0,
                                 site.radius, site.direction,
                                 site.slug_density * per_cubic_millimetre, rho);
        case SiteKind::grind:
            return opposite(metal_of_ground(setting, site.radius, *site.width,
                                            numerics::radians(*site.half_angle), rho));
        case SiteKind::weight:
            return {.moment = setting * site.radius, .mass = setting, .slope = site.radius};
    }
    return {};
}

std::vector<Setting> settings_of(const Site& site)
{
    std::vector<Setting> list;
    if (site.kind == SiteKind::weight) {
        auto sizes = site.sizes;
        std::sort(sizes.begin(), sizes.end());
        sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
        for (const double size : sizes) {
            list.push_back({size, metal_at(site, size)});
        }
        return list;
    }
    // A little slack, so that 20 is a multiple of 0.1 although doubles say otherwise.
    constexpr double slack = 1e-9;
    const double shallowest = site.kind == SiteKind::drill ? site.existing_depth : 0.0;
    const double first = std::ceil(site.minimum_depth / site.step - slack);
    const double last = std::floor(*site.maximum_depth / site.step + slack);
    for (double k = std::max(first, 1.0); k <= last; ++k) {
        const double setting = std::min(k * site.step, *site.maximum_depth);
        if (setting > shallowest + slack) {
            list.push_back({setting, metal_at(site, setting)});
        }
    }
    return list;
}

double greatest_depth(const Site& site)
{
    if (site.kind == SiteKind::slug) {
        return *site.maximum_depth + drill_of(*site.diameter, site.point_angle).tip;
    }
    return std::max(*site.maximum_depth, site.existing_depth);
}

numerics::Segment axis_of(const Site& site, double depth)
{
    const Vector e = numerics::unit_vector(site.angle);
    const auto at = [&](double radius, double z) {
        return numerics::Point{radius * e.real(), radius * e.imag(), z};
    };
    if (site.direction == Direction::radial) {
        return {at(site.radius, site.position), at(site.radius - depth, site.position)};
    }
    return {at(site.radius, site.position), at(site.radius, site.position + site.sense * depth)};
}

bool too_near_edge(const Site& site)
{
    if (!is_hole(site) || !site.web || site.direction != Direction::radial) {
        return false;
    }
    const double half = *site.diameter / 2;
    return site.position - half < (*site.web)[0] + site.edge ||
           site.position + half > (*site.web)[1] - site.edge;
}

bool too_near(const Site& a, double depth_a, const Site& b, double depth_b, double wall)
{
    const double distance = numerics::segment_distance(axis_of(a, depth_a), axis_of(b, depth_b));
    return distance < (*a.diameter + *b.diameter) / 2 + wall;
}

}  // namespace enginewright::balance
