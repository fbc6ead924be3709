#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "bind.hpp"
#include "enginewright/table.hpp"

/// Columns from NumPy arrays and from Python sequences: what both share.
namespace enginewright::bind {

/// "column value must hold numbers, got bool"
[[noreturn]] inline void refuse_kind(std::string_view name, std::optional<table::Kind> kind,
                                     const std::string& got)
{
    std::string text = "column " + std::string(name);
    text += kind ? " must hold " + std::string(word(*kind)) + "s, got " + got
                 : " has a type that is not taken, " + got;
    throw table::TypeRefused(text);
}

/// A column of the wanted kind, or of whatever kind the values are.
inline table::Column from_foreign(std::string_view name, std::optional<table::Kind> kind,
                                  const table::Foreign& foreign)
{
    return kind ? table::adopt(name, foreign, *kind) : table::adopt_as_it_is(name, foreign);
}

/// A column from the elements of a sequence, looked at one by one.
table::Column column_from_objects(std::string_view name, std::optional<table::Kind> kind,
                                  const py::sequence& objects);

}  // namespace enginewright::bind
