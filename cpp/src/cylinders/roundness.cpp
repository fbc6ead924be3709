#include "enginewright/cylinders/roundness.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "judging.hpp"
#include "numerics/minimum_zone.hpp"
#include "numerics/reference_circles.hpp"
#include "turns.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using numerics::PlanePoint;
using std::numbers::sqrt2;
using wording::mm;

namespace {

constexpr std::size_t most_points = 10'000;

/// A profile centred on its mean and divided by its greatest coordinate.
struct Profile {
    std::vector<PlanePoint> points{};
    PlanePoint mean = PlanePoint::Zero();
    double scale = 1;

    PlanePoint back(const PlanePoint& scaled) const { return mean + scale * scaled; }
};

void require_points(std::span<const double> x, std::span<const double> y)
{
    require_readings("x", x, 3);
    judging::require_count("y", y.size(), x.size(), "a point");
    if (x.size() > most_points) {
        refuse_all("x", "hold at most " + std::to_string(most_points) + " points, got " +
                            std::to_string(x.size()));
    }
    std::vector<numerics::Place> places;
    for (std::size_t i = 0; i < x.size(); ++i) {
        require_length(element_name("x", i), x[i]);
        require_length(element_name("y", i), y[i]);
        places.push_back({x[i], y[i], 0});
    }
    if (numerics::in_one_line(places)) {
        refuse_all("x", "hold points that do not lie in one line with y, got " +
                            std::to_string(x.size()) + " that do");
    }
}

Profile profile_of(std::span<const double> x, std::span<const double> y)
{
    Profile profile;
    for (std::size_t i = 0; i < x.size(); ++i) {
        profile.points.emplace_back(x[i], y[i]);
        profile.mean += profile.points.back() / static_cast<double>(x.size());
    }
    profile.scale = 0;
    for (auto& each : profile.points) {
        each -= profile.mean;
        profile.scale = std::max(profile.scale, each.cwiseAbs().maxCoeff());
    }
    for (auto& each : profile.points) {
        each /= profile.scale;
    }
    return profile;
}

/// Centre of one criterion, in the scale of the profile; `exists` turns false when it has none.
PlanePoint centre_of(const Profile& profile, Criterion criterion, bool& exists)
{
    const auto fitted = numerics::least_squares_centre(profile.points);
    PlanePoint start = fitted.value_or(PlanePoint::Zero());
    exists = true;
    switch (criterion) {
        case Criterion::minimum_circumscribed:
            return numerics::circumscribed_centre(profile.points,
                                                  numerics::farthest_regions(profile.points));
        case Criterion::minimum_zone:
            return numerics::minimum_zone_centre(profile.points,
                                                 numerics::farthest_regions(profile.points), start);
        case Criterion::maximum_inscribed: {
            const auto inscribed = numerics::inscribed_centre(profile.points, start);
            exists = inscribed.has_value();
            return inscribed.value_or(start);
        }
        case Criterion::least_squares:
            break;
    }
    exists = fitted.has_value();
    return start;
}

/// Widest angle without a point, seen from a centre, degrees.
double widest_gap(std::span<const PlanePoint> points, const PlanePoint& centre)
{
    std::vector<double> angles;
    for (const auto& p : points) {
        const PlanePoint arm = p - centre;
        if (arm.norm() > 0) {
            angles.push_back(turns::degrees(std::atan2(arm.y(), arm.x())));
        }
    }
    std::sort(angles.begin(), angles.end());
    double widest = angles.front() + 360 - angles.back();
    for (std::size_t i = 1; i < angles.size(); ++i) {
        widest = std::max(widest, angles[i] - angles[i - 1]);
    }
    return widest;
}

/// Distances from the centre, and who touches which ring.
void add_rings(CircleFit& fit, const Profile& profile, const PlanePoint& centre)
{
    std::vector<double> distances;
    double mean = 0;
    for (const auto& p : profile.points) {
        distances.push_back(profile.scale * (p - centre).norm());
        mean += distances.back() / static_cast<double>(profile.points.size());
    }
    const auto [least, greatest] = std::minmax_element(distances.begin(), distances.end());
    fit.outer_radius = *greatest;
    fit.inner_radius = *least;
    fit.roundness = fit.outer_radius - fit.inner_radius;
    const double near = 1e-9 * std::max(1.0, fit.outer_radius);
    for (std::size_t i = 0; i < distances.size(); ++i) {
        if (distances[i] >= fit.outer_radius - near) {
            fit.outer_contacts.push_back(static_cast<int>(i));
        }
        if (distances[i] <= fit.inner_radius + near) {
            fit.inner_contacts.push_back(static_cast<int>(i));
        }
    }
    switch (fit.criterion) {
        case Criterion::least_squares:
            fit.radius = mean;
            break;
        case Criterion::minimum_zone:
            fit.radius = (fit.outer_radius + fit.inner_radius) / 2;
            break;
        case Criterion::minimum_circumscribed:
            fit.radius = fit.outer_radius;
            break;
        case Criterion::maximum_inscribed:
            fit.radius = fit.inner_radius;
            break;
    }
    fit.peak = fit.outer_radius - fit.radius;
    fit.valley = fit.radius - fit.inner_radius;
}

CircleFit fitted(const Profile& profile, Criterion criterion)
{
    CircleFit fit{.criterion = criterion};
    bool exists = true;
    const PlanePoint centre = centre_of(profile, criterion, exists);
    const PlanePoint back = profile.back(centre);
    fit.centre_x = back.x();
    fit.centre_y = back.y();
    add_rings(fit, profile, centre);
    fit.gap = widest_gap(profile.points, centre);
    if (!exists || fit.gap > 180) {
        fit.status = ProfileStatus::open_arc;
        fit.reason = exists ? "nothing was read over " + fixed_text(fit.gap, 1) + " degrees"
                            : "the points hold no circle of this kind";
        fit.next = "read the profile all the way round";
    }
    return fit;
}

}  // namespace

CircleFit circle_fit(std::span<const double> x, std::span<const double> y, Criterion criterion)
{
    require_points(x, y);
    return fitted(profile_of(x, y), criterion);
}

namespace {

/// What makes a shape of so many lobes.
std::string lobes_in_words(int order)
{
    if (order == 2) {
        return "oval";
    }
    if (order == 3) {
        return "three-lobed: no two-point gauge sees it";
    }
    return std::to_string(order) +
           " lobes: if that is the number of bolts round the bore, hone with a torque plate";
}

void add_harmonics(Roundness& found, std::span<const double> angle,
                   std::span<const double> deviation, int harmonics)
{
    const auto fit = turns::fitted("angle", angle, harmonics);
    const Eigen::VectorXd readings = Eigen::Map<const Eigen::VectorXd>(
        deviation.data(), static_cast<Eigen::Index>(deviation.size()));
    const Eigen::VectorXd coefficients = fit.coefficients(readings);
    found.amplitudes.push_back(coefficients[0]);
    found.directions.push_back(0);
    double greatest = 1e-9;
    for (int k = 1; k <= harmonics; ++k) {
        const Eigen::Index at = Eigen::Index{2} * k;
        const double a = coefficients[at - 1];
        const double b = coefficients[at];
        const double amplitude = std::hypot(a, b);
        found.amplitudes.push_back(amplitude);
        found.directions.push_back(
            amplitude < turns::no_length
                ? 0.0
                : turns::in_range(turns::degrees(std::atan2(b, a)) / k, 360.0 / k));
        if (k >= 2) {
            greatest = std::max(greatest, amplitude);
        }
    }
    if (greatest > 1e-9) {
        int k = 2;
        while (found.amplitudes[static_cast<std::size_t>(k)] < greatest - 1e-9) {
            ++k;
        }
        found.dominant_order = k;
    }
    found.eccentricity = found.amplitudes[1];
    found.residual = turns::rms(fit.residuals(readings, coefficients).col(0));
}

void judge_roundness(Roundness& found, std::optional<double> limit)
{
    const std::array figures{found.roundness_minimum_zone};
    const std::array doubts{found.uncertainty};
    const auto judged = judging::judge_set(figures, doubts, std::nullopt, limit,
                                           [](std::size_t) { return "roundness"; });
    found.verdict = judged.verdict;
    found.reason = judging::reasons_of({&judged});
    if (found.dominant_order) {
        found.reason.append(found.reason.empty() ? "" : "; ")
            .append(lobes_in_words(*found.dominant_order));
    }
    if (found.verdict == Standing::outside) {
        found.next = "hone or bore it round: " + mm(found.roundness_minimum_zone - *limit) +
                     " over its limit";
    } else if (found.verdict == Standing::unproven) {
        found.next = "trace it again with a better gauge";
    }
}

}  // namespace

Roundness roundness(std::span<const double> angle, std::span<const double> deviation, double radius,
                    int harmonics, std::optional<double> limit, double uncertainty)
{
    require_readings("angle", angle, 3);
    judging::require_count("deviation", deviation.size(), angle.size(), "an angle");
    require_size("radius", radius);
    require_between("harmonics", harmonics, 2, 50);
    turns::require_limit("limit", limit, "mm");
    require_length_at_least_zero("uncertainty", uncertainty);
    std::vector<double> x;
    std::vector<double> y;
    for (std::size_t i = 0; i < angle.size(); ++i) {
        turns::require_angle(element_name("angle", i), angle[i]);
        require_length(element_name("deviation", i), deviation[i]);
        if (radius + deviation[i] <= 0) {
            refuse(element_name("deviation", i), "above -radius, " + number_text(-radius) + " mm",
                   deviation[i]);
        }
        const double turn = turns::radians(turns::in_range(angle[i], 360));
        x.push_back((radius + deviation[i]) * std::cos(turn));
        y.push_back((radius + deviation[i]) * std::sin(turn));
    }
    Roundness found{.uncertainty = sqrt2 * uncertainty};
    add_harmonics(found, angle, deviation, harmonics);
    require_points(x, y);
    const Profile profile = profile_of(x, y);
    const auto zone = fitted(profile, Criterion::minimum_zone);
    found.roundness_minimum_zone = zone.roundness;
    found.roundness_least_squares = fitted(profile, Criterion::least_squares).roundness;
    found.centre_x = zone.centre_x;
    found.centre_y = zone.centre_y;
    judge_roundness(found, limit);
    return found;
}

}  // namespace enginewright::cylinders
