#pragma once

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "enginewright/measure.hpp"
#include "quantity_object.hpp"
#include "records.hpp"

/// Quantities at the seam: any broadcasting function takes values that carry their doubt.
///
/// The function is run at the values; its slope along each argument is taken by central differences
/// with one Richardson step, an eighth and a sixteenth of the standard uncertainty away; value and
/// slopes are handed to the core's `combine`, which merges what the arguments share. Every double
/// field of a record becomes a `Quantity`; words follow the value, unless the bench has a
/// `judge_again` for its record, which then judges with each field's own uncertainty.
namespace enginewright::bind {

class Signature;
template <class Result, class... Args>
struct Broadcast;

/// Calls the function again with numbers or arrays in place of quantities.
using Recall = std::function<py::object(PyObject* const*)>;

/// What comes out: the answer at the values, and its figures with their doubt.
struct Carried {
    py::object plain{};
    std::vector<std::pair<std::string, py::object>> doubtful{};  ///< by field; "" for a number
};

/// Runs a function through its quantities.
///
/// given   arguments of the call
/// count   how many
/// fields  fields of the record that may carry doubt; empty: the answer is a number
Carried carry_doubt(const Recall& recall, const Signature& signature, PyObject* const* given,
                    std::size_t count, const std::vector<std::string>& fields);

/// The doubts of one row's fields, for `judge_again`.
std::vector<measure::FieldDoubt> doubts_of(
    const std::vector<std::pair<std::string, py::object>>& doubtful, std::size_t row);

namespace detail {

template <class R>
std::vector<std::string> doubtful_fields()
{
    std::vector<std::string> names;
    std::apply(
        [&](const auto&... field) {
            const auto put = [&]<class Value>(const char* name, Value R::*) {
                if constexpr (std::is_same_v<Value, double> ||
                              std::is_same_v<Value, std::optional<double>>) {
                    names.emplace_back(name);
                }
            };
            (put(field.name, field.member), ...);
        },
        R::fields());
    return names;
}

}  // namespace detail

/// The answer of a broadcast call in which at least one argument is a quantity.
template <class Result, class... Args>
py::object through_quantities(const Broadcast<Result, Args...>& way, const Signature& signature,
                              PyObject* const* given)
{
    const auto recall = [&](PyObject* const* numbers) { return way.call(signature, numbers); };
    if constexpr (Record<Result>) {
        auto carried = carry_doubt(recall, signature, given, sizeof...(Args),
                                   detail::doubtful_fields<Result>());
        auto& rows = carried.plain.template cast<Rows<Result>&>();
        rows.doubtful = std::move(carried.doubtful);
        if constexpr (requires(Result& row, std::span<const measure::FieldDoubt> doubts) {
                          judge_again(row, doubts);
                      }) {
            for (std::size_t i = 0; i < rows.rows.size(); ++i) {
                judge_again(rows.rows[i], doubts_of(rows.doubtful, i));
            }
        }
        return carried.plain;
    } else {
        return carry_doubt(recall, signature, given, sizeof...(Args), {}).doubtful.front().second;
    }
}

}  // namespace enginewright::bind
