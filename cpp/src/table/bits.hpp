#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "enginewright/table/column.hpp"

/// Bits and bytes of columns: counting validity, checking UTF-8. No engine in here.
namespace enginewright::table {

/// How many of the first `rows` rows are present.
std::size_t count_bits(Validity valid, std::size_t rows);

/// Whether bytes are well-formed UTF-8: no overlong forms, no surrogates, nothing past U+10FFFF.
///
/// Source: RFC 3629, section 4.
bool is_utf8(std::string_view bytes);

}  // namespace enginewright::table
