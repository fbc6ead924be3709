#include <algorithm>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

/// The readings themselves against their limits.
namespace enginewright::job {

void Inspector::check_limits(table::Findings& out)
{
    const auto job = context_.readings.job.code(rows_.front().row);
    const auto first = out.rows;
    // A ring gap is judged once, as carried to the bore it will run in.
    const auto carried = [&](const Row& row) {
        return row.used && row.feature >= 0 && row.quantity >= 0 &&
               context_.role[static_cast<std::size_t>(row.feature)] == Role::ring &&
               context_.measured[static_cast<std::size_t>(row.quantity)] == Measured::gap;
    };
    auto& order = order_;
    order.clear();
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const auto& row = rows_[i];
        if (!carried(row) && (row.limit >= 0 || !row.used)) {
            order.push_back(i);
        }
    }
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const auto key = [&](const Row& r) {
            return std::tuple(r.number, context_.part_rank(r.part),
                              context_.station_rank(r.station), r.row);
        };
        return key(rows_[a]) < key(rows_[b]);
    });
    Finding finding;
    for (const auto i : order) {
        const auto& row = rows_[i];
        finding.stage = row.stage;
        finding.feature = row.feature;
        finding.part = row.part;
        finding.station = row.station;
        finding.axis = row.axis;
        finding.quantity = row.quantity;
        finding.number = row.number;
        const auto& readings = context_.readings;
        finding.position = readings.position.present(row.row)
                               ? std::optional(readings.position.values[row.row])
                               : std::nullopt;
        finding.repeat = readings.repeat.present(row.row)
                             ? std::optional(readings.repeat.values[row.row])
                             : std::nullopt;
        finding.kind = finding.source = -1;
        finding.lower = finding.upper = finding.target = finding.margin = finding.probability =
            finding.amount = finding.value = finding.uncertainty = std::nullopt;
        finding.unit = row.conversion == nullptr ? -1 : row.conversion->unit;
        finding.verdict = Standing::unlimited;
        finding.next.clear();
        finding.reason.clear();
        finding.mark = row.row;
        finding.basis.assign(1, i);
        set_limit(finding, row.limit);
        if (!row.has_value) {
            const std::string word(readings.observation.text(row.row));
            if (row.limit >= 0) {
                finding.unit = context_.limit_unit[static_cast<std::size_t>(row.limit)];
                unprove(finding, "only the word '" + word + "' was written",
                        "Measure " + name_of(finding) + ".");
            }
            if (word != "ok") {
                unprove(finding, "'" + word + "' is written for this part",
                        "Look at " + name_of(row.feature, row.number) + " again: '" + word +
                            "' was written, measure the damage.");
            }
        } else {
            finding.value = row.value;
            finding.uncertainty = row.uncertainty * row.coverage;
            if (row.limit >= 0 && row.decision.verdict != Standing::unlimited) {
                finding.verdict = row.decision.verdict;
                finding.margin = row.decision.margin;
                finding.probability = row.decision.probability;
                if (row.decision.verdict != Standing::within) {
                    finding.reason = limits_reason(finding, row);
                    finding.next = limits_next(finding, row);
                    if (row.decision.verdict == Standing::outside) {
                        finding.amount = std::abs(row.decision.margin);
                        finding.amount_unit = finding.unit;
                    }
                } else if (row.uncertainty == 0) {
                    finding.reason = "no uncertainty stated, judged at face value";
                }
            }
            if (!blocked_.empty()) {
                apply_blocks(finding);
            }
        }
        write(finding, static_cast<std::int64_t>(out.rows - first), job, out);
    }
}

}  // namespace enginewright::job
