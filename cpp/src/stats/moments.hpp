#pragma once

#include <span>
#include <string_view>

/// Mean and spread with the digits that rounding would drop: what every room of `stats` stands on.
namespace enginewright::stats {

/// Mean, and the sum of squared distances from it.
struct Moments {
    double mean = 0;
    double squares = 0;
    double minimum = 0;
    double maximum = 0;

    bool has_spread() const { return squares > 0; }
};

/// Moments of at least one number of at most 1e100.
Moments moments(std::span<const double> values);

/// Root of the mean square with count - 1; for at least two.
double deviation(const Moments& of, std::size_t count);

/// Refuses a set that is too short or holds a number that is not finite or beyond 1e100: squares
/// and cubes must stay within doubles.
void require_values(std::string_view name, std::span<const double> values, std::size_t least);

/// Refuses one such number.
void require_value(std::string_view name, double value);

/// Refuses a level that is no probability.
void require_level(double level);

}  // namespace enginewright::stats
