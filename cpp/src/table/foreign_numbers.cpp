#include <algorithm>
#include <bit>
#include <cmath>
#include <optional>
#include <type_traits>

#include "enginewright/check.hpp"
#include "table/foreign_parts.hpp"

namespace enginewright::table {

namespace {

bool any_not_finite(const double* values, std::size_t rows)
{
    constexpr std::uint64_t exponent = 0x7FF0000000000000U;
    std::uint64_t worst = 0;
    for (std::size_t i = 0; i < rows; ++i) {
        worst = std::max(worst, std::bit_cast<std::uint64_t>(values[i]) & exponent);
    }
    return worst == exponent;
}

/// Numbers with NaN taken out into the mask; infinity is refused with its row.
Column numbers_from(std::string_view name, Buffer<double> values, std::size_t rows, Mask mask)
{
    if (rows > 0 && any_not_finite(values.data, rows)) {
        const Validity valid{mask.bits.data, mask.offset};
        std::vector<std::uint8_t> present(rows, 1);
        for (std::size_t i = 0; i < rows; ++i) {
            present[i] = valid.present(i) && !std::isnan(values.data[i]) ? 1 : 0;
            if (present[i] != 0 && std::isinf(values.data[i])) {
                refuse_row(name, "a finite number", number_text(values.data[i]), i);
            }
        }
        mask = mask_from_present(present);
    }
    return Column::of_numbers(std::move(values), rows, std::move(mask));
}

/// One count from one number; nothing when it is missing.
template <class T>
std::optional<std::int32_t> count_from(std::string_view name, T value, std::size_t row)
{
    if constexpr (std::is_floating_point_v<T>) {
        if (std::isnan(value)) {
            return std::nullopt;
        }
        const auto number = static_cast<double>(value);
        if (number != std::floor(number) || std::abs(number) > 2147483647.0) {
            refuse_row(name, "a whole number below 2147483648", number_text(number), row);
        }
    } else {
        if (!std::in_range<std::int32_t>(value)) {
            refuse_row(name, "a whole number below 2147483648", std::to_string(value), row);
        }
    }
    return static_cast<std::int32_t>(value);
}

}  // namespace

Column to_numbers(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::float64) {
        return numbers_from(name, {values_of<double>(foreign), foreign.owner}, foreign.rows,
                            borrowed_mask(foreign));
    }
    std::vector<double> values(foreign.rows);
    const bool taken = visit_numbers(foreign, [&](const auto* from) {
        std::transform(from, from + foreign.rows, values.begin(),
                       [](auto value) { return static_cast<double>(value); });
    });
    if (!taken) {
        refuse_type(name, foreign, Kind::number);
    }
    return numbers_from(name, hold(std::move(values)), foreign.rows, borrowed_mask(foreign));
}

Column to_counts(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::int32) {
        return Column::of_counts({values_of<std::int32_t>(foreign), foreign.owner}, foreign.rows,
                                 borrowed_mask(foreign));
    }
    const auto valid = validity_of(foreign);
    std::vector<std::int32_t> counts(foreign.rows);
    std::vector<std::uint8_t> present(foreign.rows, 0);
    const bool taken = visit_numbers(foreign, [&](const auto* from) {
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            if (!valid.present(i)) {
                continue;
            }
            if (const auto count = count_from(name, from[i], i)) {
                counts[i] = *count;
                present[i] = 1;
            }
        }
    });
    if (!taken) {
        refuse_type(name, foreign, Kind::count);
    }
    return Column::of_counts(hold(std::move(counts)), foreign.rows, mask_from_present(present));
}

Column to_wholes(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::int64) {
        return Column::of_wholes({values_of<std::int64_t>(foreign), foreign.owner}, foreign.rows,
                                 borrowed_mask(foreign));
    }
    if (!is_whole(foreign.storage)) {
        refuse_type(name, foreign, Kind::whole);
    }
    std::vector<std::int64_t> values(foreign.rows);
    const auto valid = validity_of(foreign);
    visit_numbers(foreign, [&](const auto* from) {
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            using T = std::remove_cvref_t<decltype(from[i])>;
            if constexpr (std::is_integral_v<T>) {
                if (valid.present(i) && !std::in_range<std::int64_t>(from[i])) {
                    refuse_row(name, "below 2^63", std::to_string(from[i]), i);
                }
            }
            // An int8 is a small number here, never a character.
            // NOLINTNEXTLINE(bugprone-signed-char-misuse)
            values[i] = static_cast<std::int64_t>(from[i]);
        }
    });
    return Column::of_wholes(hold(std::move(values)), foreign.rows, borrowed_mask(foreign));
}

Column to_truths(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::byte_truth) {
        return Column::of_truths({values_of<std::uint8_t>(foreign), foreign.owner}, foreign.rows,
                                 borrowed_mask(foreign));
    }
    if (foreign.storage != Storage::bit) {
        refuse_type(name, foreign, Kind::truth);
    }
    const Validity bits{static_cast<const std::uint8_t*>(foreign.data),
                        static_cast<std::int64_t>(foreign.first)};
    std::vector<std::uint8_t> values(foreign.rows);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        values[i] = bits.present(i) ? 1 : 0;
    }
    return Column::of_truths(hold(std::move(values)), foreign.rows, borrowed_mask(foreign));
}

Column carried_numbers(const Foreign& foreign)
{
    if (foreign.storage == Storage::float64) {
        return Column::of_numbers({values_of<double>(foreign), foreign.owner}, foreign.rows,
                                  borrowed_mask(foreign));
    }
    const auto* const from = values_of<float>(foreign);
    return Column::of_numbers(hold(std::vector<double>(from, from + foreign.rows)), foreign.rows,
                              borrowed_mask(foreign));
}

}  // namespace enginewright::table
