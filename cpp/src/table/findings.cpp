#include <algorithm>

#include "enginewright/table.hpp"
#include "table/unit_pairs.hpp"

namespace enginewright::table {

NotCheckedList::NotCheckedList(std::span<const NotChecked> lines)
{
    for (const auto& line : lines) {
        append(line.job, text(line.check, line.missing));
    }
}

std::uint32_t NotCheckedList::text(std::string_view check, std::string_view missing)
{
    const auto known = std::find_if(texts_.begin(), texts_.end(), [&](const auto& each) {
        return each.check == check && each.missing == missing;
    });
    const auto at = known - texts_.begin();
    if (known == texts_.end()) {
        texts_.push_back({std::string(check), std::string(missing)});
    }
    return static_cast<std::uint32_t>(at);
}

void NotCheckedList::append(std::string_view job, std::uint32_t text)
{
    if (jobs_.empty() || jobs_.back() != job) {
        jobs_.emplace_back(job);
    }
    lines_.push_back({.job = static_cast<std::uint32_t>(jobs_.size() - 1), .text = text});
}

void NotCheckedList::append(const NotCheckedList& other)
{
    std::vector<std::uint32_t> known;
    for (const auto& each : other.texts_) {
        known.push_back(text(each.check, each.missing));
    }
    const auto first = static_cast<std::uint32_t>(jobs_.size());
    jobs_.insert(jobs_.end(), other.jobs_.begin(), other.jobs_.end());
    for (const auto& line : other.lines_) {
        lines_.push_back({.job = first + line.job, .text = known[line.text]});
    }
}

NotChecked NotCheckedList::operator[](std::size_t line) const
{
    const auto& text = texts_[lines_[line].text];
    return {.job = jobs_[lines_[line].job], .check = text.check, .missing = text.missing};
}

std::vector<NotChecked> NotCheckedList::lines() const
{
    std::vector<NotChecked> all;
    all.reserve(size());
    for (std::size_t i = 0; i < size(); ++i) {
        all.push_back((*this)[i]);
    }
    return all;
}

namespace {

Column moved(WordColumn&& from, std::size_t rows)
{
    if (from.codes.empty()) {
        return Column::absent(Kind::word, rows);
    }
    return Column::of_own_words(hold(std::move(from.codes)), rows,
                                std::make_shared<const WordList>(std::move(from.words)));
}

Column moved(NumberColumn&& from, std::size_t rows)
{
    if (from.values.empty()) {
        return Column::absent(Kind::number, rows);
    }
    auto mask = mask_from_numbers(from.values);
    return Column::of_numbers(hold(std::move(from.values)), rows, std::move(mask));
}

Column moved(CountColumn&& from, std::size_t rows)
{
    if (from.values.empty()) {
        return Column::absent(Kind::count, rows);
    }
    auto& values = from.values;
    Mask mask;
    if (std::find(values.begin(), values.end(), CountColumn::none) != values.end()) {
        std::vector<std::uint8_t> present(rows);
        for (std::size_t i = 0; i < rows; ++i) {
            present[i] = values[i] != CountColumn::none ? 1 : 0;
            values[i] = present[i] != 0 ? values[i] : 0;
        }
        mask = mask_from_present(present);
    }
    return Column::of_counts(hold(std::move(values)), rows, std::move(mask));
}

Column moved(TextColumn&& from, std::size_t rows)
{
    if (from.offsets.size() != rows + 1) {
        return Column::absent(Kind::text, rows);
    }
    return Column::of_own_texts(hold(std::move(from.offsets)), hold(std::move(from.bytes)), rows);
}

/// Verdicts always have the same words in the same order, also where none occurs.
Column verdicts(WordColumn&& from, std::size_t rows)
{
    std::vector<std::string> all(words<Standing>.list.begin(), words<Standing>.list.end());
    if (from.codes.empty()) {
        from.codes.assign(rows, -1);
    } else if (from.words != all) {
        for (auto& code : from.codes) {
            code = code < 0 ? -1
                            : static_cast<std::int32_t>(from_word<Standing>(
                                  "verdict", from.words.at(static_cast<std::size_t>(code))));
        }
    }
    return Column::of_own_words(hold(std::move(from.codes)), rows,
                                std::make_shared<const WordList>(std::move(all)));
}

}  // namespace

Table findings_table(Findings&& findings, Links& links)
{
    const auto rows = findings.rows;
    std::vector<NamedColumn> columns;
    columns.reserve(findings_spec().columns.size());
    const auto put = [&](const char* name, auto& column) {
        columns.push_back({name, moved(std::move(column), rows)});
    };
    columns.push_back({"finding", Column::of_wholes(hold(std::move(findings.finding)), rows)});
    put("job", findings.job);
    put("stage", findings.stage);
    put("feature", findings.feature);
    put("number", findings.number);
    put("part", findings.part);
    put("station", findings.station);
    put("axis", findings.axis);
    put("position", findings.position);
    put("quantity", findings.quantity);
    put("repeat", findings.repeat);
    put("check", findings.check);
    put("value", findings.value);
    put("uncertainty", findings.uncertainty);
    put("lower", findings.lower);
    put("upper", findings.upper);
    put("target", findings.target);
    put("unit", findings.unit);
    put("kind", findings.kind);
    put("margin", findings.margin);
    put("probability", findings.probability);
    columns.push_back({"verdict", verdicts(std::move(findings.verdict), rows)});
    put("next", findings.next);
    put("amount", findings.amount);
    put("amount_unit", findings.amount_unit);
    put("reason", findings.reason);
    put("limit_source", findings.limit_source);
    put("file", findings.file);
    put("sheet", findings.sheet);
    put("row", findings.row);
    put("column", findings.column);
    links = {.offsets = std::move(findings.reading_offsets),
             .rows = std::move(findings.reading_rows)};
    return Table::arranged(findings_spec(), rows, std::move(columns));
}

namespace {

WordColumn copied_words(const Column& column)
{
    if (column.is_absent()) {
        return {};
    }
    const auto view = column.words();
    return {.codes = {view.codes.begin(), view.codes.end()},
            .words = {view.words.begin(), view.words.end()}};
}

NumberColumn copied_numbers(const Column& column)
{
    if (column.is_absent()) {
        return {};
    }
    const auto view = column.numbers();
    NumberColumn copied{.values = {view.values.begin(), view.values.end()}};
    for (std::size_t i = 0; i < copied.values.size(); ++i) {
        if (!view.present(i)) {
            copied.values[i] = std::numeric_limits<double>::quiet_NaN();
        }
    }
    return copied;
}

CountColumn copied_counts(const Column& column)
{
    if (column.is_absent()) {
        return {};
    }
    const auto view = column.counts();
    CountColumn copied{.values = {view.values.begin(), view.values.end()}};
    for (std::size_t i = 0; i < copied.values.size(); ++i) {
        if (!view.present(i)) {
            copied.values[i] = CountColumn::none;
        }
    }
    return copied;
}

TextColumn copied_texts(const Column& column)
{
    TextColumn texts;
    const auto view = column.texts();
    for (std::size_t i = 0; i < column.rows(); ++i) {
        texts.append(view.text(i));
    }
    return texts;
}

}  // namespace

Findings table_findings(const Table& table, const Links& links, std::vector<NotChecked> not_checked)
{
    require_schema(findings_spec(), table.schema());
    const auto words = [&](const char* name) { return copied_words(table.column(name)); };
    const auto numbers = [&](const char* name) { return copied_numbers(table.column(name)); };
    const auto counts = [&](const char* name) { return copied_counts(table.column(name)); };
    const auto texts = [&](const char* name) { return copied_texts(table.column(name)); };
    const auto finding = table.column("finding").wholes().values;
    return {.rows = table.rows(),
            .finding = {finding.begin(), finding.end()},
            .job = words("job"),
            .stage = words("stage"),
            .feature = words("feature"),
            .part = words("part"),
            .station = words("station"),
            .axis = words("axis"),
            .quantity = words("quantity"),
            .check = words("check"),
            .unit = words("unit"),
            .kind = words("kind"),
            .verdict = words("verdict"),
            .amount_unit = words("amount_unit"),
            .limit_source = words("limit_source"),
            .file = words("file"),
            .sheet = words("sheet"),
            .number = counts("number"),
            .repeat = counts("repeat"),
            .row = counts("row"),
            .column = counts("column"),
            .position = numbers("position"),
            .value = numbers("value"),
            .uncertainty = numbers("uncertainty"),
            .lower = numbers("lower"),
            .upper = numbers("upper"),
            .target = numbers("target"),
            .margin = numbers("margin"),
            .probability = numbers("probability"),
            .amount = numbers("amount"),
            .next = texts("next"),
            .reason = texts("reason"),
            .reading_offsets = links.offsets,
            .reading_rows = links.rows,
            .not_checked = NotCheckedList(not_checked)};
}

namespace {

/// Whether some readings come from more than one file.
bool several_files(const ReadingsView& readings, std::span<const std::int64_t> rows)
{
    return std::any_of(rows.begin(), rows.end(), [&](std::int64_t row) {
        return readings.file.code(static_cast<std::size_t>(row)) !=
               readings.file.code(static_cast<std::size_t>(rows.front()));
    });
}

std::string place_of(const ReadingsView& readings, std::size_t row, bool with_file)
{
    if (!readings.row.present(row) || !readings.column.present(row)) {
        return "reading " + std::to_string(row + 1);
    }
    const auto file = readings.file.text(row);
    std::string place(with_file ? file : std::string_view{});
    return place.append(place.empty() ? "" : ":").append(cell_of(readings, row));
}

}  // namespace

Column basis(const Links& links, const Table& readings)
{
    const auto view = unchecked_view(readings);
    const auto rows = links.offsets.size() - 1;
    TextColumn texts;
    for (std::size_t finding = 0; finding < rows; ++finding) {
        const auto used = links.of(finding);
        const bool with_file = several_files(view, used);
        std::string text;
        for (const auto row : used) {
            text.append(text.empty() ? "" : ", ")
                .append(place_of(view, static_cast<std::size_t>(row), with_file));
        }
        texts.append(text);
    }
    return moved(std::move(texts), rows);
}

}  // namespace enginewright::table
