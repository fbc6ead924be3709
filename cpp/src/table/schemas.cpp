#include "enginewright/table.hpp"

namespace enginewright::table {

namespace {

constexpr bool required = true;
constexpr bool optional = false;

std::vector<ColumnSpec> reading_columns()
{
    return {
        {"job", Kind::word, required, "the shop's job number"},
        {"engine", Kind::word, optional, "engine type, used to choose limits"},
        {"stage", Kind::word, required, "stage of the work: \"as received\", \"finished\""},
        {"feature", Kind::word, required, "what was measured: \"bore\""},
        {"number", Kind::count, optional, "which one, counted from 1"},
        {"part", Kind::word, optional, "subdivision: \"inlet\", \"top ring\""},
        {"station", Kind::word, optional, "where along it: \"top\", \"left plane\""},
        {"axis", Kind::word, optional, "direction: \"thrust\", \"along\""},
        {"position", Kind::number, optional, "independent variable of a series"},
        {"position_unit", Kind::word, optional, "unit of the position"},
        {"repeat", Kind::count, optional, "1, 2, ... for the same thing read again"},
        {"quantity", Kind::word, required, "\"diameter\", \"gap\", \"mass\""},
        {"value", Kind::number, optional, "as written, in `unit`"},
        {"unit", Kind::word, optional, "unit of the value; needed with a value"},
        {"observation", Kind::word, optional, "a word where a number belongs: \"ok\", \"scored\""},
        {"uncertainty", Kind::number, optional, "expanded (k = 2), in `unit`"},
        {"gauge", Kind::word, optional, "name in the list of gauges"},
        {"by", Kind::word, optional, "who measured"},
        {"temperature", Kind::number, optional, "of the part when measured, °C"},
        {"date", Kind::date, optional, "day of the measurement"},
        {"note", Kind::text, optional, "carried to the report, never parsed"},
        {"file", Kind::word, optional, "file it came from"},
        {"sheet", Kind::word, optional, "sheet it came from"},
        {"row", Kind::count, optional, "row of the value's cell, counted from 1"},
        {"column", Kind::count, optional, "column of the value's cell, counted from 1"},
    };
}

std::vector<ColumnSpec> finding_columns()
{
    return {
        {"finding", Kind::whole, required, "number of the finding within its job, from 0"},
        {"job", Kind::word, required, "the shop's job number"},
        {"stage", Kind::word, optional, "stage of the work"},
        {"feature", Kind::word, optional, "what bears the finding"},
        {"number", Kind::count, optional, "which one, counted from 1"},
        {"part", Kind::word, optional, "subdivision"},
        {"station", Kind::word, optional, "where along it"},
        {"axis", Kind::word, optional, "direction"},
        {"position", Kind::number, optional, "independent variable of a series"},
        {"quantity", Kind::word, optional, "measured or derived quantity"},
        {"repeat", Kind::count, optional, "1, 2, ... for the same thing read again"},
        {"check", Kind::word, required, "check that made it: \"limits\", \"taper\""},
        {"value", Kind::number, optional, "the figure judged, in `unit`"},
        {"uncertainty", Kind::number, optional, "expanded at the level asked for, in `unit`"},
        {"lower", Kind::number, optional, "lower limit, in `unit`"},
        {"upper", Kind::number, optional, "upper limit, in `unit`"},
        {"target", Kind::number, optional, "what to aim for, in `unit`"},
        {"unit", Kind::word, optional, "canonical unit of the figures"},
        {"kind", Kind::word, optional, "kind of the limit used: \"wear\""},
        {"margin", Kind::number, optional, "distance to the nearest limit, negative outside"},
        {"probability", Kind::number, optional, "of conformity"},
        {"verdict", Kind::word, required, "within, outside, unproven or unlimited"},
        {"next", Kind::text, optional, "what to do next"},
        {"amount", Kind::number, optional, "figure of what to do, in `amount_unit`"},
        {"amount_unit", Kind::word, optional, "unit of the amount"},
        {"reason", Kind::text, optional, "why, when the verdict is not plain"},
        {"limit_source", Kind::word, optional, "where the limit is from"},
        {"file", Kind::word, optional, "file of the cell to mark"},
        {"sheet", Kind::word, optional, "sheet of the cell to mark"},
        {"row", Kind::count, optional, "row of the cell to mark, counted from 1"},
        {"column", Kind::count, optional, "column of the cell to mark, counted from 1"},
        {"basis", Kind::text, optional, "every cell used: \"Block!C6, Block!C8\""},
    };
}

std::vector<ColumnSpec> limit_columns()
{
    return {
        {"engine", Kind::word, optional, "engine type; empty: any"},
        {"stage", Kind::word, optional, "stage of the work; empty: any"},
        {"feature", Kind::word, optional, "what is measured; empty: any"},
        {"number", Kind::count, optional, "which one; empty: any"},
        {"part", Kind::word, optional, "subdivision; empty: any"},
        {"station", Kind::word, optional, "where along it; empty: any"},
        {"axis", Kind::word, optional, "direction; empty: any"},
        {"quantity", Kind::word, optional, "measured or derived quantity; empty: any"},
        {"lower", Kind::number, optional, "least allowed, in `unit`"},
        {"upper", Kind::number, optional, "greatest allowed, in `unit`"},
        {"target", Kind::number, optional, "what to aim for, in `unit`"},
        {"unit", Kind::word, required, "unit of the figures"},
        {"kind", Kind::word, optional, "new, wear, machining or repair size"},
        {"source", Kind::word, required, "where the figure is from"},
        {"provenance", Kind::word, optional, "how well it is known"},
        {"given_unit", Kind::word, optional, "unit the figures were written in"},
    };
}

std::vector<ColumnSpec> gauge_columns()
{
    return {
        {"name", Kind::word, required, "the gauge's name: its identity"},
        {"resolution", Kind::number, optional, "smallest step it shows"},
        {"maximum_permissible_error", Kind::number, optional,
         "greatest error its maker or standard allows"},
        {"calibration_uncertainty", Kind::number, optional,
         "expanded uncertainty of the certificate"},
        {"coverage_factor", Kind::number, optional, "k of the certificate"},
        {"calibration_freedom", Kind::number, optional, "degrees of freedom of the certificate"},
        {"correction", Kind::number, optional, "added to the indication"},
        {"repeatability", Kind::number, optional, "standard deviation of one reading"},
        {"repeatability_freedom", Kind::number, optional, "degrees of freedom of that study"},
        {"expansion", Kind::number, optional, "expansion coefficient of the gauge, 1/K"},
        {"same_place", Kind::truth, optional, "always used at one place of its range"},
        {"due", Kind::date, optional, "day on which the certificate runs out"},
        {"setting", Kind::word, optional, "what it is zeroed on"},
        {"setting_uncertainty", Kind::number, optional, "expanded uncertainty of that"},
        {"temperature", Kind::number, optional, "of the gauge itself, °C"},
        {"unit", Kind::word, optional, "unit of the lengths"},
    };
}

}  // namespace

const TableSpec& readings_spec()
{
    static const TableSpec spec{"readings", 1, reading_columns()};
    return spec;
}

const TableSpec& findings_spec()
{
    static const TableSpec spec{"findings", 1, finding_columns()};
    return spec;
}

const TableSpec& limits_spec()
{
    static const TableSpec spec{"limits", 1, limit_columns()};
    return spec;
}

const TableSpec& gauges_spec()
{
    static const TableSpec spec{"gauges", 1, gauge_columns()};
    return spec;
}

}  // namespace enginewright::table
