#include "enginewright/fasteners/reuse.hpp"

#include <algorithm>
#include <cmath>

#include "wording.hpp"

namespace enginewright::fasteners {

using wording::mm;

namespace {

/// The smallest reading of the shank, when there is one.
std::optional<double> least_of(const std::optional<OneOrMore>& shank_diameter)
{
    if (!shank_diameter) {
        return std::nullopt;
    }
    if (const auto* one = std::get_if<double>(&*shank_diameter)) {
        require_size("shank_diameter", *one);
        return *one;
    }
    const auto& several = std::get<std::vector<double>>(*shank_diameter);
    require_readings("shank_diameter", several, 1);
    for (std::size_t i = 0; i < several.size(); ++i) {
        require_size(element_name("shank_diameter", i), several[i]);
    }
    return *std::min_element(several.begin(), several.end());
}

Standing judged(double value, double uncertainty, std::optional<double> lower,
                std::optional<double> upper)
{
    return measure::decide(value, uncertainty, measure::infinite_freedom, lower, upper).verdict;
}

std::string_view proven(Standing verdict)
{
    return verdict == Standing::unproven ? ", not proven by the gauge" : "";
}

void say_why_it_is_replaced(BoltReuse& bolt, std::optional<double> shank_limit)
{
    std::vector<std::string> pieces;
    const bool stretch = bolt.stretch_verdict != Standing::within;
    const bool shank =
        bolt.shank_verdict == Standing::outside || bolt.shank_verdict == Standing::unproven;
    if (stretch) {
        pieces.push_back(mm(std::abs(bolt.permanent_stretch)) +
                         (bolt.permanent_stretch < 0 ? " shorter" : " longer") + " than new, " +
                         mm(bolt.limit) + " allowed" + std::string(proven(bolt.stretch_verdict)));
    }
    if (shank) {
        pieces.push_back("shank " + mm(*bolt.shank_least) + ", " + mm(*shank_limit) + " at least" +
                         std::string(proven(bolt.shank_verdict)));
    }
    const bool known =
        bolt.stretch_verdict == Standing::outside || bolt.shank_verdict == Standing::outside;
    bolt.reason = wording::joined(pieces, "; ");
    bolt.next = known ? "replace the bolt" : "replace the bolt, or prove it with a better gauge";
}

}  // namespace

BoltReuse reuse(double free_length, double new_length, double limit, double uncertainty,
                const std::optional<OneOrMore>& shank_diameter, std::optional<double> shank_limit,
                double shank_uncertainty)
{
    require_size("free_length", free_length);
    require_size("new_length", new_length);
    require_size("limit", limit);
    require_length_at_least_zero("uncertainty", uncertainty);
    const auto shank = least_of(shank_diameter);
    if (shank_limit) {
        require_size("shank_limit", *shank_limit);
        if (!shank) {
            refuse_all("shank_diameter", "be given with shank_limit, got None");
        }
    }
    require_length_at_least_zero("shank_uncertainty", shank_uncertainty);
    BoltReuse bolt{
        .permanent_stretch = free_length - new_length, .limit = limit, .shank_least = shank};
    bolt.stretch_verdict = judged(bolt.permanent_stretch, uncertainty, std::nullopt, limit);
    if (shank_limit) {
        bolt.shank_verdict = judged(*shank, shank_uncertainty, shank_limit, std::nullopt);
    }
    if (bolt.permanent_stretch < -limit - 1e-9) {
        bolt.status = ReuseStatus::measure_again;
        bolt.reason = mm(-bolt.permanent_stretch) +
                      " shorter than new: bolts do not shrink, the record or a reading is wrong";
        bolt.next = "measure again and look up the length when new";
        return bolt;
    }
    const bool sound =
        bolt.stretch_verdict == Standing::within &&
        (bolt.shank_verdict == Standing::within || bolt.shank_verdict == Standing::unlimited);
    if (!sound) {
        bolt.status = ReuseStatus::replace;
        say_why_it_is_replaced(bolt, shank_limit);
    }
    return bolt;
}

}  // namespace enginewright::fasteners
