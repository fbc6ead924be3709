#include <algorithm>
#include <cmath>

#include "crank_train_formulas.hpp"
#include "reciprocating/parts.hpp"

namespace enginewright::reciprocating {

namespace {

constexpr double newtons = 1e-6;  // g mm (rad/s)² to N

/// Where the couple is taken about.
double reference_of(const EngineLayout& layout, std::optional<double> reference)
{
    if (reference) {
        require_length("reference", *reference);
        return *reference;
    }
    return mean_of(layout.position);
}

/// m r omega² of one cylinder's reciprocating mass, N.
double inertia(const EngineLayout& layout, std::size_t cylinder, double omega)
{
    return newtons * layout.reciprocating[cylinder] * layout.crank_radius[cylinder] * omega * omega;
}

bool same_train(const EngineLayout& layout, std::size_t a, std::size_t b)
{
    return layout.crank_radius[a] == layout.crank_radius[b] &&
           layout.rod_length[a] == layout.rod_length[b] && layout.offset[a] == layout.offset[b];
}

/// Forces that turn at one order, and what they do along the crank.
struct Turning {
    Vector force_forward{};
    Vector force_backward{};
    Vector couple_forward{};
    Vector couple_backward{};

    void add(const Vector& forward, const Vector& backward, double lever)
    {
        force_forward += forward;
        force_backward += backward;
        couple_forward += lever * forward;
        couple_backward += lever * backward;
    }
};

}  // namespace

crank_train::Harmonics piston_harmonics(double crank_radius, double rod_length, double offset,
                                        int orders)
{
    require_radius("crank_radius", crank_radius);
    require_positive("rod_length", rod_length, "mm");
    require_length("offset", offset);
    const double bound = crank_radius + std::abs(offset);
    if (!(rod_length > bound * (1 + 1e-12))) {
        refuse("rod_length", "above crank_radius + |offset|, " + number_text(bound) + " mm",
               rod_length);
    }
    return crank_train::acceleration_harmonics(2 * crank_radius, rod_length, offset, orders,
                                               crank_train::Reference::cylinder_axis);
}

Shaking shaking(const EngineLayout& layout, double speed, int orders,
                std::optional<double> reference)
{
    require_layout(layout);
    const double omega = crank_train::formula::angular_speed(speed);
    if (orders < 1 || orders > 12) {
        refuse("orders", "between 1 and 12", orders);
    }
    const double about = reference_of(layout, reference);
    std::vector<Turning> sums(static_cast<std::size_t>(orders));
    crank_train::Harmonics motion;
    for (std::size_t i = 0; i < layout.throw_angle.size(); ++i) {
        if (i == 0 || !same_train(layout, i - 1, i)) {
            motion = piston_harmonics(layout.crank_radius[i], layout.rod_length[i],
                                      layout.offset[i], orders);
        }
        const double bank = layout.bank_angle[i];
        const double psi = layout.throw_angle[i] - bank;
        const double lever = (layout.position[i] - about) / 1000;
        for (std::size_t k = 0; k < sums.size(); ++k) {
            const auto n = static_cast<double>(k + 1);
            const Vector c = inertia(layout, i, omega) * Vector(motion.cosine[k], -motion.sine[k]);
            sums[k].add(0.5 * c * unit_vector(n * psi + bank),
                        0.5 * std::conj(c) * unit_vector(bank - n * psi), lever);
        }
        const double turning =
            newtons * layout.rotating[i] * layout.crank_radius[i] * omega * omega;
        sums[0].add(turning * unit_vector(layout.throw_angle[i]), 0.0, lever);
    }
    for (std::size_t i = 0; i < layout.counterweight.size(); ++i) {
        sums[0].add(newtons * omega * omega * layout.counterweight[i], 0.0,
                    (layout.counterweight_position[i] - about) / 1000);
    }
    Shaking found{.reference = about};
    for (std::size_t k = 0; k < sums.size(); ++k) {
        const auto& at = sums[k];
        found.order.push_back(static_cast<double>(k + 1));
        found.force_forward.push_back(at.force_forward);
        found.force_backward.push_back(at.force_backward);
        found.couple_forward.push_back(at.couple_forward);
        found.couple_backward.push_back(at.couple_backward);
        const double forward = std::abs(at.force_forward);
        const double backward = std::abs(at.force_backward);
        found.force_maximum.push_back(forward + backward);
        found.force_minimum.push_back(std::abs(forward - backward));
        const double with = std::abs(at.couple_forward);
        const double against = std::abs(at.couple_backward);
        found.couple_maximum.push_back(with + against);
        found.couple_minimum.push_back(std::abs(with - against));
    }
    return found;
}

ShakingAt shaking_at(const EngineLayout& layout, double speed, const OneOrEach& crank_angle,
                     std::optional<double> reference)
{
    require_layout(layout);
    const double omega = crank_train::formula::angular_speed(speed);
    const auto angles = spread_over("crank_angle", crank_angle, count_of(crank_angle));
    const double about = reference_of(layout, reference);
    std::vector<crank_train::formula::Train<double>> trains;
    std::vector<double> leads;
    for (std::size_t i = 0; i < layout.throw_angle.size(); ++i) {
        trains.push_back(crank_train::formula::train(2 * layout.crank_radius[i],
                                                     layout.rod_length[i], layout.offset[i]));
        leads.push_back(std::asin(trains[i].sine) * crank_train::formula::degrees_of_radian);
    }
    ShakingAt found;
    for (std::size_t a = 0; a < angles.size(); ++a) {
        require_angle(angles.size() == 1 ? "crank_angle" : element_name("crank_angle", a),
                      angles[a]);
        Vector force;
        Vector couple;
        const auto add = [&](const Vector& push, double position) {
            force += push;
            couple += (position - about) / 1000 * push;
        };
        for (std::size_t i = 0; i < trains.size(); ++i) {
            const double phi = angles[a] + layout.throw_angle[i] - layout.bank_angle[i];
            // The train counts from its own top dead centre, throws from the cylinder's axis.
            const auto pose = crank_train::formula::pose(phi - leads[i], trains[i]);
            const double along = newtons * layout.reciprocating[i] * omega * omega *
                                 crank_train::formula::depth_curvature(pose, trains[i]);
            const double turning =
                newtons * layout.rotating[i] * layout.crank_radius[i] * omega * omega;
            add(along * unit_vector(layout.bank_angle[i]) +
                    turning * unit_vector(layout.throw_angle[i] + angles[a]),
                layout.position[i]);
        }
        for (std::size_t i = 0; i < layout.counterweight.size(); ++i) {
            add(newtons * omega * omega * layout.counterweight[i] * unit_vector(angles[a]),
                layout.counterweight_position[i]);
        }
        found.force.push_back(force);
        found.couple.push_back(couple);
    }
    return found;
}

namespace {

/// The primary forces of a layout: all throws together, and the halves that turn forward and
/// backward. An offset pin turns the forward half a little away from the throws.
struct Primary {
    Vector throws{};
    Vector forward{};
    Vector backward{};
    double sum = 0;
};

Primary primary_of(const EngineLayout& layout, double omega)
{
    Primary all;
    for (std::size_t i = 0; i < layout.throw_angle.size(); ++i) {
        const double mass = inertia(layout, i, omega);
        const double bank = layout.bank_angle[i];
        const auto motion =
            piston_harmonics(layout.crank_radius[i], layout.rod_length[i], layout.offset[i], 1);
        const Vector c = mass * Vector(motion.cosine[0], -motion.sine[0]);
        all.throws += mass * unit_vector(layout.throw_angle[i]);
        all.forward += 0.5 * c * unit_vector(layout.throw_angle[i]);
        all.backward += 0.5 * std::conj(c) * unit_vector(2 * bank - layout.throw_angle[i]);
        all.sum += mass;
    }
    return all;
}

std::string percent(double share) { return fixed_text(100 * share, 1) + " %"; }

}  // namespace

BalanceFactor balance_factor(const EngineLayout& layout, double speed, double along, double across,
                             double direction)
{
    require_layout(layout);
    const double omega = crank_train::formula::angular_speed(speed);
    require_positive("speed", speed, "rpm");
    require_between("along", along, 0, 1e9);
    require_between("across", across, 0, 1e9);
    if (along + across <= 0) {
        refuse_all("along", "be above 0 when across is 0: one direction must count");
    }
    require_angle("direction", direction);
    const auto primary = primary_of(layout, omega);
    const double hardly = 1e-9 * primary.sum;
    BalanceFactor found{.backward = primary.backward};
    const Vector d = unit_vector(-direction);
    const Vector back = std::conj(primary.backward * d);
    double k = 0;
    if (std::abs(primary.throws) > hardly) {
        const Vector s = primary.throws * d;
        const Vector half = primary.forward * d;
        const double wanted =
            (along * std::conj(s) * (half + back) + across * std::conj(s) * (half - back)).real() /
            ((along + across) * std::norm(s));
        k = std::clamp(wanted, 0.0, 1.0);
        found.factor = k;
    }
    found.forward = primary.forward - k * primary.throws;
    found.residual_along = std::abs(found.forward * d + back);
    found.residual_across = std::abs(found.forward * d - back);
    found.maximum = std::abs(found.forward) + std::abs(found.backward);
    found.minimum = std::abs(std::abs(found.forward) - std::abs(found.backward));
    if (!found.factor) {
        const bool none = std::abs(primary.backward) <= hardly;
        found.status =
            none ? FactorStatus::no_primary_force : FactorStatus::counterweights_cannot_help;
        found.reason = none ? "the throws cancel each other's primary forces"
                            : "the primary force turns only against the crank, which carries its "
                              "counterweights the other way";
        found.next = none ? "balance the couple; the factor does not matter to the force"
                          : "a shaft that turns backward would be needed";
        return found;
    }
    found.status = found.maximum <= hardly ? FactorStatus::balanced : FactorStatus::compromise;
    found.next = "carry " + percent(k) + " of each cylinder's reciprocating mass on its throw";
    if (found.status == FactorStatus::compromise) {
        found.reason =
            std::abs(found.backward) > hardly
                ? "a counterweight turns with the crank and cannot reach the half that "
                  "turns against it"
                : "the offset of the pins turns a part of the force away from the throws";
    }
    return found;
}

}  // namespace enginewright::reciprocating
