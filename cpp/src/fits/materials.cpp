#include "enginewright/fits/materials.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "enginewright/check.hpp"

namespace enginewright::fits {

namespace {

// Typical values of engineering handbooks, from memory: modulus MPa, Poisson's ratio, mean
// expansion near room temperature 1/K. Yield strengths depend on the casting and its heat
// treatment, so none is offered.
const std::array<Material, 6>& shipped()
{
    static const std::array<Material, 6> list{{
        {.name = "steel", .modulus = 207000, .poisson = 0.292, .expansion = 11.5e-6},
        {.name = "grey iron", .modulus = 100000, .poisson = 0.211, .expansion = 10.5e-6},
        {.name = "ductile iron", .modulus = 169000, .poisson = 0.29, .expansion = 11.0e-6},
        {.name = "cast aluminium", .modulus = 71000, .poisson = 0.334, .expansion = 21.5e-6},
        {.name = "phosphor bronze", .modulus = 111000, .poisson = 0.349, .expansion = 17.8e-6},
        {.name = "sintered iron", .modulus = 115000, .poisson = 0.25, .expansion = 11.0e-6},
    }};
    return list;
}

const Material* find(std::string_view name)
{
    const auto& list = shipped();
    const auto at = std::find_if(list.begin(), list.end(),
                                 [&](const Material& each) { return each.name == name; });
    return at == list.end() ? nullptr : &*at;
}

std::string member(std::string_view what, std::string_view field)
{
    return what.empty() ? std::string(field) : std::string(what).append(".").append(field);
}

}  // namespace

void require_material(const Material& material, std::string_view what)
{
    if (material.name.empty()) {
        refuse_all(member(what, "name"), "hold a word, got ''");
    }
    require_between(member(what, "modulus"), material.modulus, 1.0, 1e7, "MPa");
    require_between(member(what, "poisson"), material.poisson, 0.0, 0.5);
    require_between(member(what, "expansion"), material.expansion, 0.0, 0.001, "1/K");
    if (material.yield_strength) {
        require_positive(member(what, "yield_strength"), *material.yield_strength, "MPa");
        require_at_most(member(what, "yield_strength"), *material.yield_strength, 1e5, "MPa");
    }
}

std::span<const Material> materials() { return shipped(); }

const Material& material(std::string_view name, std::string_view argument)
{
    const Material* found = find(name);
    if (found == nullptr) {
        std::string names;
        for (const auto& each : shipped()) {
            names.append(names.empty() ? "" : ", ").append(each.name);
        }
        refuse_word(argument, names + ", or be a Material of your own", name);
    }
    return *found;
}

double expansion_of(std::string_view name)
{
    const Material* found = find(name);
    return found != nullptr ? found->expansion : shipped().front().expansion;
}

}  // namespace enginewright::fits
