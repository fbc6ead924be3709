#include <algorithm>
#include <stdexcept>

#include "enginewright/table.hpp"
#include "table/unit_pairs.hpp"

namespace enginewright::table {

ReadingsView unchecked_view(const Table& readings)
{
    const auto words = [&](std::string_view name) { return readings.column(name).words(); };
    const auto counts = [&](std::string_view name) { return readings.column(name).counts(); };
    const auto numbers = [&](std::string_view name) { return readings.column(name).numbers(); };
    return {
        .rows = readings.rows(),
        .job = words("job"),
        .engine = words("engine"),
        .stage = words("stage"),
        .feature = words("feature"),
        .part = words("part"),
        .station = words("station"),
        .axis = words("axis"),
        .position_unit = words("position_unit"),
        .quantity = words("quantity"),
        .unit = words("unit"),
        .observation = words("observation"),
        .gauge = words("gauge"),
        .by = words("by"),
        .file = words("file"),
        .sheet = words("sheet"),
        .number = counts("number"),
        .repeat = counts("repeat"),
        .date = counts("date"),
        .row = counts("row"),
        .column = counts("column"),
        .position = numbers("position"),
        .value = numbers("value"),
        .uncertainty = numbers("uncertainty"),
        .temperature = numbers("temperature"),
    };
}

std::string cell_of(const ReadingsView& readings, std::size_t row)
{
    const auto sheet = readings.sheet.text(row);
    if (!readings.row.present(row) || !readings.column.present(row)) {
        return "row " + std::to_string(row);
    }
    std::string cell(sheet);
    return cell.append(sheet.empty() ? "" : "!")
        .append(cell_name(readings.row.values[row], readings.column.values[row]));
}

namespace {

[[noreturn]] void refuse_at(const std::string& text, std::size_t row)
{
    throw std::invalid_argument(text + at_row(row));
}

void require_word(std::string_view name, WordView words, std::size_t rows)
{
    std::int32_t least = 0;
    for (const auto code : words.codes) {
        least = std::min(least, code);
    }
    if (least < 0 || (words.codes.empty() && rows > 0)) {
        const auto row = std::find(words.codes.begin(), words.codes.end(), -1);
        refuse_at(std::string(name) + " must be given, it is missing",
                  static_cast<std::size_t>(row - words.codes.begin()));
    }
}

void require_from_one(std::string_view name, CountView counts)
{
    for (std::size_t i = 0; i < counts.values.size(); ++i) {
        if (counts.values[i] < 1 && counts.present(i)) [[unlikely]] {
            refuse_at(
                std::string(name) + " must be at least 1, got " + std::to_string(counts.values[i]),
                i);
        }
    }
}

void require_not_negative(std::string_view name, NumberView numbers)
{
    for (std::size_t i = 0; i < numbers.values.size(); ++i) {
        if (numbers.values[i] < 0 && numbers.present(i)) [[unlikely]] {
            refuse_at(
                std::string(name) + " must be at least 0, got " + number_text(numbers.values[i]),
                i);
        }
    }
}

void require_finite_numbers(std::string_view name, NumberView numbers)
{
    for (std::size_t i = 0; i < numbers.values.size(); ++i) {
        if (!std::isfinite(numbers.values[i]) && numbers.present(i)) [[unlikely]] {
            refuse_at(std::string(name) + " must be a finite number, got " +
                          number_text(numbers.values[i]),
                      i);
        }
    }
}

void require_values(const ReadingsView& readings)
{
    UnitPairs pairs(readings.quantity, readings.unit);
    for (std::size_t i = 0; i < readings.rows; ++i) {
        if (!readings.value.present(i)) {
            if (readings.observation.code(i) < 0) [[unlikely]] {
                refuse_at("value or observation must be given, both are missing", i);
            }
            continue;
        }
        const auto unit = readings.unit.code(i);
        if (unit < 0) [[unlikely]] {
            refuse_at("unit must be given with a value, it is missing", i);
        }
        const auto& pair = pairs.of(readings.quantity.codes[i], unit);
        if (!pair.suits) [[unlikely]] {
            refuse_at(pair.reason, i);
        }
    }
}

void require_positions(const ReadingsView& readings)
{
    UnitPairs pairs({}, readings.position_unit);
    for (std::size_t i = 0; i < readings.position_unit.codes.size(); ++i) {
        const auto unit = readings.position_unit.codes[i];
        if (unit >= 0 && !pairs.of(-1, unit).suits) [[unlikely]] {
            refuse_at("position_" + pairs.of(-1, unit).reason, i);
        }
    }
}

}  // namespace

void check_readings(const Table& readings)
{
    require_schema(readings_spec(), readings.schema());
    const auto view = unchecked_view(readings);
    require_word("job", view.job, view.rows);
    require_word("stage", view.stage, view.rows);
    require_word("feature", view.feature, view.rows);
    require_word("quantity", view.quantity, view.rows);
    require_finite_numbers("value", view.value);
    require_finite_numbers("position", view.position);
    require_finite_numbers("uncertainty", view.uncertainty);
    require_finite_numbers("temperature", view.temperature);
    require_values(view);
    require_positions(view);
    require_from_one("number", view.number);
    require_from_one("repeat", view.repeat);
    require_from_one("row", view.row);
    require_from_one("column", view.column);
    require_not_negative("uncertainty", view.uncertainty);
}

ReadingsView view(const Table& readings)
{
    if (!readings.is_checked()) {
        check_readings(readings);
    }
    return unchecked_view(readings);
}

namespace {

Column converted(NumberView numbers, std::size_t rows, auto&& convert)
{
    if (numbers.values.empty()) {
        return Column::absent(Kind::number, rows);
    }
    std::vector<double> values(numbers.values.begin(), numbers.values.end());
    std::vector<std::uint8_t> present(rows, 0);
    for (std::size_t i = 0; i < rows; ++i) {
        if (numbers.present(i)) {
            values[i] = convert(i, values[i]);
            present[i] = 1;
        }
    }
    return Column::of_numbers(hold(std::move(values)), rows, mask_from_present(present));
}

Column canonical_codes(WordView units, std::size_t rows, UnitPairs& pairs, auto&& quantity)
{
    std::vector<std::int32_t> codes(rows, -1);
    for (std::size_t i = 0; i < rows; ++i) {
        if (units.code(i) >= 0) {
            codes[i] = pairs.of(quantity(i), units.code(i)).canonical;
        }
    }
    return Column::of_words(hold(std::move(codes)), rows, pairs.canonical_units());
}

bool changes(const UnitPair& pair) { return pair.factor != 1 || pair.offset != 0; }

}  // namespace

Table in_canonical_units(const Table& readings)
{
    const auto from = view(readings);
    const auto rows = from.rows;
    UnitPairs pairs(from.quantity, from.unit);
    const auto pair = [&](std::size_t i) -> const UnitPair* {
        return from.unit.code(i) < 0 ? nullptr
                                     : &pairs.of(from.quantity.codes[i], from.unit.code(i));
    };
    const auto value = converted(from.value, rows, [&](std::size_t i, double x) {
        const auto* const p = pair(i);
        return p != nullptr && changes(*p) ? (x + p->offset) * p->factor : x;
    });
    const auto uncertainty = converted(from.uncertainty, rows, [&](std::size_t i, double x) {
        const auto* const p = pair(i);
        return p != nullptr && changes(*p) ? x * p->factor : x;
    });
    UnitPairs positions({}, from.position_unit);
    const auto position = converted(from.position, rows, [&](std::size_t i, double x) {
        const auto unit = from.position_unit.code(i);
        if (unit < 0 || !changes(positions.of(-1, unit))) {
            return x;
        }
        const auto& p = positions.of(-1, unit);
        return (x + p.offset) * p.factor;
    });
    return readings.with("value", value)
        .with("uncertainty", uncertainty)
        .with("unit", canonical_codes(from.unit, rows, pairs,
                                      [&](std::size_t i) { return from.quantity.code(i); }))
        .with("position", position)
        .with("position_unit",
              canonical_codes(from.position_unit, rows, positions, [](std::size_t) { return -1; }))
        .checked();
}

}  // namespace enginewright::table
