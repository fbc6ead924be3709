#include "enginewright/table.hpp"

#include <algorithm>
#include <charconv>

#include "near.hpp"

namespace enginewright::table {

std::string TableSpec::schema() const
{
    return "enginewright." + name + "/" + std::to_string(version);
}

void require_schema(const TableSpec& spec, std::string_view schema)
{
    const auto slash = schema.rfind('/');
    const auto name = "enginewright." + spec.name;
    int version = 0;
    const bool ours = slash != std::string_view::npos && schema.substr(0, slash) == name;
    if (ours) {
        const auto digits = schema.substr(slash + 1);
        const auto end = std::from_chars(digits.data(), digits.data() + digits.size(), version);
        if (end.ec == std::errc{} && end.ptr == digits.data() + digits.size() && version >= 1 &&
            version <= spec.version) {
            return;
        }
    }
    std::string text = "schema must be " + spec.schema();
    text.append(spec.version > 1 ? " or older" : "").append(", got '").append(schema).append("'");
    if (ours && version > spec.version) {
        text += ": it was written by a newer version of this program";
    }
    throw std::invalid_argument(text);
}

namespace {

Column fitted(const TableSpec& spec, const ColumnSpec& column, Column given)
{
    if (given.kind() == column.kind) {
        return given;
    }
    if (given.is_absent()) {
        return Column::absent(column.kind, given.rows());
    }
    if (given.kind() == Kind::word && column.kind == Kind::text) {
        return Column::texts_from_words(given);
    }
    throw std::invalid_argument("column " + column.name + " of " + spec.name + " must hold " +
                                std::string(word(column.kind)) + "s, got " +
                                std::string(word(given.kind())) + "s");
}

std::vector<std::string_view> names_of(std::span<const NamedColumn> columns)
{
    std::vector<std::string_view> names;
    names.reserve(columns.size());
    for (const auto& each : columns) {
        names.emplace_back(each.name);
    }
    return names;
}

void require_fitting(std::size_t rows, const std::vector<NamedColumn>& columns)
{
    auto names = names_of(columns);
    std::sort(names.begin(), names.end());
    const auto twice = std::adjacent_find(names.begin(), names.end());
    if (twice != names.end()) {
        throw std::invalid_argument("column " + std::string(*twice) +
                                    " must stand once, got it twice");
    }
    for (const auto& each : columns) {
        if (each.column.rows() != rows) {
            throw std::invalid_argument("column " + each.name + " must have " +
                                        std::to_string(rows) + " rows, got " +
                                        std::to_string(each.column.rows()));
        }
    }
}

}  // namespace

Table Table::arranged(const TableSpec& spec, std::size_t rows, std::vector<NamedColumn> columns)
{
    require_fitting(rows, columns);
    Table table;
    table.schema_ = spec.schema();
    table.rows_ = rows;
    table.columns_.reserve(spec.columns.size());
    std::vector<bool> placed(columns.size(), false);
    auto next = columns.begin();
    for (const auto& wanted : spec.columns) {
        const auto is_wanted = [&](const NamedColumn& each) { return each.name == wanted.name; };
        // Most come in the order of the schema already.
        const bool in_order = next != columns.end() && is_wanted(*next);
        const auto at = in_order ? next : std::ranges::find_if(columns, is_wanted);
        if (at == columns.end()) {
            if (wanted.required) {
                throw std::invalid_argument(spec.name + " must hold the column " + wanted.name +
                                            did_you_mean(wanted.name, names_of(columns)));
            }
            table.columns_.push_back({wanted.name, Column::absent(wanted.kind, rows)});
            continue;
        }
        placed[static_cast<std::size_t>(at - columns.begin())] = true;
        next = at + 1;
        table.columns_.push_back({wanted.name, fitted(spec, wanted, std::move(at->column))});
    }
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if (!placed[i]) {
            table.columns_.push_back(std::move(columns[i]));
        }
    }
    return table;
}

const Column* Table::find(std::string_view name) const
{
    for (const auto& each : columns_) {
        if (each.name == name) {
            return &each.column;
        }
    }
    return nullptr;
}

const Column& Table::column(std::string_view name) const
{
    if (const auto* found = find(name)) {
        return *found;
    }
    throw std::invalid_argument("there is no column '" + std::string(name) + "'" +
                                did_you_mean(name, names_of(columns_)));
}

Table Table::slice(std::size_t first, std::size_t count) const
{
    Table part = *this;
    part.rows_ = count;
    for (auto& each : part.columns_) {
        each.column = each.column.slice(first, count);
    }
    return part;
}

Table Table::take(std::span<const std::int64_t> rows) const
{
    Table part = *this;
    part.rows_ = rows.size();
    for (auto& each : part.columns_) {
        each.column = each.column.take(rows);
    }
    return part;
}

Table Table::with(std::string name, Column column) const
{
    if (column.rows() != rows_) {
        require_fitting(rows_, {{name, column}});
    }
    Table changed = *this;
    changed.checked_ = false;
    for (auto& each : changed.columns_) {
        if (each.name == name) {
            each.column = std::move(column);
            return changed;
        }
    }
    changed.columns_.push_back({std::move(name), std::move(column)});
    return changed;
}

Table Table::checked() const
{
    Table marked = *this;
    marked.checked_ = true;
    return marked;
}

bool Table::operator==(const Table& other) const
{
    return schema_ == other.schema_ && rows_ == other.rows_ && columns_ == other.columns_;
}

}  // namespace enginewright::table
