#pragma once

#include <complex>
#include <numbers>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/reciprocating.hpp"
#include "numerics/degrees.hpp"

/// What the rooms of `reciprocating` share.
namespace enginewright::reciprocating {

using Vector = std::complex<double>;

inline constexpr double greatest_mass = 1e9;
inline constexpr double greatest_turn = 1e9;
inline constexpr double greatest_unbalance = 1e15;
inline constexpr std::size_t most_cylinders = 1000;

/// The unit vector at an angle, degrees; exact at quarter turns.
inline Vector unit_vector(double degrees)
{
    const auto [sine, cosine] = numerics::sine_cosine_of_degrees(degrees);
    return {cosine, sine};
}

inline void require_angle(std::string_view name, double value)
{
    require_between(name, value, -greatest_turn, greatest_turn, "deg");
}

/// Half a stroke that the crank train takes.
inline void require_radius(std::string_view name, double value)
{
    require_size(name, value);
    require_at_least(name, value, 1e-6, "mm");
}

inline void require_mass(std::string_view name, double value)
{
    require_at_least(name, value, 0.0, "g");
    require_at_most(name, value, greatest_mass, "g");
}

inline void require_weighed(std::string_view name, double value)
{
    require_positive(name, value, "g");
    require_at_most(name, value, greatest_mass, "g");
}

/// How many a figure stands for: 1 for a single one.
inline std::size_t count_of(const OneOrEach& given)
{
    const auto* each = std::get_if<std::vector<double>>(&given);
    return each == nullptr ? 1 : each->size();
}

/// The figure for each of `count`; a list of another length is refused.
inline std::vector<double> spread_over(std::string_view name, const OneOrEach& given,
                                       std::size_t count)
{
    if (const auto* one = std::get_if<double>(&given)) {
        return std::vector<double>(count, *one);
    }
    const auto& each = std::get<std::vector<double>>(given);
    if (each.size() != count) {
        refuse_all(name, "be one figure or " + std::to_string(count) + ", got " +
                             std::to_string(each.size()));
    }
    return each;
}

/// Mean of some positions.
inline double mean_of(std::span<const double> values)
{
    double sum = 0;
    for (const double each : values) {
        sum += each;
    }
    return sum / static_cast<double>(values.size());
}

}  // namespace enginewright::reciprocating
