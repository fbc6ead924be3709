#include <array>
#include <chrono>
#include <cstdio>

#include "enginewright/check.hpp"
#include "enginewright/table/column.hpp"

namespace enginewright::table {

namespace {

bool digits(std::string_view text)
{
    return text.find_first_not_of("0123456789") == std::string_view::npos;
}

int number_of(std::string_view text)
{
    int value = 0;
    for (const char c : text) {
        value = value * 10 + (c - '0');
    }
    return value;
}

}  // namespace

std::int32_t days_of(int year, int month, int day)
{
    const std::chrono::year_month_day date{std::chrono::year{year},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    return static_cast<std::int32_t>(std::chrono::sys_days{date}.time_since_epoch().count());
}

std::int32_t days_of_text(std::string_view name, std::string_view text)
{
    const bool shaped = text.size() == 10 && text[4] == '-' && text[7] == '-' &&
                        digits(text.substr(0, 4)) && digits(text.substr(5, 2)) &&
                        digits(text.substr(8, 2));
    const int year = shaped ? number_of(text.substr(0, 4)) : 0;
    const int month = shaped ? number_of(text.substr(5, 2)) : 0;
    const int day = shaped ? number_of(text.substr(8, 2)) : 0;
    const std::chrono::year_month_day date{std::chrono::year{year},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    if (!shaped || !date.ok()) {
        throw std::invalid_argument(std::string(name)
                                        .append(" must be a date like 2027-02-01, got '")
                                        .append(text)
                                        .append("'"));
    }
    return days_of(year, month, day);
}

std::string date_text(std::int32_t days)
{
    const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{days}}};
    std::array<char, 32> buffer{};
    const int length =
        std::snprintf(buffer.data(), buffer.size(), "%04d-%02u-%02u", static_cast<int>(date.year()),
                      static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
    return {buffer.data(), static_cast<std::size_t>(length)};
}

std::string cell_name(std::int32_t row, std::int32_t column)
{
    std::string letters;
    for (auto left = column; left > 0; left = (left - 1) / 26) {
        letters.insert(letters.begin(), static_cast<char>('A' + (left - 1) % 26));
    }
    return letters + std::to_string(row);
}

}  // namespace enginewright::table
