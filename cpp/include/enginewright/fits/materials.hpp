#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>

#include "enginewright/record.hpp"

/// What the two parts of a joint are made of.
namespace enginewright::fits {

/// A material of a pressed part: stiffness, cross contraction, expansion, and what it bears.
///
/// name            what the shop calls it, not empty
/// modulus         modulus of elasticity, MPa, 1 to 1e7
/// poisson         Poisson's ratio, 0 to 0.5
/// expansion       mean coefficient near room temperature, 0 to 0.001 1/K
/// yield_strength  MPa, above 0 to 1e5; None: not known, and no safety is computed
///
/// >>> bronze = ew.fits.Material("our bronze", 110000, 0.34, 17.5e-6, yield_strength=280)
/// >>> bronze.yield_strength
/// 280.0
struct Material {
    std::string name{};
    double modulus = 0;
    double poisson = 0;
    double expansion = 0;
    std::optional<double> yield_strength{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &Material::name, "what it is called"},
            Field{"modulus", "MPa", &Material::modulus, "modulus of elasticity"},
            Field{"poisson", "", &Material::poisson, "Poisson's ratio"},
            Field{"expansion", "1/K", &Material::expansion, "mean coefficient near 20 °C"},
            Field{"yield_strength", "MPa", &Material::yield_strength, "None when not known"},
        };
    }
    bool operator==(const Material&) const = default;
};
static_assert(lists_every_member<Material>);

/// Refuses a material that cannot be: no name, figures out of range.
///
/// what  the argument that it came as, for the refusal: "inner.modulus must be ..."
///
/// Throws std::invalid_argument.
void require_material(const Material& material, std::string_view what = "");

/// Typical materials of the trade; none has a yield strength, which the shop must know itself.
///
/// Source: typical handbook values, from memory; castings and bronzes scatter by a tenth and more.
std::span<const Material> materials();

/// A typical material by its name.
///
/// argument  what it was given as, for the refusal
///
/// Throws std::invalid_argument, with the names there are.
const Material& material(std::string_view name, std::string_view argument = "material");

/// Expansion of a typical material by its name, 1/K; that of steel when the name is not known.
double expansion_of(std::string_view name);

}  // namespace enginewright::fits
