#pragma once

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <deque>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/arrow.hpp"

/// A stream of the Arrow interface made from bytes: what another library might hand over.
///
/// Memory is what the interface says it must be, to the byte, since nobody could check that;
/// formats, counts, offsets, codes, text and validity are whatever the bytes say.
namespace enginewright::fuzzing {

using arrow::ArrowArray;
using arrow::ArrowArrayStream;
using arrow::ArrowSchema;

/// Bytes as choices; zeros when they have run out.
class Dice {
  public:
    explicit Dice(std::string_view bytes) : left_(bytes) {}

    std::uint8_t byte()
    {
        if (left_.empty()) {
            return 0;
        }
        const char first = left_.front();
        left_.remove_prefix(1);
        return static_cast<std::uint8_t>(first);
    }

    std::size_t below(std::size_t sides) { return byte() % sides; }

    /// Mostly small, at times anything.
    std::int64_t whole()
    {
        const auto first = byte();
        if (first != 255) {
            return static_cast<std::int64_t>(first % 16) - 2;
        }
        std::int64_t any = 0;
        for (int i = 0; i < 8; ++i) {
            any = static_cast<std::int64_t>((static_cast<std::uint64_t>(any) << 8U) | byte());
        }
        return any;
    }

    std::string text(std::size_t length)
    {
        std::string taken(left_.substr(0, length));
        left_.remove_prefix(taken.size());
        taken.resize(length);
        return taken;
    }

  private:
    std::string_view left_;
};

/// Everything that the structs point at, until the last of them is released.
class ArrowRoom {
  public:
    explicit ArrowRoom(std::string_view bytes) : dice_(bytes) {}

    void open(ArrowArrayStream& stream);

    /// Streams, schemas and batches handed out and not yet released.
    int held = 0;

  private:
    struct Plan {
        std::string name{};
        std::string format{};
        std::shared_ptr<Plan> dictionary{};
    };

    Plan plan_of(bool inner);
    ArrowSchema* schema_of(const Plan& plan);
    ArrowArray* array_of(const Plan& plan, std::int64_t length);
    void fill_values(const Plan& plan, ArrowArray& array, std::vector<const void*>& buffers);
    void fill_views(std::size_t rows, std::vector<const void*>& buffers);
    template <class Offset>
    const void* offsets(std::size_t rows, std::size_t size);
    const void* memory(const std::string& bytes);

    static int get_schema(ArrowArrayStream* stream, ArrowSchema* out);
    static int get_next(ArrowArrayStream* stream, ArrowArray* out);

    Dice dice_;
    std::vector<Plan> plans_{};
    std::size_t batches_ = 0;
    std::string metadata_{};
    std::deque<std::unique_ptr<char[]>> memory_{};
    std::deque<Plan> named_{};
    std::deque<ArrowSchema> schemas_{};
    std::deque<ArrowArray> arrays_{};
    std::deque<std::vector<const void*>> buffers_{};
    std::deque<std::vector<ArrowSchema*>> schema_pointers_{};
    std::deque<std::vector<ArrowArray*>> array_pointers_{};
};

}  // namespace enginewright::fuzzing
