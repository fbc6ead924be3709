#include <algorithm>

#include "enginewright/table.hpp"
#include "table/unit_pairs.hpp"

namespace enginewright::table {

namespace {

Column moved(WordColumn&& from, std::size_t rows)
{
    if (from.codes.empty()) {
        return Column::absent(Kind::word, rows);
    }
    return Column::of_words(hold(std::move(from.codes)), rows,
                            std::make_shared<const WordList>(std::move(from.words)));
}

Column moved(NumberColumn&& from, std::size_t rows)
{
    if (from.values.empty()) {
        return Column::absent(Kind::number, rows);
    }
    auto mask = mask_from_missing(from.missing);
    return Column::of_numbers(hold(std::move(from.values)), rows, std::move(mask));
}

Column moved(CountColumn&& from, std::size_t rows)
{
    if (from.values.empty()) {
        return Column::absent(Kind::count, rows);
    }
    auto mask = mask_from_missing(from.missing);
    return Column::of_counts(hold(std::move(from.values)), rows, std::move(mask));
}

Column moved(TextColumn&& from, std::size_t rows)
{
    if (from.offsets.size() != rows + 1) {
        return Column::absent(Kind::text, rows);
    }
    return Column::of_texts(hold(std::move(from.offsets)), hold(std::move(from.bytes)), rows);
}

/// Verdicts always have the same words in the same order, also where none occurs.
Column verdicts(WordColumn&& from, std::size_t rows)
{
    std::vector<std::int32_t> codes(rows, -1);
    for (std::size_t i = 0; i < from.codes.size(); ++i) {
        if (from.codes[i] >= 0) {
            const auto& text = from.words.at(static_cast<std::size_t>(from.codes[i]));
            codes[i] = static_cast<std::int32_t>(from_word<Standing>("verdict", text));
        }
    }
    std::vector<std::string> all(words<Standing>.list.begin(), words<Standing>.list.end());
    return Column::of_words(hold(std::move(codes)), rows,
                            std::make_shared<const WordList>(std::move(all)));
}

}  // namespace

Table findings_table(Findings&& findings, Links& links)
{
    const auto rows = findings.rows;
    std::vector<NamedColumn> columns;
    const auto put = [&](const char* name, auto&& column) {
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

std::vector<std::uint8_t> missing_rows(const Column& column)
{
    std::vector<std::uint8_t> missing(column.rows());
    for (std::size_t i = 0; i < missing.size(); ++i) {
        missing[i] = column.present(i) ? 0 : 1;
    }
    return missing;
}

NumberColumn copied_numbers(const Column& column)
{
    if (column.is_absent()) {
        return {};
    }
    const auto view = column.numbers();
    return {.values = {view.values.begin(), view.values.end()}, .missing = missing_rows(column)};
}

CountColumn copied_counts(const Column& column)
{
    if (column.is_absent()) {
        return {};
    }
    const auto view = column.counts();
    return {.values = {view.values.begin(), view.values.end()}, .missing = missing_rows(column)};
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
            .not_checked = std::move(not_checked)};
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
