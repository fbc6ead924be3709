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
    finding.imperial = !part.places.empty() && written(part).imperial;
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
    if (decision.verdict == Standing::within) {
        finding.reason = doubt == 0 ? face_value : "";
        return;
    }
    const bool upper = decision.side == measure::Side::upper;
    const auto by = said(std::abs(decision.margin), finding);
    const auto known = said(*finding.uncertainty, finding);
    finding.reason.reserve(100);
    finding.reason.append(by)
        .append(decision.margin < 0 ? " outside the " : " inside the ")
        .append(upper ? "upper limit " : "lower limit ")
        .append(said(upper ? *finding.upper : *finding.lower, finding))
        .append(doubt == 0 ? ", no uncertainty stated" : ", known to ±")
        .append(doubt == 0 ? "" : known);
    finding.next.reserve(160);
    if (decision.verdict == Standing::unproven) {
        finding.next.append("Measure ")
            .append(name_of(finding))
            .append(" again, with a finer gauge or more readings: ")
            .append(by)
            .append(" from the limit, known to ±")
            .append(known)
            .append(".");
    } else {
        finding.next.append(check_word(finding.check))
            .append(" of ")
            .append(name_of(finding))
            .append(" is ")
            .append(by)
            .append(upper ? " over" : " under")
            .append(" its limit: machine or replace the part.");
        finding.next[0] = static_cast<char>(finding.next[0] - 'a' + 'A');
    }
}

void Inspector::unprove(Finding& finding, std::string reason, std::string next) const
{
    finding.verdict = Standing::unproven;
    finding.reason = std::move(reason);
    finding.next = std::move(next);
}

const Inspector::Blocked* Inspector::block_of(std::int32_t stage, std::int32_t feature,
                                              std::int32_t number, std::int32_t part) const
{
    const auto found = std::find_if(blocked_.begin(), blocked_.end(), [&](const auto& each) {
        return each.stage == stage && each.feature == feature && each.number == number &&
               (each.part < 0 || each.part == part);
    });
    return found == blocked_.end() ? nullptr : &*found;
}

std::string Inspector::reason_of(const Blocked& block) const
{
    const std::string word(word_at(context_.readings.observation.words, block.word));
    return "'" + word + "' is written for this part";
}

std::string Inspector::next_of(const Blocked& block) const
{
    const std::string word(word_at(context_.readings.observation.words, block.word));
    return "Look at " + name_of(block.feature, block.number) + " again: '" + word +
           "' was written, measure the damage.";
}

void Inspector::apply_blocks(Finding& finding) const
{
    const auto* block =
        finding.verdict == Standing::within || finding.verdict == Standing::unlimited
            ? block_of(finding.stage, finding.feature, finding.number, finding.part)
            : nullptr;
    if (block != nullptr) {
        unprove(finding, reason_of(*block), next_of(*block));
    }
}

void Inspector::add(Finding&& finding, Set* set)
{
    const bool plan = finding.check == Check::regrind || finding.check == Check::rebore ||
                      finding.quantity == context_.derived(Derived::planned_residual);
    if (!blocked_.empty() && !plan) {
        apply_blocks(finding);
    }
    if (set != nullptr) {
        set->worn |= finding.verdict == Standing::outside;
        set->unproven |= finding.verdict == Standing::unproven;
    }
    findings_.push_back(std::move(finding));
}

void Inspector::missing(Check check, std::string_view what)
{
    const auto text = out_->not_checked().text(check_word(check), what);
    if (std::find(not_checked_.begin(), not_checked_.end(), text) == not_checked_.end()) {
        not_checked_.push_back(text);
    }
}

std::string Inspector::name_of(std::int32_t feature, std::int32_t number) const
{
    std::string name(word_at(context_.readings.feature.words, feature));
    return number == no_number ? name : name + " " + std::to_string(number);
}

std::string Inspector::placed(std::string name, std::int32_t part, std::int32_t station,
                              std::int32_t axis) const
{
    std::string where;
    for (const auto word : {word_at(context_.readings.part.words, part),
                            word_at(context_.readings.station.words, station),
                            word_at(context_.readings.axis.words, axis)}) {
        where.append(where.empty() || word.empty() ? "" : ", ").append(word);
    }
    return where.empty() ? name : name.append(" (").append(where).append(")");
}

std::string Inspector::name_of(const Finding& finding) const
{
    return placed(name_of(finding.feature, finding.number), finding.part, finding.station,
                  finding.axis);
}

std::string Inspector::name_of(const Line& line) const
{
    return placed(name_of(line.feature, line.number), line.part, line.station, line.axis);
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
    if (conversion.dimension.empty()) {
        return fixed_text(value, 2).append(" ").append(word_at(context_.units, conversion.unit));
    }
    return units::show(value, conversion.dimension,
                       conversion.imperial ? units::System::both : units::System::metric);
}

std::string Inspector::said(double value, const Finding& finding) const
{
    if (finding.unit != context_.millimetre) {
        // Lengths to a micrometre, masses and the like to a tenth.
        return fixed_text(value, 1).append(" ").append(word_at(context_.units, finding.unit));
    }
    return finding.imperial ? units::show(value, "length", units::System::both)
                            : fixed_text(value, 3).append(" mm");
}

std::string Inspector::said(double millimetres, const Part& part) const
{
    return said_in(millimetres, written(part));
}

std::string Inspector::limits_reason(const Line& line, const Row& row) const
{
    const auto& conversion = *row.conversion;
    const bool upper = row.decision.side == measure::Side::upper;
    return said_in(std::abs(row.decision.margin), conversion) +
           (row.decision.margin < 0 ? (upper ? " above" : " below")
                                    : (upper ? " below" : " above")) +
           (upper ? " the upper limit " : " the lower limit ") +
           said_in(upper ? line.upper : line.lower, conversion) +
           (row.uncertainty == 0 ? ", no uncertainty stated"
                                 : ", known to ±" + said_in(line.uncertainty, conversion));
}

std::string Inspector::limits_next(const Line& line, const Row& row) const
{
    const auto& conversion = *row.conversion;
    const std::string by = said_in(std::abs(row.decision.margin), conversion);
    const std::string name = name_of(line);
    const bool upper = row.decision.side == measure::Side::upper;
    if (line.verdict == Standing::unproven) {
        return "Measure " + name + " again, with a finer gauge or more readings: " + by +
               " from the limit, known to ±" + said_in(line.uncertainty, conversion) + ".";
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
           said_in(upper ? line.upper : line.lower, conversion) + ".";
}

void Inspector::add_past_due(std::int32_t gauge, std::string& reason) const
{
    reason.append(reason.empty() ? "" : "; ")
        .append(context_.gauge[static_cast<std::size_t>(gauge)].past_due);
}

void Inspector::write(const Finding& finding, Writer& out) const
{
    Line& line = out.line();
    line = {.stage = finding.stage,
            .feature = finding.feature,
            .part = finding.part,
            .station = finding.station,
            .axis = finding.axis,
            .quantity = finding.quantity,
            .check = static_cast<std::int32_t>(finding.check),
            .unit = finding.unit,
            .kind = finding.kind,
            .source = finding.source,
            .amount_unit = finding.amount ? finding.amount_unit : -1,
            .number = finding.number,
            .repeat = finding.repeat.value_or(no_number),
            .verdict = finding.verdict,
            .position = finding.position.value_or(no_figure),
            .value = finding.value.value_or(no_figure),
            .uncertainty = finding.uncertainty.value_or(no_figure),
            .lower = finding.lower.value_or(no_figure),
            .upper = finding.upper.value_or(no_figure),
            .target = finding.target.value_or(no_figure),
            .margin = finding.margin.value_or(no_figure),
            .probability = finding.probability.value_or(no_figure),
            .amount = finding.amount.value_or(no_figure),
            .mark = finding.mark};
    std::vector<std::int32_t> past_due;
    for (const auto i : finding.basis) {
        out.rests_on(rows_[i].row);
        const auto gauge = rows_[i].past_due;
        if (gauge >= 0 && std::find(past_due.begin(), past_due.end(), gauge) == past_due.end()) {
            past_due.push_back(gauge);
        }
    }
    if (past_due.empty()) {
        out.texts(finding.next, finding.reason);
        return;
    }
    std::string reason = finding.reason;
    for (const auto gauge : past_due) {
        add_past_due(gauge, reason);
    }
    out.texts(finding.next, reason);
}

void Inspector::write_all(std::int32_t job, Writer& out)
{
    check_limits(out);
    order_.resize(findings_.size());
    std::iota(order_.begin(), order_.end(), std::size_t{0});
    // Stages of assembly keep the order in which they were spun.
    const auto key = [&](std::size_t i) {
        const auto& f = findings_[i];
        return std::tuple(f.check, f.number, context_.part_rank(f.part),
                          context_.station_rank(f.station), context_.feature_rank(f.feature),
                          f.check == Check::balance ? 0 : context_.stage_rank(f.stage), i);
    };
    std::sort(order_.begin(), order_.end(), [&](auto a, auto b) { return key(a) < key(b); });
    for (const auto i : order_) {
        write(findings_[i], out);
    }
    for (const auto text : not_checked_) {
        out.not_checked().append(word_at(context_.readings.job.words, job), text);
    }
    out.end_job(job);
}

}  // namespace enginewright::job
