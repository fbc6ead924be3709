// Number text with its unit: whatever is written, a finite number or a refusal comes out.
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string_view>

#include "enginewright/units.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const auto amount = enginewright::units::parse(text);
        if (!std::isfinite(amount.value) || amount.unit.empty()) {
            std::abort();
        }
    } catch (const std::invalid_argument&) {
    }
    return 0;
}
