// Headings of columns: a unit that is found is one that the library knows.
#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string_view>

#include "enginewright/units.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const auto header = enginewright::units::header(text);
        if (header.unit && enginewright::units::unit(*header.unit).symbol.empty()) {
            std::abort();
        }
    } catch (const std::invalid_argument&) {
    }
    return 0;
}
