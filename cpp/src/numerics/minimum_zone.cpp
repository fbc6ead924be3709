#include "numerics/minimum_zone.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace enginewright::numerics {

namespace {

/// Points of an axis or a plane, each with its height: centred, every axis and the height of size
/// 1, so that one noise means the same everywhere, on a long slim rail too.
template <int axes>
struct Points {
    using Vector = Eigen::Matrix<double, axes, 1>;

    std::vector<Vector> at{};
    std::vector<double> height{};
    Vector scale = Vector::Ones();  ///< of each axis
    double height_scale = 1;        ///< of the heights; 0: all of one height

    std::size_t size() const { return at.size(); }

    /// Greatest less least height over a plane.
    double range(const Vector& slope) const
    {
        double least = std::numeric_limits<double>::infinity();
        double greatest = -least;
        for (std::size_t i = 0; i < size(); ++i) {
            const double over = height[i] - slope.dot(at[i]);
            least = std::min(least, over);
            greatest = std::max(greatest, over);
        }
        return greatest - least;
    }
};

/// The dual simplex table: column 2i puts weight on point i as a high one, 2i + 1 as a low one.
template <int axes>
class Simplex {
  public:
    static constexpr int rows = 2 + axes;
    using Slope = Eigen::Matrix<double, axes, 1>;
    using Column = Eigen::Matrix<double, rows, 1>;
    using Square = Eigen::Matrix<double, rows, rows>;

    using Start = std::array<std::size_t, static_cast<std::size_t>(1 + axes)>;

    Simplex(const Points<axes>& points, const Start& start) : points_(points)
    {
        // Both kinds of the first point carry all the weight but a trace, which the others carry.
        basis_[0] = 2 * start[0];
        basis_[1] = 2 * start[0] + 1;
        wanted_[0] = wanted_[1] = 1;
        double trace = 1e-8;
        for (int k = 1; k <= axes; ++k) {
            basis_[static_cast<std::size_t>(k) + 1] = 2 * start[static_cast<std::size_t>(k)];
            wanted_.template tail<axes>() +=
                trace * (points.at[start[static_cast<std::size_t>(k)]] - points.at[start[0]]);
            trace *= 0.618;
        }
    }

    /// Slopes of the best plane, in the scale of the points.
    Slope slopes()
    {
        // A vertex is left for a better one each time; the count only guards against rounding,
        // and then the best plane that was seen is given.
        const std::size_t most = 200 + 20 * points_.size();
        Slope best = Slope::Zero();
        double least = std::numeric_limits<double>::infinity();
        for (std::size_t step = 0; step < most; ++step) {
            Square matrix;
            Column value;
            for (int k = 0; k < rows; ++k) {
                matrix.col(k) = column(basis_[static_cast<std::size_t>(k)]);
                value[k] = value_of(basis_[static_cast<std::size_t>(k)]);
            }
            const Eigen::PartialPivLU<Square> solver(matrix);
            const Column price = solver.transpose().solve(value);
            const auto [entering, gain, range] = greatest_gain(price);
            if (range < least) {
                least = range;
                best = price.template tail<axes>();
            }
            if (!(gain > noise) || !pivot(solver, entering)) {
                break;
            }
        }
        return best;
    }

  private:
    static constexpr double noise = 1e-13;

    struct Gain {
        std::size_t entering = 0;
        double gain = 0;
        double range = 0;  ///< of the heights over the plane of these prices
    };

    Column column(std::size_t index) const
    {
        const bool high = index % 2 == 0;
        Column out;
        out[0] = high ? 1 : 0;
        out[1] = high ? 0 : 1;
        out.template tail<axes>() = (high ? 1 : -1) * points_.at[index / 2];
        return out;
    }

    double value_of(std::size_t index) const
    {
        return (index % 2 == 0 ? 1 : -1) * points_.height[index / 2];
    }

    Gain greatest_gain(const Column& price) const
    {
        std::size_t high = 0;
        std::size_t low = 0;
        double most = -std::numeric_limits<double>::infinity();
        double least = -most;
        for (std::size_t i = 0; i < points_.size(); ++i) {
            const double over = points_.height[i] - price.template tail<axes>().dot(points_.at[i]);
            if (over > most) {
                most = over;
                high = i;
            }
            if (over < least) {
                least = over;
                low = i;
            }
        }
        const double above = most - price[0];
        const double below = -least - price[1];
        return above >= below ? Gain{2 * high, above, most - least}
                              : Gain{2 * low + 1, below, most - least};
    }

    /// Puts a column in and the one with the least ratio out; false when none can leave.
    bool pivot(const Eigen::PartialPivLU<Square>& solver, std::size_t entering)
    {
        const Column weight = solver.solve(wanted_);
        const Column direction = solver.solve(column(entering));
        const double smallest = 1e-9 * direction.cwiseAbs().maxCoeff();
        double least = std::numeric_limits<double>::infinity();
        std::size_t leaving = rows;
        for (std::size_t k = 0; k < rows; ++k) {
            const double along = direction[static_cast<Eigen::Index>(k)];
            if (!(along > smallest)) {
                continue;
            }
            const double ratio = std::max(0.0, weight[static_cast<Eigen::Index>(k)]) / along;
            if (ratio < least) {
                leaving = k;
                least = ratio;
            }
        }
        if (leaving == rows) {
            return false;
        }
        basis_[leaving] = entering;
        return true;
    }

    const Points<axes>& points_;
    std::array<std::size_t, static_cast<std::size_t>(rows)> basis_{};
    Column wanted_ = Column::Zero();
};

/// Takes off the mean and divides each axis by its greatest figure.
template <int axes>
void scale(Points<axes>& points)
{
    using Vector = typename Points<axes>::Vector;
    Vector mean = Vector::Zero();
    for (const auto& each : points.at) {
        mean += each / static_cast<double>(points.size());
    }
    points.scale.setZero();
    for (auto& each : points.at) {
        each -= mean;
        points.scale = points.scale.cwiseMax(each.cwiseAbs());
    }
    const auto [least, most] = std::minmax_element(points.height.begin(), points.height.end());
    const double base = *least;
    points.height_scale = *most - *least;
    for (auto& each : points.at) {
        each = each.cwiseQuotient(points.scale);
    }
    for (double& each : points.height) {
        each = points.height_scale > 0 ? (each - base) / points.height_scale : 0.0;
    }
}

/// The point for which a figure is greatest.
template <class Figure>
std::size_t farthest(std::size_t count, Figure&& figure)
{
    std::size_t best = 0;
    for (std::size_t i = 1; i < count; ++i) {
        best = figure(i) > figure(best) ? i : best;
    }
    return best;
}

/// Places seen along the axes of their greatest and least spread.
struct Spread {
    double x = 0;  ///< mean
    double y = 0;
    double greatest = 0;  ///< singular values of the centred places
    double lesser = 0;
    Eigen::Matrix2d turn = Eigen::Matrix2d::Identity();  ///< rows: the two axes

    Eigen::Vector2d seen(const Place& place) const
    {
        return turn * Eigen::Vector2d(place.x - x, place.y - y);
    }
};

Spread spread_of(std::span<const Place> places)
{
    Spread spread;
    for (const auto& place : places) {
        spread.x += place.x / static_cast<double>(places.size());
        spread.y += place.y / static_cast<double>(places.size());
    }
    // Triangle [a b; 0 d] of the two columns: squares of the places themselves would lose half
    // the digits of a slim rail.
    double xx = 0;
    double xy = 0;
    double yy = 0;
    for (const auto& place : places) {
        xx += (place.x - spread.x) * (place.x - spread.x);
        xy += (place.x - spread.x) * (place.y - spread.y);
        yy += (place.y - spread.y) * (place.y - spread.y);
    }
    const double a = std::sqrt(xx);
    const double b = a > 0 ? xy / a : 0.0;
    double rest = 0;
    for (const auto& place : places) {
        const double off = (place.y - spread.y) - (a > 0 ? b / a * (place.x - spread.x) : 0.0);
        rest += off * off;
    }
    const double d = a > 0 ? std::sqrt(rest) : std::sqrt(yy);
    const double angle = std::atan2(2 * a * b, (a - b) * (a + b) - d * d) / 2;
    const double sum = a * a + b * b + d * d;
    spread.greatest = std::sqrt((sum + std::hypot(2 * a * b, (a - b) * (a + b) - d * d)) / 2);
    spread.lesser = spread.greatest > 0 ? a * d / spread.greatest : 0.0;
    spread.turn << std::cos(angle), std::sin(angle), -std::sin(angle), std::cos(angle);
    return spread;
}

double greatest_coordinate(std::span<const Place> places, const Spread& spread)
{
    double greatest = 0;
    for (const auto& place : places) {
        greatest = std::max({greatest, std::abs(place.x - spread.x), std::abs(place.y - spread.y)});
    }
    return greatest;
}

Zone zone_of(const Eigen::Vector2d& slope, double range)
{
    return {.slope_x = slope.x(), .slope_y = slope.y(), .range = range};
}

}  // namespace

bool in_one_line(std::span<const Place> places)
{
    const Spread spread = spread_of(places);
    const double greatest = greatest_coordinate(places, spread);
    return !(greatest > 0) || spread.lesser < 1e-9 * greatest;
}

Zone flattest_plane(std::span<const Place> places)
{
    const Spread spread = spread_of(places);
    Points<2> points;
    for (const auto& place : places) {
        points.at.push_back(spread.seen(place));
        points.height.push_back(place.height);
    }
    scale(points);
    const auto& at = points.at;
    const std::size_t second =
        farthest(at.size(), [&](std::size_t i) { return (at[i] - at[0]).squaredNorm(); });
    const Eigen::Vector2d line = at[second] - at[0];
    const std::size_t third = farthest(at.size(), [&](std::size_t i) {
        const Eigen::Vector2d arm = at[i] - at[0];
        return std::abs(line.x() * arm.y() - line.y() * arm.x());
    });
    const Eigen::Vector2d slope = Simplex<2>(points, {0, second, third}).slopes();
    return zone_of(
        spread.turn.transpose() * (slope.cwiseQuotient(points.scale) * points.height_scale),
        points.range(slope) * points.height_scale);
}

double flattest_line(std::span<const Place> places)
{
    const auto distance = [](const Place& a, const Place& b) {
        return std::hypot(a.x - b.x, a.y - b.y);
    };
    const std::size_t end =
        farthest(places.size(), [&](std::size_t i) { return distance(places[i], places.front()); });
    Points<1> points;
    for (const auto& place : places) {
        points.at.emplace_back(distance(place, places[end]));
        points.height.push_back(place.height);
    }
    scale(points);
    const std::size_t other = farthest(points.size(), [&](std::size_t i) {
        return std::abs(points.at[i][0] - points.at[end][0]);
    });
    return points.range(Simplex<1>(points, {end, other}).slopes()) * points.height_scale;
}

double range_over(std::span<const Place> places, double slope_x, double slope_y)
{
    double least = std::numeric_limits<double>::infinity();
    double greatest = -least;
    // From the first place, so that a plate far from the origin loses no digits.
    const Place& first = places.front();
    for (const auto& place : places) {
        const double over = (place.height - first.height) - slope_x * (place.x - first.x) -
                            slope_y * (place.y - first.y);
        least = std::min(least, over);
        greatest = std::max(greatest, over);
    }
    return greatest - least;
}

Zone least_squares_plane(std::span<const Place> places)
{
    // Along the axes of their spread the two slopes do not concern each other.
    const Spread spread = spread_of(places);
    double mean = 0;
    for (const auto& place : places) {
        mean += place.height / static_cast<double>(places.size());
    }
    Eigen::Vector2d sum = Eigen::Vector2d::Zero();
    Eigen::Vector2d square = Eigen::Vector2d::Zero();
    for (const auto& place : places) {
        const Eigen::Vector2d at = spread.seen(place);
        sum += at * (place.height - mean);
        square += at.cwiseAbs2();
    }
    const Eigen::Vector2d slope = spread.turn.transpose() * sum.cwiseQuotient(square);
    return zone_of(slope, range_over(places, slope.x(), slope.y()));
}

}  // namespace enginewright::numerics
