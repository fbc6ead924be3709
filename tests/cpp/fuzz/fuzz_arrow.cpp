// Streams of the Arrow interface: readings that are taken are written and read back to the same,
// and all that was handed over is given back.
#include <cstdlib>
#include <optional>
#include <stdexcept>
#include <vector>

#include "arrow_dice.hpp"
#include "enginewright/table.hpp"

namespace {

namespace arrow = enginewright::arrow;
namespace table = enginewright::table;

void check_round_trip(const table::Table& read)
{
    arrow::ArrowArrayStream stream;
    table::write_stream(read, stream);
    if (!(table::read_stream(stream, table::readings_spec()) == read)) {
        std::abort();
    }
}

/// What is done with readings afterwards; each may refuse them.
void use(const table::Table& read)
{
    std::vector<std::int64_t> backwards;
    for (std::size_t row = read.rows(); row > 0; --row) {
        backwards.push_back(static_cast<std::int64_t>(row) - 1);
    }
    if (!(read.take(backwards).take(backwards) == read)) {
        std::abort();
    }
    try {
        static_cast<void>(table::in_canonical_units(read));
        static_cast<void>(table::number_repeats(read));
    } catch (const std::invalid_argument&) {
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    enginewright::fuzzing::ArrowRoom room({reinterpret_cast<const char*>(data), size});
    {
        std::optional<table::Table> read;
        arrow::ArrowArrayStream stream;
        room.open(stream);
        try {
            read = table::read_stream(stream, table::readings_spec());
        } catch (const std::invalid_argument&) {
        } catch (const std::runtime_error&) {
            // The other side broke off.
        }
        if (read) {
            check_round_trip(*read);
            use(*read);
        }
    }
    if (room.held != 0) {
        std::abort();
    }
    return 0;
}
