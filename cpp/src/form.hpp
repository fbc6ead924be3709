#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <cstddef>
#include <initializer_list>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "enginewright/measure.hpp"

/// Size and shape of one round feature from diameters at stations and axes.
///
/// Journals and bores share the figures; each bench adds its own limits and words. The figures are
/// written once over the number that a reading is: plain, or a quantity with its sources of doubt,
/// so that an error which two readings share leaves their difference by itself.
namespace enginewright::form_figures {

using measure::Quantity;
using Grid = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

inline double value_of(double reading) { return reading; }
inline double value_of(const Quantity& reading) { return reading.value(); }

double average(std::span<const double> readings);
Quantity average(std::span<const Quantity> readings);

/// Diameters of one feature, row by row: a row a station.
template <class Number>
struct Stations {
    std::span<const Number> readings;
    std::size_t axes;

    std::size_t count() const { return readings.size() / axes; }
    const Number& at(std::size_t station, std::size_t axis) const
    {
        return readings[station * axes + axis];
    }
    std::span<const Number> row(std::size_t station) const
    {
        return readings.subspan(station * axes, axes);
    }
};

inline Stations<double> stations_of(const Grid& grid)
{
    return {{grid.data(), static_cast<std::size_t>(grid.size())},
            static_cast<std::size_t>(grid.cols())};
}

/// What the readings say, without any limit. Absent: the readings cannot say it.
template <class Number>
struct Figures {
    Number minimum{};
    Number maximum{};
    Number mean{};
    Number first_station_maximum{};
    int largest_station = 0;
    int largest_axis = 0;
    std::optional<Number> ovality{};
    std::optional<int> ovality_station{};
    std::optional<Number> taper{};
    std::optional<int> taper_axis{};
    std::optional<Number> end_difference{};
    std::optional<Number> barrel{};
};

/// Where the least and the greatest of some figures stand.
struct Extremes {
    std::size_t least = 0;
    std::size_t greatest = 0;
    std::size_t first_greatest = 0;  ///< the first within 1e-9 of the greatest
};

template <class Value>
Extremes extremes(std::size_t count, Value&& value)
{
    Extremes found;
    for (std::size_t k = 1; k < count; ++k) {
        found.least = value(k) < value(found.least) ? k : found.least;
        found.greatest = value(k) > value(found.greatest) ? k : found.greatest;
    }
    while (value(found.first_greatest) < value(found.greatest) - 1e-9) {
        ++found.first_greatest;
    }
    return found;
}

template <class Number>
Extremes extremes_of(std::span<const Number> figures)
{
    return extremes(figures.size(), [&](std::size_t k) { return value_of(figures[k]); });
}

/// Ovality: the greatest range over the axes of a station.
template <class Number>
void find_ovality(const Stations<Number>& grid, Figures<Number>& figures)
{
    std::vector<Number> ranges;
    for (std::size_t station = 0; station < grid.count(); ++station) {
        const auto row = grid.row(station);
        const auto at = extremes_of(row);
        ranges.push_back(row[at.greatest] - row[at.least]);
    }
    const auto at = extremes_of(std::span<const Number>(ranges));
    figures.ovality = ranges[at.greatest];
    figures.ovality_station = static_cast<int>(at.first_greatest);
}

/// Taper: the greatest range over the stations of an axis.
template <class Number>
void find_taper(const Stations<Number>& grid, Figures<Number>& figures)
{
    std::vector<Number> ranges;
    for (std::size_t axis = 0; axis < grid.axes; ++axis) {
        const auto at =
            extremes(grid.count(), [&](std::size_t s) { return value_of(grid.at(s, axis)); });
        ranges.push_back(grid.at(at.greatest, axis) - grid.at(at.least, axis));
    }
    const auto at = extremes_of(std::span<const Number>(ranges));
    figures.taper = ranges[at.greatest];
    figures.taper_axis = static_cast<int>(at.first_greatest);
}

/// How the mean diameter runs along the feature.
template <class Number>
void find_profile(const Stations<Number>& grid, Figures<Number>& figures)
{
    std::vector<Number> means;
    for (std::size_t station = 0; station < grid.count(); ++station) {
        means.push_back(average(grid.row(station)));
    }
    figures.end_difference = means.back() - means.front();
    if (means.size() > 2) {
        const std::vector<Number> ends{means.front(), means.back()};
        const auto inner = std::span<const Number>(means).subspan(1, means.size() - 2);
        figures.barrel = average(inner) - average(std::span<const Number>(ends));
    }
}

template <class Number>
Figures<Number> figures_of(const Stations<Number>& grid)
{
    Figures<Number> figures;
    const auto at = extremes_of(grid.readings);
    figures.minimum = grid.readings[at.least];
    figures.maximum = grid.readings[at.greatest];
    figures.mean = average(grid.readings);
    figures.first_station_maximum = grid.at(0, extremes_of(grid.row(0)).greatest);
    figures.largest_station = static_cast<int>(at.first_greatest / grid.axes);
    figures.largest_axis = static_cast<int>(at.first_greatest % grid.axes);
    if (grid.axes > 1) {
        find_ovality(grid, figures);
    }
    if (grid.count() > 1) {
        find_taper(grid, figures);
        find_profile(grid, figures);
    }
    return figures;
}

/// A figure without its doubt, as records hold it.
template <class Number>
std::optional<double> plain(const std::optional<Number>& figure)
{
    return figure ? std::optional<double>(value_of(*figure)) : std::nullopt;
}

/// The profile along a feature; each bench has its own words for it, in this order.
enum class Profile { unknown, parallel, barrel, hourglass, tapered };

/// The profile that two differences show, each beside the noise under which it says nothing.
Profile profile_of(std::optional<double> end_difference, double end_noise,
                   std::optional<double> barrel, double barrel_noise);

/// Differences below this are the gauge's or the hand's, mm. Common practice, no source.
inline constexpr double least_noise = 0.002;

template <class Number>
Profile profile_of(const Figures<Number>& figures, double uncertainty)
{
    const auto noise = [&](const std::optional<Number>& figure) {
        double doubt = uncertainty;
        if constexpr (!std::is_same_v<Number, double>) {
            doubt = figure ? figure->standard_uncertainty() : 0.0;
        }
        return std::max(least_noise, 2 * doubt);
    };
    return profile_of(plain(figures.end_difference), noise(figures.end_difference),
                      plain(figures.barrel), noise(figures.barrel));
}

/// A figure as it is judged: its value, standard uncertainty and degrees of freedom.
struct Figure {
    double value = 0;
    double uncertainty = 0;
    double degrees_of_freedom = std::numeric_limits<double>::infinity();
};

/// Plain readings have one uncertainty each; a quantity brings its own.
struct Doubts {
    double uncertainty = 0;
    const measure::Sources& sources = measure::Sources::shared();

    /// share  of plain numbers: the figure's uncertainty over that of one reading
    Figure of(double figure, double share) const { return {figure, share * uncertainty}; }
    Figure of(const Quantity& figure, double) const
    {
        return {figure.value(), figure.standard_uncertainty(), figure.degrees_of_freedom(sources)};
    }
    template <class Number>
    std::optional<Figure> of(const std::optional<Number>& figure, double share) const
    {
        return figure ? std::optional<Figure>(of(*figure, share)) : std::nullopt;
    }
};

/// One figure beside its limits.
struct Judged {
    Standing verdict = Standing::unlimited;
    measure::Side side = measure::Side::upper;
    double beyond = 0;     ///< by how much it is outside; 0 otherwise
    std::string reason{};  ///< why, when outside or unproven
    std::string next{};    ///< what to measure, when unproven

    bool outside() const { return verdict == Standing::outside; }
};

/// What to say of a figure that the readings cannot give.
struct Missing {
    std::string_view reason;
    std::string_view next;
};

inline constexpr Missing one_axis{"ovality needs readings on two axes", "measure on a second axis"};
inline constexpr Missing one_station{"taper needs readings at two stations",
                                     "measure at a second station"};

/// Judges a figure and says why in words.
///
/// what     begins the sentence: "ovality at station 2"
/// missing  said when there is a limit and no figure
Judged judged(std::string_view what, const std::optional<Figure>& figure,
              std::optional<double> lower, std::optional<double> upper,
              const Missing& missing = {});

/// Judges least and greatest reading in the limits of size: the worst of both, each on its side.
struct JudgedSize {
    Judged least;     ///< says its reason just at the lower limit
    Judged greatest;  ///< says its reason just at the upper limit

    Standing verdict() const { return measure::worst({least.verdict, greatest.verdict}); }
    bool small() const { return least.outside() && least.side == measure::Side::lower; }
    bool large() const { return greatest.outside() && greatest.side == measure::Side::upper; }
};
JudgedSize judged_size(const Figure& least, const Figure& greatest, std::optional<double> lower,
                       std::optional<double> upper);

/// "ovality at station 2": names the figure when the place is known.
std::string ovality_name(std::optional<int> station);
std::string taper_name(std::optional<int> axis);

/// The reasons in one line, what is outside before what is not proven.
std::string reasons(std::initializer_list<const Judged*> all);

/// The first thing to measure among those that are not proven; empty when there is none.
std::string measuring(std::initializer_list<const Judged*> all);

/// Refuses a grid without readings, or with a reading that is no size, by its place.
void require_grid(std::string_view name, const Grid& grid);

/// Refuses the same of readings with their doubt, row by row.
void require_quantities(std::string_view name, std::span<const Quantity> readings,
                        std::size_t axes);

/// Refuses limits that no size or shape can have: crossing, below 0, beyond any workshop.
void require_limits(std::optional<double> lower, std::optional<double> upper,
                    std::optional<double> ovality_limit, std::optional<double> taper_limit);

}  // namespace enginewright::form_figures
