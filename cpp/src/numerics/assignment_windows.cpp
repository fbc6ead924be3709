#include <algorithm>
#include <optional>

#include "numerics/assignment.hpp"
#include "numerics/pair_bits.hpp"

namespace enginewright::numerics {

namespace {

/// A pair that may be used, with its cost.
struct Priced {
    double cost;
    std::size_t row;
    std::size_t column;
};

/// All usable pairs in order of cost, in groups whose costs count as equal.
class Ladder {
  public:
    Ladder(const CostTable& cost, const PairTable* allowed) : slack_(equal_within(cost))
    {
        for (Eigen::Index i = 0; i < cost.rows(); ++i) {
            for (Eigen::Index j = 0; j < cost.cols(); ++j) {
                if (allowed == nullptr || (*allowed)(i, j)) {
                    pairs_.push_back(
                        {cost(i, j), static_cast<std::size_t>(i), static_cast<std::size_t>(j)});
                }
            }
        }
        std::sort(pairs_.begin(), pairs_.end(),
                  [](const Priced& a, const Priced& b) { return a.cost < b.cost; });
        for (std::size_t k = 0; k < pairs_.size(); ++k) {
            if (starts_.empty() || pairs_[k].cost > pairs_[starts_.back()].cost + slack_) {
                starts_.push_back(k);
            }
        }
    }

    std::size_t rungs() const { return starts_.size(); }
    double slack() const { return slack_; }
    double cost(std::size_t rung) const { return pairs_[starts_[rung]].cost; }
    std::span<const Priced> rung(std::size_t k) const
    {
        const std::size_t end = k + 1 < starts_.size() ? starts_[k + 1] : pairs_.size();
        return {pairs_.data() + starts_[k], end - starts_[k]};
    }

  private:
    std::vector<Priced> pairs_{};
    std::vector<std::size_t> starts_{};
    double slack_;
};

Matching empty_matching(const CostTable& cost)
{
    return {static_cast<std::size_t>(cost.rows()), static_cast<std::size_t>(cost.cols())};
}

void add(Matching& matching, std::span<const Priced> pairs)
{
    for (const auto& pair : pairs) {
        matching.add(pair.row, pair.column);
    }
}

/// The pairs of the rungs from `first` to `last`.
PairTable between(const CostTable& cost, const Ladder& ladder, std::size_t first, std::size_t last)
{
    PairTable pairs = PairTable::Constant(cost.rows(), cost.cols(), false);
    for (std::size_t k = first; k <= last; ++k) {
        for (const auto& pair : ladder.rung(k)) {
            pairs(static_cast<Eigen::Index>(pair.row), static_cast<Eigen::Index>(pair.column)) =
                true;
        }
    }
    return pairs;
}

/// The first and last rung of a window in which a complete assignment exists.
struct Window {
    std::size_t first;
    std::size_t last;
};

/// For each first rung the nearest last one; a window that another holds may be among them.
std::vector<Window> complete_windows(const CostTable& cost, const Ladder& ladder)
{
    std::vector<Window> windows;
    Matching matching = empty_matching(cost);
    std::size_t next = 0;
    for (std::size_t first = 0; first < ladder.rungs(); ++first) {
        while (!matching.grow() && next < ladder.rungs()) {
            add(matching, ladder.rung(next++));
        }
        if (!matching.complete()) {
            break;
        }
        windows.push_back({first, next - 1});
        for (const auto& pair : ladder.rung(first)) {
            matching.remove(pair.row, pair.column);
        }
    }
    return windows;
}

double total(const CostTable& cost, const std::vector<std::size_t>& columns)
{
    double sum = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        sum += cost(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(columns[i]));
    }
    return sum;
}

}  // namespace

Assigned assign_bottleneck(const CostTable& cost, const PairTable* allowed)
{
    const Ladder ladder(cost, allowed);
    const auto reaches = [&](std::size_t last) {
        Matching matching = empty_matching(cost);
        for (std::size_t k = 0; k <= last; ++k) {
            add(matching, ladder.rung(k));
        }
        return matching.grow();
    };
    std::size_t low = 0;
    std::size_t high = ladder.rungs();
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        if (reaches(middle)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    if (low == ladder.rungs()) {
        return assign({&cost, 1}, allowed);
    }
    const PairTable pairs = between(cost, ladder, 0, low);
    return assign({&cost, 1}, &pairs);
}

Assigned assign_spread(const CostTable& cost, const PairTable* allowed)
{
    const Ladder ladder(cost, allowed);
    const auto windows = complete_windows(cost, ladder);
    if (windows.empty()) {
        return assign({&cost, 1}, allowed);
    }
    const auto width = [&](const Window& w) { return ladder.cost(w.last) - ladder.cost(w.first); };
    double narrowest = width(windows.front());
    for (const auto& window : windows) {
        narrowest = std::min(narrowest, width(window));
    }
    std::optional<Assigned> best;
    double least = 0;
    for (const auto& window : windows) {
        if (width(window) > narrowest + ladder.slack()) {
            continue;
        }
        const PairTable pairs = between(cost, ladder, window.first, window.last);
        auto found = assign({&cost, 1}, &pairs);
        const double sum = total(cost, found.columns);
        const bool cheaper = !best || sum < least - ladder.slack();
        if (cheaper || (sum <= least + ladder.slack() && found.columns < best->columns)) {
            least = cheaper ? sum : std::min(least, sum);
            best = std::move(found);
        }
    }
    return *best;
}

}  // namespace enginewright::numerics
