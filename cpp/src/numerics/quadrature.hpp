#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

/// Integrals of smooth functions. Numbers only.
namespace enginewright::numerics {

/// Gauss-Legendre rule: `count` points on [-1, 1] that integrate polynomials of degree 2 count - 1.
///
/// Source: NIST Digital Library of Mathematical Functions, 3.5(v); nodes by Newton's rule from the
///     asymptotic estimate of 18.16.
class GaussLegendre {
  public:
    explicit GaussLegendre(std::size_t count) : nodes_(count), weights_(count)
    {
        const auto n = static_cast<double>(count);
        for (std::size_t i = 0; i < count; ++i) {
            double x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
            double slope = 1;
            for (int round = 0; round < 100; ++round) {
                double before = 1;
                double value = x;
                for (std::size_t k = 2; k <= count; ++k) {
                    const auto order = static_cast<double>(k);
                    const double next =
                        ((2 * order - 1) * x * value - (order - 1) * before) / order;
                    before = value;
                    value = next;
                }
                slope = n * (before - x * value) / (1 - x * x);
                const double step = value / slope;
                x -= step;
                if (std::abs(step) < 1e-15) {
                    break;
                }
            }
            nodes_[i] = x;
            weights_[i] = 2 / ((1 - x * x) * slope * slope);
        }
    }

    std::size_t size() const { return nodes_.size(); }

    /// The point and its weight, carried from [-1, 1] to an interval.
    double node(std::size_t i, double low, double high) const
    {
        return (low + high) / 2 + (high - low) / 2 * nodes_[i];
    }
    double weight(std::size_t i, double low, double high) const
    {
        return (high - low) / 2 * weights_[i];
    }

    /// Integral of a function from low to high.
    template <class Function>
    double integrate(Function f, double low, double high) const
    {
        double sum = 0;
        for (std::size_t i = 0; i < size(); ++i) {
            sum += weight(i, low, high) * f(node(i, low, high));
        }
        return sum;
    }

  private:
    std::vector<double> nodes_;
    std::vector<double> weights_;
};

}  // namespace enginewright::numerics
