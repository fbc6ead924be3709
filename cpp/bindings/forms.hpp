#pragma once

#include <utility>

#include "bind.hpp"

/// Forms at the seam: stations by axes, of plain numbers or of quantities.
namespace enginewright::bind {

/// Readings that carry their doubt, row by row.
struct DoubtfulStations {
    std::vector<Quantity> readings;
    std::size_t axes;
};

/// Stations by axes from nested lists of quantities, or a column of two dimensions.
inline DoubtfulStations take_stations(py::handle given, std::string_view name)
{
    const auto taken = take_quantity(given, name);
    const Lengths shape = taken.shape();
    if (shape.size() != 2) {
        refuse_all(name,
                   "have two dimensions, stations by axes, got " + std::to_string(shape.size()));
    }
    return {elements_of(taken), static_cast<std::size_t>(shape[1])};
}

inline std::optional<Quantity> take_optional_quantity(py::handle given, std::string_view name)
{
    if (given.is_none()) {
        return std::nullopt;
    }
    const auto taken = take_quantity(given, name);
    if (!taken.single()) {
        refuse_all(name, "be one number, got an array");
    }
    return taken.one();
}

/// Refuses an uncertainty beside readings that bring their own.
inline void require_no_uncertainty(py::handle given, std::string_view name)
{
    if (given.is_none()) {
        return;
    }
    const auto array = take_array(given, name);
    for (py::ssize_t i = 0; i < array.size(); ++i) {
        if (array.data()[i] != 0) {
            refuse(name, "0 where readings carry their own doubt", array.data()[i]);
        }
    }
}

/// A record whose figures stand as quantities before the plain ones; absent ones are left out.
template <Record R>
py::object give_doubtful(
    R record, std::initializer_list<std::pair<const char*, std::optional<Quantity>>> figures)
{
    Rows<R> rows(std::move(record));
    for (const auto& [name, figure] : figures) {
        if (figure) {
            rows.doubtful.emplace_back(name, give_quantity(*figure));
        }
    }
    return give_rows(std::move(rows));
}

inline std::optional<double> take_optional(py::handle given, std::string_view name)
{
    return Argument<std::optional<double>>(given, name).get();
}

}  // namespace enginewright::bind
