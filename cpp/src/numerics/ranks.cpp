#include "numerics/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <vector>

namespace enginewright::numerics {

namespace {

using Count = std::int64_t;
using Order = std::vector<std::size_t>;

Count pairs_of(Count n) { return n * (n - 1) / 2; }

/// Points in the order of x, those of one x in the order of y.
Order by_x_then_y(std::span<const double> x, std::span<const double> y)
{
    Order order(x.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return x[a] != x[b] ? x[a] < x[b] : y[a] < y[b];
    });
    return order;
}

/// Sorts by merging, and tells of each pair that stood the wrong way round.
///
/// inverted(left, end, right)  each of [left, end) stood before *right and is strictly above it
template <class T, class Below, class Inverted>
void merge_sort(std::vector<T>& items, std::vector<T>& spare, Below below, Inverted inverted)
{
    const std::size_t n = items.size();
    spare.resize(n);
    for (std::size_t width = 1; width < n; width *= 2) {
        for (std::size_t start = 0; start < n; start += 2 * width) {
            const std::size_t middle = std::min(start + width, n);
            const std::size_t end = std::min(start + 2 * width, n);
            std::size_t left = start;
            std::size_t right = middle;
            for (std::size_t to = start; to < end; ++to) {
                if (left < middle && (right == end || !below(items[right], items[left]))) {
                    spare[to] = items[left++];
                } else {
                    if (left < middle) {
                        inverted(&items[left], middle - left, items[right]);
                    }
                    spare[to] = items[right++];
                }
            }
        }
        items.swap(spare);
    }
}

/// What ties take from the variance: sums over the groups of equal numbers.
struct Ties {
    double pairs = 0;    ///< t (t - 1)
    double triples = 0;  ///< t (t - 1) (t - 2)
    double spread = 0;   ///< t (t - 1) (2 t + 5)

    explicit Ties(std::vector<double> values)
    {
        std::sort(values.begin(), values.end());
        for (std::size_t i = 0; i < values.size();) {
            std::size_t end = i;
            while (end < values.size() && values[end] == values[i]) {
                ++end;
            }
            const auto t = static_cast<double>(end - i);
            pairs += t * (t - 1);
            triples += t * (t - 1) * (t - 2);
            spread += t * (t - 1) * (2 * t + 5);
            i = end;
        }
    }
};

Count pairs_equal_in_both(std::span<const double> x, std::span<const double> y, const Order& order)
{
    Count pairs = 0;
    Count run = 1;
    for (std::size_t i = 1; i < order.size(); ++i) {
        const bool same = x[order[i]] == x[order[i - 1]] && y[order[i]] == y[order[i - 1]];
        run = same ? run + 1 : 1;
        pairs += run - 1;
    }
    return pairs;
}

}  // namespace

Concordance concordance(std::span<const double> x, std::span<const double> y)
{
    const auto n = static_cast<double>(x.size());
    const Order order = by_x_then_y(x, y);
    std::vector<double> ys;
    ys.reserve(order.size());
    for (const std::size_t i : order) {
        ys.push_back(y[i]);
    }
    std::vector<double> spare;
    Count apart = 0;
    merge_sort(
        ys, spare, [](double a, double b) { return a < b; },
        [&](const double*, std::size_t many, double) { apart += static_cast<Count>(many); });
    const Ties in_x({x.begin(), x.end()});
    const Ties in_y({y.begin(), y.end()});
    const double all = n * (n - 1) / 2;
    const auto both = static_cast<double>(pairs_equal_in_both(x, y, order));
    Concordance found;
    found.score = all - in_x.pairs / 2 - in_y.pairs / 2 + both - 2 * static_cast<double>(apart);
    found.variance = (n * (n - 1) * (2 * n + 5) - in_x.spread - in_y.spread) / 18 +
                     in_x.pairs * in_y.pairs / (2 * n * (n - 1));
    if (x.size() > 2) {
        found.variance += in_x.triples * in_y.triples / (9 * n * (n - 1) * (n - 2));
    }
    return found;
}

namespace {

// So many slopes are written down and compared.
constexpr Count few = 50'000;

/// Middle of the slopes of two ranks, which may be one.
double middle_of(std::vector<double>& slopes, Count lower, Count upper)
{
    const auto last = static_cast<Count>(slopes.size()) - 1;
    const auto at = [&](Count rank) {
        const auto place = slopes.begin() + std::clamp(rank, Count{0}, last);
        std::nth_element(slopes.begin(), place, slopes.end());
        return *place;
    };
    const double first = at(lower);
    return lower == upper ? first : first + (at(upper) - first) / 2;
}

/// A place among the slopes: just before all that are equal to one, or just after them.
struct Edge {
    double slope;
    bool after;
};

struct Point {
    double x;
    double y;
    double height;
};

void tilt(std::vector<Point>& points, double slope)
{
    for (auto& point : points) {
        point.height = point.y - slope * point.x;
    }
}

/// Order of the heights at an edge: pairs that are level have not turned yet before it, and have
/// turned after it.
auto order_at(const Edge& edge)
{
    return [after = edge.after](const Point& a, const Point& b) {
        if (a.height != b.height) {
            return a.height < b.height;
        }
        return after ? a.x > b.x : a.x < b.x;
    };
}

/// Points in the order of x; slopes are counted by inversions, never written down.
class Slopes {
  public:
    Slopes(std::span<const double> x, std::span<const double> y)
    {
        const Order order = by_x_then_y(x, y);
        for (const std::size_t i : order) {
            points_.push_back({x[i], y[i], 0});
        }
        Count tied = 0;
        Count run = 1;
        for (std::size_t i = 1; i < points_.size(); ++i) {
            run = points_[i].x == points_[i - 1].x ? run + 1 : 1;
            tied += run - 1;
        }
        all_ = pairs_of(static_cast<Count>(points_.size())) - tied;
        same_ = pairs_equal_in_both(x, y, order);
    }

    Count all() const { return all_; }

    /// How many slopes lie before an edge.
    Count before(const Edge& edge)
    {
        heights_.clear();
        for (const auto& point : points_) {
            heights_.push_back(point.y - edge.slope * point.x);
        }
        Count count = 0;
        merge_sort(
            heights_, spare_heights_, [](double a, double b) { return a < b; },
            [&](const double*, std::size_t many, double) { count += static_cast<Count>(many); });
        return edge.after ? count + level_pairs() : count;
    }

    /// The slopes between two edges: pairs that change their order from one to the other.
    std::vector<double> between(const Edge& low, const Edge& high)
    {
        std::vector<Point> moving = points_;
        tilt(moving, low.slope);
        std::sort(moving.begin(), moving.end(), order_at(low));
        tilt(moving, high.slope);
        std::vector<double> slopes;
        std::vector<Point> spare;
        merge_sort(moving, spare, order_at(high),
                   [&](const Point* left, std::size_t many, const Point& b) {
                       for (const Point* a = left; a != left + many; ++a) {
                           if (a->x != b.x) {
                               slopes.push_back((a->y - b.y) / (a->x - b.x));
                           }
                       }
                   });
        return slopes;
    }

    /// Some slopes, drawn evenly over all pairs and always the same.
    std::vector<double> sample(std::size_t count) const
    {
        std::vector<double> slopes;
        std::uint64_t state = 0;
        const auto draw = [&] {
            // Steele, Lea, Flood, OOPSLA 2014: a counter and a mixing of its bits.
            std::uint64_t bits = state += 0x9E3779B97F4A7C15U;
            bits = (bits ^ (bits >> 30U)) * 0xBF58476D1CE4E5B9U;
            bits = (bits ^ (bits >> 27U)) * 0x94D049BB133111EBU;
            return static_cast<std::size_t>((bits ^ (bits >> 31U)) % points_.size());
        };
        for (std::size_t k = 0; k < count; ++k) {
            const Point& a = points_[draw()];
            const Point& b = points_[draw()];
            if (a.x != b.x) {
                slopes.push_back((a.y - b.y) / (a.x - b.x));
            }
        }
        std::sort(slopes.begin(), slopes.end());
        return slopes;
    }

    std::vector<double> every() const
    {
        std::vector<double> slopes;
        slopes.reserve(static_cast<std::size_t>(all_));
        for (std::size_t j = 1; j < points_.size(); ++j) {
            for (std::size_t i = 0; i < j; ++i) {
                if (points_[i].x != points_[j].x) {
                    slopes.push_back((points_[j].y - points_[i].y) / (points_[j].x - points_[i].x));
                }
            }
        }
        return slopes;
    }

  private:
    /// Pairs of the same height, of the heights sorted last, that are not the same point.
    Count level_pairs() const
    {
        Count pairs = 0;
        Count run = 1;
        for (std::size_t i = 1; i < heights_.size(); ++i) {
            run = heights_[i] == heights_[i - 1] ? run + 1 : 1;
            pairs += run - 1;
        }
        return pairs - same_;
    }

    std::vector<Point> points_{};
    std::vector<double> heights_{};
    std::vector<double> spare_heights_{};
    Count all_ = 0;
    Count same_ = 0;
};

/// A stretch of slopes that holds the wanted ranks, and how many lie before its ends.
struct Bracket {
    Edge low;
    Edge high;
    Count before_low;
    Count before_high;

    Count inside() const { return before_high - before_low; }
    double middle() const { return low.slope + (high.slope - low.slope) / 2; }
};

/// Finds the slope of one rank, or the middle of two that follow each other.
class Search {
  public:
    explicit Search(Slopes& slopes) : slopes_(slopes), sample_(slopes.sample(draws)) {}

    double middle(Count lower, Count upper)
    {
        return between(lower, upper, first_bracket(lower, upper));
    }

  private:
    static constexpr std::size_t draws = 4001;
    static constexpr double far = 1e300;
    static constexpr int most_rounds = 60;

    /// Four standard deviations of a sampled median to either side.
    Bracket first_bracket(Count lower, Count upper)
    {
        const auto reach =
            static_cast<std::size_t>(2 * std::sqrt(static_cast<double>(sample_.size())));
        const std::size_t middle = sample_.size() / 2;
        Bracket found{{-far, false}, {far, true}, 0, slopes_.all()};
        if (sample_.size() > 2 * reach + 2) {
            take_edge(found, {sample_[middle - reach], false}, lower, upper);
            take_edge(found, {sample_[middle + reach], true}, lower, upper);
        }
        return found;
    }

    /// Cuts off what an edge shows to hold no wanted rank; false when it parts the two ranks.
    bool take_edge(Bracket& at, const Edge& edge, Count lower, Count upper)
    {
        const Count count = slopes_.before(edge);
        if (count > upper) {
            at.high = edge;
            at.before_high = count;
        } else if (count <= lower) {
            at.low = edge;
            at.before_low = count;
        } else {
            parted_ = {edge, count};
            return false;
        }
        return true;
    }

    /// Slopes that many pairs have: readings in steps of the gauge make them.
    std::vector<double> repeated_in(const Bracket& at) const
    {
        std::vector<double> repeated;
        for (std::size_t i = 1; i < sample_.size(); ++i) {
            const double slope = sample_[i];
            if (slope == sample_[i - 1] && slope >= at.low.slope && slope <= at.high.slope &&
                (repeated.empty() || repeated.back() != slope)) {
                repeated.push_back(slope);
            }
        }
        return repeated;
    }

    /// The middle of two ranks that an edge parts: each is looked for on its side.
    double parted(Count lower, Count upper, const Bracket& at)
    {
        const auto [edge, count] = parted_;
        const double first = between(lower, lower, {at.low, edge, at.before_low, count});
        const double second = between(upper, upper, {edge, at.high, count, at.before_high});
        return first + (second - first) / 2;
    }

    double between(Count lower, Count upper, Bracket at)
    {
        auto repeated = repeated_in(at);
        while (at.inside() > few && !repeated.empty()) {
            const std::size_t half = repeated.size() / 2;
            const double slope = repeated[half];
            if (!take_edge(at, {slope, false}, lower, upper)) {
                return parted(lower, upper, at);
            }
            if (at.high.slope == slope && !at.high.after) {
                repeated.resize(half);
                continue;
            }
            if (!take_edge(at, {slope, true}, lower, upper)) {
                return parted(lower, upper, at);
            }
            if (at.high.slope == slope) {
                return slope;  // both ranks lie between the two edges of one slope
            }
            repeated.erase(repeated.begin(),
                           repeated.begin() + static_cast<std::ptrdiff_t>(half + 1));
        }
        for (int round = 0; round < most_rounds && at.inside() > few; ++round) {
            const double cut = cut_of(at, lower, round);
            if (!(cut > at.low.slope && cut < at.high.slope)) {
                break;
            }
            if (!take_edge(at, {cut, false}, lower, upper)) {
                return parted(lower, upper, at);
            }
        }
        if (at.inside() > few) {
            return at.middle();
        }
        auto inside = slopes_.between(at.low, at.high);
        return inside.empty() ? at.middle()
                              : middle_of(inside, lower - at.before_low, upper - at.before_low);
    }

    /// Where the rank would lie between the ends, and a little to the side of the larger part, so
    /// that most of the bracket falls away each time.
    static double cut_of(const Bracket& at, Count rank, int round)
    {
        double share =
            (static_cast<double>(rank - at.before_low) + 0.5) / static_cast<double>(at.inside());
        share += (share < 0.5 ? 1 : -1) * (round % 3 == 2 ? std::abs(0.5 - share) : 0.004);
        return at.low.slope + std::clamp(share, 0.004, 0.996) * (at.high.slope - at.low.slope);
    }

    Slopes& slopes_;
    std::vector<double> sample_;
    std::pair<Edge, Count> parted_{};  ///< the edge that parted two ranks last
};

}  // namespace

double median_slope(std::span<const double> x, std::span<const double> y)
{
    Slopes slopes(x, y);
    const Count lower = (slopes.all() - 1) / 2;
    const Count upper = slopes.all() / 2;
    if (slopes.all() <= few) {
        auto every = slopes.every();
        return middle_of(every, lower, upper) + 0.0;  // plus 0: no slope has no sign
    }
    return Search(slopes).middle(lower, upper) + 0.0;
}

}  // namespace enginewright::numerics
