#include "numerics/reference_circles.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

namespace enginewright::numerics {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// Centre of the circle that fits x² + y² linearly: a start for the geometric fit.
PlanePoint algebraic_centre(std::span<const PlanePoint> points)
{
    Eigen::MatrixX3d design(static_cast<Eigen::Index>(points.size()), 3);
    Eigen::VectorXd squares(design.rows());
    for (Eigen::Index i = 0; i < design.rows(); ++i) {
        const PlanePoint& p = points[static_cast<std::size_t>(i)];
        design.row(i) << p.x(), p.y(), 1;
        squares[i] = p.squaredNorm();
    }
    return design.colPivHouseholderQr().solve(squares).head<2>() / 2;
}

/// What one step of the geometric fit needs: sums over the points, about a centre.
struct Normal {
    Eigen::Matrix2d matrix = Eigen::Matrix2d::Zero();
    PlanePoint gradient = PlanePoint::Zero();
    double cost = 0;
};

Normal normal_about(std::span<const PlanePoint> points, const PlanePoint& centre)
{
    const double count = static_cast<double>(points.size());
    double mean_distance = 0;
    PlanePoint mean_direction = PlanePoint::Zero();
    std::vector<std::pair<double, PlanePoint>> rays;
    rays.reserve(points.size());
    for (const auto& p : points) {
        const PlanePoint arm = p - centre;
        const double distance = arm.norm();
        const PlanePoint direction = distance > 0 ? PlanePoint(arm / distance) : PlanePoint::Zero();
        mean_distance += distance / count;
        mean_direction += direction / count;
        rays.emplace_back(distance, direction);
    }
    Normal normal;
    for (const auto& [distance, direction] : rays) {
        const double residual = distance - mean_distance;
        const PlanePoint slope = mean_direction - direction;
        normal.matrix += slope * slope.transpose();
        normal.gradient += slope * residual;
        normal.cost += residual * residual;
    }
    return normal;
}

}  // namespace

Ring ring_about(std::span<const PlanePoint> points, const PlanePoint& centre)
{
    double outer = 0;
    double inner = infinity;
    for (const auto& p : points) {
        const double square = (p - centre).squaredNorm();
        outer = std::max(outer, square);
        inner = std::min(inner, square);
    }
    return {.outer = std::sqrt(outer), .inner = std::sqrt(inner)};
}

std::optional<PlanePoint> least_squares_centre(std::span<const PlanePoint> points)
{
    constexpr int most_steps = 200;
    constexpr double small_step = 1e-15;
    constexpr double far_away = 1e6;
    PlanePoint centre = algebraic_centre(points);
    if (!centre.allFinite() || centre.norm() > far_away) {
        return std::nullopt;
    }
    Normal here = normal_about(points, centre);
    double damping = 1e-3;
    for (int step = 0; step < most_steps; ++step) {
        const Eigen::Matrix2d damped =
            here.matrix + damping * here.matrix.trace() * Eigen::Matrix2d::Identity();
        const PlanePoint move = -damped.fullPivLu().solve(here.gradient);
        const PlanePoint there = centre + move;
        if (!there.allFinite() || there.norm() > far_away) {
            return std::nullopt;
        }
        const Normal next = normal_about(points, there);
        const bool better = next.cost <= here.cost;
        damping = better ? std::max(damping / 10, 1e-15) : damping * 10;
        if (better) {
            centre = there;
            here = next;
        }
        if (move.norm() <= small_step * std::max(1.0, centre.norm())) {
            break;
        }
    }
    return centre;
}

PlanePoint circumscribed_centre(std::span<const PlanePoint> points, const FarthestRegions& regions)
{
    // Each candidate with a radius that its circle cannot fall below.
    std::vector<std::pair<double, PlanePoint>> candidates;
    for (const auto& corner : regions.corners) {
        candidates.emplace_back((corner.centre - points[corner.points[0]]).norm(), corner.centre);
    }
    for (const auto& edge : regions.edges) {
        const PlanePoint middle = (points[edge.first] + points[edge.second]) / 2;
        candidates.emplace_back((points[edge.first] - middle).norm(), middle);
    }
    std::sort(candidates.begin(), candidates.end(),
              [](const auto& a, const auto& b) { return a.first < b.first; });
    PlanePoint best = PlanePoint::Zero();
    double least = infinity;
    for (const auto& [at_least, centre] : candidates) {
        if (at_least >= least) {
            break;
        }
        const double radius = ring_about(points, centre).outer;
        if (radius < least) {
            least = radius;
            best = centre;
        }
    }
    return best;
}

namespace {

/// Whether no angle of a triangle is above a right one.
bool not_obtuse(const PlanePoint& a, const PlanePoint& b, const PlanePoint& c)
{
    constexpr double slack = 1e-9;
    return (b - a).dot(c - a) >= -slack && (a - b).dot(c - b) >= -slack &&
           (a - c).dot(b - c) >= -slack;
}

}  // namespace

std::optional<PlanePoint> inscribed_centre(std::span<const PlanePoint> points,
                                           const PlanePoint& within)
{
    constexpr double slack = 1e-9;
    // Turned inside out about the centre, an empty circle round it becomes one that holds all.
    std::vector<PlanePoint> inverted;
    double greatest = 0;
    for (const auto& p : points) {
        const PlanePoint arm = p - within;
        const double square = arm.squaredNorm();
        if (square < 1e-30) {
            return std::nullopt;
        }
        inverted.emplace_back(arm / square);
        greatest = std::max(greatest, inverted.back().cwiseAbs().maxCoeff());
    }
    for (auto& each : inverted) {
        each /= greatest;
    }
    std::vector<std::pair<double, PlanePoint>> candidates;
    for (const auto& corner : farthest_regions(inverted).corners) {
        const auto& [i, j, k] = corner.points;
        const auto centre = circle_centre(points[i], points[j], points[k]);
        if (!centre || !not_obtuse(points[i], points[j], points[k])) {
            continue;
        }
        const double radius = (*centre - points[i]).norm();
        if ((*centre - within).norm() <= radius + slack) {
            candidates.emplace_back(radius, *centre);
        }
    }
    std::sort(candidates.begin(), candidates.end(),
              [](const auto& a, const auto& b) { return a.first > b.first; });
    for (const auto& [radius, centre] : candidates) {
        if (ring_about(points, centre).inner >= radius - slack) {
            return centre;
        }
    }
    return std::nullopt;
}

namespace {

/// The walk for the minimum zone: the best centre so far and what is known of the corners.
class ZoneSearch {
  public:
    ZoneSearch(std::span<const PlanePoint> points, const PlanePoint& start)
        : points_(points), lines_(points.size())
    {
        offer(start);
    }

    void walk(const RegionEdge& edge)
    {
        const PlanePoint& p = points_[edge.first];
        const PlanePoint& q = points_[edge.second];
        const double apart = (q - p).norm();
        if (apart == 0) {
            return;
        }
        middle_ = (p + q) / 2;
        // The left normal of first -> second.
        along_ = PlanePoint(p.y() - q.y(), q.x() - p.x()) / apart;
        half_square_ = apart * apart / 4;
        double from = (edge.end - middle_).dot(along_);
        double to = from;
        if (edge.start) {
            to = (*edge.start - middle_).dot(along_);
            if (from > to) {
                std::swap(from, to);
            }
            const double ends = offer(edge.end) + offer(*edge.start);
            if (ends / 2 - (to - from) >= best_) {
                return;
            }
        } else {
            offer(edge.end);
            to = far_end(from);
        }
        if (to > from) {
            walk_envelope(from, to);
        }
    }

    const PlanePoint& best() const { return centre_; }

  private:
    /// Width of the ring about a centre; the best is kept.
    double offer(const PlanePoint& centre)
    {
        const double width = ring_about(points_, centre).width();
        if (width < best_) {
            best_ = width;
            centre_ = centre;
        }
        return width;
    }

    /// Where an edge without end may be left: beyond, the point farthest ahead is too near.
    double far_end(double from) const
    {
        std::size_t ahead = 0;
        double reach = -infinity;
        for (std::size_t i = 0; i < points_.size(); ++i) {
            const double reached = (points_[i] - middle_).dot(along_);
            if (reached > reach) {
                reach = reached;
                ahead = i;
            }
        }
        if (!(reach > best_)) {
            return infinity;
        }
        // |c - first| - |c - ahead| = best, squared twice: a t² + 2 b t + c = 0.
        const double height = (points_[ahead] - middle_).squaredNorm();
        const double gap = half_square_ - height - best_ * best_;
        const double a = 4 * (reach * reach - best_ * best_);
        const double b = 2 * reach * (gap + 2 * best_ * best_);
        const double c = gap * gap - 4 * best_ * best_ * height;
        const double root = b * b - a * c;
        return root < 0 ? from : std::max(from, (-b + std::sqrt(root)) / a);
    }

    /// Squared distances less t²: a line for each point. Walks their lower envelope.
    void walk_envelope(double from, double to)
    {
        std::size_t nearest = 0;
        for (std::size_t i = 0; i < points_.size(); ++i) {
            const PlanePoint arm = points_[i] - middle_;
            lines_[i] = {arm.squaredNorm(), -2 * arm.dot(along_)};
            const double here = lines_[i].at(from);
            const double least = lines_[nearest].at(from);
            if (here < least || (here == least && lines_[i].slope < lines_[nearest].slope)) {
                nearest = i;
            }
        }
        for (double t = from;;) {
            // The next line to be the lowest: the first one below this one's slope that meets it.
            double change = infinity;
            std::size_t next = nearest;
            for (std::size_t i = 0; i < lines_.size(); ++i) {
                const double falls = lines_[nearest].slope - lines_[i].slope;
                if (falls <= 0) {
                    continue;
                }
                const double meets = (lines_[i].height - lines_[nearest].height) / falls;
                if (meets < change || (meets == change && lines_[i].slope < lines_[next].slope)) {
                    change = meets;
                    next = i;
                }
            }
            if (next == nearest || change > to) {
                return;
            }
            t = std::max(t, change);
            const double square = t * t;
            const double near = std::sqrt(std::max(0.0, lines_[next].at(t) + square));
            if (std::sqrt(half_square_ + square) - near < best_) {
                offer(middle_ + t * along_);
            }
            nearest = next;
        }
    }

    struct Line {
        double height = 0;
        double slope = 0;

        double at(double t) const { return height + slope * t; }
    };

    std::span<const PlanePoint> points_;
    std::vector<Line> lines_;
    double best_ = infinity;
    PlanePoint centre_ = PlanePoint::Zero();
    PlanePoint middle_ = PlanePoint::Zero();
    PlanePoint along_ = PlanePoint::Zero();
    double half_square_ = 0;
};

}  // namespace

PlanePoint minimum_zone_centre(std::span<const PlanePoint> points, const FarthestRegions& regions,
                               const PlanePoint& start)
{
    ZoneSearch search(points, start);
    for (const auto& edge : regions.edges) {
        search.walk(edge);
    }
    return search.best();
}

}  // namespace enginewright::numerics
