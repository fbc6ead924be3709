#pragma once

#include <map>
#include <string>
#include <string_view>
#include <variant>

#include "enginewright/measure/quantity.hpp"
#include "enginewright/measure/quantity_column.hpp"

/// Quantities as text: how they are stored without losing what they share.
namespace enginewright::measure {

/// The unnamed sources of one document: their old names and what they are called now.
///
/// Hand the same one to every quantity of a document: those that shared an unnamed source when they
/// were written share one again. Two documents never share one by accident.
using Document = std::map<std::string, std::uint64_t>;

/// A quantity as JSON.
///
///     {"value": 82.015, "sources": [{"source": "ring: certificate", "contribution": 0.001,
///      "degrees_of_freedom": null, "kind": "B", "common": true}, ...]}
///
/// Infinite degrees of freedom are null; unnamed sources have names that begin with '#'.
std::string quantity_to_json(const Quantity& quantity, const Sources& sources = Sources::shared());

/// A column of quantities as JSON: values and contributions are lists, nested as the shape is.
///
/// "common" true is one source in every element; false gives entry i the source `name[i]`. Where
/// the elements of a list have sources of any names, "source" is the list of these.
std::string column_to_json(const QuantityColumn& column,
                           const Sources& sources = Sources::shared());

/// A quantity or a column read back from its JSON.
///
/// document  the map of the document that it belongs to
///
/// Throws std::invalid_argument: text that is no quantity; a known source with other degrees of
/// freedom or kind.
std::variant<Quantity, QuantityColumn> quantity_from_json(std::string_view text, Document& document,
                                                          Sources& sources = Sources::shared());

}  // namespace enginewright::measure
