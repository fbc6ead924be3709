#include "enginewright/balance/tolerance.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/planes.hpp"

namespace enginewright::balance {

namespace {

struct Row {
    double grade;
    std::string_view examples;
};

// ISO 21940-11:2016, table 1, mm/s.
constexpr std::array<Row, 11> grades{{
    {0.4, "gyroscopes, spindles of precision grinders"},
    {1.0, "drives of grinding machines, recording machines"},
    {2.5, "turbines, small electric armatures, turbochargers, machine tool drives"},
    {6.3, "flywheels, clutches, fans, pump impellers, general machinery"},
    {16.0,
     "crankshaft drives, inherently balanced, rigidly mounted; drive shafts of farm machinery"},
    {40.0,
     "crankshaft drives, inherently balanced, elastically mounted; road wheels, drive shafts"},
    {100.0, "complete engines of cars, lorries and locomotives"},
    {250.0, "crankshaft drives, inherently unbalanced, rigidly mounted"},
    {630.0, "crankshaft drives, inherently unbalanced, elastically mounted"},
    {1600.0, "crankshaft drives of large slow marine diesels, inherently balanced"},
    {4000.0, "crankshaft drives of large slow marine diesels, inherently unbalanced"},
}};

void require_grade(double grade)
{
    require_positive("grade", grade, "mm/s");
    require_at_most("grade", grade, 1e6, "mm/s");
}

}  // namespace

std::vector<Grade> balance_grades()
{
    std::vector<Grade> list;
    list.reserve(std::size(grades));
    for (const auto& row : grades) {
        list.push_back({.grade = row.grade, .examples = std::string(row.examples)});
    }
    return list;
}

double permissible_eccentricity(double speed, double grade)
{
    require_speed("speed", speed);
    require_grade(grade);
    return grade / omega_of(speed);
}

double permissible_residual(double rotor_mass, double speed, double grade)
{
    require_rotor_mass("rotor_mass", rotor_mass);
    return permissible_eccentricity(speed, grade) * rotor_mass;
}

double eccentricity(double amount, double rotor_mass)
{
    require_amount("amount", amount);
    require_rotor_mass("rotor_mass", rotor_mass);
    return amount / rotor_mass;
}

double achieved_grade(double amount, double rotor_mass, double speed)
{
    require_amount("amount", amount);
    require_rotor_mass("rotor_mass", rotor_mass);
    require_speed("speed", speed);
    return eccentricity(amount, rotor_mass) * omega_of(speed);
}

ToleranceSplit allocate_tolerance(double amount, double bearing_a, double bearing_b, double centre)
{
    if (!(amount > 0) || std::isinf(amount)) {
        refuse_all("amount", "be above 0 g mm, got " + number_text(amount) +
                                 "; set the tolerance before the first spin");
    }
    require_between("amount", amount, least_unbalance, greatest_unbalance, "g mm");
    require_length("bearing_a", bearing_a);
    require_length("bearing_b", bearing_b);
    require_length("centre", centre);
    if (bearing_b - bearing_a < 1e-3) {
        refuse("bearing_b", "above bearing_a, " + number_text(bearing_a) + " mm", bearing_b);
    }
    const double length = bearing_b - bearing_a;
    ToleranceSplit split{.lever_share_a = std::abs(bearing_b - centre) / length,
                         .lever_share_b = std::abs(centre - bearing_a) / length};
    if (centre < bearing_a) {
        split.arrangement = Arrangement::overhung_a;
    } else if (centre > bearing_b) {
        split.arrangement = Arrangement::overhung_b;
    }
    // ISO 21940-11:2016, 7.2, from memory: limits of the shares.
    const double greatest = split.arrangement == Arrangement::between ? 0.7 : 1.3;
    split.share_a = std::clamp(split.lever_share_a, 0.3, greatest);
    split.share_b = std::clamp(split.lever_share_b, 0.3, greatest);
    split.limited = split.share_a != split.lever_share_a || split.share_b != split.lever_share_b;
    split.plane_a = amount * split.share_a;
    split.plane_b = amount * split.share_b;
    return split;
}

namespace {

using Transfer = std::array<std::array<double, 2>, 2>;
using Pair = std::array<double, 2>;

/// Pairs among which the best one is: one bearing alone binding, or both.
std::vector<Pair> candidates(const Transfer& m, const std::vector<double>& tolerance)
{
    std::vector<Pair> list;
    for (std::size_t p = 0; p < 2; ++p) {
        // Where a plane does not reach a bearing at all, that bearing does not bind it.
        if (m[p][0] > 0 && m[p][1] > 0) {
            list.push_back({tolerance[p] / (2 * m[p][0]), tolerance[p] / (2 * m[p][1])});
        }
    }
    const double determinant = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    if (std::abs(determinant) > 1e-12) {
        list.push_back({(tolerance[0] * m[1][1] - tolerance[1] * m[0][1]) / determinant,
                        (tolerance[1] * m[0][0] - tolerance[0] * m[1][0]) / determinant});
    }
    return list;
}

}  // namespace

CorrectionPlaneTolerance correction_plane_tolerance(const OneOrEach& tolerance,
                                                    std::span<const double> tolerance_planes,
                                                    std::span<const double> correction_planes)
{
    const auto each = each_tolerance(tolerance, 2);
    require_plane_pair("tolerance_planes", tolerance_planes);
    require_plane_pair("correction_planes", correction_planes);
    Transfer m{};
    for (std::size_t q = 0; q < 2; ++q) {
        const auto share = plane_share(correction_planes[q], tolerance_planes);
        for (std::size_t p = 0; p < 2; ++p) {
            m[p][q] = std::abs(share[p]);
        }
    }
    const auto fits = [&](const Pair& t) {
        bool inside = t[0] > 0 && t[1] > 0;
        for (std::size_t p = 0; p < 2; ++p) {
            inside = inside && m[p][0] * t[0] + m[p][1] * t[1] <= each[p] * (1 + 1e-12);
        }
        return inside;
    };
    Pair best{};
    for (const auto& pair : candidates(m, each)) {
        if (fits(pair) && pair[0] * pair[1] > best[0] * best[1]) {
            best = pair;
        }
    }
    return {.plane_1 = best[0],
            .plane_2 = best[1],
            .transfer = {{m[0][0], m[0][1]}, {m[1][0], m[1][1]}}};
}

void refuse_tolerance(std::string_view given, std::optional<std::size_t> plane)
{
    const std::string where = plane ? " (plane " + std::to_string(*plane + 1) + ")" : "";
    refuse_all("tolerance", std::string("be above 0 g mm, got ") + std::string(given) + where +
                                "; set the tolerance before the first spin");
}

void require_tolerance(std::optional<double> tolerance, std::optional<std::size_t> plane)
{
    if (!tolerance) {
        refuse_tolerance("None", plane);
    }
    if (!(*tolerance > 0) || std::isinf(*tolerance)) {
        refuse_tolerance(number_text(*tolerance), plane);
    }
    require_between("tolerance", *tolerance, least_unbalance, greatest_unbalance, "g mm");
}

}  // namespace enginewright::balance
