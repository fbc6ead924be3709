#include <optional>
#include <utility>

#include "table/foreign_parts.hpp"

namespace enginewright::table {

namespace {

std::int64_t units_a_day(Storage storage)
{
    constexpr std::int64_t seconds = std::int64_t{24} * 60 * 60;
    switch (storage) {
        case Storage::seconds:
            return seconds;
        case Storage::date64:
        case Storage::milliseconds:
            return seconds * 1000;
        case Storage::microseconds:
            return seconds * 1000 * 1000;
        case Storage::nanoseconds:
            return seconds * 1000 * 1000 * 1000;
        default:
            return 1;
    }
}

/// Dates from the day of each moment, in UTC.
Column dates_from_moments(std::string_view name, const Foreign& foreign)
{
    const auto* const from = values_of<std::int64_t>(foreign);
    const auto valid = validity_of(foreign);
    const auto day = units_a_day(foreign.storage);
    std::vector<std::int32_t> days(foreign.rows);
    std::vector<std::uint8_t> present(foreign.rows, 0);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        const bool none = foreign.untyped_missing && from[i] == no_time;
        if (!valid.present(i) || none) {
            continue;
        }
        const auto whole = from[i] / day - (from[i] % day < 0 ? 1 : 0);
        if (!std::in_range<std::int32_t>(whole)) {
            refuse_row(name, "a date within 5 million years", std::to_string(whole) + " days", i);
        }
        days[i] = static_cast<std::int32_t>(whole);
        present[i] = 1;
    }
    return Column::of_dates(hold(std::move(days)), foreign.rows, mask_from_present(present));
}

Column dates_from_texts(std::string_view name, const Foreign& foreign)
{
    const Texts texts(name, foreign);
    const auto valid = validity_of(foreign);
    std::vector<std::int32_t> days(foreign.rows);
    std::vector<std::uint8_t> present(foreign.rows, 0);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        const auto text = valid.present(i) ? texts[i] : std::string_view{};
        if (!text.empty()) {
            days[i] = days_of_text(name, text);
            present[i] = 1;
        }
    }
    return Column::of_dates(hold(std::move(days)), foreign.rows, mask_from_present(present));
}

}  // namespace

Column to_dates(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::date32) {
        return Column::of_dates({values_of<std::int32_t>(foreign), foreign.owner}, foreign.rows,
                                borrowed_mask(foreign));
    }
    if (is_time(foreign.storage)) {
        return dates_from_moments(name, foreign);
    }
    if (is_text(foreign.storage)) {
        return dates_from_texts(name, foreign);
    }
    refuse_type(name, foreign, Kind::date);
}

Column carried_moments(const Foreign& foreign)
{
    auto mask = borrowed_mask(foreign);
    const auto* const from = values_of<std::int64_t>(foreign);
    if (foreign.untyped_missing) {
        std::vector<std::uint8_t> present(foreign.rows);
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            present[i] = from[i] == no_time ? 0 : 1;
        }
        mask = mask_from_present(present);
    }
    return Column::of_moments({from, foreign.owner}, foreign.rows, std::move(mask), foreign.format);
}

}  // namespace enginewright::table
