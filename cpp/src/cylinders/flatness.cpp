#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "enginewright/cylinders/deck.hpp"
#include "judging.hpp"
#include "numerics/minimum_zone.hpp"
#include "turns.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using numerics::Place;
using std::numbers::sqrt2;
using wording::mm;

namespace {

constexpr std::size_t most_places = 10'000;
constexpr std::size_t most_local_places = 1'000;
constexpr double near = 1e-9;

std::vector<Place> places_of(std::span<const double> x, std::span<const double> y,
                             std::span<const double> z)
{
    require_readings("x", x, 4);
    judging::require_count("y", y.size(), x.size(), "a place");
    judging::require_count("z", z.size(), x.size(), "a place");
    if (x.size() > most_places) {
        refuse_all("x", "hold at most " + std::to_string(most_places) + " places, got " +
                            std::to_string(x.size()));
    }
    std::vector<Place> places;
    for (std::size_t i = 0; i < x.size(); ++i) {
        require_length(element_name("x", i), x[i]);
        require_length(element_name("y", i), y[i]);
        require_length(element_name("z", i), z[i]);
        places.push_back({x[i], y[i], z[i]});
    }
    if (numerics::in_one_line(places)) {
        refuse_all("x", "hold places that do not lie in one line with y, got " +
                            std::to_string(x.size()) + " that do");
    }
    return places;
}

/// The least zone of some places: over a plane, or over a line where they lie in one; none when
/// they are too few to have one.
std::optional<double> zone_of(std::span<const Place> places)
{
    if (places.size() < 3) {
        return std::nullopt;
    }
    if (!numerics::in_one_line(places)) {
        return places.size() > 3 ? std::optional(numerics::flattest_plane(places).range)
                                 : std::nullopt;
    }
    return numerics::flattest_line(places);
}

/// The greatest zone among the squares, and who lies in it.
class Local {
  public:
    Local(std::span<const Place> places, const numerics::Zone& whole, double span)
        : places_(places), whole_(whole), span_(span)
    {
    }

    void search(DeckFlatness& found)
    {
        for (const Place& left : places_) {
            for (const Place& lower : places_) {
                // A square without a place on its sides can be moved on without losing any.
                if (inside(left, left.x, lower.y) && inside(lower, left.x, lower.y)) {
                    look(found, left.x, lower.y);
                }
            }
        }
    }

  private:
    bool inside(const Place& place, double left, double lower) const
    {
        return place.x >= left - near && place.x <= left + span_ + near &&
               place.y >= lower - near && place.y <= lower + span_ + near;
    }

    void look(DeckFlatness& found, double left, double lower)
    {
        held_.clear();
        members_.clear();
        for (std::size_t i = 0; i < places_.size(); ++i) {
            if (inside(places_[i], left, lower)) {
                held_.push_back(places_[i]);
                members_.push_back(static_cast<int>(i));
            }
        }
        // Over the plane of the whole deck the range is no less: most squares end here.
        if (found.local_flatness && numerics::range_over(held_, whole_.slope_x, whole_.slope_y) <=
                                        *found.local_flatness + near) {
            return;
        }
        const auto zone = zone_of(held_);
        if (zone && (!found.local_flatness || *zone > *found.local_flatness + near)) {
            found.local_flatness = *zone;
            found.local_points = members_;
        }
    }

    std::span<const Place> places_;
    const numerics::Zone& whole_;
    double span_;
    std::vector<Place> held_{};
    std::vector<int> members_{};
};

/// The points at the top and at the bottom of the zone.
void add_contacts(DeckFlatness& found, std::span<const Place> places)
{
    const Place& first = places.front();
    std::vector<double> over;
    for (const auto& place : places) {
        over.push_back((place.height - first.height) - found.slope_x * (place.x - first.x) -
                       found.slope_y * (place.y - first.y));
    }
    const auto [least, greatest] = std::minmax_element(over.begin(), over.end());
    for (std::size_t i = 0; i < over.size(); ++i) {
        if (over[i] >= *greatest - near) {
            found.high_points.push_back(static_cast<int>(i));
        }
        if (over[i] <= *least + near) {
            found.low_points.push_back(static_cast<int>(i));
        }
    }
}

void judge_flatness(DeckFlatness& found, std::optional<double> limit,
                    std::optional<double> local_limit)
{
    const auto judged = [&](double figure, std::optional<double> upper, const char* what) {
        const std::array figures{figure};
        const std::array doubts{found.uncertainty};
        return judging::judge_set(figures, doubts, std::nullopt, upper,
                                  [=](std::size_t) { return what; });
    };
    const auto whole = judged(found.flatness, limit, "flatness");
    auto local = judged(found.local_flatness.value_or(0),
                        found.local_flatness ? local_limit : std::nullopt, "local flatness");
    const bool missing = local_limit && !found.local_flatness;
    if (missing) {
        local.verdict = Standing::unproven;
        local.unproven.push_back("no span of the deck holds enough readings to judge it locally");
    }
    found.flatness_verdict = whole.verdict;
    found.local_verdict = local.verdict;
    found.verdict = judging::worst_of({&whole, &local});
    found.reason = judging::reasons_of({&whole, &local});
    if (found.verdict == Standing::outside) {
        found.next = "set up on the best plane and take " + mm(found.skim_best) +
                     " off to clean it; parallel to the datum it takes " + mm(found.skim_parallel);
    } else if (found.verdict == Standing::unproven) {
        found.next =
            missing ? "read the deck at closer places" : "read the deck again with a better gauge";
    }
}

}  // namespace

DeckFlatness deck_flatness(std::span<const double> x, std::span<const double> y,
                           std::span<const double> z, std::optional<double> limit,
                           std::optional<double> local_span, std::optional<double> local_limit,
                           double uncertainty)
{
    const auto places = places_of(x, y, z);
    turns::require_limit("limit", limit, "mm");
    if (local_span) {
        require_size("local_span", *local_span);
        if (places.size() > most_local_places) {
            refuse_all("x", "hold at most " + std::to_string(most_local_places) +
                                " places with a local_span, got " + std::to_string(x.size()));
        }
    }
    turns::require_limit("local_limit", local_limit, "mm");
    if (local_limit && !local_span) {
        refuse("local_limit", "left out without a local_span", *local_limit);
    }
    require_length_at_least_zero("uncertainty", uncertainty);
    const auto zone = numerics::flattest_plane(places);
    DeckFlatness found{.flatness = zone.range,
                       .flatness_least_squares = numerics::least_squares_plane(places).range,
                       .uncertainty = sqrt2 * uncertainty,
                       .slope_x = zone.slope_x,
                       .slope_y = zone.slope_y,
                       .skim_best = zone.range,
                       .skim_parallel = numerics::range_over(places, 0, 0)};
    add_contacts(found, places);
    if (local_span) {
        Local(places, zone, *local_span).search(found);
    }
    judge_flatness(found, limit, local_limit);
    return found;
}

}  // namespace enginewright::cylinders
