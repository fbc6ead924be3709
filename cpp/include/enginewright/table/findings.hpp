#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/table/column.hpp"

/// Findings: what `job::inspect` gives, in columns that it fills row after row.
namespace enginewright::table {

/// Text column in Arrow's layout: row i is bytes[offsets[i]] .. bytes[offsets[i + 1]].
struct TextColumn {
    std::vector<std::int64_t> offsets{0};
    std::vector<char> bytes{};

    void append(std::string_view text)
    {
        bytes.insert(bytes.end(), text.begin(), text.end());
        offsets.push_back(static_cast<std::int64_t>(bytes.size()));
    }
    std::string_view operator[](std::size_t row) const
    {
        const auto first = static_cast<std::size_t>(offsets[row]);
        return {bytes.data() + first, static_cast<std::size_t>(offsets[row + 1]) - first};
    }
};

/// Word column that owns its codes and words. Words are distinct and not empty.
struct WordColumn {
    std::vector<std::int32_t> codes{};
    std::vector<std::string> words{};
};

/// Number column that owns its values; `missing[i]` is 1 where row i has none (its value is NaN).
struct NumberColumn {
    std::vector<double> values{};
    std::vector<std::uint8_t> missing{};
};

/// Count column that owns its values; `missing[i]` is 1 where row i has none (its value is 0).
struct CountColumn {
    std::vector<std::int32_t> values{};
    std::vector<std::uint8_t> missing{};
};

/// What a check could not look at, and what it would have needed.
struct NotChecked {
    std::string job{};
    std::string check{};
    std::string missing{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"job", "", &NotChecked::job, "the shop's job number"},
            Field{"check", "", &NotChecked::check, "the check that did not run"},
            Field{"missing", "", &NotChecked::missing, "what the job does not hold"},
        };
    }
    bool operator==(const NotChecked&) const = default;
};
static_assert(lists_every_member<NotChecked>);

/// Findings: what `job::inspect` gives, in columns, in the fixed order of the checks.
///
/// An empty column (no codes, no values) is one in which every row is missing.
struct Findings {
    std::size_t rows = 0;
    std::vector<std::int64_t> finding{};  ///< numbered from 0 within its job
    WordColumn job{}, stage{}, feature{}, part{}, station{}, axis{}, quantity{}, check{}, unit{},
        kind{}, verdict{}, amount_unit{}, limit_source{}, file{}, sheet{};
    CountColumn number{}, repeat{}, row{}, column{};
    NumberColumn position{}, value{}, uncertainty{}, lower{}, upper{}, target{}, margin{},
        probability{}, amount{};
    TextColumn next{}, reason{};
    /// Readings of finding i: reading_rows[reading_offsets[i]] ..
    /// reading_rows[reading_offsets[i+1]]
    std::vector<std::int64_t> reading_offsets{0};
    std::vector<std::int64_t> reading_rows{};
    std::vector<NotChecked> not_checked{};
};

/// Which readings each finding rests on: offsets into one list of rows.
struct Links {
    std::vector<std::int64_t> offsets{0};
    std::vector<std::int64_t> rows{};

    std::span<const std::int64_t> of(std::size_t finding) const
    {
        const auto first = static_cast<std::size_t>(offsets[finding]);
        const auto past = static_cast<std::size_t>(offsets[finding + 1]);
        return std::span(rows).subspan(first, past - first);
    }
    bool operator==(const Links&) const = default;
};

}  // namespace enginewright::table
