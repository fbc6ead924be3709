#include "numerics/farthest_regions.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <queue>
#include <tuple>

namespace enginewright::numerics {

namespace {

/// Twice the signed area of a, b, c: positive when they turn left.
double cross(const PlanePoint& a, const PlanePoint& b, const PlanePoint& c)
{
    return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

/// The hull, counterclockwise, by sorting and two sweeps.
std::vector<std::size_t> hull_of(std::span<const PlanePoint> points)
{
    constexpr double in_line = 1e-15;
    std::vector<std::size_t> order(points.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return std::make_tuple(points[a].x(), points[a].y(), a) <
               std::make_tuple(points[b].x(), points[b].y(), b);
    });
    std::vector<std::size_t> hull;
    const auto sweep = [&](auto begin, auto end) {
        const std::size_t base = hull.size();
        for (auto at = begin; at != end; ++at) {
            while (hull.size() >= base + 2 && cross(points[hull[hull.size() - 2]],
                                                    points[hull.back()], points[*at]) <= in_line) {
                hull.pop_back();
            }
            hull.push_back(*at);
        }
        hull.pop_back();
    };
    sweep(order.begin(), order.end());
    sweep(order.rbegin(), order.rend());
    return hull;
}

/// The hull while it is peeled: a ring of points, each with the start of the edge to the next one.
class Peel {
  public:
    Peel(std::span<const PlanePoint> points, FarthestRegions& regions)
        : points_(points),
          regions_(regions),
          left_(regions.hull.size()),
          before_(left_),
          after_(left_),
          version_(left_, 0),
          start_(left_)
    {
        for (std::size_t k = 0; k < left_; ++k) {
            before_[k] = (k + left_ - 1) % left_;
            after_[k] = (k + 1) % left_;
        }
        for (std::size_t k = 0; k < left_; ++k) {
            offer(k);
        }
    }

    void run()
    {
        std::size_t last = 0;
        while (left_ > 2 && !queue_.empty()) {
            const auto [radius, angle, k, version] = queue_.top();
            queue_.pop();
            if (version == version_[k]) {
                take_out(k);
                last = after_[k];
            }
        }
        close(last);
    }

  private:
    /// Circles compare by radius; of equal ones the flattest corner goes first, then the index.
    using Offer = std::tuple<double, double, std::size_t, int>;

    const PlanePoint& point(std::size_t k) const { return points_[regions_.hull[k]]; }

    /// The circle through a corner and its neighbours; a corner in line has one without end.
    void offer(std::size_t k)
    {
        const PlanePoint& a = point(before_[k]);
        const PlanePoint& b = point(k);
        const PlanePoint& c = point(after_[k]);
        const auto centre = circle_centre(a, b, c);
        const double radius =
            centre ? (*centre - b).norm() : std::numeric_limits<double>::infinity();
        const double flatness = -(a - b).normalized().dot((c - b).normalized());
        queue_.emplace(radius, flatness, k, ++version_[k]);
    }

    void take_out(std::size_t k)
    {
        const std::size_t a = before_[k];
        const std::size_t b = after_[k];
        const auto& hull = regions_.hull;
        const PlanePoint centre =
            circle_centre(point(a), point(k), point(b)).value_or((point(a) + point(b)) / 2);
        regions_.corners.push_back({{hull[a], hull[k], hull[b]}, centre});
        regions_.edges.push_back({hull[a], hull[k], start_[a], centre});
        regions_.edges.push_back({hull[k], hull[b], start_[k], centre});
        start_[a] = centre;
        after_[a] = b;
        before_[b] = a;
        ++version_[k];
        if (--left_ > 2) {
            offer(a);
            offer(b);
        }
    }

    /// The edge of the last two points: from the start of one pair to that of the other.
    void close(std::size_t p)
    {
        std::size_t q = after_[p];
        if (!start_[q]) {
            std::swap(p, q);
        }
        if (start_[q]) {
            regions_.edges.push_back({regions_.hull[p], regions_.hull[q], start_[p], *start_[q]});
        }
    }

    std::span<const PlanePoint> points_;
    FarthestRegions& regions_;
    std::size_t left_;
    std::vector<std::size_t> before_;
    std::vector<std::size_t> after_;
    std::vector<int> version_;
    std::vector<std::optional<PlanePoint>> start_;
    std::priority_queue<Offer> queue_{};
};

}  // namespace

std::optional<PlanePoint> circle_centre(const PlanePoint& a, const PlanePoint& b,
                                        const PlanePoint& c)
{
    const PlanePoint u = b - a;
    const PlanePoint v = c - a;
    const double twice = 2 * (u.x() * v.y() - u.y() * v.x());
    if (twice == 0) {
        return std::nullopt;
    }
    const double uu = u.squaredNorm();
    const double vv = v.squaredNorm();
    const PlanePoint centre =
        a + PlanePoint((v.y() * uu - u.y() * vv) / twice, (u.x() * vv - v.x() * uu) / twice);
    return centre.allFinite() ? std::optional(centre) : std::nullopt;
}

FarthestRegions farthest_regions(std::span<const PlanePoint> points)
{
    FarthestRegions regions;
    regions.hull = hull_of(points);
    if (regions.hull.size() > 2) {
        Peel(points, regions).run();
    }
    return regions;
}

}  // namespace enginewright::numerics
