#include "enginewright/table/foreign.hpp"

#include <cmath>
#include <stdexcept>

#include "table/bits.hpp"
#include "table/foreign_parts.hpp"

namespace enginewright::table {

std::string at_row(std::size_t row) { return " (row " + std::to_string(row) + ")"; }

void refuse_type(std::string_view name, const Foreign& foreign, Kind wanted)
{
    throw TypeRefused(std::string("column ")
                          .append(name)
                          .append(" must hold ")
                          .append(word(wanted))
                          .append("s, got ")
                          .append(foreign.type));
}

void refuse_row(std::string_view name, std::string_view rule, const std::string& value,
                std::size_t row)
{
    throw std::invalid_argument(std::string(name)
                                    .append(" must be ")
                                    .append(rule)
                                    .append(", got ")
                                    .append(value)
                                    .append(at_row(row)));
}

Validity validity_of(const Foreign& foreign)
{
    return {foreign.bits, static_cast<std::int64_t>(foreign.first)};
}

Mask borrowed_mask(const Foreign& foreign)
{
    if (foreign.bits == nullptr || count_bits(validity_of(foreign), foreign.rows) == foreign.rows) {
        return {};
    }
    return {.bits = {foreign.bits, foreign.owner},
            .offset = static_cast<std::int64_t>(foreign.first)};
}

namespace {

/// Whether no row says anything: nulls, or floats that are all NaN.
bool says_nothing(const Foreign& foreign)
{
    if (foreign.storage == Storage::nothing) {
        return true;
    }
    const auto valid = validity_of(foreign);
    const auto empty = [&foreign](std::size_t row) {
        if (foreign.storage == Storage::float64) {
            return std::isnan(values_of<double>(foreign)[row]);
        }
        if (foreign.storage == Storage::float32) {
            return std::isnan(values_of<float>(foreign)[row]);
        }
        return foreign.untyped_missing && values_of<std::int64_t>(foreign)[row] == no_time;
    };
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        if (valid.present(i) && !empty(i)) {
            return false;
        }
    }
    return true;
}

}  // namespace

Column adopt(std::string_view name, const Foreign& foreign, Kind wanted)
{
    if (foreign.dictionary) {
        const auto entries = adopt(name, *foreign.dictionary, wanted);
        return wanted == Kind::word ? words_through(name, foreign, entries)
                                    : values_through(name, foreign, entries);
    }
    if (says_nothing(foreign)) {
        return Column::absent(wanted, foreign.rows);
    }
    switch (wanted) {
        case Kind::word:
            return to_words(name, foreign);
        case Kind::number:
            return to_numbers(name, foreign);
        case Kind::count:
            return to_counts(name, foreign);
        case Kind::date:
            return to_dates(name, foreign);
        case Kind::text:
            return to_texts(name, foreign);
        case Kind::whole:
            return to_wholes(name, foreign);
        case Kind::truth:
            return to_truths(name, foreign);
        case Kind::moment:
            break;
    }
    refuse_type(name, foreign, wanted);
}

Column adopt_as_it_is(std::string_view name, const Foreign& foreign)
{
    if (foreign.dictionary) {
        return carried_dictionary(name, foreign);
    }
    switch (foreign.storage) {
        case Storage::nothing:
            return Column::absent(Kind::word, foreign.rows);
        case Storage::bit:
        case Storage::byte_truth:
            return to_truths(name, foreign);
        case Storage::float32:
        case Storage::float64:
            return carried_numbers(foreign);
        case Storage::int32:
            return to_counts(name, foreign);
        case Storage::utf8:
        case Storage::large_utf8:
        case Storage::utf8_view:
            return to_texts(name, foreign);
        case Storage::date32:
        case Storage::days:
        case Storage::date64:
            return to_dates(name, foreign);
        case Storage::seconds:
        case Storage::milliseconds:
        case Storage::microseconds:
        case Storage::nanoseconds:
            return carried_moments(foreign);
        default:
            return to_wholes(name, foreign);
    }
}

}  // namespace enginewright::table
