#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>

#include "bind.hpp"
#include "enginewright/table.hpp"

/// Tables at the seam: what the binding files of tables share among themselves.
namespace enginewright::bind {

inline constexpr const char* stream_name = "arrow_array_stream";
inline constexpr const char* schema_name = "arrow_schema";
inline constexpr const char* array_name = "arrow_array";

/// A struct of the Arrow interface in a capsule that releases it when nobody has taken it.
template <class Struct>
py::object capsule_of(std::unique_ptr<Struct> held, const char* name)
{
    const auto destroy = [](PyObject* capsule) {
        auto* const inside =
            static_cast<Struct*>(PyCapsule_GetPointer(capsule, PyCapsule_GetName(capsule)));
        if (inside->release != nullptr) {
            inside->release(inside);
        }
        delete inside;
    };
    auto* const capsule = PyCapsule_New(held.get(), name, destroy);
    if (capsule == nullptr) {
        throw py::error_already_set();
    }
    (void)held.release();
    return py::reinterpret_steal<py::object>(capsule);
}

template <class Struct>
Struct& inside(const py::object& capsule, const char* name)
{
    auto* const pointer = PyCapsule_GetPointer(capsule.ptr(), name);
    if (pointer == nullptr) {
        throw py::error_already_set();
    }
    return *static_cast<Struct*>(pointer);
}

/// Kind by its word; nothing for None.
inline std::optional<table::Kind> kind_of(const py::object& kind)
{
    return kind.is_none() ? std::nullopt
                          : std::optional(from_word<table::Kind>("kind", kind.cast<std::string>()));
}

/// Row numbers from Python.
using Rows64 = py::array_t<std::int64_t, py::array::c_style | py::array::forcecast>;

inline std::span<const std::int64_t> rows_of(const Rows64& rows)
{
    return {rows.data(), static_cast<std::size_t>(rows.size())};
}

// Each defined in the file of its name.
void bind_columns(py::module_& module);
void bind_cards(py::module_& module);

}  // namespace enginewright::bind
