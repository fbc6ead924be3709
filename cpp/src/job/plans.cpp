#include <algorithm>
#include <regex>

#include "job/inspector.hpp"

/// The plans: one undersize for a set of journals, one oversize for a set of bores. Which of them
/// run, and what both say of damage nobody has measured and of parts that the plan counts by place.
namespace enginewright::job {

namespace {

constexpr std::array<std::string_view, 13> counts{"no",   "one",    "two",   "three", "four",
                                                  "five", "six",    "seven", "eight", "nine",
                                                  "ten",  "eleven", "twelve"};

}  // namespace

void Inspector::check_plans()
{
    for (auto& set : sets_) {
        const auto role = context_.role[static_cast<std::size_t>(set.feature)];
        for (const auto& each : blocked_) {
            set.unproven |= each.stage == set.stage && each.feature == set.feature;
        }
        if (set.measured != Measured::diameter || context_.finished[Context::index(set.stage)] ||
            !(set.worn || set.unproven || context_.options.plans_always)) {
            continue;
        }
        if (role == Role::main_journal || role == Role::big_end_journal) {
            plan_regrind(set);
        } else if (role == Role::bore) {
            plan_rebore(set);
        }
    }
}

std::vector<PlanGrid> Inspector::grids_of(const Set& set) const
{
    std::vector<PlanGrid> all;
    for (const auto p : set.parts) {
        const auto& places = parts_[p].places;
        PlanGrid grid(1, static_cast<Eigen::Index>(places.size()));
        for (std::size_t i = 0; i < places.size(); ++i) {
            grid(0, static_cast<Eigen::Index>(i)) = places[i].value;
        }
        all.push_back(std::move(grid));
    }
    return all;
}

double Inspector::greatest_doubt(const Set& set)
{
    double doubt = 0;
    for (const auto p : set.parts) {
        for (const auto& place : parts_[p].places) {
            doubt = std::max(doubt, quantity_of(place).standard_uncertainty());
        }
    }
    return doubt;
}

std::string Inspector::whole_set(const Set& set, std::string_view one, std::string_view many) const
{
    const auto count = set.parts.size();
    if (count == 1) {
        return "the " + std::string(one);
    }
    return "all " + (count < counts.size() ? std::string(counts[count]) : std::to_string(count)) +
           " " + std::string(many);
}

std::string Inspector::said_band(double lower, double upper, const Part& part) const
{
    std::string band = fixed_text(lower, 3) + "-" + fixed_text(upper, 3) + " mm";
    if (written(part).imperial) {
        band.append(" (")
            .append(fixed_text(lower / 25.4, 4))
            .append("-")
            .append(fixed_text(upper / 25.4, 4))
            .append(" in)");
    }
    return band;
}

std::string Inspector::unmeasured_damage(const Set& set, std::span<const double> spare,
                                         std::string_view work) const
{
    std::vector<std::pair<std::int32_t, std::int32_t>> told;
    std::string text;
    for (const auto& each : blocked_) {
        const std::pair<std::int32_t, std::int32_t> damage{each.number, each.word};
        if (each.stage != set.stage || each.feature != set.feature ||
            std::find(told.begin(), told.end(), damage) != told.end()) {
            continue;
        }
        told.push_back(damage);
        const auto word = context_.readings.observation.words[static_cast<std::size_t>(each.word)];
        add_reason(text, name_of(each.feature, each.number) + " is written '" + std::string(word) +
                             "', its depth is unknown and not counted: measure it before " +
                             std::string(work));
        for (std::size_t i = 0; i < set.parts.size() && i < spare.size(); ++i) {
            const Part& part = parts_[set.parts[i]];
            if (part.number == each.number) {
                // A score goes in on radius, what is to spare lies on diameter.
                text.append(", the size holds only if it cleans up, at most ")
                    .append(said(std::max(0.0, spare[i] / 2), part))
                    .append(" deep");
            }
        }
    }
    return text;
}

std::string Inspector::renumbered(const std::string& text, const Set& set) const
{
    // "journal 2", "cylinders 1, 3": the core counts the parts that it was given from 1. What is
    // followed by a point is a figure.
    static const std::regex named("((?:journal|cylinder)s? )(\\d+(?:, \\d+)*)(?![.\\d])");
    static const std::regex counted("\\d+");
    const auto number_of = [&](const std::string& place) {
        const auto at = static_cast<std::size_t>(std::stoul(place));
        const auto number =
            at > 0 && at <= set.parts.size() ? parts_[set.parts[at - 1]].number : no_number;
        return number == no_number ? place : std::to_string(number);
    };
    std::string told;
    auto rest = text.begin();
    for (std::sregex_iterator each(text.begin(), text.end(), named), end; each != end; ++each) {
        told.append(rest, (*each)[2].first);
        auto list = (*each)[2].first;
        rest = (*each)[2].second;
        for (std::sregex_iterator place(list, rest, counted); place != end; ++place) {
            told.append(list, (*place)[0].first).append(number_of((*place)[0].str()));
            list = (*place)[0].second;
        }
    }
    return told.append(rest, text.end());
}

}  // namespace enginewright::job
