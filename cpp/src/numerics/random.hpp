#pragma once

#include <array>
#include <cstdint>
#include <span>

/// Random numbers that do not depend on order: draw i of source j is a figure of its own.
///
/// There is no state to hand on: the same seed, source and draw give the same number on every
/// machine, in any order, for any number of threads.
namespace enginewright::numerics {

/// Philox4x32 with ten rounds: 128 bits in, 128 bits out.
///
/// Source: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, Parallel random numbers: as easy as
/// 1, 2, 3, 2011.
std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter,
                                    std::array<std::uint32_t, 2> key);

/// Two numbers between 0 and 1, both ends exclusive, 52 bits each.
std::array<double, 2> uniforms(std::uint64_t seed, std::uint64_t source, std::uint64_t draw);

/// A standard normal number: an even draw and the next one share a run of `philox`.
double normal_draw(std::uint64_t seed, std::uint64_t source, std::uint64_t draw);

/// The draws of a source from `first` on, each as `normal_draw` gives it, to the bit.
void fill_normal(std::uint64_t seed, std::uint64_t source, std::uint64_t first,
                 std::span<double> out);

/// A number of Student's t; its degrees of freedom need not be whole.
///
///     t = sqrt(freedom (u^(-2 / freedom) - 1)) cos(2 pi v)
///
/// Source: R. W. Bailey, Polar generation of random variates with the t-distribution, Mathematics
/// of Computation 62 (1994) 779.
double t_draw(double freedom, std::uint64_t seed, std::uint64_t source, std::uint64_t draw);

}  // namespace enginewright::numerics
