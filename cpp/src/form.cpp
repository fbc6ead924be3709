#include "form.hpp"

#include <array>
#include <cmath>

#include "wording.hpp"

namespace enginewright::form_figures {

using measure::Side;
using wording::mm;

double average(std::span<const double> readings)
{
    double sum = 0;
    for (const double reading : readings) {
        sum += reading;
    }
    return sum / static_cast<double>(readings.size());
}

Quantity average(std::span<const Quantity> readings)
{
    const auto count = static_cast<double>(readings.size());
    double sum = 0;
    for (const auto& reading : readings) {
        sum += reading.value();
    }
    const std::vector<double> gradient(readings.size(), 1 / count);
    return measure::combine(sum / count, gradient, readings);
}

Profile profile_of(std::optional<double> end_difference, double end_noise,
                   std::optional<double> barrel, double barrel_noise)
{
    if (!end_difference) {
        return Profile::unknown;
    }
    const double along = std::abs(*end_difference);
    const double bulge = barrel.value_or(0.0);
    if (along <= end_noise + 1e-9 && std::abs(bulge) <= barrel_noise + 1e-9) {
        return Profile::parallel;
    }
    if (std::abs(bulge) > along) {
        return bulge > 0 ? Profile::barrel : Profile::hourglass;
    }
    return Profile::tapered;
}

Judged judged(std::string_view what, const std::optional<Figure>& figure,
              std::optional<double> lower, std::optional<double> upper, const Missing& missing)
{
    Judged result;
    if (!lower && !upper) {
        return result;
    }
    if (!figure) {
        result.verdict = Standing::unproven;
        result.reason = missing.reason;
        result.next = missing.next;
        return result;
    }
    const auto decision = measure::decide(figure->value, figure->uncertainty,
                                          figure->degrees_of_freedom, lower, upper);
    result.verdict = decision.verdict;
    result.side = decision.side;
    if (decision.verdict == Standing::within) {
        return result;
    }
    result.reason =
        std::string(what) + " " + mm(figure->value) + ", " +
        (decision.side == Side::upper ? mm(*upper) + " allowed" : mm(*lower) + " at least");
    if (decision.verdict == Standing::outside) {
        result.beyond = -decision.margin;
        return result;
    }
    const std::string doubt =
        "±" + mm(measure::coverage_factor(figure->degrees_of_freedom) * figure->uncertainty);
    result.reason += ", not proven with " + doubt;
    result.next = "measure again with a better gauge: " + doubt + " is too much to decide";
    return result;
}

JudgedSize judged_size(const Figure& least, const Figure& greatest, std::optional<double> lower,
                       std::optional<double> upper)
{
    JudgedSize size{.least = judged("smallest", least, lower, upper),
                    .greatest = judged("largest", greatest, lower, upper)};
    // When the smallest is near the upper limit the largest says so, and the other way round.
    if (size.least.side == Side::upper) {
        size.least.reason.clear();
    }
    if (size.greatest.side == Side::lower) {
        size.greatest.reason.clear();
    }
    return size;
}

std::string ovality_name(std::optional<int> station)
{
    return station ? "ovality at station " + std::to_string(*station + 1) : "ovality";
}

std::string taper_name(std::optional<int> axis)
{
    return axis ? "taper on axis " + std::to_string(*axis + 1) : "taper";
}

std::string reasons(std::initializer_list<const Judged*> all)
{
    std::vector<std::string> told;
    for (const Standing wanted : {Standing::outside, Standing::unproven}) {
        for (const auto* each : all) {
            if (each->verdict == wanted && !each->reason.empty()) {
                told.push_back(each->reason);
            }
        }
    }
    return wording::joined(told, "; ");
}

std::string measuring(std::initializer_list<const Judged*> all)
{
    for (const auto* each : all) {
        if (each->verdict == Standing::unproven) {
            return each->next;
        }
    }
    return {};
}

void require_grid(std::string_view name, const Grid& grid)
{
    if (grid.size() == 0) {
        refuse_all(name, "hold at least 1 station and 1 axis, got " + std::to_string(grid.rows()) +
                             " by " + std::to_string(grid.cols()));
    }
    for (Eigen::Index station = 0; station < grid.rows(); ++station) {
        for (Eigen::Index axis = 0; axis < grid.cols(); ++axis) {
            const double reading = grid(station, axis);
            if (reading > 0 && reading <= 1e6) [[likely]] {
                continue;
            }
            require_size(element_name(element_name(name, static_cast<std::size_t>(station)),
                                      static_cast<std::size_t>(axis)),
                         reading);
        }
    }
}

void require_quantities(std::string_view name, std::span<const Quantity> readings, std::size_t axes)
{
    if (readings.empty() || axes == 0 || readings.size() % axes != 0) {
        refuse_all(name, "fill whole stations of " + std::to_string(axes) + " axes, got " +
                             std::to_string(readings.size()) + " readings");
    }
    for (std::size_t k = 0; k < readings.size(); ++k) {
        const double reading = readings[k].value();
        if (!(reading > 0 && reading <= 1e6)) [[unlikely]] {
            require_size(element_name(element_name(name, k / axes), k % axes), reading);
        }
    }
}

void require_limits(std::optional<double> lower, std::optional<double> upper,
                    std::optional<double> ovality_limit, std::optional<double> taper_limit)
{
    if (lower) {
        require_length("lower", *lower);
    }
    if (upper) {
        require_length("upper", *upper);
    }
    require_ordered("lower", lower, "upper", upper, "mm");
    if (ovality_limit) {
        require_length_at_least_zero("ovality_limit", *ovality_limit);
    }
    if (taper_limit) {
        require_length_at_least_zero("taper_limit", *taper_limit);
    }
}

}  // namespace enginewright::form_figures
