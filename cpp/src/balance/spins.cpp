#include "enginewright/balance/spins.hpp"

#include <Eigen/QR>
#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/planes.hpp"
#include "numerics/angles.hpp"
#include "numerics/complex_least_squares.hpp"

namespace enginewright::balance {

using numerics::degrees_of;
using numerics::unit_vector;

namespace {

constexpr double newton_from_gram_millimetre = 1e-6;  // g mm to kg m
constexpr double free_fall = 9806.65;                 // mm/s², by definition

/// Greatest stretch of a 2 by 2 matrix over its least: the ratio of its singular values.
double condition_of(const std::vector<std::vector<double>>& m)
{
    const double e = (m[0][0] + m[1][1]) / 2;
    const double f = (m[0][0] - m[1][1]) / 2;
    const double g = (m[1][0] + m[0][1]) / 2;
    const double h = (m[1][0] - m[0][1]) / 2;
    const double q = std::hypot(e, h);
    const double r = std::hypot(f, g);
    return (q + r) / std::abs(q - r);
}

}  // namespace

PlaneReading hard_bearing_reading(Vector force_left, Vector force_right, double a, double b,
                                  double c, double speed)
{
    require_vector("force_left", force_left);
    require_vector("force_right", force_right);
    // No machine is longer; and all sums of the three stay lengths.
    constexpr double longest = 1e5;
    require_between("a", a, -longest, longest, "mm");
    require_positive("b", b, "mm");
    require_between("b", b, 0.01, longest, "mm");
    require_between("c", c, -longest, longest, "mm");
    require_positive("a + b + c", a + b + c, "mm");
    require_speed("speed", speed);
    const std::array supports{0.0, a + b + c};
    const std::array planes{a, a + b};
    const double scale = 1 / (newton_from_gram_millimetre * std::pow(omega_of(speed), 2));
    const std::array carried{force_left * scale, force_right * scale};
    PlaneReading reading;
    reading.transfer.assign(2, std::vector<double>(2));
    reading.unbalance.assign(2, Vector{});
    for (std::size_t s = 0; s < 2; ++s) {
        const auto share = plane_share(supports[s], planes);
        for (std::size_t p = 0; p < 2; ++p) {
            reading.transfer[p][s] = share[p];
            reading.unbalance[p] += share[p] * carried[s];
        }
    }
    reading.condition = condition_of(reading.transfer);
    return reading;
}

double minimum_speed(double amount, double force_noise, double ratio)
{
    require_some_amount("amount", amount);
    require_positive("force_noise", force_noise, "N");
    require_at_most("force_noise", force_noise, 1e9, "N");
    require_positive("ratio", ratio);
    require_at_most("ratio", ratio, 1e6);
    return std::sqrt(ratio * force_noise / (newton_from_gram_millimetre * amount)) / omega_of(1);
}

double trial_unbalance(double rotor_mass, double speed, double fraction)
{
    require_rotor_mass("rotor_mass", rotor_mass);
    require_speed("speed", speed);
    require_positive("fraction", fraction);
    require_at_most("fraction", fraction, 1);
    return fraction * rotor_mass * free_fall / std::pow(omega_of(speed), 2);
}

double unbalance_force(double amount, double speed)
{
    require_amount("amount", amount);
    require_speed("speed", speed);
    return newton_from_gram_millimetre * amount * std::pow(omega_of(speed), 2);
}

namespace {

/// Variance of a direction: e^T C e.
double along(const std::vector<std::vector<double>>& c, Vector e)
{
    return e.real() * e.real() * c[0][0] + 2 * e.real() * e.imag() * c[0][1] +
           e.imag() * e.imag() * c[1][1];
}

std::vector<std::vector<double>> covariance_of(std::span<const Vector> readings, Vector mean)
{
    std::vector<std::vector<double>> sum(2, std::vector<double>(2));
    if (readings.size() < 2) {
        return sum;
    }
    const auto divisor = static_cast<double>(readings.size() - 1);
    for (const auto& reading : readings) {
        const Vector off = reading - mean;
        sum[0][0] += off.real() * off.real() / divisor;
        sum[0][1] += off.real() * off.imag() / divisor;
        sum[1][1] += off.imag() * off.imag() / divisor;
    }
    sum[1][0] = sum[0][1];
    return sum;
}

void judge_speeds(Runs& runs, const std::vector<double>& speeds,
                  std::optional<double> minimum_speed, double speed_band)
{
    const auto [least, greatest] = std::minmax_element(speeds.begin(), speeds.end());
    double mean = 0;
    for (const double speed : speeds) {
        mean += speed / static_cast<double>(speeds.size());
    }
    if (minimum_speed && *least < *minimum_speed) {
        runs.status = RunsStatus::too_slow;
        runs.reason = "a spin ran at " + fixed_text(*least, 0) + " rpm; below " +
                      fixed_text(*minimum_speed, 0) + " rpm noise hides the unbalance";
        runs.next = "spin at " + fixed_text(std::ceil(*minimum_speed), 0) +
                    " rpm or above, as far as the machine allows";
    } else if (*greatest - *least > speed_band * mean) {
        runs.status = RunsStatus::unsteady;
        runs.reason = "speeds from " + fixed_text(*least, 0) + " to " + fixed_text(*greatest, 0) +
                      " rpm differ by more than " + fixed_text(100 * speed_band, 1) + " %";
        runs.next = "repeat the spins at one speed, near " + fixed_text(mean, 0) + " rpm";
    }
}

}  // namespace

Runs repeat_runs(std::span<const Vector> readings, double machine_uncertainty,
                 const std::optional<std::vector<double>>& speeds,
                 std::optional<double> minimum_speed, double speed_band)
{
    if (readings.empty()) {
        refuse_all("readings", "hold at least 1 reading, got 0");
    }
    require_vectors("readings", readings);
    require_amount("machine_uncertainty", machine_uncertainty);
    require_between("speed_band", speed_band, 0.0, 1.0);
    if (minimum_speed) {
        require_speed("minimum_speed", *minimum_speed);
    }
    const auto n = static_cast<double>(readings.size());
    Runs runs{.count = static_cast<int>(readings.size())};
    for (const auto& reading : readings) {
        runs.vector += reading / n;
    }
    runs.amount = std::abs(runs.vector);
    runs.angle = degrees_of(runs.vector);
    runs.covariance = covariance_of(readings, runs.vector);
    runs.scatter = std::sqrt((runs.covariance[0][0] + runs.covariance[1][1]) / 2);
    auto c = runs.covariance;
    for (std::size_t i = 0; i < 2; ++i) {
        for (std::size_t j = 0; j < 2; ++j) {
            c[i][j] = c[i][j] / n + (i == j ? machine_uncertainty * machine_uncertainty : 0);
        }
    }
    runs.uncertainty = std::sqrt((c[0][0] + c[1][1]) / 2);
    if (runs.amount > 0) {
        const Vector e = runs.vector / runs.amount;
        // Rounding must not make the least of variances negative.
        runs.amount_uncertainty = std::sqrt(std::max(0.0, along(c, e)));
        const double across = std::sqrt(std::max(0.0, along(c, e * Vector(0, 1))));
        runs.angle_uncertainty = std::min(180.0, numerics::degrees(across / runs.amount));
    } else {
        runs.amount_uncertainty = runs.uncertainty;
        runs.angle_uncertainty = 180;
    }
    if (speeds) {
        require_count("speeds", speeds->size(), readings.size(), "speeds");
        for (std::size_t i = 0; i < speeds->size(); ++i) {
            require_speed(element_name("speeds", i), (*speeds)[i]);
        }
        judge_speeds(runs, *speeds, minimum_speed, speed_band);
    }
    if (runs.status == RunsStatus::steady && readings.size() == 1) {
        runs.status = RunsStatus::single_run;
        runs.reason = "one spin says nothing about its scatter";
        runs.next = "spin again, stopping in between, three times in all";
    }
    return runs;
}

namespace {

Eigen::VectorXcd column_of(std::span<const Vector> values)
{
    return Eigen::Map<const Eigen::VectorXcd>(values.data(),
                                              static_cast<Eigen::Index>(values.size()));
}

}  // namespace

Indexed index_balance(std::span<const Vector> readings, std::span<const double> index_angles)
{
    require_readings("index_angles", index_angles, 2);
    require_count("readings", readings.size(), index_angles.size(), "spins");
    require_vectors("readings", readings);
    const auto n = static_cast<Eigen::Index>(readings.size());
    Eigen::MatrixXcd model(n, 2);
    for (std::size_t j = 0; j < index_angles.size(); ++j) {
        require_angle(element_name("index_angles", j), index_angles[j]);
        const auto row = static_cast<Eigen::Index>(j);
        model(row, 0) = 1;
        model(row, 1) = unit_vector(index_angles[j]);
        for (std::size_t k = 0; k < j; ++k) {
            if (std::abs(model(row, 1) - model(static_cast<Eigen::Index>(k), 1)) < 1e-6) {
                refuse(element_name("index_angles", j),
                       "another position than " + element_name("index_angles", k), index_angles[j]);
            }
        }
    }
    const auto fit =
        numerics::complex_least_squares(model, column_of(readings), Eigen::VectorXd::Ones(n));
    Indexed found{
        .rotor = fit.solution(1, 0), .tooling = fit.solution(0, 0), .count = static_cast<int>(n)};
    if (n > 2) {
        const double scatter =
            std::sqrt(fit.residual.squaredNorm() / (2 * static_cast<double>(n - 2)));
        found.scatter = scatter;
        found.tooling_uncertainty = scatter * fit.spread[0];
        found.rotor_uncertainty = scatter * fit.spread[1];
    }
    return found;
}

namespace {

/// The curve a + b cos + c sin through squared readings, and its scatter.
struct Curve {
    double a = 0;
    Vector side{};
    double scatter = 0;
};

Curve fitted(std::span<const double> readings, std::span<const double> angles, double scale)
{
    const auto n = static_cast<Eigen::Index>(readings.size());
    Eigen::MatrixXd model(n, 3);
    Eigen::VectorXd squared(n);
    for (Eigen::Index j = 0; j < n; ++j) {
        const auto at = static_cast<std::size_t>(j);
        const Vector e = unit_vector(angles[at]);
        model.row(j) << 1, e.real(), e.imag();
        squared[j] = std::pow(readings[at] / scale, 2);
    }
    Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(n, 3);
    qr.setThreshold(1e-9);
    qr.compute(model);
    if (qr.rank() < 3) {
        refuse_all("angles", "hold at least 3 different positions");
    }
    const Eigen::Vector3d x = qr.solve(squared);
    return {x[0],
            {x[1], x[2]},
            std::sqrt((squared - model * x).squaredNorm() / static_cast<double>(n))};
}

}  // namespace

Traverse traverse(std::span<const double> readings, std::span<const double> angles,
                  double test_amount, std::optional<double> initial)
{
    require_readings("readings", readings, 3);
    require_readings("angles", angles, 3);
    require_count("angles", angles.size(), readings.size(), "angles");
    require_some_amount("test_amount", test_amount);
    double scale = 0;
    for (std::size_t j = 0; j < readings.size(); ++j) {
        require_between(element_name("readings", j), readings[j], 0.0, 1e15);
        require_angle(element_name("angles", j), angles[j]);
        scale = std::max(scale, readings[j]);
    }
    if (initial) {
        require_between("initial", *initial, 0.0, 1e15);
    }
    const Curve curve = fitted(readings, angles, scale > 0 ? scale : 1);
    const double b = std::abs(curve.side);
    Traverse found;
    if (!(curve.a > 0) || b > 1.05 * curve.a) {
        found.status = TraverseStatus::inconsistent;
        found.reason = "no unbalance and test mass make these readings together";
        found.next = "check angles and test mass, and carry it round again at one speed";
        return found;
    }
    found.fit = curve.scatter / (2 * curve.a);
    if (b == 0) {
        found.sensitivity = scale * std::sqrt(curve.a) / test_amount;
        found.next = "nothing to do: the test mass alone is read at every angle";
        return found;
    }
    const double rho = std::max(curve.a / b, 1.0);
    double s = 1 / (rho + std::sqrt(rho * rho - 1));
    if (initial) {
        const auto predicted = [&](double ratio) {
            return scale * std::sqrt(b / (2 * ratio)) * ratio;
        };
        if (std::abs(predicted(1 / s) - *initial) < std::abs(predicted(s) - *initial)) {
            s = 1 / s;
        }
    }
    found.unbalance = s * test_amount * (curve.side / b);
    found.amount = std::abs(found.unbalance);
    found.angle = degrees_of(found.unbalance);
    found.sensitivity = scale * std::sqrt(b / (2 * s)) / test_amount;
    found.next =
        "the rotor is heavy by " + amount_text(found.amount) + " at " + angle_text(found.angle);
    return found;
}

double reduction_ratio(Vector before, Vector after)
{
    require_vector("before", before);
    require_vector("after", after);
    require_some_amount("before", std::hypot(before.real(), before.imag()));
    return 1 - std::abs(after) / std::abs(before);
}

}  // namespace enginewright::balance
