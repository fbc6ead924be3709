#include <algorithm>

#include "enginewright/journals.hpp"
#include "job/inspector.hpp"
#include "wording.hpp"

/// The crank's end float, and the thrust washers that put it right.
namespace enginewright::job {

void Inspector::check_end_float()
{
    for (const auto& part : parts_) {
        if (context_.role[static_cast<std::size_t>(part.feature)] != Role::crankshaft ||
            part.measured != Measured::end_float) {
            continue;
        }
        for (const auto& place : part.places) {
            Finding finding = begin(Check::end_float, part, Derived::end_float);
            finding.station = place.station;
            finding.axis = place.axis;
            const auto& row = rows_[place.rows.front()];
            judge(finding, quantity_of(place), limit_of(key_of(row)));
            finding.mark = row.row;
            use_place(place, finding);
            if (wants_plan(finding) && finding.lower && finding.upper) {
                plan_washers(part, finding);
            }
            add(std::move(finding));
        }
    }
}

const Place* Inspector::fitted_washer(std::int32_t stage, bool front) const
{
    const auto says = [&](const table::WordView& words, std::int32_t code) {
        if (code < 0) {
            return false;
        }
        const auto word = words.words[static_cast<std::size_t>(code)];
        return front ? word == "front" : word == "rear" || word == "back";
    };
    for (const auto& part : parts_) {
        if (part.stage != stage || part.measured != Measured::thickness ||
            context_.role[static_cast<std::size_t>(part.feature)] != Role::thrust_washer) {
            continue;
        }
        for (const auto& place : part.places) {
            if (says(context_.readings.part, part.part) ||
                says(context_.readings.station, place.station)) {
                return &place;
            }
        }
    }
    return nullptr;
}

void Inspector::plan_washers(const Part& part, Finding& finding)
{
    const auto* shelf = shelf_of(part.engine, "thrust washer");
    if (shelf == nullptr) {
        return missing(Check::end_float, "the thrust washers on the shelf of the engine card");
    }
    const auto* front = fitted_washer(part.stage, true);
    const auto* rear = fitted_washer(part.stage, false);
    if (front == nullptr || rear == nullptr) {
        return missing(Check::end_float,
                       "the thickness of the thrust washers fitted, front and rear");
    }
    std::vector<double> sizes;
    std::vector<int> stock;
    for (const auto& item : *shelf) {
        sizes.push_back(item.size);
        stock.push_back(item.pieces);
    }
    const auto plan =
        journals::thrust_plan(std::max(0.0, *finding.value), {front->value, rear->value}, sizes,
                              *finding.lower, *finding.upper, finding.target, stock);
    use_place(*front, finding);
    use_place(*rear, finding);
    finding.next = wording::sentence(plan.next);
    if (!plan.reason.empty()) {
        finding.reason.append(finding.reason.empty() ? "" : "; ").append(plan.reason);
    }
}

}  // namespace enginewright::job
