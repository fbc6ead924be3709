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

/// Runs a function that answers a record; the rows keep the figures with their doubt.
py::object carry_into_record(const Recall& recall, const Signature& signature,
                             PyObject* const* given, std::size_t count, const RecordType& type);

/// The answer of a broadcast call in which at least one argument is a quantity.
template <class Result, class... Args>
py::object through_quantities(const Broadcast<Result, Args...>& way, const Signature& signature,
                              PyObject* const* given)
{
    const auto recall = [&](PyObject* const* numbers) { return way.call(signature, numbers); };
    if constexpr (Record<Result>) {
        auto answer =
            carry_into_record(recall, signature, given, sizeof...(Args), record_type<Result>());
        if constexpr (requires(Result& row, std::span<const measure::FieldDoubt> doubts) {
                          judge_again(row, doubts);
                      }) {
            auto* const found = rows_of<Result>(answer);
            for (std::size_t i = 0; i < found->rows.size(); ++i) {
                judge_again(found->rows[i], doubts_of(found->doubtful, i));
            }
        }
        return answer;
    } else {
        return carry_doubt(recall, signature, given, sizeof...(Args), {}).doubtful.front().second;
    }
}

}  // namespace enginewright::bind
