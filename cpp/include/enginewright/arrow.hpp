#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// The Arrow stream: how columns pass between libraries in one process without a copy.
///
/// The three structs below are the whole of the published C interface, declared from its
/// specification; no Arrow library is needed. Who fills in a struct also sets its `release`; who
/// takes it over calls `release` exactly once, and a null `release` says that it is done. The
/// classes here keep that rule, also when something is refused half way.
///
/// Source: Apache Arrow, "The Arrow C data interface" and "The Arrow C stream interface".
namespace enginewright::arrow {

inline constexpr std::int64_t flag_dictionary_ordered = 1;
inline constexpr std::int64_t flag_nullable = 2;

/// Type, name and metadata of a column; children for a table, `dictionary` for encoded words.
struct ArrowSchema {
    const char* format = nullptr;
    const char* name = nullptr;
    const char* metadata = nullptr;
    std::int64_t flags = 0;
    std::int64_t n_children = 0;
    ArrowSchema** children = nullptr;
    ArrowSchema* dictionary = nullptr;
    void (*release)(ArrowSchema*) = nullptr;
    void* private_data = nullptr;
};

/// Values of a column: validity bits first, then what the type asks for.
struct ArrowArray {
    std::int64_t length = 0;
    std::int64_t null_count = 0;
    std::int64_t offset = 0;
    std::int64_t n_buffers = 0;
    std::int64_t n_children = 0;
    const void** buffers = nullptr;
    ArrowArray** children = nullptr;
    ArrowArray* dictionary = nullptr;
    void (*release)(ArrowArray*) = nullptr;
    void* private_data = nullptr;
};

/// A table as a sequence of batches that share one schema.
struct ArrowArrayStream {
    int (*get_schema)(ArrowArrayStream*, ArrowSchema*) = nullptr;
    int (*get_next)(ArrowArrayStream*, ArrowArray*) = nullptr;
    const char* (*get_last_error)(ArrowArrayStream*) = nullptr;
    void (*release)(ArrowArrayStream*) = nullptr;
    void* private_data = nullptr;
};

/// Owns one of the structs; calls `release` once.
template <class Struct>
class Owned {
  public:
    Owned() = default;
    /// Takes over: the source is marked as released, as the specification asks.
    explicit Owned(Struct& source) : held_(source) { source.release = nullptr; }
    Owned(Owned&& other) noexcept : held_(other.held_) { other.held_.release = nullptr; }
    Owned& operator=(Owned&& other) noexcept
    {
        std::swap(held_, other.held_);
        return *this;
    }
    Owned(const Owned&) = delete;
    Owned& operator=(const Owned&) = delete;
    ~Owned()
    {
        if (held_.release != nullptr) {
            held_.release(&held_);
        }
    }
    Struct* get() { return &held_; }
    const Struct& operator*() const { return held_; }
    const Struct* operator->() const { return &held_; }
    bool done() const { return held_.release == nullptr; }

  private:
    Struct held_{};
};

using Schema = Owned<ArrowSchema>;
using Batch = Owned<ArrowArray>;

/// Reads a stream that somebody else fills.
class StreamReader {
  public:
    /// Takes the stream over, whatever happens next.
    ///
    /// Throws std::invalid_argument: a stream that was read before, or that has no schema.
    explicit StreamReader(ArrowArrayStream& stream);

    const ArrowSchema& schema() const { return *schema_; }

    /// The next batch; nothing at the end. A batch may outlive the reader.
    ///
    /// Throws std::runtime_error with the other side's message when it fails.
    std::shared_ptr<const Batch> next();

  private:
    [[noreturn]] void fail(const char* what, int code);

    Owned<ArrowArrayStream> stream_;
    Schema schema_{};
};

/// Key and value pairs of a schema's metadata; empty when there are none.
std::vector<std::pair<std::string, std::string>> metadata_of(const ArrowSchema& schema);

/// The metadata as the interface wants it: counts and lengths as int32 of this machine.
std::string metadata_bytes(const std::vector<std::pair<std::string, std::string>>& pairs);

/// A type in words, for refusals: "float64", "list", "dictionary of utf8".
std::string type_name(const ArrowSchema& schema);

/// Whether every row of an array is present; a count of nulls that is not known is counted.
std::int64_t null_count(const ArrowArray& array);

}  // namespace enginewright::arrow
