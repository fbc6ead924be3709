#include "balance/bounds.hpp"

#include <numbers>

namespace enginewright::balance {

std::vector<double> each_plane(std::string_view name, const OneOrEach& given, std::size_t planes)
{
    if (const auto* one = std::get_if<double>(&given)) {
        return std::vector<double>(planes, *one);
    }
    const auto& each = std::get<std::vector<double>>(given);
    if (each.size() != planes) {
        refuse_all(name, "hold one figure or " + std::to_string(planes) + ", got " +
                             std::to_string(each.size()));
    }
    return each;
}

std::vector<double> each_uncertainty(std::string_view name, const OneOrEach& given,
                                     std::size_t planes)
{
    auto each = each_plane(name, given, planes);
    for (std::size_t p = 0; p < each.size(); ++p) {
        require_amount(
            std::holds_alternative<double>(given) ? std::string(name) : element_name(name, p),
            each[p]);
    }
    return each;
}

std::vector<double> each_tolerance(const OneOrEach& given, std::size_t planes)
{
    auto each = each_plane("tolerance", given, planes);
    for (std::size_t p = 0; p < each.size(); ++p) {
        const bool one = std::holds_alternative<double>(given);
        require_tolerance(each[p], one ? std::nullopt : std::optional(p));
    }
    return each;
}

double omega_of(double speed) { return speed * 2 * std::numbers::pi / 60; }

std::string amount_text(double amount) { return fixed_text(amount, amount < 10 ? 1 : 0) + " g mm"; }

std::string angle_text(double angle)
{
    // 359.6 is 0 to the nearest degree, not 360.
    const double whole = std::round(angle);
    return fixed_text(whole >= 360 ? 0.0 : whole, 0) + " deg";
}

}  // namespace enginewright::balance
