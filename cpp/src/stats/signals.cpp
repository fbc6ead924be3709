#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

#include "enginewright/check.hpp"
#include "enginewright/stats/charts.hpp"
#include "stats/moments.hpp"

namespace enginewright::stats {

namespace {

/// How far a run has come that begins anew whenever its condition fails.
struct Run {
    int length = 0;
    void step(bool goes_on) { length = goes_on ? length + 1 : 0; }
};

/// Which of the last points lay beyond a line, the newest in the lowest bit.
struct Window {
    std::uint32_t bits = 0;
    void step(bool beyond) { bits = (bits << 1U) | (beyond ? 1U : 0U); }
    /// The newest point and enough of the last `size` lay beyond.
    bool holds(int needed, unsigned size) const
    {
        return (bits & 1U) != 0 && std::popcount(bits & ((1U << size) - 1U)) >= needed;
    }
};

/// Looks at one point after another and says which patterns each completes.
class Watch {
  public:
    Watch(double centre, double sigma, const std::vector<Pattern>& rules)
        : centre_(centre), sigma_(sigma)
    {
        for (const Pattern rule : rules) {
            wanted_[static_cast<std::size_t>(rule)] = true;
            watches_more_ = watches_more_ || rule >= Pattern::six_trending;
        }
    }

    void look(double point, int index, std::vector<Signal>& found)
    {
        const double off = point - centre_;
        const double size = std::abs(off);
        const auto say = [&](Pattern rule, SignalSide side) {
            if (wanted_[static_cast<std::size_t>(rule)]) {
                found.push_back({.rule = rule, .index = index, .side = side});
            }
        };
        const SignalSide side = off > 0 ? SignalSide::upper : SignalSide::lower;
        if (size > 3 * sigma_) {
            say(Pattern::one_beyond_three, side);
        }
        two_upper_.step(off > 2 * sigma_);
        two_lower_.step(off < -2 * sigma_);
        if (two_upper_.holds(2, 3) || two_lower_.holds(2, 3)) {
            say(Pattern::two_of_three, side);
        }
        one_upper_.step(off > sigma_);
        one_lower_.step(off < -sigma_);
        if (one_upper_.holds(4, 5) || one_lower_.holds(4, 5)) {
            say(Pattern::four_of_five, side);
        }
        upper_.step(off > 0);
        lower_.step(off < 0);
        if (upper_.length >= 8 || lower_.length >= 8) {
            say(Pattern::eight_on_one_side, side);
        }
        if (watches_more_) {
            look_at_step(point, index, say);
            look_at_band(size, say);
        }
    }

  private:
    template <class Say>
    void look_at_band(double size, Say& say)
    {
        within_.step(size <= sigma_);
        if (within_.length >= 15) {
            say(Pattern::fifteen_within, SignalSide::both);
        }
        outside_.step(size > sigma_);
        if (outside_.length >= 8) {
            say(Pattern::eight_outside, SignalSide::both);
        }
    }

    /// Patterns of the steps from point to point: so many points have one step fewer.
    template <class Say>
    void look_at_step(double point, int index, Say& say)
    {
        const double step = index == 0 ? 0 : point - last_;
        rising_.step(step > 0);
        falling_.step(step < 0);
        if (rising_.length >= 5 || falling_.length >= 5) {
            say(Pattern::six_trending, step > 0 ? SignalSide::upper : SignalSide::lower);
        }
        const bool turns = (step > 0 && last_step_ < 0) || (step < 0 && last_step_ > 0);
        alternating_ = turns ? alternating_ + 1 : step != 0 ? 1 : 0;
        if (alternating_ >= 13) {
            say(Pattern::fourteen_alternating, SignalSide::both);
        }
        last_ = point;
        last_step_ = step;
    }

    double centre_;
    double sigma_;
    std::array<bool, words<Pattern>.list.size()> wanted_{};
    bool watches_more_ = false;  ///< the rarer patterns cost as much as the four usual ones
    Window two_upper_{}, two_lower_{}, one_upper_{}, one_lower_{};
    Run upper_{}, lower_{}, rising_{}, falling_{}, within_{}, outside_{};
    int alternating_ = 0;
    double last_ = 0;
    double last_step_ = 0;
};

}  // namespace

std::vector<Signal> signals(std::span<const double> points, double centre, double sigma,
                            const std::vector<Pattern>& rules)
{
    require_values("points", points, 1);
    require_value("centre", centre);
    require_positive("sigma", sigma);
    require_value("sigma", sigma);
    std::vector<Signal> found;
    Watch watch(centre, sigma, rules);
    for (std::size_t i = 0; i < points.size(); ++i) {
        watch.look(points[i], static_cast<int>(i), found);
    }
    return found;
}

}  // namespace enginewright::stats
