#include "units_table.hpp"

#include <algorithm>
#include <array>
#include <unordered_map>

/// The table of units. Factors are built from the exact definitions, never typed in rounded.
namespace enginewright::units {

namespace {

constexpr double inch = 25.4;                             // mm, exact
constexpr double pound = 453.59237;                       // g, exact
constexpr double gravity = 9.80665;                       // m/s², exact
constexpr double foot = 12 * inch;                        // mm
constexpr double pound_force = pound / 1000 * gravity;    // N
constexpr double psi = pound_force / (inch * inch);       // MPa
constexpr double cubic_inch = inch * inch * inch / 1000;  // cc
constexpr double cubic_foot = foot * foot * foot / 1e6;   // L
constexpr double half_turn = 180.0 / 3.14159265358979323846;

constexpr const char* sp811 = "NIST SP 811 (2008), appendix B: exact definitions";
constexpr const char* conventional = "NIST SP 811 (2008), appendix B.8: conventional value";
constexpr const char* trade = "trade usage, from the exact definition of the inch";

Unit row(const char* symbol, const char* dimension, double factor,
         std::vector<std::string> aliases = {}, const char* source = sp811, double offset = 0,
         bool exact = true)
{
    return {.symbol = symbol,
            .dimension = dimension,
            .factor = factor,
            .offset = offset,
            .exact = exact,
            .aliases = std::move(aliases),
            .source = source};
}

void add_geometry(std::vector<Unit>& all)
{
    all.push_back(row("mm", "length", 1, {"millimetre", "millimetres"}));
    all.push_back(row("cm", "length", 10));
    all.push_back(row("m", "length", 1000, {"metre", "metres"}));
    all.push_back(row("µm", "length", 0.001, {"um", "micron", "microns"}));
    all.push_back(row("in", "length", inch, {"inch", "inches", "\""}));
    all.push_back(row("ft", "length", foot, {"foot", "feet"}));
    all.push_back(row("thou", "length", inch / 1000, {"mil", "mils"}, trade));
    all.push_back(row("tenths", "length", inch / 10000, {"tenth"}, trade));
    all.push_back(row("µin", "length", inch / 1e6, {"uin", "microinch"}));
    all.push_back(row("mm²", "area", 1, {"mm2", "sq mm"}));
    all.push_back(row("cm²", "area", 100, {"cm2", "sq cm"}));
    all.push_back(row("in²", "area", inch * inch, {"in2", "sq in"}));
    all.push_back(row("cc", "volume", 1, {"cm³", "cm3", "ml", "ccm"}));
    all.push_back(row("mm³", "volume", 0.001, {"mm3"}));
    all.push_back(row("L", "volume", 1000, {"litre", "litres"}));
    all.push_back(row("in³", "volume", cubic_inch, {"in3", "cu in"}));
    all.push_back(row("US fl oz", "volume", 29.5735295625));
    all.push_back(row("imp fl oz", "volume", 28.4130625));
}

void add_mass_and_force(std::vector<Unit>& all)
{
    all.push_back(row("g", "mass", 1, {"gram", "grams", "gm"}));
    all.push_back(row("kg", "mass", 1000));
    all.push_back(row("mg", "mass", 0.001));
    all.push_back(row("oz", "mass", pound / 16, {"ounce", "ounces"}));
    all.push_back(row("lb", "mass", pound, {"lbs", "pound", "pounds"}));
    all.push_back(row("grain", "mass", pound / 7000, {"grains", "gr"}));
    all.push_back(row("g·mm", "unbalance", 1));
    all.push_back(row("g·cm", "unbalance", 10));
    all.push_back(row("kg·mm", "unbalance", 1000));
    all.push_back(row("g·in", "unbalance", inch));
    all.push_back(row("oz·in", "unbalance", pound / 16 * inch));
    all.push_back(row("N", "force", 1, {"newton", "newtons"}));
    all.push_back(row("kN", "force", 1000));
    all.push_back(row("lbf", "force", pound_force, {"lb", "lbs"}));
    all.push_back(row("kgf", "force", gravity, {"kp", "kg"}));
    all.push_back(row("N/mm", "stiffness", 1));
    all.push_back(row("N/m", "stiffness", 0.001));
    all.push_back(row("kN/m", "stiffness", 1));
    all.push_back(row("lbf/in", "stiffness", pound_force / inch, {"lb/in", "lbs/in"}));
    all.push_back(row("kgf/mm", "stiffness", gravity, {"kg/mm"}));
    all.push_back(row("N·m", "torque", 1));
    all.push_back(row("lbf·ft", "torque", pound_force * foot / 1000, {"ft·lb", "lb·ft", "ft·lbf"}));
    all.push_back(row("lbf·in", "torque", pound_force * inch / 1000, {"in·lb", "lb·in", "in·lbf"}));
    all.push_back(row("kgf·m", "torque", gravity, {"kg·m", "m·kg", "kgm", "mkg"}));
    all.push_back(row("kgf·cm", "torque", gravity / 100, {"kg·cm"}));
    all.push_back(row("N·mm", "torque", 0.001));
}

void add_pressure(std::vector<Unit>& all, const char* dimension, double from_kilopascal)
{
    const auto put = [&](const char* symbol, double kilopascal,
                         std::vector<std::string> aliases = {}, const char* source = sp811,
                         bool exact = true) {
        all.push_back(row(symbol, dimension, kilopascal * from_kilopascal, std::move(aliases),
                          source, 0, exact));
    };
    const bool stress = from_kilopascal != 1;
    if (stress) {
        all.push_back(row("MPa", dimension, 1, {"N/mm²", "N/mm2"}));
        all.push_back(row("kPa", dimension, 0.001));
        all.push_back(row("bar", dimension, 0.1));
        all.push_back(row("mbar", dimension, 1e-4));
    } else {
        put("kPa", 1);
        put("MPa", 1000, {"N/mm²", "N/mm2"});
        put("bar", 100);
        put("mbar", 0.1);
    }
    put("Pa", 0.001);
    put("GPa", 1e6);
    put("psi", psi * 1000, {"lb/in²", "lb/in2", "lbf/in²", "lbf/in2"});
    put("ksi", psi * 1e6);
    put("kgf/cm²", gravity * 10, {"kg/cm²", "kg/cm2", "kgf/cm2"});
    put("atm", 101.325);
    put("inH2O", inch * gravity / 1000, {"inH₂O", "in H2O", "inwg", "inches of water"},
        conventional, false);
    put("mmH2O", gravity / 1000, {"mmH₂O", "mm H2O", "mmwg"}, conventional, false);
    put("inHg", 3.386389, {"in Hg"}, conventional, false);
    put("mmHg", 0.1333224, {"mm Hg"}, conventional, false);
}

void add_the_rest(std::vector<Unit>& all)
{
    all.push_back(row("°C", "temperature", 1, {"C", "degC", "deg C", "celsius"}));
    all.push_back(
        row("°F", "temperature", 5.0 / 9, {"F", "degF", "deg F", "fahrenheit"}, sp811, -32));
    all.push_back(row("K", "temperature", 1, {"kelvin"}, sp811, -273.15));
    all.push_back(row("K", "temperature difference", 1, {"kelvin"}));
    all.push_back(row("Δ°C", "temperature difference", 1, {"°C", "C"}));
    all.push_back(row("Δ°F", "temperature difference", 5.0 / 9, {"°F", "F"}));
    all.push_back(row("°", "angle", 1, {"deg", "degree", "degrees"}));
    all.push_back(row("′", "angle", 1.0 / 60, {"arcmin", "'"}));
    all.push_back(row("″", "angle", 1.0 / 3600, {"arcsec"}));
    all.push_back(row("rad", "angle", half_turn, {}, sp811, 0, false));
    all.push_back(row("rev", "angle", 360, {"turn", "turns"}));
    all.push_back(row("rpm", "speed", 1, {"rev/min", "1/min"}));
    all.push_back(row("Hz", "speed", 60));
    all.push_back(row("rad/s", "speed", half_turn / 6, {}, sp811, 0, false));
    all.push_back(row("L/min", "flow", 1, {"l/m"}));
    all.push_back(row("L/s", "flow", 60));
    all.push_back(row("m³/h", "flow", 1000.0 / 60, {"m3/h"}));
    all.push_back(row("cfm", "flow", cubic_foot, {"ft³/min", "ft3/min"}));
    all.push_back(row("cc/min", "flow", 0.001, {"cm³/min", "ml/min"}));
    all.push_back(row("s", "time", 1, {"sec", "second", "seconds"}));
    all.push_back(row("min", "time", 60, {"minute", "minutes"}));
    all.push_back(row("h", "time", 3600, {"hour", "hours"}));
    all.push_back(row("1/K", "expansion", 1, {"1/°C"}));
    all.push_back(row("µm/(m·K)", "expansion", 1e-6, {"ppm/K", "um/(m·K)"}));
    all.push_back(row("1/°F", "expansion", 1.8));
    all.push_back(row("µin/(in·°F)", "expansion", 1.8e-6, {"uin/(in·°F)"}));
    all.push_back(row("g/cm³", "density", 1, {"g/cm3", "g/cc"}));
    all.push_back(row("kg/m³", "density", 0.001, {"kg/m3"}));
    all.push_back(row("lb/in³", "density", pound / (inch * inch * inch / 1000), {"lb/in3"}));
    all.push_back(row("1", "number", 1));
    all.push_back(row("%", "number", 0.01, {"percent"}));
}

std::vector<Unit> make_table()
{
    std::vector<Unit> all;
    add_geometry(all);
    add_mass_and_force(all);
    add_pressure(all, "stress", 0.001);
    add_pressure(all, "gas pressure", 1);
    add_the_rest(all);
    return all;
}

using Index = std::unordered_map<std::string, std::vector<std::pair<std::size_t, std::string>>>;

/// Units by the key of their spellings, each with the spelling as listed.
const Index& index()
{
    static const Index made = [] {
        Index all;
        const auto units = table();
        for (std::size_t i = 0; i < units.size(); ++i) {
            const auto put = [&](const std::string& spelling) {
                auto& list = all[spelling_key(spelling)];
                if (std::none_of(list.begin(), list.end(),
                                 [&](const auto& each) { return each.first == i; })) {
                    list.emplace_back(i, spelling);
                }
            };
            put(units[i].symbol);
            for (const auto& alias : units[i].aliases) {
                put(alias);
            }
        }
        return all;
    }();
    return made;
}

constexpr std::array<std::string_view, 10> prefixed{"mm",   "mm²", "mm³",   "mg",   "ml",
                                                    "mbar", "MPa", "mmH2O", "mmHg", "mm2"};

bool all_capitals(std::string_view text)
{
    return std::none_of(text.begin(), text.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

}  // namespace

std::span<const Unit> table()
{
    static const std::vector<Unit> made = make_table();
    return made;
}

std::string spelling_key(std::string_view spelling)
{
    std::string key;
    for (std::size_t i = 0; i < spelling.size(); ++i) {
        const auto rest = spelling.substr(i);
        const auto instead = [&](std::string_view from, std::string_view to) {
            if (!rest.starts_with(from)) {
                return false;
            }
            key += to;
            i += from.size() - 1;
            return true;
        };
        if (instead("²", "2") || instead("³", "3") || instead("₂", "2") || instead("μ", "µ") ||
            instead("º", "°") || instead("·", "") || instead("⋅", "") || instead("×", "") ||
            instead("\u00A0", "") || instead("\u202F", "") || instead("’", "'") ||
            instead("”", "\"") || instead("∆", "Δ")) {
            continue;
        }
        const char c = spelling[i];
        if (c == ' ' || c == '*' || c == '.' || c == '-' || c == '^' || c == '(' || c == ')') {
            continue;
        }
        key += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    return key;
}

const Unit* find_unit(std::string_view spelling, std::optional<std::string_view> dimension)
{
    const auto found = index().find(spelling_key(spelling));
    if (found == index().end()) {
        return nullptr;
    }
    const bool capitals = all_capitals(spelling);
    for (const auto& [at, listed] : found->second) {
        const auto& each = table()[at];
        if (dimension && each.dimension != *dimension) {
            continue;
        }
        const bool prefix = std::find(prefixed.begin(), prefixed.end(), listed) != prefixed.end();
        if (prefix && !capitals && spelling.front() != listed.front()) {
            continue;
        }
        if (each.symbol == "N·m" && spelling.starts_with('n') && dimension != "torque") {
            continue;
        }
        return &each;
    }
    return nullptr;
}

std::vector<std::string> near_spellings(std::string_view spelling)
{
    const auto wanted = spelling_key(spelling);
    std::vector<std::pair<std::size_t, std::string>> scored;
    for (const auto& [key, list] : index()) {
        // Levenshtein distance, one row of the table at a time.
        std::vector<std::size_t> line(key.size() + 1);
        for (std::size_t j = 0; j <= key.size(); ++j) {
            line[j] = j;
        }
        for (std::size_t i = 1; i <= wanted.size(); ++i) {
            std::size_t diagonal = line[0];
            line[0] = i;
            for (std::size_t j = 1; j <= key.size(); ++j) {
                const std::size_t above = line[j];
                line[j] = std::min({line[j] + 1, line[j - 1] + 1,
                                    diagonal + (wanted[i - 1] == key[j - 1] ? 0U : 1U)});
                diagonal = above;
            }
        }
        if (line.back() <= (wanted.size() > 2 ? 2U : 1U)) {
            scored.emplace_back(line.back(), table()[list.front().first].symbol);
        }
    }
    std::sort(scored.begin(), scored.end());
    std::vector<std::string> near;
    for (const auto& [distance, symbol] : scored) {
        if (near.size() < 3 && std::find(near.begin(), near.end(), symbol) == near.end()) {
            near.push_back(symbol);
        }
    }
    return near;
}

}  // namespace enginewright::units
