// The file of limits: what is understood is written and read back to the same.
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <stdexcept>
#include <string_view>

#include "enginewright/table.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    namespace table = enginewright::table;
    std::optional<table::Limits> read;
    try {
        read = table::limits_from_json({reinterpret_cast<const char*>(data), size});
    } catch (const std::invalid_argument&) {
        return 0;
    }
    const auto written = table::limits_to_json(*read);
    if (table::limits_to_json(table::limits_from_json(written)) != written) {
        std::abort();
    }
    return 0;
}
