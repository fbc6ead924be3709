#include <algorithm>
#include <cmath>
#include <vector>

#include "crank_train_formulas.hpp"
#include "enginewright/crank_train.hpp"

namespace enginewright::crank_train {

namespace {

constexpr double still = 1e-14;
constexpr double nothing = 1e-15;
constexpr std::size_t first_samples = 128;
constexpr std::size_t most_samples = 65536;

struct Sums {
    std::vector<double> cosine;
    std::vector<double> sine;
};

/// Trapezoid sums of the acceleration over one turn, counted from top dead centre.
///
/// Angles before and after top dead centre are taken in pairs: without an offset their difference
/// is exactly 0, and so are the sines.
Sums trapezoid_sums(const formula::Train<double>& t, std::size_t orders, std::size_t samples)
{
    const double step = 360.0 / static_cast<double>(samples);
    std::vector<numerics::SineCosine<double>> wheel;
    std::vector<double> even;
    std::vector<double> odd;
    for (std::size_t k = 0; k < samples; ++k) {
        wheel.push_back(numerics::sine_cosine_of_degrees(static_cast<double>(k) * step));
    }
    const auto acceleration = [&](double angle) {
        return formula::depth_curvature(formula::pose(angle, t), t) / t.radius;
    };
    for (std::size_t k = 0; k <= samples / 2; ++k) {
        const double angle = static_cast<double>(k) * step;
        const double after = acceleration(angle);
        const bool alone = k == 0 || k == samples / 2;
        const double before = alone ? 0.0 : acceleration(-angle);
        even.push_back(after + before);
        odd.push_back(alone ? 0.0 : after - before);
    }
    Sums sums;
    for (std::size_t n = 1; n <= orders; ++n) {
        double cosine = 0;
        double sine = 0;
        for (std::size_t k = 0; k <= samples / 2; ++k) {
            const auto& at = wheel[n * k % samples];
            cosine += even[k] * at.cosine;
            sine += odd[k] * at.sine;
        }
        sums.cosine.push_back(2 * cosine / static_cast<double>(samples));
        sums.sine.push_back(2 * sine / static_cast<double>(samples));
    }
    return sums;
}

bool has_settled(const Sums& now, const Sums& before)
{
    double moved = 0;
    double scale = 1;
    for (std::size_t n = 0; n < now.cosine.size(); ++n) {
        moved = std::max({moved, std::abs(now.cosine[n] - before.cosine[n]),
                          std::abs(now.sine[n] - before.sine[n])});
        scale = std::max({scale, std::abs(now.cosine[n]), std::abs(now.sine[n])});
    }
    return moved <= still * scale;
}

Sums settled_sums(const formula::Train<double>& t, std::size_t orders)
{
    Sums before = trapezoid_sums(t, orders, first_samples);
    for (std::size_t samples = 2 * first_samples; samples < most_samples; samples *= 2) {
        Sums now = trapezoid_sums(t, orders, samples);
        if (has_settled(now, before)) {
            return now;
        }
        before = std::move(now);
    }
    refuse("rod_length",
           "longer against stroke/2 + |pin_offset|, " +
               number_text(t.radius + std::abs(t.pin_offset)) +
               " mm, for harmonics that can be summed",
           t.rod_length);
}

double clean(double figure) { return std::abs(figure) < nothing ? 0.0 : figure; }

}  // namespace

Harmonics acceleration_harmonics(double stroke, double rod_length, double pin_offset, int orders,
                                 Reference reference)
{
    const auto t = formula::train(stroke, rod_length, pin_offset);
    if (orders < 1 || orders > 64) {
        refuse("orders", "between 1 and 64", orders);
    }
    const auto sums = settled_sums(t, static_cast<std::size_t>(orders));
    const double lead = std::asin(t.sine) * formula::degrees_of_radian;
    Harmonics answer;
    for (std::size_t i = 0; i < sums.cosine.size(); ++i) {
        const auto n = static_cast<double>(i + 1);
        double cosine = sums.cosine[i];
        double sine = sums.sine[i];
        if (reference == Reference::cylinder_axis && pin_offset != 0) {
            const auto turn = numerics::sine_cosine_of_degrees(n * lead);
            const double along = cosine * turn.cosine - sine * turn.sine;
            sine = sine * turn.cosine + cosine * turn.sine;
            cosine = along;
        }
        cosine = clean(cosine);
        sine = clean(sine);
        answer.order.push_back(n);
        answer.cosine.push_back(cosine);
        answer.sine.push_back(sine);
        answer.amplitude.push_back(std::hypot(cosine, sine));
        answer.phase.push_back(std::atan2(sine, cosine) * formula::degrees_of_radian);
    }
    return answer;
}

}  // namespace enginewright::crank_train
