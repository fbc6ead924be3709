#pragma once

#include <algorithm>
#include <numbers>

#include "checked_numbers.hpp"
#include "temperature.hpp"

/// The closed forms of rings, written once for any kind of number.
namespace enginewright::rings::formula {

using std::numbers::pi;

template <class Expansion, class Temperature>
[[gnu::always_inline]] inline auto growth(const Expansion& expansion,
                                          const Temperature& temperature)
{
    return 1.0 + expansion * (temperature - 20.0);
}

[[gnu::always_inline]] inline void require_hot_ring(const auto& bore, const auto& ring_temperature,
                                                    const auto& bore_temperature,
                                                    const auto& ring_expansion,
                                                    const auto& bore_expansion)
{
    require_size("bore", bore);
    require_temperature("ring_temperature", ring_temperature);
    require_temperature("bore_temperature", bore_temperature);
    require_expansion("ring_expansion", ring_expansion);
    require_expansion("bore_expansion", bore_expansion);
}

struct GapAtBore {
    [[gnu::always_inline]] auto operator()(const auto& gap, const auto& bore,
                                           const auto& bore_new) const
    {
        require_length("gap", gap);
        require_size("bore", bore);
        require_size("bore_new", bore_new);
        return gap + pi * (bore_new - bore);
    }
};
inline constexpr GapAtBore gap_at_bore{};

struct ThermalGap {
    [[gnu::always_inline]] auto operator()(const auto& bore, const auto& ring_temperature,
                                           const auto& bore_temperature, const auto& ring_expansion,
                                           const auto& bore_expansion) const
    {
        using numerics::max;
        using std::max;
        require_hot_ring(bore, ring_temperature, bore_temperature, ring_expansion, bore_expansion);
        using Number = decltype(bore * ring_temperature * bore_temperature);
        return max(Number(0.0), pi * bore *
                                    (1.0 - growth(bore_expansion, bore_temperature) /
                                               growth(ring_expansion, ring_temperature)));
    }
};
inline constexpr ThermalGap thermal_gap{};

struct HotGap {
    [[gnu::always_inline]] auto operator()(const auto& bore, const auto& cold_gap,
                                           const auto& ring_temperature,
                                           const auto& bore_temperature, const auto& ring_expansion,
                                           const auto& bore_expansion) const
    {
        require_hot_ring(bore, ring_temperature, bore_temperature, ring_expansion, bore_expansion);
        require_length("cold_gap", cold_gap);
        require_below("cold_gap", cold_gap, pi * bore, "mm");
        return pi * bore * growth(bore_expansion, bore_temperature) -
               (pi * bore - cold_gap) * growth(ring_expansion, ring_temperature);
    }
};
inline constexpr HotGap hot_gap{};

struct SideClearance {
    [[gnu::always_inline]] auto operator()(const auto& groove_width, const auto& ring_width) const
    {
        require_size("groove_width", groove_width);
        require_size("ring_width", ring_width);
        return groove_width - ring_width;
    }
};
inline constexpr SideClearance side_clearance{};

struct BackClearance {
    [[gnu::always_inline]] auto operator()(const auto& bore, const auto& groove_root_diameter,
                                           const auto& radial_thickness) const
    {
        require_size("bore", bore);
        require_size("groove_root_diameter", groove_root_diameter);
        require_below("groove_root_diameter", groove_root_diameter, bore, "mm");
        require_size("radial_thickness", radial_thickness);
        return (bore - groove_root_diameter) / 2.0 - radial_thickness;
    }
};
inline constexpr BackClearance back_clearance{};

}  // namespace enginewright::rings::formula
