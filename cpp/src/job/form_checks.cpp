#include <algorithm>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

/// Ovality, taper and wear of bores, liners, journals and housings.
namespace enginewright::job {

namespace {

bool has_form(Role role, PartRole part)
{
    switch (role) {
        case Role::bore:
        case Role::liner:
        case Role::main_journal:
        case Role::big_end_journal:
            return true;
        case Role::main_bearing:
        case Role::big_end_bearing:
            return part == PartRole::housing;
        default:
            return false;
    }
}

/// Greatest range along one direction of the places, with the two places that make it.
struct Spread {
    const Place* greatest = nullptr;
    const Place* least = nullptr;
    double range() const { return greatest == nullptr ? -1 : greatest->value - least->value; }
};

/// Range over the places that agree in `fixed` and differ in `free`; empty when none do.
Spread widest(const Part& part, std::int32_t Place::* fixed)
{
    Spread best;
    for (const auto& anchor : part.places) {
        // The first place of each line stands for all of them.
        const auto earlier = std::find_if(part.places.begin(), part.places.end(),
                                          [&](auto& each) { return each.*fixed == anchor.*fixed; });
        if (&*earlier != &anchor) {
            continue;
        }
        Spread here{&anchor, &anchor};
        std::size_t count = 0;
        for (const auto& each : part.places) {
            if (each.*fixed == anchor.*fixed) {
                ++count;
                here.greatest = each.value > here.greatest->value ? &each : here.greatest;
                here.least = each.value < here.least->value ? &each : here.least;
            }
        }
        if (count > 1 && here.range() > best.range()) {
            best = here;
        }
    }
    return best;
}

}  // namespace

void Inspector::check_form()
{
    for (auto& set : sets_) {
        const auto role = context_.role[static_cast<std::size_t>(set.feature)];
        const auto part =
            set.part < 0 ? PartRole::whole : context_.part_role[static_cast<std::size_t>(set.part)];
        if (set.measured == Measured::diameter && has_form(role, part)) {
            form_of_set(set);
            wear_of_set(set);
        }
    }
}

void Inspector::form_of_set(Set& set)
{
    std::vector<std::int32_t> stations;
    std::vector<std::int32_t> axes;
    const auto note = [](std::vector<std::int32_t>& list, std::int32_t code) {
        if (std::find(list.begin(), list.end(), code) == list.end()) {
            list.push_back(code);
        }
    };
    for (const auto p : set.parts) {
        for (const auto& place : parts_[p].places) {
            note(stations, place.station);
            note(axes, place.axis);
        }
    }
    const auto lacks = [&](const Part& part) -> std::string {
        if (part.places.size() == stations.size() * axes.size()) {
            return "";
        }
        for (const auto station : stations) {
            for (const auto axis : axes) {
                if (std::none_of(part.places.begin(), part.places.end(), [&](const auto& each) {
                        return each.station == station && each.axis == axis;
                    })) {
                    std::string name;
                    for (const auto word :
                         {station < 0
                              ? std::string_view{}
                              : context_.readings.station.words[static_cast<std::size_t>(station)],
                          axis < 0
                              ? std::string_view{}
                              : context_.readings.axis.words[static_cast<std::size_t>(axis)]}) {
                        name.append(name.empty() || word.empty() ? "" : ", ").append(word);
                    }
                    return name;
                }
            }
        }
        return "";
    };
    const auto figure = [&](Check check, Derived derived, const Part& part,
                            std::int32_t Place::* fixed, bool asked, std::string_view needs) {
        Finding finding = begin(check, part, derived);
        const auto limit = limit_of({.engine = part.engine,
                                     .stage = part.stage,
                                     .feature = part.feature,
                                     .part = part.part,
                                     .quantity = finding.quantity,
                                     .number = part.number,
                                     .kind = context_.stage_kind[Context::index(part.stage)]});
        const Spread spread = widest(part, fixed);
        if (spread.greatest == nullptr && !asked && limit < 0) {
            return;
        }
        use(part, finding);
        const std::string lacking = lacks(part);
        if (spread.greatest == nullptr) {
            set_limit(finding, limit);
            finding.mark = rows_[part.places.front().rows.front()].row;
            unprove(finding,
                    asked && !lacking.empty() ? "no reading at " + lacking
                                              : std::string("only ").append(needs),
                    "Measure " + name_of(finding) +
                        (lacking.empty() ? " in a second place" : " at " + lacking) + ".");
        } else {
            judge(finding, quantity_of(*spread.greatest) - quantity_of(*spread.least), limit);
            finding.mark = rows_[spread.greatest->rows.front()].row;
            if (!lacking.empty() && finding.verdict != Standing::outside) {
                unprove(finding, "no reading at " + lacking,
                        "Measure " + name_of(finding) + " at " + lacking + ".");
            }
        }
        add(std::move(finding), &set);
    };
    for (const auto p : set.parts) {
        figure(Check::ovality, Derived::ovality, parts_[p], &Place::station, axes.size() > 1,
               "one direction was measured");
        figure(Check::taper, Derived::taper, parts_[p], &Place::axis, stations.size() > 1,
               "one station was measured");
    }
}

void Inspector::wear_of_set(Set& set)
{
    if (!context_.as_received[Context::index(set.stage)]) {
        return;
    }
    const auto shape = context_.shape[static_cast<std::size_t>(set.feature)];
    bool lacking = false;
    for (const auto p : set.parts) {
        const auto& part = parts_[p];
        const auto& row = rows_[part.places.front().rows.front()];
        auto key = key_of(row);
        key.station = -1;
        key.axis = -1;
        const auto fresh = context_.find_limit_of_kind(key, "new");
        if (fresh < 0) {
            lacking = true;
            continue;
        }
        const auto& limit = context_.limits.rows[static_cast<std::size_t>(fresh)];
        const auto original = shape == Shape::hole ? (limit.lower ? limit.lower : limit.upper)
                                                   : (limit.upper ? limit.upper : limit.lower);
        if (!original) {
            lacking = true;
            continue;
        }
        Finding finding = begin(Check::wear, part, Derived::wear);
        key.quantity = finding.quantity;
        const auto wear_limit = limit_of(key);
        const Place& worst = shape == Shape::hole ? part.greatest() : part.least();
        const auto size = quantity_of(worst);
        judge(finding,
              shape == Shape::hole ? size - measure::Quantity(*original)
                                   : measure::Quantity(*original) - size,
              wear_limit);
        use(part, finding);
        finding.mark = rows_[worst.rows.front()].row;
        if (finding.source < 0) {
            finding.source = context_.limit_source[static_cast<std::size_t>(fresh)];
        }
        add(std::move(finding), &set);
    }
    if (lacking) {
        missing(Check::wear, "the 'new' limits of the diameter of the " + plural_of(set.feature));
    }
}

}  // namespace enginewright::job
