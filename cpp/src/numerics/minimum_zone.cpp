#include "numerics/minimum_zone.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace enginewright::numerics {

namespace {

/// Points of an axis or a plane, each with its height: centred and of size 1.
template <int axes>
struct Points {
    std::vector<Eigen::Matrix<double, axes, 1>> at{};
    std::vector<double> height{};
    double scale = 1;         ///< of the places
    double height_scale = 1;  ///< of the heights; 0: all of one height

    std::size_t size() const { return at.size(); }
};

/// The dual simplex table: column 2i puts weight on point i as a high one, 2i + 1 as a low one.
template <int axes>
class Simplex {
  public:
    static constexpr int rows = 2 + axes;
    using Column = Eigen::Matrix<double, rows, 1>;
    using Square = Eigen::Matrix<double, rows, rows>;

    using Start = std::array<std::size_t, static_cast<std::size_t>(1 + axes)>;

    Simplex(const Points<axes>& points, const Start& start) : points_(points)
    {
        // Both kinds of the first point carry all the weight; the others start with none.
        basis_[0] = 2 * start[0];
        basis_[1] = 2 * start[0] + 1;
        for (int k = 1; k <= axes; ++k) {
            basis_[static_cast<std::size_t>(k + 1)] = 2 * start[static_cast<std::size_t>(k)];
        }
    }

    /// Slopes of the best plane, in the scale of the points.
    Eigen::Matrix<double, axes, 1> slopes()
    {
        for (;;) {
            Square matrix;
            Column value;
            for (int k = 0; k < rows; ++k) {
                matrix.col(k) = column(basis_[static_cast<std::size_t>(k)]);
                value[k] = value_of(basis_[static_cast<std::size_t>(k)]);
            }
            const Square inverse = matrix.inverse();
            const Column price = inverse.transpose() * value;
            const std::size_t entering = first_that_pays(price);
            if (entering == 2 * points_.size() || !pivot(inverse, entering)) {
                return price.template tail<axes>();
            }
        }
    }

  private:
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

    std::size_t first_that_pays(const Column& price) const
    {
        constexpr double noise = 1e-12;
        for (std::size_t i = 0; i < points_.size(); ++i) {
            const double over = points_.height[i] - price.template tail<axes>().dot(points_.at[i]);
            if (over - price[0] > noise) {
                return 2 * i;
            }
            if (-over - price[1] > noise) {
                return 2 * i + 1;
            }
        }
        return 2 * points_.size();
    }

    /// Puts a column in and the one with the least ratio out; false when none can leave.
    bool pivot(const Square& inverse, std::size_t entering)
    {
        Column right = Column::Zero();
        right[0] = right[1] = 1;
        const Column weight = inverse * right;
        const Column direction = inverse * column(entering);
        constexpr double noise = 1e-12;
        double least = std::numeric_limits<double>::infinity();
        std::size_t leaving = rows;
        for (std::size_t k = 0; k < rows; ++k) {
            const double along = direction[static_cast<Eigen::Index>(k)];
            if (along <= noise) {
                continue;
            }
            const double ratio = std::max(0.0, weight[static_cast<Eigen::Index>(k)]) / along;
            const bool tied = leaving < rows && std::abs(ratio - least) <= noise;
            if (tied ? basis_[k] < basis_[leaving] : ratio < least) {
                leaving = k;
                least = tied ? std::min(ratio, least) : ratio;
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
};

/// Takes off the mean and divides by the greatest figure, so that noise means the same everywhere.
template <int axes>
void scale(Points<axes>& points)
{
    Eigen::Matrix<double, axes, 1> mean = Eigen::Matrix<double, axes, 1>::Zero();
    for (const auto& each : points.at) {
        mean += each / static_cast<double>(points.size());
    }
    double greatest = 0;
    for (auto& each : points.at) {
        each -= mean;
        greatest = std::max(greatest, each.cwiseAbs().maxCoeff());
    }
    const auto [least, most] = std::minmax_element(points.height.begin(), points.height.end());
    const double base = *least;
    points.scale = greatest;
    points.height_scale = *most - *least;
    for (auto& each : points.at) {
        each /= greatest;
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

Eigen::MatrixX2d centred(std::span<const Place> places)
{
    Eigen::MatrixX2d points(static_cast<Eigen::Index>(places.size()), 2);
    for (Eigen::Index i = 0; i < points.rows(); ++i) {
        const Place& place = places[static_cast<std::size_t>(i)];
        points.row(i) << place.x, place.y;
    }
    return points.rowwise() - points.colwise().mean();
}

}  // namespace

bool in_one_line(std::span<const Place> places)
{
    const Eigen::MatrixX2d points = centred(places);
    const double greatest = points.cwiseAbs().maxCoeff();
    // A table of two columns: the singular values of its triangle are its own.
    if (!(greatest > 0) || places.size() < 2) {
        return true;
    }
    const Eigen::Matrix2d triangle = Eigen::HouseholderQR<Eigen::MatrixX2d>(points / greatest)
                                         .matrixQR()
                                         .topRows<2>()
                                         .triangularView<Eigen::Upper>();
    return Eigen::JacobiSVD<Eigen::Matrix2d>(triangle).singularValues()[1] < 1e-9;
}

Zone flattest_plane(std::span<const Place> places)
{
    Points<2> points;
    for (const auto& place : places) {
        points.at.emplace_back(place.x, place.y);
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
    const Eigen::Vector2d slope =
        Simplex<2>(points, {0, second, third}).slopes() * points.height_scale / points.scale;
    return {.slope_x = slope.x(),
            .slope_y = slope.y(),
            .range = range_over(places, slope.x(), slope.y())};
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
    const double slope = Simplex<1>(points, {end, other}).slopes()[0];
    double least = std::numeric_limits<double>::infinity();
    double greatest = -least;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double over = points.height[i] - slope * points.at[i][0];
        least = std::min(least, over);
        greatest = std::max(greatest, over);
    }
    return (greatest - least) * points.height_scale;
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
    const Eigen::MatrixX2d points = centred(places);
    Eigen::VectorXd heights(points.rows());
    for (Eigen::Index i = 0; i < heights.size(); ++i) {
        heights[i] = places[static_cast<std::size_t>(i)].height;
    }
    heights.array() -= heights.mean();
    const Eigen::Vector2d slope = points.colPivHouseholderQr().solve(heights);
    return {.slope_x = slope.x(),
            .slope_y = slope.y(),
            .range = range_over(places, slope.x(), slope.y())};
}

}  // namespace enginewright::numerics
