#include "enginewright/units.hpp"

#include "bind.hpp"
#include "doc/units.hpp"

namespace enginewright::bind {

namespace {

std::vector<units::Unit> all_units()
{
    const auto all = units::table();
    return {all.begin(), all.end()};
}

units::Unit one_unit(std::string_view symbol, std::optional<std::string_view> dimension)
{
    return units::unit(symbol, dimension);
}

std::string canonical_unit(std::string_view dimension)
{
    return std::string(units::canonical(dimension));
}

}  // namespace

void bind_units(py::module_ module)
{
    py::register_exception<units::UnitError>(module, "UnitError", PyExc_ValueError);
    module.attr("UnitError").attr("__doc__") = doc::units::UnitError;
    bind_record<units::Unit>(module, "Unit", doc::units::Unit);
    bind_record<units::Amount>(module, "Amount", doc::units::Amount);
    bind_record<units::Header>(module, "Header", doc::units::Header);

    define(module, "parse", plain(units::parse), doc::units::parse, "text"_a,
           "dimension"_a = py::none(), py::kw_only(), "decimal"_a = "auto");
    define(module, "convert", broadcast(units::convert), doc::units::convert, "value"_a,
           "from_unit"_a, "to_unit"_a = py::none(), "dimension"_a = py::none());
    define(module, "header", plain(units::header), doc::units::header, "text"_a,
           "dimension"_a = py::none());
    define(module, "unit", plain(one_unit), doc::units::unit, "symbol"_a,
           "dimension"_a = py::none());
    define(module, "canonical", plain(canonical_unit), doc::units::canonical, "dimension"_a);
    define(module, "table", plain(all_units), doc::units::table);
    define(module, "show", plain(units::show), doc::units::show, "value"_a, "dimension"_a,
           py::kw_only(), "system"_a = "both", "digits"_a = py::none());
}

}  // namespace enginewright::bind
