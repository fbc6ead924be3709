#include "steps.hpp"

#include "enginewright/check.hpp"

namespace enginewright::steps {

void require_set(std::string_view name, std::span<const Grid> set)
{
    if (set.empty()) {
        refuse_all(name, "hold the readings of at least 1 part, got 0");
    }
    for (std::size_t i = 0; i < set.size(); ++i) {
        form_figures::require_grid(element_name(name, i), set[i]);
    }
}

void require_rising(std::string_view name, std::span<const double> steps)
{
    if (steps.empty()) {
        refuse_all(name, "hold at least 1 step, got 0");
    }
    for (std::size_t i = 0; i < steps.size(); ++i) {
        require_size(element_name(name, i), steps[i]);
        if (i > 0 && steps[i] <= steps[i - 1]) {
            refuse(element_name(name, i),
                   "above the step before, " + number_text(steps[i - 1]) + " mm", steps[i]);
        }
    }
}

std::vector<double> damage_of_each(const std::optional<OneOrEach>& damage_depth, std::size_t parts)
{
    if (!damage_depth) {
        return std::vector<double>(parts, 0.0);
    }
    if (const auto* one = std::get_if<double>(&*damage_depth)) {
        require_length_at_least_zero("damage_depth", *one);
        return std::vector<double>(parts, *one);
    }
    const auto& each = std::get<std::vector<double>>(*damage_depth);
    if (each.size() != parts) {
        refuse_all("damage_depth", "hold one depth or " + std::to_string(parts) +
                                       ", one a part, got " + std::to_string(each.size()));
    }
    for (std::size_t i = 0; i < each.size(); ++i) {
        require_length_at_least_zero(element_name("damage_depth", i), each[i]);
    }
    return each;
}

std::vector<Extent> extents(std::span<const Grid> set)
{
    std::vector<Extent> found;
    for (const auto& grid : set) {
        found.push_back({.least = grid.minCoeff(), .greatest = grid.maxCoeff()});
    }
    return found;
}

int first_greatest(std::span<const double> figures)
{
    return static_cast<int>(form_figures::extremes_of(figures).first_greatest);
}

}  // namespace enginewright::steps
