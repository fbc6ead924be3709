#pragma once

#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/record.hpp"

/// Units: numbers with their unit at the door of the library.
///
/// A shop mixes mm, thou, tenths, cc, oz, lbf·ft and inches of water, and its exports mix decimal
/// points and commas. What goes wrong: 82,005 read as eighty-two thousand, "lb" taken as mass where
/// the spring tester meant force, a bare number taken in the wrong unit. So nothing is guessed
/// here: what can be read in two ways is refused, and the refusal says how to settle it.
///
/// Behind this door everything is in the canonical unit of its dimension: mm, mm², cc, g, g·mm, N,
/// N/mm, MPa (stress), kPa (gas pressure), °C, K (differences), °, rpm, N·m, L/min, s, 1/K, g/cm³.
namespace enginewright::units {

/// A text that is no number with a unit: unknown unit, wrong dimension, no unit, ambiguous mark.
///
/// In Python `UnitError`, a `ValueError`.
class UnitError : public std::invalid_argument {
  public:
    using std::invalid_argument::invalid_argument;
};

/// Which mark is the decimal one. "auto" decides from the text and refuses what can be both.
enum class Decimal { automatic, point, comma };

/// Which units a person is shown.
enum class System { both, metric, inch };

}  // namespace enginewright::units

namespace enginewright {
template <>
inline constexpr Words<3> words<units::Decimal>{"decimal", {"auto", ".", ","}};
template <>
inline constexpr Words<3> words<units::System>{"system", {"both", "metric", "inch"}};
}  // namespace enginewright

namespace enginewright::units {

/// One unit of one dimension: canonical = (number + offset) * factor.
struct Unit {
    std::string symbol{};
    std::string dimension{};
    double factor = 1;
    double offset = 0;
    bool exact = true;
    std::vector<std::string> aliases{};
    std::string source{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"symbol", "", &Unit::symbol, "standard spelling"},
            Field{"dimension", "", &Unit::dimension, "what it measures"},
            Field{"factor", "", &Unit::factor, "canonical = (number + offset) * factor"},
            Field{"offset", "", &Unit::offset, "added before the factor, for temperatures"},
            Field{"exact", "", &Unit::exact, "whether the factor is exact by definition"},
            Field{"aliases", "", &Unit::aliases, "other spellings"},
            Field{"source", "", &Unit::source, "where the factor is from"},
        };
    }
    bool operator==(const Unit&) const = default;
};
static_assert(lists_every_member<Unit>);

/// A number with its unit, as read from a text.
struct Amount {
    double value = 0;
    std::string unit{};
    std::string dimension{};
    double number = 0;
    std::string given_unit{};
    std::optional<double> resolution{};
    std::string text{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"value", "", &Amount::value, "in the canonical unit"},
            Field{"unit", "", &Amount::unit, "the canonical unit"},
            Field{"dimension", "", &Amount::dimension, "what it measures"},
            Field{"number", "", &Amount::number, "as written"},
            Field{"given_unit", "", &Amount::given_unit, "as written, in its standard spelling"},
            Field{"resolution", "", &Amount::resolution,
                  "place value of the last written digit, canonical; none for a fraction"},
            Field{"text", "", &Amount::text, "what was read"},
        };
    }
    bool operator==(const Amount&) const = default;
};
static_assert(lists_every_member<Amount>);

/// The name and the unit in the heading of a column.
struct Header {
    std::string name{};
    std::optional<std::string> unit{};
    std::optional<std::string> dimension{};
    std::optional<std::string> note{};
    std::string text{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &Header::name, "what stands before the unit"},
            Field{"unit", "", &Header::unit, "standard spelling; none when there is no unit"},
            Field{"dimension", "", &Header::dimension, "what the unit measures"},
            Field{"note", "", &Header::note, "what stands in a bracket that is no unit"},
            Field{"text", "", &Header::text, "what was read"},
        };
    }
    bool operator==(const Header&) const = default;
};
static_assert(lists_every_member<Header>);

/// One number and one unit from a text.
///
/// Read in the first of these forms that fits, blanks folded and look-alike signs taken for one
/// another (U+2212 is a minus, U+03BC a micro sign, U+00BA a degree sign):
///
/// - degrees, minutes, seconds: 12°30', 12°30'15";
/// - a plain or mixed fraction: 1/8, 3 1/2, 3-1/2, 1½; only with in, ft or a turn, since nobody
///   writes sixteenths of a thou: "14/16 thou" is two readings or a slip;
/// - a decimal with optional sign and exponent. Group marks (a blank, a no-break blank, an
///   apostrophe) stand in its whole part, each before exactly three digits. Of points and commas
///   the last one is the decimal mark and the others group; a mark that stands more than once
///   groups. A single comma is the decimal mark, except where exactly three digits follow one to
///   three that do not start with 0: 82,005 mm can be 82.005 or 82 005 and is refused unless
///   `decimal` says. 0,250 mm and 41,2 cc are clear.
///
/// The value is (number + offset) * factor of the unit; the resolution is the place value of the
/// last written digit in the canonical unit: 0.1 thou for 2.5 thou, none for a fraction.
///
/// text       what was written, with its unit: "2.5 thou"
/// dimension  what it must measure; none: whatever the unit says, with lb and kg as mass. With
///            "force", lb is lbf and kg is kgf, as spring testers are marked; with "number" a
///            bare number will do
/// decimal    "auto", or the decimal mark that is known: "." or ","
///
/// Throws UnitError: no number, no unit, an unknown unit, the wrong dimension, a mark that can be
/// read in two ways, a temperature below absolute zero.
/// Source: factors from the exact definitions, NIST SP 811 (2008), appendix B.
///
/// >>> ew.units.parse("2.5 thou").value
/// 0.0635
Amount parse(std::string_view text, std::optional<std::string_view> dimension = {},
             Decimal decimal = Decimal::automatic);

/// A number in another unit of the same dimension.
///
///     canonical = (value + offset) * factor
///
/// of the first unit, and back the same way through the second: 212 °F is exactly 100 °C. The same
/// unit in and out gives the number bit for bit. Nothing is guessed: lb is a mass and N a force, so
/// they go together with `dimension="force"` alone.
///
/// In Python `value` may be an array, a `Quantity`, or an object of another library that is told by
/// its shape: `value.to(from_unit).magnitude`, or `nominal_value` with `std_dev`, which becomes a
/// `Quantity` with a source of its own. Words are single.
///
/// value      number in from_unit
/// from_unit  its unit
/// to_unit    unit wanted; none: the canonical one
/// dimension  needed only where a symbol has several ("temperature difference" drops the offset)
///
/// Throws UnitError: an unknown unit, two dimensions.
/// Source: NIST SP 811 (2008), appendix B.
///
/// >>> ew.units.convert(212.0, "°F", "°C")
/// 100.0
double convert(double value, std::string_view from_unit,
               std::optional<std::string_view> to_unit = {},
               std::optional<std::string_view> dimension = {});

/// `convert` with its units looked up: for many numbers. The units are of the table, and last.
struct Conversion {
    const Unit* from = nullptr;
    const Unit* to = nullptr;

    /// A number of `from` in `to`; refuses what is not finite or becomes so.
    double operator()(double value) const;
};

/// Looks up the units of `convert`, once for many numbers; arguments and refusals are the same.
Conversion conversion(std::string_view from_unit, std::optional<std::string_view> to_unit = {},
                      std::optional<std::string_view> dimension = {});

/// Name and unit from the heading of a column; nothing is guessed.
///
/// The unit stands in a bracket at the end, behind a comma or " / ", or as last words of two
/// letters or more: "Gap (thou)", "Bore 1 [mm]", "Weight, g", "Gap / thou", "Torque Nm". A bracket
/// that holds no unit goes to `note`: "Bore (front)"; before it a unit may stand.
///
/// What is more often a name is taken for a unit only where `dimension` says so: a letter in a
/// bracket that is not just the symbol ("Bore (F)", "Bore (L)"), and "min", "second", "rev", C and
/// F ("Bore min" is the least bore). A bare letter or digit at the end ("Plug A", "Bore 1") and a
/// number in a bracket ("Bore (1)") never are.
///
/// text       the heading
/// dimension  what the unit must measure; none: whatever it says
///
/// Throws UnitError: a unit of another dimension in a bracket, behind a comma or a stroke.
///
/// >>> ew.units.header("Gap (thou)").unit
/// 'thou'
Header header(std::string_view text, std::optional<std::string_view> dimension = {});

/// The unit that a spelling names.
///
/// A product may be written with · * . - or a blank, and together where it is listed with one
/// (Nm); a power as cm², cm2 or cm^2; an abbreviation with its point (in., lbs.). Case is ignored,
/// but an SI prefix m or M must stand as listed unless the whole spelling is in capitals: MM is mm,
/// while mPa, mpa and Mm are refused. "nm" is N·m under "torque" alone.
///
/// symbol     any listed spelling
/// dimension  what it must measure; none: the first dimension that lists it. Spellings that mean
///            nothing until it is told ("minutes": of time or of arc) are then refused
///
/// Throws UnitError: unknown, with up to three near spellings, or of another dimension.
///
/// >>> ew.units.unit("MM").symbol
/// 'mm'
const Unit& unit(std::string_view symbol, std::optional<std::string_view> dimension = {});

/// All units, dimension by dimension, the canonical one first.
///
/// Factors are built from the exact definitions: inch 25.4 mm, pound 453.59237 g, standard gravity
/// 9.80665 m/s². Stress and gas pressure have the same units on two canonical scales, MPa and kPa.
///
/// Source: NIST SP 811 (2008), appendix B; each unit names its own.
///
/// >>> ew.units.table()[0].symbol
/// 'mm'
std::span<const Unit> table();

/// Symbol of the canonical unit of a dimension: "mm" for "length".
///
/// dimension  as the table names it
///
/// Throws UnitError for a dimension that the table does not have.
///
/// >>> ew.units.canonical("gas pressure")
/// 'kPa'
std::string_view canonical(std::string_view dimension);

/// A value for people: "82.015 mm (3.2289 in)", below a millimetre "0.064 mm (2.5 thou)".
///
/// Rounds half to even on the exact binary value; never prints "-0.000". Dimensions that the inch
/// family has no other unit for (angle, speed, time, expansion, density, number) are shown once.
///
/// value      in the canonical unit of the dimension
/// dimension  as the table names it
/// system     "both", "metric", "inch"
/// digits     decimals of the metric figure, 0 to 17; none: those of the dimension
///
/// Throws UnitError for an unknown dimension.
/// Throws std::invalid_argument for a value that is not finite, or digits out of their range.
///
/// >>> ew.units.show(82.015, "length")
/// '82.015 mm (3.2289 in)'
std::string show(double value, std::string_view dimension, System system = System::both,
                 std::optional<int> digits = {});

}  // namespace enginewright::units
