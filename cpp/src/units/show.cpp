#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "enginewright/units.hpp"
#include "units/dimension.hpp"

/// Figures for people: the metric one and the other, each with the decimals of its dimension.
namespace enginewright::units {

namespace {

/// Decimals of the metric figure, then unit and decimals of the other; "" when there is none.
struct Layout {
    std::string_view dimension;
    int metric;
    std::string_view other = "";
    int decimals = 0;
};
constexpr std::array<Layout, 19> layouts{{
    {"length", 3, "in", 4},
    {"area", 1, "in²", 4},
    {"volume", 2, "in³", 3},
    {"mass", 1, "oz", 2},
    {"unbalance", 0, "oz·in", 3},
    {"force", 0, "lbf", 1},
    {"stiffness", 1, "lbf/in", 1},
    {"stress", 1, "psi", 0},
    {"gas pressure", 2, "inH2O", 1},
    {"temperature", 1, "°F", 0},
    {"temperature difference", 1, "Δ°F", 0},
    {"torque", 1, "lbf·ft", 1},
    {"flow", 1, "cfm", 2},
    {"angle", 2},
    {"speed", 0},
    {"time", 1},
    {"expansion", 7},
    {"density", 3},
    {"number", 3},
}};

Layout layout_of(double value, std::string_view dimension)
{
    auto layout = *std::find_if(layouts.begin(), layouts.end(),
                                [&](const Layout& each) { return each.dimension == dimension; });
    if (dimension == "length" && std::abs(value) < 1) {
        layout.other = "thou";
        layout.decimals = 1;
    }
    return layout;
}

std::string figure(double value, int decimals, std::string_view symbol)
{
    std::string text = fixed_text(value, decimals);
    if (symbol != "1") {
        text.append(symbol == "°" ? "" : " ").append(symbol);
    }
    return text;
}

}  // namespace

std::string show(double value, std::string_view dimension, System system, std::optional<int> digits)
{
    require_dimension(dimension);
    require_finite("value", value);
    if (digits) {
        require_between("digits", *digits, 0, 17);
    }
    const auto layout = layout_of(value, dimension);
    const std::string metric = figure(value, digits.value_or(layout.metric), canonical(dimension));
    if (layout.other.empty() || system == System::metric) {
        return metric;
    }
    const double other = convert(value, canonical(dimension), layout.other, dimension);
    const std::string second = figure(other, layout.decimals, layout.other);
    return system == System::inch ? second : metric + " (" + second + ")";
}

}  // namespace enginewright::units
