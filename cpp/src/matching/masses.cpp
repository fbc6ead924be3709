#include "enginewright/matching/masses.hpp"

#include <algorithm>
#include <cmath>

#include "matching/require.hpp"
#include "wording.hpp"

namespace enginewright::matching {

using wording::grams;
using wording::part;

namespace {

/// How much may come off each part; empty: no limit.
std::vector<double> limits_of(const std::optional<OneOrEach>& removable, std::size_t parts)
{
    if (!removable) {
        return {};
    }
    const auto* each = std::get_if<std::vector<double>>(&*removable);
    if (each == nullptr) {
        const double one = std::get<double>(*removable);
        require_mass_at_least_zero("removable", one);
        return std::vector<double>(parts, one);
    }
    if (each->size() != parts) {
        refuse_all("removable", "hold one figure or " + std::to_string(parts) +
                                    ", one a part, got " + std::to_string(each->size()));
    }
    for (std::size_t i = 0; i < parts; ++i) {
        require_mass_at_least_zero(element_name("removable", i), (*each)[i]);
    }
    return *each;
}

double spread(std::span<const double> values)
{
    const auto [least, greatest] = std::minmax_element(values.begin(), values.end());
    return *greatest - *least;
}

/// "part 2" or "parts 2, 3", with "by one of" or "by ones of".
std::string replaced(std::span<const int> parts, double mass, std::string_view bound)
{
    return wording::parts("part", parts) + (parts.size() == 1 ? " by one of " : " by ones of ") +
           grams(mass) + std::string(bound);
}

/// The set as a sentence about parts: the plan beside what it was made from.
struct Telling {
    const MassPlan& plan;
    std::span<const double> masses;
    const std::vector<double>& removable;
    double tolerance;
    bool target_given;

    double mass(int part) const { return masses[static_cast<std::size_t>(part)]; }
    double limit(int part) const { return removable[static_cast<std::size_t>(part)]; }

    std::string reason() const
    {
        std::vector<std::string> pieces;
        for (const int i : plan.over_limit) {
            pieces.push_back(part("part", i) + " must lose " +
                             grams(mass(i) - plan.target - tolerance) + ", " + grams(limit(i)) +
                             " may come off");
        }
        for (const int i : plan.too_light) {
            pieces.push_back(part("part", i) + " is " + grams(plan.target - tolerance - mass(i)) +
                             " too light");
        }
        return wording::joined(pieces, "; ");
    }

    /// The heavy parts, those of one limit together.
    std::string replace_heavy() const
    {
        std::vector<std::string> pieces;
        std::vector<int> left = plan.over_limit;
        while (!left.empty()) {
            const double allowed = limit(left.front());
            std::vector<int> alike;
            std::erase_if(left, [&](int i) {
                const bool same = limit(i) == allowed;
                if (same) {
                    alike.push_back(i);
                }
                return same;
            });
            const double most = wording::tenths_down(plan.target + tolerance + allowed);
            pieces.push_back(replaced(alike, most, " at most"));
        }
        return wording::joined(pieces, ", ");
    }

    /// Without a target of its own the set may also be raised: its light parts replaced.
    std::string replace_light() const
    {
        std::vector<int> light = plan.too_light;
        double least = plan.target - tolerance;
        if (!target_given) {
            least = *plan.least_target;
            for (int i = 0; i < static_cast<int>(masses.size()); ++i) {
                if (mass(i) < least - slack) {
                    light.push_back(i);
                }
            }
        }
        return light.empty() ? "" : replaced(light, wording::tenths_up(least), " at least");
    }

    std::string replacements() const
    {
        const std::string heavy = plan.over_limit.empty() ? "" : replace_heavy();
        const std::string light = replace_light();
        const char* between = target_given ? " and " : ", or ";
        return "replace " + heavy + (heavy.empty() || light.empty() ? "" : between) + light;
    }

    std::string removals() const
    {
        std::vector<std::string> pieces;
        for (std::size_t i = 0; i < masses.size(); ++i) {
            if (plan.removal[i] > slack) {
                pieces.push_back(grams(plan.removal[i]) + " off " +
                                 part("part", static_cast<int>(i)));
            }
        }
        return pieces.empty() ? "" : "take " + wording::joined(pieces, ", ");
    }
};

/// What comes off one part, and whether it is too heavy or too light for the target.
void add_part(MassPlan& plan, std::size_t index, double mass, double tolerance,
              const std::vector<double>& removable, bool least_removal)
{
    const double over = mass - plan.target;
    double removal = 0;
    if (over < -tolerance - slack) {
        plan.too_light.push_back(static_cast<int>(index));
    } else if (over > tolerance + slack) {
        removal = least_removal ? over - tolerance : over;
        if (!removable.empty()) {
            removal = std::min(removal, removable[index]);
            if (over - tolerance > removable[index] + slack) {
                plan.over_limit.push_back(static_cast<int>(index));
            }
        }
    }
    plan.removal.push_back(removal);
    plan.after.push_back(mass - removal);
    plan.total_removal += removal;
}

}  // namespace

MassPlan match_masses(std::span<const double> masses, std::optional<double> target,
                      double tolerance, const std::optional<OneOrEach>& removable,
                      bool least_removal)
{
    require_masses("masses", masses, 2);
    if (target) {
        require_mass("target", *target);
    }
    require_mass_at_least_zero("tolerance", tolerance);
    const auto limits = limits_of(removable, masses.size());
    MassPlan plan{.target = target.value_or(*std::min_element(masses.begin(), masses.end())),
                  .spread_before = spread(masses)};
    for (std::size_t i = 0; i < masses.size(); ++i) {
        add_part(plan, i, masses[i], tolerance, limits, least_removal);
        if (!limits.empty()) {
            const double least = masses[i] - limits[i] - tolerance;
            plan.least_target = std::max(plan.least_target.value_or(least), least);
        }
    }
    plan.spread_after = spread(plan.after);
    const Telling telling{plan, masses, limits, tolerance, target.has_value()};
    if (plan.over_limit.empty() && plan.too_light.empty()) {
        plan.next = telling.removals();
    } else {
        plan.status = MatchStatus::cannot_match;
        plan.reason = telling.reason();
        plan.next = telling.replacements();
    }
    return plan;
}

}  // namespace enginewright::matching
