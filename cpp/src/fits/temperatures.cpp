#include "enginewright/fits/temperatures.hpp"

#include <cmath>

#include "enginewright/check.hpp"
#include "temperature.hpp"
#include "wording.hpp"

namespace enginewright::fits {

using wording::mm;

namespace {

constexpr double absolute_zero = -273.15;

// Liquid nitrogen boils at this, °C: the coldest bath of a workshop.
constexpr double coldest = -196;

// Below this mean coefficients are those of handbooks no longer, °C.
constexpr double still_usual = -50;

// Beyond this no part is solid, °C: an answer above it is none.
constexpr double hottest = 10000;

std::string celsius(double value) { return fixed_text(value, 0) + " °C"; }

Loosening never(std::string reason)
{
    return {.status = Loosens::never, .temperature = std::nullopt, .reason = std::move(reason)};
}

/// Diameter gained by a part between 20 °C and a temperature, mm.
double growth(double diameter, double expansion, double temperature)
{
    return diameter * expansion * (temperature - 20);
}

std::string cold_note(double temperature)
{
    return temperature < still_usual
               ? "; below -50 °C metals shrink less than their mean coefficient says, allow for it"
               : "";
}

}  // namespace

Loosening loosening_temperature(double diameter, double interference, double inner_expansion,
                                double outer_expansion, double inner_share)
{
    require_size("diameter", diameter);
    require_length("interference", interference);
    require_expansion("inner_expansion", inner_expansion);
    require_expansion("outer_expansion", outer_expansion);
    require_between("inner_share", inner_share, 0.0, 100.0);
    if (interference <= 0) {
        return {
            .status = Loosens::loose,
            .temperature = std::nullopt,
            .reason = "there is no interference at 20 °C: " + mm(-interference) + " of clearance"};
    }
    const double difference = outer_expansion - inner_share * inner_expansion;
    if (difference == 0) {
        return never("both parts grow alike");
    }
    const double temperature = 20 + interference / (diameter * difference);
    if (temperature <= absolute_zero) {
        return never("it would have to be colder than -273 °C");
    }
    if (temperature > hottest) {
        return never("it would have to be hotter than metals are solid");
    }
    if (difference > 0) {
        return {
            .status = Loosens::when_heated,
            .temperature = temperature,
            .reason = "the housing grows more than the inner part; no interference is left at " +
                      celsius(temperature)};
    }
    return {.status = Loosens::when_cooled,
            .temperature = temperature,
            .reason = "the inner part shrinks more than the housing; no interference is left at " +
                      celsius(temperature) + cold_note(temperature)};
}

Assembly assembly_temperature(double diameter, double interference, double clearance,
                              double outer_expansion, double inner_expansion, double room,
                              std::optional<double> inner_temperature,
                              std::optional<double> outer_limit)
{
    require_size("diameter", diameter);
    require_length("interference", interference);
    require_length_at_least_zero("clearance", clearance);
    require_positive("outer_expansion", outer_expansion, "1/K");
    // No solid grows less, and the answer would overflow.
    require_between("outer_expansion", outer_expansion, 1e-9, 0.001, "1/K");
    require_expansion("inner_expansion", inner_expansion);
    require_temperature("room", room);
    const double inner = inner_temperature.value_or(room);
    require_temperature("inner_temperature", inner);
    if (outer_limit) {
        require_temperature("outer_limit", *outer_limit);
        require_at_least("outer_limit", *outer_limit, room, "°C");
    }
    const auto gap_at = [&](double outer, double part) {
        return growth(diameter, outer_expansion, outer) - growth(diameter, inner_expansion, part) -
               interference;
    };
    const double outer =
        20 + (interference + clearance + growth(diameter, inner_expansion, inner)) /
                 (diameter * outer_expansion);
    if (outer <= room) {
        return {.status = Heating::none_needed,
                .outer_temperature = room,
                .inner_temperature = inner,
                .gap = gap_at(room, inner),
                .reason = "there is " + mm(gap_at(room, inner)) + " of clearance as it is" +
                          cold_note(inner)};
    }
    if (outer <= outer_limit.value_or(hottest)) {
        return {
            .status = Heating::heat,
            .outer_temperature = outer,
            .inner_temperature = inner,
            .gap = gap_at(outer, inner),
            .reason = "heat the housing to " + celsius(outer) + " all through" + cold_note(inner)};
    }
    const double limit = outer_limit.value_or(hottest);
    const double chilled =
        inner_expansion > 0
            ? 20 + (growth(diameter, outer_expansion, limit) - interference - clearance) /
                       (diameter * inner_expansion)
            : absolute_zero;
    if (!(chilled >= coldest)) {
        return {.status = Heating::cannot,
                .outer_temperature = std::nullopt,
                .inner_temperature = std::nullopt,
                .gap = std::nullopt,
                .reason = "with the housing at " + celsius(limit) +
                          " the part would have to be colder than liquid nitrogen, -196 °C"};
    }
    return {.status = Heating::heat_and_chill,
            .outer_temperature = limit,
            .inner_temperature = chilled,
            .gap = gap_at(limit, chilled),
            .reason = "heat the housing to " + celsius(limit) +
                      ", its limit, and chill the part to " + celsius(chilled) +
                      cold_note(chilled)};
}

}  // namespace enginewright::fits
