#include <algorithm>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

/// Findings of the shop's own checks, among those of `inspect`.
namespace enginewright::job {

namespace {

std::int32_t put_word(table::WordColumn& column, std::string_view word)
{
    if (word.empty()) {
        return -1;
    }
    const auto at = std::find(column.words.begin(), column.words.end(), word);
    if (at == column.words.end()) {
        column.words.emplace_back(word);
        return static_cast<std::int32_t>(column.words.size() - 1);
    }
    return static_cast<std::int32_t>(at - column.words.begin());
}

void put(table::NumberColumn& column, const std::optional<double>& value)
{
    column.values.push_back(value.value_or(std::numeric_limits<double>::quiet_NaN()));
}

void put(table::CountColumn& column, const std::optional<std::int32_t>& value)
{
    column.values.push_back(value.value_or(table::CountColumn::none));
}

using Findings = table::Findings;
constexpr std::array word_columns{
    &Findings::job,          &Findings::stage, &Findings::feature,  &Findings::part,
    &Findings::station,      &Findings::axis,  &Findings::quantity, &Findings::check,
    &Findings::unit,         &Findings::kind,  &Findings::verdict,  &Findings::amount_unit,
    &Findings::limit_source, &Findings::file,  &Findings::sheet};
constexpr std::array count_columns{&Findings::number, &Findings::repeat, &Findings::row,
                                   &Findings::column};
constexpr std::array number_columns{
    &Findings::position, &Findings::value,       &Findings::uncertainty,
    &Findings::lower,    &Findings::upper,       &Findings::target,
    &Findings::margin,   &Findings::probability, &Findings::amount};

void copy_row(const Findings& from, std::size_t i, Findings& to)
{
    to.finding.push_back(from.finding[i]);
    // A column without entries is missing in every row.
    const auto at = [i](const auto& values, auto none) {
        return values.empty() ? none : values[i];
    };
    for (const auto column : word_columns) {
        (to.*column).codes.push_back(at((from.*column).codes, -1));
    }
    for (const auto column : count_columns) {
        (to.*column).values.push_back(at((from.*column).values, table::CountColumn::none));
    }
    for (const auto column : number_columns) {
        (to.*column)
            .values.push_back(at((from.*column).values, std::numeric_limits<double>::quiet_NaN()));
    }
    to.next.append(from.next[i]);
    to.reason.append(from.reason[i]);
    for (auto r = from.reading_offsets[i]; r < from.reading_offsets[i + 1]; ++r) {
        to.reading_rows.push_back(from.reading_rows[static_cast<std::size_t>(r)]);
    }
    to.reading_offsets.push_back(static_cast<std::int64_t>(to.reading_rows.size()));
    ++to.rows;
}

/// Code on which all rows agree, else -1.
std::int32_t agreed(const table::WordView& words, const CustomFinding& finding)
{
    const auto code = words.code(static_cast<std::size_t>(finding.rows.front()));
    const bool all = std::all_of(finding.rows.begin(), finding.rows.end(), [&](auto row) {
        return words.code(static_cast<std::size_t>(row)) == code;
    });
    return all ? code : -1;
}

std::optional<std::int32_t> count_at(const table::CountView& view, std::int64_t row)
{
    const auto at = static_cast<std::size_t>(row);
    return view.present(at) ? std::optional(view.values[at]) : std::nullopt;
}

void require_rows(const CustomFinding& finding, const table::ReadingsView& readings)
{
    if (finding.rows.empty()) {
        refuse_all("rows", "name at least one reading of the finding of " + finding.check);
    }
    for (const auto row : finding.rows) {
        if (row < 0 || static_cast<std::size_t>(row) >= readings.rows) {
            refuse("rows", "rows of the readings", static_cast<double>(row));
        }
        if (readings.job.code(static_cast<std::size_t>(row)) !=
            readings.job.code(static_cast<std::size_t>(finding.rows.front()))) {
            refuse_all("rows", "be of one job in a finding of " + finding.check);
        }
    }
}

/// What a finding's reason says besides: each gauge that was past due, once.
std::string said_of_gauges(const CustomFinding& finding, const table::ReadingsView& readings,
                           const table::Gauges* gauges)
{
    std::string said;
    if (gauges == nullptr) {
        return said;
    }
    for (const auto& card : gauges->rows) {
        const bool past = std::any_of(finding.rows.begin(), finding.rows.end(), [&](auto row) {
            const auto at = static_cast<std::size_t>(row);
            return readings.gauge.text(at) == card.gauge.name && taken_past_due(card, readings, at);
        });
        if (past) {
            said.append(said.empty() ? "" : "; ").append(past_due_text(card));
        }
    }
    return said;
}

void write_custom(const CustomFinding& finding, const table::ReadingsView& readings,
                  std::int64_t number, const InspectOptions& options, const table::Gauges* gauges,
                  Findings& out)
{
    measure::Decision decision;
    const bool limited = finding.lower || finding.upper;
    if (finding.value) {
        decision = measure::decide(*finding.value, finding.uncertainty, finding.freedom,
                                   finding.lower, finding.upper, options.rule, options.level);
    }
    const auto verdict = finding.verdict.value_or(decision.verdict);
    const bool silent = verdict == Standing::within && !finding.verdict;
    const auto marked = finding.rows.front();
    const auto at = static_cast<std::size_t>(marked);
    out.finding.push_back(number);
    out.job.codes.push_back(readings.job.code(at));
    out.stage.codes.push_back(agreed(readings.stage, finding));
    out.feature.codes.push_back(agreed(readings.feature, finding));
    out.part.codes.push_back(agreed(readings.part, finding));
    out.station.codes.push_back(agreed(readings.station, finding));
    out.axis.codes.push_back(agreed(readings.axis, finding));
    out.quantity.codes.push_back(finding.quantity.empty()
                                     ? agreed(readings.quantity, finding)
                                     : put_word(out.quantity, finding.quantity));
    out.check.codes.push_back(put_word(out.check, finding.check));
    out.unit.codes.push_back(put_word(out.unit, finding.unit));
    out.kind.codes.push_back(put_word(out.kind, finding.kind));
    out.verdict.codes.push_back(static_cast<std::int32_t>(verdict));
    out.amount_unit.codes.push_back(
        finding.amount ? put_word(out.amount_unit,
                                  finding.amount_unit.empty() ? finding.unit : finding.amount_unit)
                       : -1);
    out.limit_source.codes.push_back(put_word(out.limit_source, finding.source));
    out.file.codes.push_back(readings.file.code(at));
    out.sheet.codes.push_back(readings.sheet.code(at));
    const auto first = count_at(readings.number, marked);
    const bool same = std::all_of(finding.rows.begin(), finding.rows.end(), [&](auto row) {
        return count_at(readings.number, row) == first;
    });
    put(out.number, same ? first : std::nullopt);
    put(out.repeat, std::nullopt);
    put(out.row, count_at(readings.row, marked));
    put(out.column, count_at(readings.column, marked));
    put(out.position, std::nullopt);
    put(out.value, finding.value);
    put(out.uncertainty,
        finding.value ? std::optional(finding.uncertainty *
                                      measure::coverage_factor(finding.freedom, options.level))
                      : std::nullopt);
    put(out.lower, finding.lower);
    put(out.upper, finding.upper);
    put(out.target, finding.target);
    const bool judged = finding.value && limited;
    put(out.margin, judged ? std::optional(decision.margin) : std::nullopt);
    put(out.probability, judged ? std::optional(decision.probability) : std::nullopt);
    put(out.amount, finding.amount);
    out.next.append(silent ? "" : finding.next);
    std::string reason = silent ? "" : finding.reason;
    const std::string besides = said_of_gauges(finding, readings, gauges);
    reason.append(reason.empty() || besides.empty() ? "" : "; ").append(besides);
    out.reason.append(reason);
    out.reading_rows.insert(out.reading_rows.end(), finding.rows.begin(), finding.rows.end());
    out.reading_offsets.push_back(static_cast<std::int64_t>(out.reading_rows.size()));
    ++out.rows;
}

}  // namespace

Findings join(Findings findings, const table::ReadingsView& readings,
              std::span<const CustomFinding> custom, const InspectOptions& options,
              const table::Gauges* gauges)
{
    if (custom.empty()) {
        return findings;
    }
    for (const auto& each : custom) {
        require_rows(each, readings);
        require_ordered("lower", each.lower, "upper", each.upper, each.unit);
    }
    std::unordered_map<std::int32_t, std::vector<const CustomFinding*>> by_job;
    for (const auto& each : custom) {
        by_job[readings.job.code(static_cast<std::size_t>(each.rows.front()))].push_back(&each);
    }
    Findings all;
    for (const auto column : word_columns) {
        (all.*column).words = (findings.*column).words;
    }
    std::size_t i = 0;
    while (i < findings.rows) {
        const auto job = findings.job.codes[i];
        const auto first = all.rows;
        for (; i < findings.rows && findings.job.codes[i] == job; ++i) {
            copy_row(findings, i, all);
        }
        if (const auto own = by_job.find(job); own != by_job.end()) {
            for (const auto* each : own->second) {
                write_custom(*each, readings, static_cast<std::int64_t>(all.rows - first), options,
                             gauges, all);
            }
        }
    }
    all.not_checked = std::move(findings.not_checked);
    return all;
}

struct Sizes::Inside {
    InspectOptions options{};
    table::ReadingsView readings;
    Context context;
    Inspector inspector;

    Inside(const table::ReadingsView& the_readings, const table::Limits& limits,
           const table::Gauges& gauges)
        : readings(the_readings), context(readings, limits, gauges, options), inspector(context)
    {
    }
};

Sizes::Sizes(const table::ReadingsView& readings, const table::Limits& limits,
             const table::Gauges& gauges)
    : inside_(std::make_unique<Inside>(readings, limits, gauges))
{
}

Sizes::~Sizes() = default;

measure::Quantity Sizes::at(std::size_t row)
{
    return inside_->inspector.quantity_of_row(row, measure::Sources::shared());
}

std::optional<table::Limit> Sizes::fitting_limit(std::size_t row)
{
    const auto& context = inside_->context;
    const auto found = context.find_limit_for_fitting(inside_->inspector.key_of_row(row));
    return found < 0 ? std::nullopt
                     : std::optional(context.limits.rows[static_cast<std::size_t>(found)]);
}

std::string Sizes::unit(std::size_t row) const
{
    const auto& readings = inside_->readings;
    const auto quantity = readings.quantity.code(row);
    const auto written = readings.unit.code(row);
    if (quantity < 0 || written < 0) {
        return "";
    }
    const auto code = inside_->context.conversion(quantity, written).unit;
    return code < 0 ? "" : inside_->context.units[static_cast<std::size_t>(code)];
}

}  // namespace enginewright::job
