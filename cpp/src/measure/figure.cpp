#include "measure/figure.hpp"

#include <algorithm>
#include <cmath>

#include "enginewright/check.hpp"

namespace enginewright::measure {

std::string figure(double value, std::string_view unit)
{
    const double size = std::abs(value);
    if (unit == "mm") {
        if (size >= 0.9995) {
            return fixed_text(size, 3) + " mm";
        }
        const double micrometres = size * 1000;
        return fixed_text(micrometres, micrometres > 0 && micrometres < 0.095 ? 3 : 1) + " µm";
    }
    const double digits = size > 0 ? 2 - std::floor(std::log10(size)) : 0;
    std::string text = fixed_text(size, static_cast<int>(std::clamp(digits, 0.0, 15.0)));
    return unit.empty() ? text : text.append(" ").append(unit);
}

}  // namespace enginewright::measure
