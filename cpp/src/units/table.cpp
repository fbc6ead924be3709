#include "units/table.hpp"

#include <algorithm>
#include <array>
#include <numbers>
#include <vector>

/// The table of units. Factors are built from the exact definitions, never typed in rounded.
namespace enginewright::units {

namespace {

// Long doubles: products of exact definitions, rounded once when they become a factor.
constexpr long double inch = 25.4L;                                                 // mm, exact
constexpr long double pound = 453.59237L;                                           // g, exact
constexpr long double gravity = 9.80665L;                                           // m/s², exact
constexpr long double foot = 12 * inch;                                             // mm
constexpr long double ounce = pound / 16;                                           // g
constexpr long double kilogram_force = gravity;                                     // N
constexpr long double pound_force = pound * gravity / 1000;                         // N
constexpr long double cubic_inch = inch * inch * inch / 1000;                       // cc
constexpr long double pounds_per_square_inch = pound_force / (inch * inch) * 1000;  // kPa
constexpr long double us_gallon = 231 * cubic_inch;                                 // cc, exact
constexpr long double imperial_gallon = 4546.09L;                                   // cc, exact
constexpr long double radian = 180 / std::numbers::pi_v<long double>;               // °

constexpr const char* si =
    "the SI and units used with it: BIPM, The International System of "
    "Units, 9th edition (2019)";
constexpr const char* exact =
    "NIST SP 811 (2008), appendix B: exact definitions of inch, pound, "
    "gallon and standard gravity";
constexpr const char* water =
    "NIST SP 811 (2008), appendix B.8, conventional: water of "
    "1000 kg/m³ under standard gravity";
constexpr const char* mercury = "NIST SP 811 (2008), appendix B.8, conventional, as printed";
constexpr const char* trade = "trade usage, from the exact definition of the inch";
constexpr const char* circle = "a full circle is 2 pi radians";

/// One unit: symbol, factor, other spellings apart by '|', source, offset, whether exact.
struct Row {
    const char* symbol;
    long double factor;
    const char* aliases = "";
    const char* source = si;
    double offset = 0;
    bool is_exact = true;
};

/// One dimension: the canonical unit stands first.
struct Dimension {
    const char* name;
    std::span<const Row> rows;
};

constexpr std::array length{
    Row{"mm", 1, "millimetre|millimetres|millimeter|millimeters"},
    Row{"cm", 10, "centimetre|centimetres|centimeter|centimeters"},
    Row{"m", 1000, "metre|metres|meter|meters"},
    Row{"µm", 0.001L, "um|micron|microns|micrometre|micrometres|micrometer|micrometers"},
    Row{"in", inch, "inch|inches|\"|″", exact},
    Row{"ft", foot, "foot|feet|'|′", exact},
    Row{"thou", inch / 1000, "mil|mils|thous", exact},
    Row{"tenths", inch / 10000, "tenth", trade},
    Row{"µin", inch / 1000000, "uin|microinch|microinches", exact},
};
constexpr std::array area{
    Row{"mm²", 1, "sq mm"},
    Row{"cm²", 100, "sq cm"},
    Row{"in²", inch * inch, "sq in", exact},
};
constexpr std::array volume{
    Row{"cc", 1, "cm³|ml|c.c.|ccs|cu cm"},
    Row{"mm³", 0.001L, "cu mm"},
    Row{"L", 1000, "litre|litres|liter|liters"},
    Row{"in³", cubic_inch, "cu in|cubic inch|cubic inches", exact},
    Row{"US fl oz", us_gallon / 128, "US fluid ounce|US fluid ounces", exact},
    Row{"imp fl oz", imperial_gallon / 160,
        "imperial fl oz|imperial fluid ounce|imperial fluid ounces", exact},
};
constexpr std::array mass{
    Row{"g", 1, "gram|grams|gramme|grammes|gm|gms"},
    Row{"kg", 1000, "kilogram|kilograms|kilogramme|kilogrammes"},
    Row{"mg", 0.001L, "milligram|milligrams"},
    Row{"oz", ounce, "ounce|ounces", exact},
    Row{"lb", pound, "lbs|pound|pounds", exact},
    Row{"grain", pound / 7000, "grains", exact},
};
constexpr std::array unbalance{
    Row{"g·mm", 1},
    Row{"g·cm", 10},
    Row{"kg·mm", 1000},
    Row{"g·in", inch, "", exact},
    Row{"oz·in", ounce * inch, "", exact},
};
constexpr std::array force{
    Row{"N", 1, "newton|newtons"},
    Row{"kN", 1000},
    Row{"lbf", pound_force, "lb|lbs|pound|pounds", exact},
    Row{"kgf", kilogram_force, "kp|kg", exact},
};
constexpr std::array stiffness{
    Row{"N/mm", 1},
    Row{"N/m", 0.001L},
    Row{"kN/m", 1},
    Row{"lbf/in", pound_force / inch, "lb/in|lbs/in|lb/inch|lbs/inch", exact},
    Row{"kgf/mm", kilogram_force, "kg/mm|kp/mm", exact},
};
// In kPa; the rows serve stress in MPa and gas pressure in kPa.
constexpr std::array pressure{
    Row{"MPa", 1000, "N/mm²"},
    Row{"kPa", 1},
    Row{"Pa", 0.001L},
    Row{"GPa", 1000000},
    Row{"bar", 100},
    Row{"mbar", 0.1L},
    Row{"psi", pounds_per_square_inch, "lb/in²|lbs/in²|lbf/in²|lb/sq in|lbf/sq in|p.s.i.", exact},
    Row{"ksi", pounds_per_square_inch * 1000, "", exact},
    Row{"kgf/cm²", kilogram_force * 10, "kg/cm²|kp/cm²", exact},
    Row{"atm", 101.325L, "", exact},
    Row{"inH2O", inch * gravity / 1000, "in H2O|in wg|inches of water|\"H2O", water},
    Row{"mmH2O", gravity / 1000, "mm H2O|mm wg", water},
    Row{"inHg", 3.386389L, "in Hg|inches of mercury|\"Hg", mercury, 0, false},
    Row{"mmHg", 0.1333224L, "mm Hg", mercury, 0, false},
};
constexpr std::array temperature{
    Row{"°C", 1, "C|degC|deg C|° C|celsius"},
    Row{"°F", 5.0L / 9, "F|degF|deg F|° F|fahrenheit", exact, -32},
    Row{"K", 1, "kelvin", si, -273.15},
};
constexpr std::array temperature_difference{
    Row{"K", 1, "kelvin"},
    Row{"Δ°C", 1, "°C|C|degC|deg C"},
    Row{"Δ°F", 5.0L / 9, "°F|F|degF|deg F", exact},
};
constexpr std::array angle{
    Row{"°", 1, "deg|degree|degrees"},
    Row{"′", 1.0L / 60, "'|minutes|minute|arcmin"},
    Row{"″", 1.0L / 3600, "\"|''|seconds|second|arcsec"},
    Row{"rad", radian, "radian|radians", circle, 0, false},
    Row{"rev", 360, "turn|turns", circle},
};
constexpr std::array speed{
    Row{"rpm", 1, "rev/min|r/min|1/min|min⁻¹|min-1|r.p.m."},
    Row{"Hz", 60, "rev/s|1/s"},
    Row{"rad/s", radian / 6, "", circle, 0, false},
};
constexpr std::array torque{
    Row{"N·m", 1},
    Row{"lbf·ft", pound_force * foot / 1000,
        "lb·ft|lbs·ft|ft·lbf|ft·lb|ft·lbs|lbf·foot|foot·lb|"
        "foot·lbs|foot·lbf|foot pounds|pound feet",
        exact},
    Row{"lbf·in", pound_force * inch / 1000,
        "lb·in|lbs·in|in·lbf|in·lb|in·lbs|inch·lb|inch·lbs|"
        "inch·lbf|inch pounds",
        exact},
    Row{"kgf·m", kilogram_force, "kg·m|m·kgf|m·kg|kp·m", exact},
    Row{"kgf·cm", kilogram_force / 100, "kg·cm|kp·cm|cm·kg", exact},
    Row{"N·mm", 0.001L},
};
constexpr std::array flow{
    Row{"L/min", 1, "lpm"},
    Row{"L/s", 60},
    Row{"m³/h", 1000.0L / 60},
    Row{"cfm", foot * foot * foot / 1000000, "ft³/min|cu ft/min", exact},
    Row{"cc/min", 0.001L, "cm³/min|ml/min"},
};
constexpr std::array time_{
    Row{"s", 1, "sec|secs|second|seconds"},
    Row{"min", 60, "mins|minute|minutes"},
    Row{"h", 3600, "hr|hrs|hour|hours"},
};
constexpr std::array expansion{
    Row{"1/K", 1, "1/°C|K⁻¹"},
    Row{"µm/(m·K)", 0.000001L, "um/(m·K)|ppm/K|µm/(m·°C)|um/(m·°C)|ppm/°C"},
    Row{"1/°F", 1.8L, "", exact},
    Row{"µin/(in·°F)", 0.0000018L, "uin/(in·°F)|ppm/°F", exact},
};
constexpr std::array density{
    Row{"g/cm³", 1, "g/cc|g/ml"},
    Row{"kg/m³", 0.001L},
    Row{"lb/in³", pound / cubic_inch, "lb/cu in", exact},
};
constexpr std::array number{
    Row{"1", 1},
    Row{"%", 0.01L, "percent|per cent"},
};

constexpr std::array<Dimension, 19> dimensions{{
    {"length", length},
    {"area", area},
    {"volume", volume},
    {"mass", mass},
    {"unbalance", unbalance},
    {"force", force},
    {"stiffness", stiffness},
    {"stress", pressure},
    {"gas pressure", pressure},
    {"temperature", temperature},
    {"temperature difference", temperature_difference},
    {"angle", angle},
    {"speed", speed},
    {"torque", torque},
    {"flow", flow},
    {"time", time_},
    {"expansion", expansion},
    {"density", density},
    {"number", number},
}};

constexpr std::array<std::pair<std::string_view, std::string_view>, 27> told{{
    {"length", "'"},
    {"length", "′"},
    {"length", "″"},
    {"angle", "'"},
    {"angle", "''"},
    {"angle", "\""},
    {"angle", "minute"},
    {"angle", "minutes"},
    {"angle", "second"},
    {"angle", "seconds"},
    {"time", "minute"},
    {"time", "minutes"},
    {"time", "second"},
    {"time", "seconds"},
    {"force", "lb"},
    {"force", "lbs"},
    {"force", "pound"},
    {"force", "pounds"},
    {"force", "kg"},
    {"temperature difference", "°C"},
    {"temperature difference", "C"},
    {"temperature difference", "degC"},
    {"temperature difference", "deg C"},
    {"temperature difference", "°F"},
    {"temperature difference", "F"},
    {"temperature difference", "degF"},
    {"temperature difference", "deg F"},
}};

constexpr std::string_view two_hundredths = "can be of a millimetre or of an inch; write mm or in";
constexpr std::string_view two_ounces = "is 'US fl oz' or 'imp fl oz'; write which";
constexpr std::array<Refused, 9> refused{{
    {"hundredths", two_hundredths},
    {"hundredth", two_hundredths},
    {"fl oz", two_ounces},
    {"floz", two_ounces},
    {"oz fl", two_ounces},
    {"fluid ounce", two_ounces},
    {"fluid ounces", two_ounces},
    {"gr", "can be grams or grains; write g or grain"},
    {"ccm", "can be cm³ or cc/min; write which"},
}};

std::vector<std::string> apart(std::string_view aliases)
{
    std::vector<std::string> all;
    while (!aliases.empty()) {
        const auto end = std::min(aliases.find('|'), aliases.size());
        all.emplace_back(aliases.substr(0, end));
        aliases.remove_prefix(std::min(end + 1, aliases.size()));
    }
    return all;
}

std::vector<Unit> made_table()
{
    std::vector<Unit> all;
    for (const auto& dimension : dimensions) {
        const auto first = all.end() - all.begin();
        const long double scale = dimension.name == std::string_view("stress") ? 1000 : 1;
        for (const auto& row : dimension.rows) {
            all.push_back({.symbol = row.symbol,
                           .dimension = dimension.name,
                           .factor = static_cast<double>(row.factor / scale),
                           .offset = row.offset,
                           .exact = row.is_exact,
                           .aliases = apart(row.aliases),
                           .source = row.source});
        }
        const auto canonical = std::find_if(all.begin() + first, all.end(), [](const Unit& each) {
            return each.factor == 1 && each.offset == 0;
        });
        std::rotate(all.begin() + first, canonical, canonical + 1);
    }
    return all;
}

}  // namespace

std::span<const Unit> table()
{
    static const std::vector<Unit> made = made_table();
    return made;
}

bool only_when_told(std::string_view dimension, std::string_view spelling)
{
    return std::find(told.begin(), told.end(), std::pair(dimension, spelling)) != told.end();
}

std::span<const Refused> refused_spellings() { return refused; }

}  // namespace enginewright::units
