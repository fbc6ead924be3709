#include <algorithm>
#include <numeric>

#include "enginewright/check.hpp"
#include "enginewright/units.hpp"
#include "job/inspector.hpp"

/// Verdicts, sentences, and the columns that the findings become.
namespace enginewright::job {

namespace {

template <class Words>
std::string_view word_at(const Words& words, std::int32_t code)
{
    return code < 0 ? std::string_view{} : std::string_view(words[static_cast<std::size_t>(code)]);
}

void put(table::NumberColumn& column, const std::optional<double>& value)
{
    column.values.push_back(value.value_or(std::numeric_limits<double>::quiet_NaN()));
    column.missing.push_back(value ? 0 : 1);
}

void put(table::CountColumn& column, bool present, std::int32_t value)
{
    column.values.push_back(present ? value : 0);
    column.missing.push_back(present ? 0 : 1);
}

}  // namespace

Finding Inspector::begin(Check check, const Part& part, Derived quantity) const
{
    Finding finding;
    finding.check = check;
    finding.stage = part.stage;
    finding.feature = part.feature;
    finding.part = part.part;
    finding.number = part.number;
    finding.quantity = context_.derived(quantity);
    finding.unit = context_.millimetre;
    return finding;
}

void Inspector::set_limit(Finding& finding, std::int32_t limit) const
{
    if (limit < 0) {
        return;
    }
    const auto at = static_cast<std::size_t>(limit);
    const auto& row = context_.limits.rows[at];
    finding.lower = row.lower;
    finding.upper = row.upper;
    finding.target = row.target;
    finding.kind = context_.limit_kind[at];
    finding.source = context_.limit_source[at];
}

void Inspector::judge(Finding& finding, const measure::Quantity& value, std::int32_t limit)
{
    set_limit(finding, limit);
    const double doubt = value.standard_uncertainty();
    const double freedom = value.degrees_of_freedom(*sources_);
    finding.value = value.value();
    finding.uncertainty =
        doubt * (std::isinf(freedom) ? context_.normal_coverage
                                     : measure::coverage_factor(freedom, context_.options.level));
    if (!finding.lower && !finding.upper) {
        finding.verdict = Standing::unlimited;
        return;
    }
    const auto decision =
        measure::decide(value.value(), doubt, freedom, finding.lower, finding.upper,
                        context_.options.rule, context_.options.level);
    finding.verdict = decision.verdict;
    finding.margin = decision.margin;
    finding.probability = decision.probability;
    const std::string side = decision.side == measure::Side::upper ? "upper" : "lower";
    const double edge = decision.side == measure::Side::upper ? *finding.upper : *finding.lower;
    if (decision.verdict == Standing::within) {
        finding.reason = doubt == 0 ? "no uncertainty stated, judged at face value" : "";
        return;
    }
    finding.reason = fixed_text(std::abs(decision.margin), 3) + " mm " +
                     (decision.margin < 0 ? "outside" : "inside") + " the " + side + " limit " +
                     fixed_text(edge, 3) + " mm" +
                     (doubt == 0 ? ", no uncertainty stated"
                                 : ", known to ±" + fixed_text(*finding.uncertainty, 3) + " mm");
    if (decision.verdict == Standing::unproven) {
        finding.next = "Measure " + name_of(finding) +
                       " again, with a finer gauge or more readings: " +
                       fixed_text(std::abs(decision.margin), 3) + " mm from the limit, known to ±" +
                       fixed_text(*finding.uncertainty, 3) + " mm.";
    } else {
        finding.next = std::string(check_word(finding.check)) + " of " + name_of(finding) + " is " +
                       fixed_text(std::abs(decision.margin), 3) + " mm " +
                       (decision.side == measure::Side::upper ? "over" : "under") +
                       " its limit: machine or replace the part.";
        finding.next[0] = static_cast<char>(finding.next[0] - 'a' + 'A');
    }
}

void Inspector::unprove(Finding& finding, std::string reason, std::string next) const
{
    finding.verdict = Standing::unproven;
    finding.reason = std::move(reason);
    finding.next = std::move(next);
}

void Inspector::apply_blocks(Finding& finding) const
{
    for (const auto& each : blocked_) {
        if (each.stage == finding.stage && each.feature == finding.feature &&
            each.number == finding.number && (each.part < 0 || each.part == finding.part) &&
            (finding.verdict == Standing::within || finding.verdict == Standing::unlimited)) {
            const std::string word(word_at(context_.readings.observation.words, each.word));
            finding.verdict = Standing::unproven;
            finding.reason = "'" + word + "' is written for this part";
            finding.next = "Look at " + name_of(each.feature, each.number) + " again: '" + word +
                           "' was written, measure the damage.";
            return;
        }
    }
}

void Inspector::add(Finding&& finding, Set* set)
{
    const bool plan = finding.check == Check::regrind || finding.check == Check::rebore;
    if (!blocked_.empty() && !plan) {
        apply_blocks(finding);
    }
    if (set != nullptr) {
        set->worn |= finding.verdict == Standing::outside;
        set->unproven |= finding.verdict == Standing::unproven;
    }
    findings_.push_back(std::move(finding));
}

void Inspector::missing(Check check, std::string what)
{
    table::NotChecked line{.job = {}, .check = std::string(check_word(check)), .missing = what};
    if (std::find(not_checked_.begin(), not_checked_.end(), line) == not_checked_.end()) {
        not_checked_.push_back(std::move(line));
    }
}

std::string Inspector::name_of(std::int32_t feature, std::int32_t number) const
{
    std::string name(word_at(context_.readings.feature.words, feature));
    return number == no_number ? name : name + " " + std::to_string(number);
}

std::string Inspector::name_of(const Finding& finding) const
{
    std::string name = name_of(finding.feature, finding.number);
    std::string where;
    for (const auto word : {word_at(context_.readings.part.words, finding.part),
                            word_at(context_.readings.station.words, finding.station),
                            word_at(context_.readings.axis.words, finding.axis)}) {
        where.append(where.empty() || word.empty() ? "" : ", ").append(word);
    }
    return where.empty() ? name : name + " (" + where + ")";
}

std::string Inspector::plural_of(std::int32_t feature) const
{
    return std::string(word_at(context_.readings.feature.words, feature)) + "s";
}

const Conversion& Inspector::written(const Part& part) const
{
    return *rows_[part.places.front().rows.front()].conversion;
}

std::string Inspector::said_in(double value, const Conversion& conversion) const
{
    return units::show(value, conversion.dimension,
                       conversion.imperial ? units::System::both : units::System::metric);
}

std::string Inspector::said(double millimetres, const Part& part) const
{
    return said_in(millimetres, written(part));
}

std::string Inspector::limits_reason(const Finding& finding, const Row& row) const
{
    const auto& conversion = *row.conversion;
    const bool upper = row.decision.side == measure::Side::upper;
    return said_in(std::abs(row.decision.margin), conversion) +
           (row.decision.margin < 0 ? (upper ? " above" : " below")
                                    : (upper ? " below" : " above")) +
           (upper ? " the upper limit " : " the lower limit ") +
           said_in(upper ? *finding.upper : *finding.lower, conversion) +
           (row.uncertainty == 0 ? ", no uncertainty stated"
                                 : ", known to ±" + said_in(*finding.uncertainty, conversion));
}

std::string Inspector::limits_next(const Finding& finding, const Row& row) const
{
    const auto& conversion = *row.conversion;
    const std::string by = said_in(std::abs(row.decision.margin), conversion);
    const std::string name = name_of(finding);
    const bool upper = row.decision.side == measure::Side::upper;
    if (finding.verdict == Standing::unproven) {
        return "Measure " + name + " again, with a finer gauge or more readings: " + by +
               " from the limit, known to ±" + said_in(*finding.uncertainty, conversion) + ".";
    }
    const auto shape =
        row.feature < 0 ? Shape::none : context_.shape[static_cast<std::size_t>(row.feature)];
    const bool size =
        row.quantity >= 0 &&
        context_.measured[static_cast<std::size_t>(row.quantity)] == Measured::diameter;
    if (size && shape == Shape::shaft && upper) {
        return "Take " + by + " off " + name + ".";
    }
    if (size && shape == Shape::hole && !upper) {
        return "Open " + name + " by " + by + ".";
    }
    const std::string past = name + " is " + by + (upper ? " over its limit" : " under its limit");
    if (size && shape != Shape::none) {
        std::string text = past + ": machine it to the next size or replace it.";
        text[0] =
            static_cast<char>(text[0] >= 'a' && text[0] <= 'z' ? text[0] - 'a' + 'A' : text[0]);
        return text;
    }
    return (upper ? "Bring " + name + " down by " : "Bring " + name + " up by ") + by + " to " +
           (upper ? "at most " : "at least ") +
           said_in(upper ? *finding.upper : *finding.lower, conversion) + ".";
}

void Inspector::write(const Finding& finding, std::int64_t number, std::int32_t job,
                      table::Findings& out) const
{
    out.finding.push_back(number);
    out.job.codes.push_back(job);
    out.stage.codes.push_back(finding.stage);
    out.feature.codes.push_back(finding.feature);
    out.part.codes.push_back(finding.part);
    out.station.codes.push_back(finding.station);
    out.axis.codes.push_back(finding.axis);
    out.quantity.codes.push_back(finding.quantity);
    out.check.codes.push_back(static_cast<std::int32_t>(finding.check));
    out.unit.codes.push_back(finding.unit);
    out.kind.codes.push_back(finding.kind);
    out.verdict.codes.push_back(static_cast<std::int32_t>(finding.verdict));
    out.amount_unit.codes.push_back(finding.amount ? finding.amount_unit : -1);
    out.limit_source.codes.push_back(finding.source);
    const auto& readings = context_.readings;
    const bool marked = finding.mark != no_row;
    out.file.codes.push_back(marked ? readings.file.code(finding.mark) : -1);
    out.sheet.codes.push_back(marked ? readings.sheet.code(finding.mark) : -1);
    const auto cell = [&](table::CountColumn& column, const table::CountView& view) {
        const bool present = marked && view.present(finding.mark);
        put(column, present, present ? view.values[finding.mark] : 0);
    };
    cell(out.row, readings.row);
    cell(out.column, readings.column);
    put(out.number, finding.number != no_number, finding.number);
    put(out.repeat, finding.repeat.has_value(), finding.repeat.value_or(0));
    put(out.position, finding.position);
    put(out.value, finding.value);
    put(out.uncertainty, finding.uncertainty);
    put(out.lower, finding.lower);
    put(out.upper, finding.upper);
    put(out.target, finding.target);
    put(out.margin, finding.margin);
    put(out.probability, finding.probability);
    put(out.amount, finding.amount);
    out.next.append(finding.next);
    out.reason.append(finding.reason);
    for (const auto i : finding.basis) {
        out.reading_rows.push_back(static_cast<std::int64_t>(rows_[i].row));
    }
    out.reading_offsets.push_back(static_cast<std::int64_t>(out.reading_rows.size()));
    ++out.rows;
}

void Inspector::write_all(std::int32_t job, table::Findings& out)
{
    const auto first = out.rows;
    check_limits(out);
    order_.resize(findings_.size());
    std::iota(order_.begin(), order_.end(), std::size_t{0});
    const auto key = [&](std::size_t i) {
        const auto& f = findings_[i];
        return std::tuple(f.check, f.number, context_.part_rank(f.part),
                          context_.station_rank(f.station), context_.feature_rank(f.feature),
                          context_.stage_rank(f.stage), i);
    };
    std::sort(order_.begin(), order_.end(), [&](auto a, auto b) { return key(a) < key(b); });
    for (const auto i : order_) {
        write(findings_[i], static_cast<std::int64_t>(out.rows - first), job, out);
    }
    for (auto& line : not_checked_) {
        line.job = std::string(word_at(context_.readings.job.words, job));
        out.not_checked.push_back(std::move(line));
    }
}

}  // namespace enginewright::job
