#include <map>
#include <random>

#include "enginewright/measure/quantity_text.hpp"
#include "quantity_class.hpp"

/// Elements of quantities, and how they are written down.
namespace enginewright::bind {

namespace {

using measure::Sources;

AnyQuantity item(const AnyQuantity& self, const py::object& index)
{
    const auto& column = column_of(self, "elements");
    const auto numpy = py::module_::import("numpy");
    const py::object picked =
        numpy.attr("arange")(column.size()).attr("reshape")(column.shape())[index];
    const auto order =
        py::array_t<std::ptrdiff_t, py::array::c_style | py::array::forcecast>(picked);
    if (order.ndim() == 0) {
        return {column.at(static_cast<std::size_t>(*order.data()))};
    }
    if (order.size() == 0) {
        refuse_all("index", "pick at least one element");
    }
    return {column.take({order.data(), static_cast<std::size_t>(order.size())},
                        {order.shape(), order.shape() + order.ndim()})};
}

std::string json_of(const AnyQuantity& self)
{
    return self.single() ? measure::quantity_to_json(self.one())
                         : measure::column_to_json(self.column());
}

AnyQuantity from_text(const std::string& text, measure::Document& document)
{
    return std::visit([](auto&& read) { return AnyQuantity{std::forward<decltype(read)>(read)}; },
                      measure::quantity_from_json(text, document));
}

AnyQuantity from_dict(const py::object& written, const py::object& document)
{
    if (!PyDict_Check(written.ptr())) {
        refuse_type("d", "a dict", written);
    }
    measure::Document known;
    if (!document.is_none()) {
        if (!PyDict_Check(document.ptr())) {
            refuse_type("document", "a dict", document);
        }
        for (const auto& [name, source] : document.cast<py::dict>()) {
            known.emplace(name.cast<std::string>(), source.cast<std::uint64_t>());
        }
    }
    const auto text = py::module_::import("json").attr("dumps")(written).cast<std::string>();
    AnyQuantity read;
    try {
        read = from_text(text, known);
    } catch (const std::invalid_argument& refused) {
        throw std::invalid_argument(std::string("d must be a quantity as as_dict writes it: ") +
                                    refused.what());
    }
    if (!document.is_none()) {
        for (const auto& [name, source] : known) {
            document[py::str(name)] = source;
        }
    }
    return read;
}

/// Which process gave the number of an unnamed source: a pickle that comes home finds its sources
/// again, one from elsewhere gets fresh ones. A fork begins a stretch of numbers of its own.
struct Stretch {
    std::uint64_t first;
    std::string process;
};

std::string new_process()
{
    std::random_device device;
    std::string text;
    for (int i = 0; i < 4; ++i) {
        text += std::to_string(device()) + ".";
    }
    return text;
}

std::vector<Stretch>& stretches()
{
    static std::vector<Stretch> all{{0, new_process()}};
    return all;
}

std::string process_of(std::uint64_t source)
{
    std::string found;
    for (const auto& each : stretches()) {
        if (Sources::number(source) >= each.first) {
            found = each.process;
        }
    }
    return found;
}

/// Families of unnamed sources of a quantity: what a pickle says of them.
py::dict unnamed_of(const AnyQuantity& self)
{
    const auto& sources = Sources::shared();
    py::dict all;
    const auto put = [&](std::uint64_t source) {
        const auto family = Sources::family(source);
        if (source != 0 && sources.is_unnamed(family)) {
            all[py::str(sources.name(family))] = py::make_tuple(process_of(family), family);
        }
    };
    if (self.single()) {
        for (const auto& each : self.one().contributions()) {
            put(each.source);
        }
        return all;
    }
    for (const auto& each : self.column().common()) {
        put(each.source);
    }
    for (const auto& own : self.column().own()) {
        if (!own.each) {
            put(own.family);
            continue;
        }
        for (const auto each : *own.each) {
            put(each);
        }
    }
    return all;
}

std::string shown_elements(const AnyQuantity& self)
{
    if (self.single()) {
        return measure::quantity_text(self.one());
    }
    constexpr std::size_t most = 6;
    const auto& column = self.column();
    std::string text = "[";
    for (std::size_t i = 0; i < std::min(most, column.size()); ++i) {
        text += (i == 0 ? "" : ", ") + measure::quantity_text(column.at(i));
    }
    return text + (column.size() > most ? ", ...]" : "]");
}

}  // namespace

const QuantityColumn& column_of(const AnyQuantity& self, const char* what)
{
    if (self.single()) {
        throw py::type_error(std::string("a single quantity has no ") + what);
    }
    return self.column();
}

py::object dict_of(const AnyQuantity& self)
{
    return py::module_::import("json").attr("loads")(json_of(self));
}

py::tuple pickled(const AnyQuantity& self)
{
    return py::make_tuple(json_of(self), unnamed_of(self));
}

AnyQuantity from_pickle(const std::string& text, const py::dict& unnamed)
{
    static std::map<std::pair<std::string, std::string>, std::uint64_t> foreign;
    measure::Document document;
    for (const auto& [key, value] : unnamed) {
        const auto name = key.cast<std::string>();
        const auto [process, source] = value.cast<std::pair<std::string, std::uint64_t>>();
        const auto known = foreign.find({process, name});
        if (process_of(source) == process && Sources::number(source) < Sources::shared().count()) {
            document.emplace(name, source);
        } else if (known != foreign.end()) {
            document.emplace(name, known->second);
        }
    }
    AnyQuantity read = from_text(text, document);
    for (const auto& [key, value] : unnamed) {
        const auto name = key.cast<std::string>();
        const auto process = value.cast<std::pair<std::string, std::uint64_t>>().first;
        if (const auto found = document.find(name); found != document.end()) {
            foreign.emplace(std::pair{process, name}, found->second);
        }
    }
    return read;
}

void begin_process() { stretches().push_back({Sources::shared().count(), new_process()}); }

std::string repr_of(const AnyQuantity& self, const char* name)
{
    if (self.single()) {
        return std::string(name) + "(" + number_text(self.one().value()) +
               ", standard_uncertainty=" + number_text(self.one().standard_uncertainty()) + ")";
    }
    return std::string(name) + "(" + shown_elements(self) +
           ", shape=" + std::string(py::str(py::tuple(py::cast(self.shape())))) + ")";
}

void define_storage(py::class_<AnyQuantity>& bound)
{
    bound
        .def("__len__",
             [](const AnyQuantity& self) { return column_of(self, "length").shape().front(); })
        .def("__getitem__", &item, "index"_a)
        .def("__iter__",
             [](const AnyQuantity& self) {
                 py::list all;
                 for (py::ssize_t i = 0; i < column_of(self, "elements").shape().front(); ++i) {
                     all.append(py::cast(item(self, py::int_(i))));
                 }
                 return py::iter(all);
             })
        .def("__str__", &shown_elements)
        .def("__repr__", [](const AnyQuantity& self) { return repr_of(self, "Quantity"); })
        .def("as_dict", &dict_of, doc::measure::quantity_to_json)
        .def_static("from_dict", &from_dict, "d"_a, "document"_a = py::none(),
                    doc::measure::quantity_from_json)
        .def("__copy__", [](const py::object& self) { return self; })
        .def(
            "__deepcopy__", [](const py::object& self, const py::object&) { return self; },
            "memo"_a)
        .def(py::pickle(&pickled, [](const py::tuple& state) {
            return from_pickle(state[0].cast<std::string>(), state[1].cast<py::dict>());
        }));
}

}  // namespace enginewright::bind
