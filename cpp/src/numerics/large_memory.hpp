#pragma once

#include <cstddef>
#include <vector>

/// Memory for columns of millions of rows.
namespace enginewright::numerics {

/// Tells the system that a stretch of memory will be filled from end to end, so that it may come
/// in large pages: a fresh page costs more than the figures that are written into it. A hint only:
/// where the system knows no large pages, or the stretch is short, nothing happens.
void expect_filling(void* memory, std::size_t bytes);

/// Room for so many values, as memory that will be filled.
template <class T>
void make_room(std::vector<T>& values, std::size_t room)
{
    if (room > values.capacity()) {
        values.reserve(room);
        expect_filling(values.data(), room * sizeof(T));
    }
}

}  // namespace enginewright::numerics
