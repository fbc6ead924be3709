#include "enginewright/fasteners/torque.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "enginewright/fasteners/threads.hpp"
#include "fasteners/require.hpp"
#include "wording.hpp"

namespace enginewright::fasteners {

using std::numbers::pi;

namespace {

void require_torque(double torque)
{
    require_positive("torque", torque, "N·m");
    require_between("torque", torque, 1e-12, 1e12, "N·m");
}

/// What K may come from, as the caller gave it.
struct Friction {
    std::optional<double> nut_factor;
    std::optional<double> pitch;
    std::optional<double> thread;
    std::optional<double> bearing;
    std::optional<double> bearing_diameter;
};

void require_one_way(const Friction& given)
{
    const std::array<std::pair<const char*, bool>, 3> parts{
        {{"pitch", given.pitch.has_value()},
         {"thread_friction", given.thread.has_value()},
         {"bearing_friction", given.bearing.has_value()}}};
    std::string there;
    std::string missing;
    for (const auto& [name, has] : parts) {
        std::string& list = has ? there : missing;
        list.append(list.empty() ? "" : ", ").append(name);
    }
    if (given.bearing_diameter) {
        there.append(there.empty() ? "" : ", ").append("bearing_diameter");
    }
    if (given.nut_factor) {
        if (!there.empty()) {
            refuse_all("nut_factor", "stand alone or be left out, got " +
                                         number_text(*given.nut_factor) + " beside " + there);
        }
        return;
    }
    if (!missing.empty()) {
        refuse_all("nut_factor",
                   "be given, or pitch, thread_friction and bearing_friction; missing: " + missing);
    }
}

double factor_of(double diameter, const Friction& given)
{
    require_bolt_diameter(diameter);
    require_one_way(given);
    if (given.nut_factor) {
        require_positive("nut_factor", *given.nut_factor);
        require_between("nut_factor", *given.nut_factor, 1e-9, 1.0);
        return *given.nut_factor;
    }
    return nut_factor(diameter, *given.pitch, *given.thread, *given.bearing,
                      given.bearing_diameter);
}

}  // namespace

double nut_factor(double diameter, double pitch, double thread_friction, double bearing_friction,
                  std::optional<double> bearing_diameter)
{
    require_thread(diameter, pitch);
    require_between("thread_friction", thread_friction, 0.0, 1.0);
    require_between("bearing_friction", bearing_friction, 0.0, 1.0);
    const double face = bearing_diameter.value_or(1.25 * diameter);
    if (bearing_diameter) {
        require_size("bearing_diameter", face);
        if (!(face > diameter)) {
            refuse("bearing_diameter", "above the diameter, " + number_text(diameter) + " mm",
                   face);
        }
    }
    const double pitch_diameter = thread(diameter, pitch).pitch_diameter;
    const double slope = pitch / (pi * pitch_diameter);
    const double rub = thread_friction / std::cos(pi / 6);
    const double in_thread = pitch_diameter / 2 * (slope + rub) / (1 - rub * slope);
    return (in_thread + bearing_friction * face / 2) / diameter;
}

double torque_for_preload(double preload, double diameter, std::optional<double> nut_factor,
                          std::optional<double> pitch, std::optional<double> thread_friction,
                          std::optional<double> bearing_friction,
                          std::optional<double> bearing_diameter)
{
    require_load("preload", preload);
    const double factor = factor_of(
        diameter, {nut_factor, pitch, thread_friction, bearing_friction, bearing_diameter});
    return factor * preload * diameter / 1000;
}

double preload_from_torque(double torque, double diameter, std::optional<double> nut_factor,
                           std::optional<double> pitch, std::optional<double> thread_friction,
                           std::optional<double> bearing_friction,
                           std::optional<double> bearing_diameter)
{
    require_torque(torque);
    const double factor = factor_of(
        diameter, {nut_factor, pitch, thread_friction, bearing_friction, bearing_diameter});
    return 1000 * torque / (factor * diameter);
}

namespace {

/// Status and words from the figures that stand in the record already.
void judge_band(PreloadRange& band)
{
    if (!band.proof_load) {
        band.status = PreloadStatus::no_proof_load;
        band.reason = "no proof load to compare with";
        band.next = "give the proof load of this bolt";
        return;
    }
    // A torque set to its limit comes back with a rounding in the last digit.
    const double proof = *band.proof_load * (1 + 1e-12);
    if (band.greatest <= proof) {
        return;
    }
    const bool surely = band.least > proof;
    band.status = surely ? PreloadStatus::passes : PreloadStatus::may_pass;
    band.reason = (surely ? "at least " : "at most ") +
                  wording::kilonewtons(surely ? band.least : band.greatest) +
                  " against a proof load of " + wording::kilonewtons(*band.proof_load);
    band.next = "set at most " + wording::newton_metres(wording::tenths_down(*band.torque_limit)) +
                ", or tighten by angle or stretch";
}

}  // namespace

PreloadRange preload_range(double torque, double diameter, std::optional<double> nut_factor,
                           std::optional<double> pitch, std::optional<double> thread_friction,
                           std::optional<double> bearing_friction,
                           std::optional<double> bearing_diameter, double scatter,
                           std::optional<double> proof_load)
{
    PreloadRange band{
        .preload = preload_from_torque(torque, diameter, nut_factor, pitch, thread_friction,
                                       bearing_friction, bearing_diameter),
        .proof_load = proof_load};
    require_at_least("scatter", scatter, 0.0);
    require_below("scatter", scatter, 1.0);
    band.least = band.preload * (1 - scatter);
    band.greatest = band.preload * (1 + scatter);
    if (proof_load) {
        require_load("proof_load", *proof_load);
        band.share = band.preload / *proof_load;
        band.torque_limit = torque * (*proof_load / band.greatest);
    }
    judge_band(band);
    return band;
}

}  // namespace enginewright::fasteners
