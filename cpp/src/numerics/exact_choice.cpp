#include "numerics/exact_choice.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "numerics/box_tree.hpp"

namespace enginewright::numerics {

double longer_of(const TwoPlanes& point)
{
    return std::max(std::hypot(point[0], point[1]), std::hypot(point[2], point[3]));
}

Neighbours::Neighbours(int places)
    : places_(places),
      allowed_(static_cast<std::size_t>(places) * static_cast<std::size_t>(places), 1)
{
    for (int i = 0; i < places; ++i) {
        allowed_[at(i, i)] = 0;
    }
}

void Neighbours::exclude(int a, int b) { allowed_[at(a, b)] = allowed_[at(b, a)] = 0; }

namespace {

constexpr double same = 1e-12;
// So many exact looks are worth more than any real set of places ever needs.
constexpr std::int64_t patience = 300'000'000;

TwoPlanes sum(const TwoPlanes& a, const TwoPlanes& b)
{
    return {a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]};
}

Coordinates single(const TwoPlanes& a)
{
    return {static_cast<float>(a[0]), static_cast<float>(a[1]), static_cast<float>(a[2]),
            static_cast<float>(a[3])};
}

/// The search for one number of options.
class Search {
  public:
    Search(const TwoPlanes& start, const std::vector<Option>& options, const Neighbours& neighbours)
        : start_(start), options_(options), neighbours_(neighbours), goal_(single(start))
    {
        double reach = longer_of(start);
        double largest = 0;
        for (const auto& option : options) {
            largest = std::max(largest, longer_of(option.effect));
        }
        reach += 4 * largest;
        // What rounding to single precision may move a sum of four by, with some to spare.
        slack_ = 1e-6 * reach;
        for (float& each : goal_) {
            each = -each;
        }
    }

    /// Best choice of exactly k options that is better than `ceiling`; empty when there is none.
    Choice best(int k, double ceiling)
    {
        ceiling_ = ceiling;
        found_ = {};
        found_cost_ = 0;
        has_found_ = false;
        looks_ = 0;
        widen();
        switch (k) {
            case 1:
                for (int i = 0; i < count(); ++i) {
                    look(std::array{i});
                }
                break;
            case 2:
                each_pair([&](int i, int j) { look(std::array{i, j}); });
                break;
            case 3:
                three();
                break;
            default:
                four();
        }
        found_.exhaustive = looks_ <= patience;
        return found_;
    }

  private:
    int count() const { return static_cast<int>(options_.size()); }
    const Option& option(int i) const { return options_[static_cast<std::size_t>(i)]; }
    bool together(int i, int j) const
    {
        return neighbours_.together(option(i).place, option(j).place);
    }

    template <class Visit>
    void each_pair(Visit visit)
    {
        for (int i = 0; i < count(); ++i) {
            for (int j = i + 1; j < count(); ++j) {
                if (together(i, j)) {
                    visit(i, j);
                }
            }
        }
    }

    std::vector<TreePoint> pair_sums()
    {
        std::vector<TreePoint> pairs;
        pairs.reserve(pair_count(options_, neighbours_));
        each_pair([&](int i, int j) {
            pairs.push_back({single(sum(option(i).effect, option(j).effect)), i, j});
        });
        return pairs;
    }

    /// Looks at a choice exactly and keeps it when it is better.
    template <std::size_t k>
    void look(std::array<int, k> chosen)
    {
        ++looks_;
        std::sort(chosen.begin(), chosen.end());
        TwoPlanes left = start_;
        for (const int i : chosen) {
            left = sum(left, option(i).effect);
        }
        const double worst = longer_of(left);
        if (!(worst < ceiling_ - same) || (has_found_ && worst > found_.worst + same)) {
            return;
        }
        double cost = 0;
        for (const int i : chosen) {
            cost += option(i).cost;
        }
        cost = std::abs(cost);
        std::vector<int> list(chosen.begin(), chosen.end());
        if (has_found_ && worst >= found_.worst - same) {
            const double slack = 1e-9 * (1 + cost);
            if (cost > found_cost_ + slack ||
                (cost >= found_cost_ - slack && list >= found_.options)) {
                return;
            }
        }
        found_.options = std::move(list);
        found_.worst = worst;
        found_cost_ = cost;
        has_found_ = true;
        widen();
    }

    /// Radius that single precision may look at, from the best choice so far.
    void widen()
    {
        const double radius =
            std::min(ceiling_, has_found_ ? found_.worst : ceiling_) + same + slack_;
        square_ = static_cast<float>(radius * radius * (1 + 1e-6));
    }

    /// Walks down to the points of a tree that lie near a place; `visit` may shrink the radius.
    template <class Visit>
    void near(const BoxTree& tree, std::size_t node, const Coordinates& place, Visit&& visit)
    {
        const BoxNode& at = tree.nodes()[node];
        if (at.leaf()) {
            for (std::uint32_t i = at.begin; i < at.end; ++i) {
                const TreePoint& point = tree.points()[i];
                if (square_of(off(point.at, place)) <= square_) {
                    visit(point);
                }
            }
            return;
        }
        const std::size_t left = node + 1;
        const auto right = static_cast<std::size_t>(at.right);
        const float to_left = square_from_box(place, tree.nodes()[left].box);
        const float to_right = square_from_box(place, tree.nodes()[right].box);
        const bool left_first = to_left <= to_right;
        if (std::min(to_left, to_right) <= square_) {
            near(tree, left_first ? left : right, place, visit);
        }
        if (std::max(to_left, to_right) <= square_) {
            near(tree, left_first ? right : left, place, visit);
        }
    }

    static Coordinates off(const Coordinates& a, const Coordinates& b)
    {
        return {a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3]};
    }

    void three()
    {
        std::vector<TreePoint> singles;
        singles.reserve(static_cast<std::size_t>(count()));
        for (int i = 0; i < count(); ++i) {
            singles.push_back({single(option(i).effect), i, -1});
        }
        const BoxTree tree(std::move(singles), 8);
        if (tree.nodes().empty()) {
            return;
        }
        each_pair([&](int i, int j) {
            const Coordinates place =
                off(off(goal_, single(option(i).effect)), single(option(j).effect));
            if (looks_ > patience || square_from_box(place, tree.nodes()[0].box) > square_) {
                return;
            }
            // Each set of three is met with its two first as the pair.
            near(tree, 0, place, [&](const TreePoint& point) {
                if (point.first > j && together(i, point.first) && together(j, point.first)) {
                    look(std::array{i, j, point.first});
                }
            });
        });
    }

    void try_pairs(const TreePoint& a, const TreePoint& b)
    {
        if (together(a.first, b.first) && together(a.first, b.second) &&
            together(a.second, b.first) && together(a.second, b.second)) {
            look(std::array<int, 4>{a.first, a.second, b.first, b.second});
        }
    }

    void four()
    {
        const BoxTree tree(pair_sums(), 24);
        if (tree.nodes().empty()) {
            return;
        }
        // A few hundred nearest neighbours first: the join then starts with a small radius.
        const std::size_t stride = std::max<std::size_t>(1, tree.points().size() / 500);
        for (std::size_t i = 0; i < tree.points().size() && looks_ <= patience; i += stride) {
            const TreePoint& a = tree.points()[i];
            near(tree, 0, off(goal_, a.at), [&](const TreePoint& b) { try_pairs(a, b); });
        }
        join(tree, 0, 0);
    }

    /// All pairs of points of two boxes whose sum may come nearer to the goal than the best so far.
    void join(const BoxTree& tree, std::size_t a, std::size_t b)
    {
        const BoxNode& first = tree.nodes()[a];
        const BoxNode& second = tree.nodes()[b];
        Box both;
        for (std::size_t d = 0; d < 4; ++d) {
            both.low[d] = first.box.low[d] + second.box.low[d];
            both.high[d] = first.box.high[d] + second.box.high[d];
        }
        if (square_from_box(goal_, both) > square_ || looks_ > patience) {
            return;
        }
        if (first.leaf() && second.leaf()) {
            join_leaves(tree, first, second, a == b);
        } else if (a == b) {
            join(tree, a + 1, a + 1);
            join(tree, a + 1, static_cast<std::size_t>(first.right));
            join(tree, static_cast<std::size_t>(first.right),
                 static_cast<std::size_t>(first.right));
        } else if (second.leaf() ||
                   (!first.leaf() && first.end - first.begin >= second.end - second.begin)) {
            join(tree, a + 1, b);
            join(tree, static_cast<std::size_t>(first.right), b);
        } else {
            join(tree, a, b + 1);
            join(tree, a, static_cast<std::size_t>(second.right));
        }
    }

    void join_leaves(const BoxTree& tree, const BoxNode& first, const BoxNode& second,
                     bool same_box)
    {
        looks_ += (first.end - first.begin) / 16;
        for (std::uint32_t i = first.begin; i < first.end; ++i) {
            const TreePoint& a = tree.points()[i];
            const Coordinates place = off(goal_, a.at);
            if (square_from_box(place, second.box) > square_) {
                continue;
            }
            for (std::uint32_t j = same_box ? i + 1 : second.begin; j < second.end; ++j) {
                if (square_of(off(tree.points()[j].at, place)) <= square_) {
                    try_pairs(a, tree.points()[j]);
                }
            }
        }
    }

    const TwoPlanes& start_;
    const std::vector<Option>& options_;
    const Neighbours& neighbours_;
    Coordinates goal_;
    double slack_ = 0;
    double ceiling_ = 0;
    Choice found_{};
    double found_cost_ = 0;
    bool has_found_ = false;
    float square_ = 0;
    std::int64_t looks_ = 0;
};

}  // namespace

std::size_t pair_count(const std::vector<Option>& options, const Neighbours& neighbours)
{
    // By places, not by options: they are some tens against some thousands.
    std::vector<std::size_t> at_place;
    for (const auto& option : options) {
        const auto place = static_cast<std::size_t>(option.place);
        at_place.resize(std::max(at_place.size(), place + 1));
        ++at_place[place];
    }
    std::size_t pairs = 0;
    for (std::size_t a = 0; a < at_place.size(); ++a) {
        for (std::size_t b = a + 1; b < at_place.size(); ++b) {
            if (neighbours.together(static_cast<int>(a), static_cast<int>(b))) {
                pairs += at_place[a] * at_place[b];
            }
        }
    }
    return pairs;
}

Choice best_choice(const TwoPlanes& start, const std::vector<Option>& options,
                   const Neighbours& neighbours, double target, int most)
{
    Choice best{.options = {}, .worst = longer_of(start)};
    Search search(start, options, neighbours);
    bool exhaustive = true;
    for (int k = 1; k <= most && best.worst > target; ++k) {
        auto found = search.best(k, best.worst);
        exhaustive = exhaustive && found.exhaustive;
        if (!found.options.empty()) {
            best = std::move(found);
        }
    }
    best.exhaustive = exhaustive;
    return best;
}

}  // namespace enginewright::numerics
