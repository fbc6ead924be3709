#pragma once

#include <array>
#include <string_view>

/// Expansion of the shop's materials: typical handbook values, 1/K. The shop should know its own.
namespace enginewright {

struct MaterialExpansion {
    std::string_view name;
    double expansion;
};

// Mean coefficients near room temperature; typical values of engineering handbooks, from memory.
inline constexpr std::array<MaterialExpansion, 6> material_expansions{{
    {"steel", 11.5e-6},
    {"grey iron", 10.5e-6},
    {"ductile iron", 11.0e-6},
    {"cast aluminium", 21.5e-6},
    {"phosphor bronze", 17.8e-6},
    {"sintered iron", 11.0e-6},
}};

/// Expansion of a material by its name; steel when the name is not known.
constexpr double expansion_of(std::string_view name)
{
    for (const auto& each : material_expansions) {
        if (each.name == name) {
            return each.expansion;
        }
    }
    return material_expansions.front().expansion;
}

}  // namespace enginewright
