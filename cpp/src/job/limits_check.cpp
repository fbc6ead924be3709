#include <algorithm>
#include <cmath>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

/// The readings themselves against their limits.
namespace enginewright::job {

void Inspector::judge_word(const Row& row, Line& line, Writer& out) const
{
    const std::string word(context_.readings.observation.text(row.row));
    std::string next;
    std::string reason;
    if (row.limit >= 0) {
        line.unit = context_.limit_unit[static_cast<std::size_t>(row.limit)];
        line.verdict = Standing::unproven;
        reason = "only the word '" + word + "' was written";
        next = "Measure " + name_of(line) + ".";
    }
    if (word != "ok") {
        const Blocked block{row.stage, row.feature, row.number, row.part, row.observation};
        line.verdict = Standing::unproven;
        reason = reason_of(block);
        next = next_of(block);
    }
    out.texts(next, reason);
}

void Inspector::put_texts(const Row& row, std::string_view next, std::string_view reason,
                          Writer& out) const
{
    if (row.past_due < 0) {
        out.texts(next, reason);
        return;
    }
    std::string said(reason);
    add_past_due(row.past_due, said);
    out.texts(next, said);
}

void Inspector::judge_figure(const Row& row, Line& line, Writer& out) const
{
    line.unit = row.conversion->unit;
    line.value = row.value;
    line.uncertainty = row.uncertainty * row.coverage;
    const bool judged = row.limit >= 0 && row.decision.verdict != Standing::unlimited;
    if (judged) {
        line.verdict = row.decision.verdict;
        line.margin = row.decision.margin;
        line.probability = row.decision.probability;
    }
    if (line.verdict == Standing::within || line.verdict == Standing::unlimited) {
        const auto* block = block_of(row.stage, row.feature, row.number, row.part);
        if (block != nullptr) {
            line.verdict = Standing::unproven;
            put_texts(row, next_of(*block), reason_of(*block), out);
        } else {
            put_texts(row, "", judged && row.uncertainty == 0 ? face_value : "", out);
        }
        return;
    }
    if (line.verdict == Standing::outside) {
        line.amount = std::abs(line.margin);
        line.amount_unit = line.unit;
    }
    put_texts(row, limits_next(line, row), limits_reason(line, row), out);
}

void Inspector::check_limits(Writer& out)
{
    // A ring gap is judged once, as carried to the bore it will run in; an end float, a depth of
    // the deck and an unbalance by their own checks.
    const auto carried = [&](const Row& row) {
        if (!row.used || row.feature < 0 || row.quantity < 0) {
            return false;
        }
        const auto role = context_.role[static_cast<std::size_t>(row.feature)];
        const auto measured = context_.measured[static_cast<std::size_t>(row.quantity)];
        return (role == Role::ring && measured == Measured::gap) ||
               (role == Role::crankshaft && measured == Measured::end_float) ||
               (role == Role::block_deck && measured == Measured::depth) ||
               (role == Role::rotor && measured == Measured::amount);
    };
    auto& order = order_;
    order.clear();
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const auto& row = rows_[i];
        if (!carried(row) && (row.limit >= 0 || !row.used)) {
            order.push_back(i);
        }
    }
    const auto key = [&](std::size_t i) {
        const Row& row = rows_[i];
        return std::tuple(row.number, context_.part_rank(row.part),
                          context_.station_rank(row.station), row.row);
    };
    const auto before = [&](std::size_t a, std::size_t b) { return key(a) < key(b); };
    if (!std::is_sorted(order.begin(), order.end(), before)) {
        std::sort(order.begin(), order.end(), before);
    }
    const auto& readings = context_.readings;
    for (const auto i : order) {
        const auto& row = rows_[i];
        Line& line = out.line();
        line.check = static_cast<std::int32_t>(Check::limits);
        line.stage = row.stage;
        line.feature = row.feature;
        line.part = row.part;
        line.station = row.station;
        line.axis = row.axis;
        line.quantity = row.quantity;
        line.number = row.number;
        line.mark = row.row;
        if (readings.position.present(row.row)) {
            line.position = readings.position.values[row.row];
        }
        if (readings.repeat.present(row.row)) {
            line.repeat = readings.repeat.values[row.row];
        }
        if (row.limit >= 0) {
            const auto at = static_cast<std::size_t>(row.limit);
            const auto& limit = context_.limits.rows[at];
            line.lower = limit.lower.value_or(no_figure);
            line.upper = limit.upper.value_or(no_figure);
            line.target = limit.target.value_or(no_figure);
            line.kind = context_.limit_kind[at];
            line.source = context_.limit_source[at];
        }
        out.rests_on(row.row);
        if (row.has_value) {
            judge_figure(row, line, out);
        } else {
            judge_word(row, line, out);
        }
    }
}

}  // namespace enginewright::job
