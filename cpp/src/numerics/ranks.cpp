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

double middle_of(std::vector<double>& slopes, Count below, Count all)
{
    const auto lower = static_cast<std::ptrdiff_t>((all - 1) / 2 - below);
    const auto upper = static_cast<std::ptrdiff_t>(all / 2 - below);
    const auto last = static_cast<std::ptrdiff_t>(slopes.size()) - 1;
    const auto at = [&](std::ptrdiff_t rank) {
        const auto place = slopes.begin() + std::clamp(rank, std::ptrdiff_t{0}, last);
        std::nth_element(slopes.begin(), place, slopes.end());
        return *place;
    };
    const double first = at(lower);
    return lower == upper ? first : first + (at(upper) - first) / 2;
}

/// Points in the order of x; slopes are counted by inversions, never written down.
class Slopes {
  public:
    Slopes(std::span<const double> x, std::span<const double> y)
    {
        for (const std::size_t i : by_x_then_y(x, y)) {
            points_.push_back({x[i], y[i], 0});
        }
        Count tied = 0;
        Count run = 1;
        for (std::size_t i = 1; i < points_.size(); ++i) {
            run = points_[i].x == points_[i - 1].x ? run + 1 : 1;
            tied += run - 1;
        }
        all_ = pairs_of(static_cast<Count>(points_.size())) - tied;
    }

    Count all() const { return all_; }

    /// How many slopes are below one.
    Count below(double slope)
    {
        heights_.clear();
        for (const auto& point : points_) {
            heights_.push_back(point.y - slope * point.x);
        }
        Count count = 0;
        merge_sort(
            heights_, spare_heights_, [](double a, double b) { return a < b; },
            [&](const double*, std::size_t many, double) { count += static_cast<Count>(many); });
        return count;
    }

    /// The slopes from low up to high: pairs that change their order between the two.
    std::vector<double> between(double low, double high)
    {
        std::vector<Point> moving = points_;
        for (auto& point : moving) {
            point.height = point.y - low * point.x;
        }
        const auto under = [](const Point& a, const Point& b) { return a.height < b.height; };
        std::stable_sort(moving.begin(), moving.end(), under);
        for (auto& point : moving) {
            point.height = point.y - high * point.x;
        }
        std::vector<double> slopes;
        std::vector<Point> spare;
        merge_sort(moving, spare, under, [&](const Point* left, std::size_t many, const Point& b) {
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
    struct Point {
        double x;
        double y;
        double height;
    };
    std::vector<Point> points_{};
    std::vector<double> heights_{};
    std::vector<double> spare_heights_{};
    Count all_ = 0;
};

/// A bracket around the median and how many slopes lie below its ends.
struct Bracket {
    double low;
    double high;
    Count below_low;
    Count below_high;
    Count inside() const { return below_high - below_low; }
};

Bracket first_bracket(Slopes& slopes, Count lower, Count upper)
{
    constexpr std::size_t draws = 20001;
    const auto sample = slopes.sample(draws);
    // Four standard deviations of a sampled median either way; then the ends of the sample.
    const auto reach = static_cast<std::size_t>(2 * std::sqrt(static_cast<double>(sample.size())));
    const std::size_t middle = sample.size() / 2;
    constexpr double far = 1e300;
    Bracket found{-far, far, 0, slopes.all()};
    if (sample.size() > 2 * reach + 2) {
        // The ends step over their own value: of many equal slopes all must lie inside.
        const double low = std::nextafter(sample[middle - reach], -far);
        const double high = std::nextafter(sample[middle + reach], far);
        const Count under_low = slopes.below(low);
        const Count under_high = slopes.below(high);
        if (under_low <= lower) {
            found.low = low;
            found.below_low = under_low;
        }
        if (under_high > upper) {
            found.high = high;
            found.below_high = under_high;
        }
    }
    return found;
}

}  // namespace

double median_slope(std::span<const double> x, std::span<const double> y)
{
    constexpr Count few = 2'000'000;
    Slopes slopes(x, y);
    const Count all = slopes.all();
    if (all <= few) {
        auto every = slopes.every();
        return middle_of(every, 0, all);
    }
    const Count lower = (all - 1) / 2;
    const Count upper = all / 2;
    Bracket at = first_bracket(slopes, lower, upper);
    for (int round = 0; round < 200 && at.inside() > few; ++round) {
        // Where the median would lie between the ends, and a little to the side of the larger
        // part, so that most of the bracket falls away each time.
        double share =
            (static_cast<double>(lower - at.below_low) + 0.5) / static_cast<double>(at.inside());
        share += (share < 0.5 ? 1 : -1) * (round % 3 == 2 ? std::abs(0.5 - share) : 0.02);
        const double cut = at.low + std::clamp(share, 0.02, 0.98) * (at.high - at.low);
        if (!(cut > at.low && cut < at.high)) {
            return at.low;
        }
        const Count under = slopes.below(cut);
        if (under > upper) {
            at.high = cut;
            at.below_high = under;
        } else if (under <= lower) {
            at.low = cut;
            at.below_low = under;
        } else {
            return cut;  // an even count, and the cut lies between the two in the middle
        }
    }
    auto inside = slopes.between(at.low, at.high);
    return inside.empty() ? at.low : middle_of(inside, at.below_low, all);
}

}  // namespace enginewright::numerics
