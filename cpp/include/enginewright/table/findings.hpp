#pragma once

#include <cstdint>
#include <limits>
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

/// Number column that owns its values; NaN where a row has none.
struct NumberColumn {
    std::vector<double> values{};
};

/// Count column that owns its values; `none` where a row has none.
struct CountColumn {
    static constexpr std::int32_t none = std::numeric_limits<std::int32_t>::min();
    std::vector<std::int32_t> values{};
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

/// What no check could look at, job after job: the few texts that occur are kept once.
class NotCheckedList {
  public:
    NotCheckedList() = default;
    explicit NotCheckedList(std::span<const NotChecked> lines);

    /// Number of the pair of a check and what it would have needed; made when it is new.
    std::uint32_t text(std::string_view check, std::string_view missing);

    /// Appends a line about a job; `text` is a number that `text()` gave.
    void append(std::string_view job, std::uint32_t text);

    /// Appends all lines of another list.
    void append(const NotCheckedList& other);

    std::size_t size() const { return lines_.size(); }
    bool empty() const { return lines_.empty(); }
    NotChecked operator[](std::size_t line) const;

    /// Every line by itself.
    std::vector<NotChecked> lines() const;

  private:
    struct Line {
        std::uint32_t job = 0;   ///< place in `jobs_`
        std::uint32_t text = 0;  ///< place in `texts_`
    };
    struct Text {
        std::string check{}, missing{};
    };
    std::vector<std::string> jobs_{};
    std::vector<Text> texts_{};
    std::vector<Line> lines_{};
};

/// Findings: what `job::inspect` gives, in columns, in the fixed order of the checks.
///
/// Row i of every column belongs to finding i. An empty column (no codes, no values) is one in
/// which every row is missing. Figures are in the unit of the column `unit`: mm, g, degrees.
///
/// | columns                                    | what they say                                   |
/// |--------------------------------------------|-------------------------------------------------|
/// | finding                                    | its number within its job, from 0               |
/// | job, stage, feature, number, part, station | which part was measured, and where on it        |
/// | axis, position, repeat                     | in which direction, how far along, which time   |
/// | check, quantity                            | which rule was asked, and of what               |
/// | value, uncertainty, unit                   | the figure and its ±, expanded at the level     |
/// | lower, upper, target, kind, limit_source   | the limit that it was held against              |
/// | verdict, margin, probability               | the answer: how far inside (outside: below 0)   |
/// |                                            | and how probable that the part conforms, 0 to 1 |
/// | next, amount, amount_unit, reason          | what to do, by how much, and why                |
/// | file, sheet, row, column                   | the cell that is marked; rows, columns from 1   |
struct Findings {
    std::size_t rows = 0;
    std::vector<std::int64_t> finding{};
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
    NotCheckedList not_checked{};
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
