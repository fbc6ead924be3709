#include <algorithm>
#include <cmath>
#include <limits>

#include "crank_train_formulas.hpp"
#include "enginewright/crank_train.hpp"

namespace enginewright::crank_train {

namespace {

constexpr double scan_step = 0.05;
constexpr int scan_points = 7200;
constexpr double elsewhere = std::numeric_limits<double>::infinity();

/// The gap between shank and edge; none, as infinity, where the rod does not span the edge.
class EdgeGap {
  public:
    EdgeGap(const formula::Train<double>& train, double bore, double bore_bottom, double rod_width)
        : train_(train), half_bore_(bore / 2), edge_(bore_bottom), half_width_(rod_width / 2)
    {
    }

    double operator()(double angle) const
    {
        const auto p = formula::pose(angle, train_);
        const double share = (train_.radius * p.cosine + p.q - edge_) / p.q;
        if (share < 0 || share > 1) {
            return elsewhere;
        }
        return half_bore_ - std::abs(p.h * share) - half_width_ * train_.rod_length / p.q;
    }

  private:
    formula::Train<double> train_;
    double half_bore_;
    double edge_;
    double half_width_;
};

/// The last place towards `out` at which the rod still spans the edge.
double end_of_span(const EdgeGap& gap, double in, double out)
{
    for (int i = 0; i < 60 && gap(out) == elsewhere; ++i) {
        const double middle = (in + out) / 2;
        (gap(middle) == elsewhere ? out : in) = middle;
    }
    return gap(out) == elsewhere ? in : out;
}

/// Golden section between two ends, of which one place between is known to be low.
RodClearance least_between(const EdgeGap& gap, double low, double high)
{
    constexpr double golden = 0.61803398874989485;
    double left = high - golden * (high - low);
    double right = low + golden * (high - low);
    double at_left = gap(left);
    double at_right = gap(right);
    while (high - low > 1e-9) {
        if (at_left <= at_right) {
            high = right;
            right = left;
            at_right = at_left;
            left = high - golden * (high - low);
            at_left = gap(left);
        } else {
            low = left;
            left = right;
            at_left = at_right;
            right = low + golden * (high - low);
            at_right = gap(right);
        }
    }
    RodClearance least{.clearance = at_left, .angle = left};
    // At the end of the span the least gap is at the very edge.
    for (const double end : {low, high}) {
        if (gap(end) < least.clearance) {
            least = {.clearance = gap(end), .angle = end};
        }
    }
    return least;
}

}  // namespace

RodClearance rod_bore_clearance(double bore, double stroke, double rod_length, double pin_offset,
                                double bore_bottom, double rod_width)
{
    require_size("bore", bore);
    const auto t = formula::train(stroke, rod_length, pin_offset);
    require_between("bore_bottom", bore_bottom, -t.radius, t.reach, "mm");
    require_length_at_least_zero("rod_width", rod_width);
    const EdgeGap gap(t, bore, bore_bottom, rod_width);
    // From the top downwards first: of two places alike the one after top dead centre is named.
    double at = 0;
    double least = elsewhere;
    for (int i = 0; i < scan_points; ++i) {
        const double angle = scan_step * (i <= scan_points / 2 ? i : i - scan_points);
        const double here = gap(angle);
        if (here < least) {
            least = here;
            at = angle;
        }
    }
    if (least == elsewhere) {
        refuse("bore_bottom", "at a height that the rod spans somewhere in its turn", bore_bottom);
    }
    return least_between(gap, end_of_span(gap, at, at - scan_step),
                         end_of_span(gap, at, at + scan_step));
}

}  // namespace enginewright::crank_train
