// Quantities as the job file keeps them.
#include <cstdint>
#include <stdexcept>
#include <string_view>

#include "enginewright/measure.hpp"
#include "enginewright/measure/quantity_text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    namespace measure = enginewright::measure;
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        // A list of sources of its own: the shared one never forgets.
        measure::Sources sources;
        measure::Document document;
        static_cast<void>(measure::quantity_from_json(text, document, sources));
    } catch (const std::invalid_argument&) {
    }
    return 0;
}
