#include "enginewright/measure/outliers.hpp"

#include <cmath>

#include "measure/spread.hpp"
#include "numerics/distributions.hpp"

namespace enginewright::measure {

namespace {

/// Readings that are still among the others: their place as given, and their size on a scale on
/// which all of them span 1. The test does not depend on scale or zero.
struct Left {
    int place;
    double size;
};

struct Farthest {
    std::size_t at = 0;
    double statistic = 0;
};

Farthest farthest(const std::vector<Left>& left, Tail side)
{
    const auto n = static_cast<double>(left.size());
    double sum = 0;
    for (const auto& each : left) {
        sum += each.size;
    }
    const double mean = sum / n;
    const auto distance = [&](const Left& each) {
        const double off = each.size - mean;
        return side == Tail::upper ? off : side == Tail::lower ? -off : std::abs(off);
    };
    double squares = 0;
    Farthest found{.at = 0, .statistic = distance(left.front())};
    for (std::size_t i = 0; i < left.size(); ++i) {
        const double off = left[i].size - mean;
        squares += off * off;
        if (distance(left[i]) > found.statistic) {
            found = {i, distance(left[i])};
        }
    }
    const bool alike =
        std::ranges::all_of(left, [&](const Left& each) { return each.size == left.front().size; });
    found.statistic = alike ? 0.0 : found.statistic / std::sqrt(squares / (n - 1));
    return found;
}

/// What the statistic of m readings reaches by chance.
double critical_of(double m, double significance, Tail side)
{
    const double above = significance / (side == Tail::both ? 2 * m : m);
    const double t = -numerics::t_quantile(above, m - 2);
    // As the header prints it, divided by t so that a huge t does no harm.
    return (m - 1) / std::sqrt(((m - 2) / t / t + 1) * m);
}

std::string reason_of(const Outliers& found, std::size_t count)
{
    const auto figures = [&](std::size_t i) {
        return fixed_text(found.statistics[i], 2) + " deviations from the mean, where " +
               fixed_text(found.critical[i], 2);
    };
    if (found.flagged.empty()) {
        return "the farthest of " + std::to_string(count) + " readings is " + figures(0) +
               " is nothing unusual";
    }
    std::string text;
    for (std::size_t i = 0; i < found.flagged.size(); ++i) {
        text += (i == 0 ? "" : ", ") + std::to_string(found.flagged[i] + 1);
    }
    const std::size_t last = found.flagged.size() - 1;
    return (last == 0 ? "reading " : "readings ") + text + (last == 0 ? " is " : ": the last is ") +
           figures(last) + " would be the most; measure again, strike out only with a cause";
}

}  // namespace

Outliers outliers(std::span<const double> readings, int most, double significance, Tail side)
{
    require_readings("readings", readings, 1);
    require_at_least("most", most, 1);
    if (!(significance > 0 && significance < 1)) {
        refuse("significance", "above 0 and below 1", significance);
    }
    // Below, the critical value lies beyond what doubles tell from the greatest possible one.
    if (significance < 1e-9) {
        refuse("significance", "at least 1e-9", significance);
    }
    if (side != Tail::both && most > 1) {
        refuse("most", "1 when only one side is looked at", most);
    }
    const double spread = spread_of("readings", readings);
    Outliers out;
    const auto count = readings.size();
    if (count < static_cast<std::size_t>(most) + 2) {
        out.status = Outlying::too_few_readings;
        out.reason = "at least " + std::to_string(static_cast<long long>(most) + 2) +
                     " readings are needed, got " + std::to_string(count);
        return out;
    }
    std::vector<Left> left;
    for (std::size_t i = 0; i < count; ++i) {
        const double off = spread > 0 ? (readings[i] - readings.front()) / spread : 0.0;
        left.push_back({static_cast<int>(i), off});
    }
    std::vector<int> aside;
    std::size_t flagged = 0;
    for (int i = 0; i < most; ++i) {
        const auto found = farthest(left, side);
        out.statistics.push_back(found.statistic);
        out.critical.push_back(critical_of(static_cast<double>(left.size()), significance, side));
        aside.push_back(left[found.at].place);
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(found.at));
        if (found.statistic > out.critical.back()) {
            flagged = aside.size();
        }
    }
    out.flagged.assign(aside.begin(), aside.begin() + static_cast<std::ptrdiff_t>(flagged));
    out.status = flagged > 0 ? Outlying::flagged : Outlying::clear;
    out.reason = spread == 0 ? "all readings are alike" : reason_of(out, count);
    return out;
}

}  // namespace enginewright::measure
