#include "job/rotor_card.hpp"

#include "json.hpp"

namespace enginewright::job {

namespace {

template <class T>
void take(const Json& from, const char* key, T& member)
{
    if (const auto at = from.find(key); at != from.end() && !at->is_null()) {
        if constexpr (is_optional<T>) {
            typename T::value_type value{};
            take(from, key, value);
            member = value;
        } else if constexpr (Worded<T>) {
            member = from_word<T>(key, at->get<std::string>());
        } else {
            member = at->get<T>();
        }
    }
}

balance::Site site_from(const Json& written)
{
    balance::Site site;
    take(written, "name", site.name);
    take(written, "kind", site.kind);
    take(written, "angle", site.angle);
    take(written, "position", site.position);
    take(written, "radius", site.radius);
    take(written, "direction", site.direction);
    take(written, "diameter", site.diameter);
    take(written, "point_angle", site.point_angle);
    take(written, "existing_depth", site.existing_depth);
    take(written, "minimum_depth", site.minimum_depth);
    take(written, "maximum_depth", site.maximum_depth);
    take(written, "step", site.step);
    take(written, "density", site.density);
    take(written, "slug_density", site.slug_density);
    take(written, "width", site.width);
    take(written, "half_angle", site.half_angle);
    take(written, "sizes", site.sizes);
    take(written, "web", site.web);
    take(written, "edge", site.edge);
    double sense = site.sense;
    take(written, "sense", sense);
    // What is neither way is left for the plan to refuse by name.
    site.sense = sense == 1 || sense == -1 ? static_cast<int>(sense) : 0;
    return site;
}

}  // namespace

std::string RotorCard::missing() const
{
    std::string keys = zero ? "" : "rotor.zero";
    return counted ? keys : keys.append(keys.empty() ? "" : " and ").append("rotor.counted");
}

double RotorCard::angle(double shown) const
{
    return balance::rotor_angle(shown, *zero, seen_from, *counted);
}

RotorCard rotor_card(const table::EngineCard* card)
{
    RotorCard found;
    if (card == nullptr) {
        return found;
    }
    const auto figures = Json::parse(table::card_figures(*card));
    if (const auto at = figures.find("rotor"); at != figures.end()) {
        take(*at, "planes", found.planes);
        take(*at, "tolerance_planes", found.tolerance_planes);
        take(*at, "zero", found.zero);
        take(*at, "counted", found.counted);
        take(*at, "seen_from", found.seen_from);
        take(*at, "spot", found.spot);
        take(*at, "target", found.target);
        take(*at, "maximum_operations", found.maximum_operations);
        take(*at, "wall", found.wall);
        if (const auto own = at->find("tolerance"); own != at->end()) {
            found.tolerance = own->is_array() ? own->get<std::vector<double>>()
                                              : std::vector<double>(2, own->get<double>());
        }
    }
    if (const auto at = figures.find("site"); at != figures.end()) {
        for (const auto& each : *at) {
            found.sites.push_back(site_from(each));
        }
    }
    if (found.tolerance_planes.empty()) {
        found.tolerance_planes = found.planes;
    }
    return found;
}

}  // namespace enginewright::job
