#include "numerics/large_memory.hpp"

#ifdef __linux__
#include <sys/mman.h>

#include <cstddef>
#include <cstdint>
#endif

namespace enginewright::numerics {

#ifdef __linux__
void expect_filling(void* memory, std::size_t bytes)
{
    constexpr std::uintptr_t large = std::uintptr_t{1} << 21U;
    const auto begin = reinterpret_cast<std::uintptr_t>(memory);
    const auto first = (begin + large - 1) & ~(large - 1);
    const auto last = (begin + bytes) & ~(large - 1);
    if (last > first) {
        // The answer is of no use: without large pages everything works as before.
        (void)::madvise(static_cast<std::byte*>(memory) + (first - begin), last - first,
                        MADV_HUGEPAGE);
    }
}
#else
void expect_filling(void*, std::size_t) {}
#endif

}  // namespace enginewright::numerics
