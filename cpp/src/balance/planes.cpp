#include "enginewright/balance/planes.hpp"

#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "numerics/angles.hpp"

namespace enginewright::balance {

std::array<double, 2> plane_share(double position, std::span<const double> planes)
{
    require_length("position", position);
    require_plane_pair("planes", planes);
    const double length = planes[1] - planes[0];
    return {(planes[1] - position) / length, (position - planes[0]) / length};
}

std::vector<Vector> to_planes(std::span<const Vector> unbalance, std::span<const double> positions,
                              std::span<const double> planes)
{
    require_readings("positions", positions, 1);
    require_count("unbalance", unbalance.size(), positions.size(), "vectors");
    require_vectors("unbalance", unbalance);
    for (std::size_t i = 0; i < positions.size(); ++i) {
        require_length(element_name("positions", i), positions[i]);
    }
    require_plane_pair("planes", planes);
    std::vector<Vector> sum(2);
    for (std::size_t i = 0; i < unbalance.size(); ++i) {
        const auto share = plane_share(positions[i], planes);
        sum[0] += unbalance[i] * share[0];
        sum[1] += unbalance[i] * share[1];
    }
    return sum;
}

namespace {

void judge(StaticCouple& found, double permissible)
{
    const bool static_out = found.static_amount > permissible;
    const bool couple_out = found.couple_pair > permissible / 2;
    if (static_out && couple_out) {
        found.kind = UnbalanceKind::dynamic;
        found.reason = "the rotor is out as a whole and its ends are out against each other";
    } else if (static_out) {
        found.kind = UnbalanceKind::static_;
        found.reason = "the rotor is out as a whole: it rolls to its heavy side on knife edges";
    } else if (couple_out) {
        found.kind = UnbalanceKind::couple;
        found.reason = "the rotor stands still on knife edges while each end is out";
    } else {
        found.kind = UnbalanceKind::balanced;
    }
}

}  // namespace

StaticCouple static_couple(std::span<const Vector> unbalance, std::span<const double> planes,
                           double centre, std::optional<double> permissible)
{
    require_readings("planes", planes, 2);
    require_count("unbalance", unbalance.size(), planes.size(), "vectors");
    require_vectors("unbalance", unbalance);
    require_length("centre", centre);
    for (std::size_t i = 0; i < planes.size(); ++i) {
        require_length(element_name("planes", i), planes[i]);
    }
    const auto [first, last] = std::minmax_element(planes.begin(), planes.end());
    const double length = *last - *first;
    if (length < 1e-3) {
        refuse_all("planes", "not all lie in one place, got " + number_text(*first));
    }
    StaticCouple found;
    for (std::size_t i = 0; i < planes.size(); ++i) {
        found.static_ += unbalance[i];
        found.couple += unbalance[i] * (planes[i] - centre);
    }
    found.static_amount = std::abs(found.static_);
    found.static_angle = numerics::degrees_of(found.static_);
    found.couple_amount = std::abs(found.couple);
    found.couple_angle = numerics::degrees_of(found.couple);
    found.couple_pair = found.couple_amount / length;
    if (permissible) {
        require_some_amount("permissible", *permissible);
        judge(found, *permissible);
    }
    return found;
}

}  // namespace enginewright::balance
