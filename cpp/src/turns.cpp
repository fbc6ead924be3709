#include "turns.hpp"

#include "enginewright/check.hpp"
#include "steps.hpp"

namespace enginewright::turns {

double in_range(double angle, double turn)
{
    constexpr double hair = 1e-9;
    double rest = std::fmod(angle, turn);
    rest = rest < 0 ? rest + turn : rest;
    return rest > turn - hair ? 0.0 : rest;
}

double rms(const Eigen::Ref<const Eigen::VectorXd>& values)
{
    return values.norm() / std::sqrt(static_cast<double>(values.size()));
}

int first_greatest(std::span<const double> figures) { return steps::first_greatest(figures); }

void require_angle(std::string_view name, double angle)
{
    require_between(name, angle, -1e6, 1e6, "degrees");
}

void require_limit(std::string_view name, std::optional<double> limit, std::string_view unit)
{
    if (limit) {
        require_between(name, *limit, 0.0, 1e6, unit);
    }
}

void require_readings(std::string_view name, const Readings& readings, std::size_t angles,
                      std::string_view row, std::size_t least)
{
    const auto rows = static_cast<std::size_t>(readings.rows());
    if (rows < least || readings.cols() == 0) {
        refuse_all(name, "hold at least " + std::to_string(least) +
                             (least == 1 ? " row" : " rows") + ", one " + std::string(row) +
                             ", got " + std::to_string(rows));
    }
    if (static_cast<std::size_t>(readings.cols()) != angles) {
        refuse_all(name, "hold " + std::to_string(angles) + " readings a row, one an angle, got " +
                             std::to_string(readings.cols()));
    }
    for (std::size_t i = 0; i < rows; ++i) {
        for (std::size_t j = 0; j < angles; ++j) {
            const double reading =
                readings(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
            if (!(std::abs(reading) <= greatest_length)) {
                require_length(element_name(element_name(name, i), j), reading);
            }
        }
    }
}

numerics::HarmonicFit fitted(std::string_view name, std::span<const double> angle, int order)
{
    for (std::size_t i = 0; i < angle.size(); ++i) {
        require_angle(element_name(name, i), angle[i]);
    }
    const std::size_t different = numerics::different_angles(angle);
    const auto wanted = 2 * static_cast<std::size_t>(order) + 1;
    if (different < wanted) {
        refuse_all(name, "hold at least " + std::to_string(wanted) +
                             " different angles within a turn, got " + std::to_string(different));
    }
    numerics::HarmonicFit fit(angle, order);
    if (!fit.determined()) {
        refuse_all(name, "be spread further round the circle: they do not determine " +
                             std::to_string(order) + " harmonics");
    }
    return fit;
}

}  // namespace enginewright::turns
