#include "quantity_object.hpp"

#include <algorithm>

namespace enginewright::bind {

namespace {

/// Lists within lists: no array is deeper, and a list that holds itself has no end.
constexpr std::size_t deepest = 32;

bool holds_quantity_within(PyObject* given, std::size_t depth)
{
    if (is_quantity(given)) {
        return true;
    }
    if (depth == deepest || (!PyList_Check(given) && !PyTuple_Check(given))) {
        return false;
    }
    const Py_ssize_t size = PySequence_Fast_GET_SIZE(given);
    PyObject** items = PySequence_Fast_ITEMS(given);
    // Lists of lists of numbers are asked by their first row only: a set is of one kind.
    return std::any_of(items, items + size, is_quantity) ||
           (size > 0 && holds_quantity_within(items[0], depth + 1));
}

}  // namespace

bool holds_quantity(PyObject* given) { return holds_quantity_within(given, 0); }

namespace {

/// Collects the quantities of nested lists and finds their common shape.
void gather(py::handle given, std::string_view name, std::size_t depth, Lengths& shape,
            std::vector<Quantity>& out)
{
    const bool list = PyList_Check(given.ptr()) || PyTuple_Check(given.ptr());
    if (!list) {
        if (depth != shape.size()) {
            refuse_all(name, "be a list of one shape");
        }
        const AnyQuantity one = take_quantity(given, name);
        if (!one.single()) {
            refuse_all(name, "hold single quantities in its lists, got an array");
        }
        out.push_back(one.one());
        return;
    }
    const auto items = py::reinterpret_borrow<py::sequence>(given);
    const auto length = static_cast<std::ptrdiff_t>(items.size());
    if (depth == deepest) {
        refuse_all(name, "be a list of one shape, got lists within lists without end");
    }
    if (depth == shape.size() && out.empty()) {
        shape.push_back(length);
    } else if (depth >= shape.size() || shape[depth] != length) {
        refuse_all(name, "be a list of one shape");
    }
    for (const auto item : items) {
        gather(item, name, depth + 1, shape, out);
    }
}

}  // namespace

AnyQuantity take_quantity(py::handle given, std::string_view name)
{
    if (is_quantity(given.ptr())) {
        return given.cast<const AnyQuantity&>();
    }
    double number = 0;
    if (take_plain_number(given.ptr(), number)) {
        require_finite(name, number);
        return {Quantity(number)};
    }
    if (holds_quantity(given.ptr())) {
        Lengths shape;
        std::vector<Quantity> all;
        gather(given, name, 0, shape, all);
        QuantityColumn flat = QuantityColumn::stack(all);
        return {QuantityColumn(flat.values(), shape, {flat.common().begin(), flat.common().end()},
                               {flat.own().begin(), flat.own().end()})};
    }
    const auto array = take_array(given, name);
    for (py::ssize_t i = 0; i < array.size(); ++i) {
        if (!std::isfinite(array.data()[i])) {
            if (array.ndim() == 0) {
                require_finite(name, *array.data());
            }
            refuse_all(name, "be a finite number, got " + number_text(array.data()[i]) +
                                 " (element " + std::to_string(i) + " of the arrays)");
        }
    }
    if (array.ndim() == 0) {
        return {Quantity(*array.data())};
    }
    if (array.size() == 0) {
        refuse_all(name, "not be empty");
    }
    Eigen::ArrayXd values = Eigen::Map<const Eigen::ArrayXd>(array.data(), array.size());
    return {QuantityColumn(std::move(values), {array.shape(), array.shape() + array.ndim()})};
}

std::vector<Quantity> elements_of(const AnyQuantity& quantity)
{
    if (quantity.single()) {
        return {quantity.one()};
    }
    std::vector<Quantity> all;
    for (std::size_t i = 0; i < quantity.column().size(); ++i) {
        all.push_back(quantity.column().at(i));
    }
    return all;
}

py::array give_array(const Eigen::ArrayXd& values, const Lengths& shape)
{
    py::array_t<double> array(shape, values.data());
    array.attr("setflags")(py::arg("write") = false);
    return array;
}

}  // namespace enginewright::bind
