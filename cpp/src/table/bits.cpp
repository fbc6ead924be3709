#include "table/bits.hpp"

#include <bit>
#include <cstring>

namespace enginewright::table {

std::size_t count_bits(Validity valid, std::size_t rows)
{
    if (valid.bits == nullptr) {
        return rows;
    }
    std::size_t count = 0;
    std::size_t row = 0;
    const auto at = [&](std::size_t i) { return static_cast<std::size_t>(valid.offset) + i; };
    for (; row < rows && (at(row) & 7U) != 0; ++row) {
        count += valid.present(row) ? 1U : 0U;
    }
    for (; row + 64 <= rows; row += 64) {
        std::uint64_t block = 0;
        std::memcpy(&block, valid.bits + (at(row) >> 3U), sizeof block);
        count += static_cast<std::size_t>(std::popcount(block));
    }
    for (; row < rows; ++row) {
        count += valid.present(row) ? 1U : 0U;
    }
    return count;
}

namespace {

/// Length of the well-formed sequence at the start of `bytes`; 0 when there is none.
std::size_t sequence(std::string_view bytes)
{
    const auto byte = [&](std::size_t i) {
        return i < bytes.size() ? static_cast<unsigned char>(bytes[i])
                                : static_cast<unsigned char>(0);
    };
    const auto tail = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
    const auto lead = byte(0);
    if (lead < 0x80U) {
        return 1;
    }
    if (lead >= 0xC2U && lead <= 0xDFU) {
        return tail(1) ? 2 : 0;
    }
    if (lead >= 0xE0U && lead <= 0xEFU) {
        const unsigned least = lead == 0xE0U ? 0xA0U : 0x80U;
        const unsigned greatest = lead == 0xEDU ? 0x9FU : 0xBFU;
        return byte(1) >= least && byte(1) <= greatest && tail(2) ? 3 : 0;
    }
    if (lead >= 0xF0U && lead <= 0xF4U) {
        const unsigned least = lead == 0xF0U ? 0x90U : 0x80U;
        const unsigned greatest = lead == 0xF4U ? 0x8FU : 0xBFU;
        return byte(1) >= least && byte(1) <= greatest && tail(2) && tail(3) ? 4 : 0;
    }
    return 0;
}

}  // namespace

bool is_utf8(std::string_view bytes)
{
    std::size_t at = 0;
    while (at < bytes.size()) {
        std::uint64_t block = 0;
        if (at + sizeof block <= bytes.size()) {
            std::memcpy(&block, bytes.data() + at, sizeof block);
            if ((block & 0x8080808080808080U) == 0) {
                at += sizeof block;
                continue;
            }
        }
        const auto length = sequence(bytes.substr(at));
        if (length == 0) {
            return false;
        }
        at += length;
    }
    return true;
}

}  // namespace enginewright::table
