#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "enginewright/table.hpp"

/// Units of readings, looked up once for each pair of quantity and unit that really occurs.
namespace enginewright::table {

/// How figures of one quantity in one unit become canonical: (x + offset) * factor.
struct UnitPair {
    bool looked_up = false;
    bool suits = false;
    double factor = 1;
    double offset = 0;
    std::int32_t canonical = -1;  ///< code into `UnitPairs::canonical_units`
    std::string reason{};         ///< why it does not suit, without the row
};

class UnitPairs {
  public:
    UnitPairs(WordView quantities, WordView units);

    /// The pair of two codes; a code of -1 for the quantity takes the unit's own dimension.
    const UnitPair& of(std::int32_t quantity, std::int32_t unit)
    {
        auto& pair = pairs_[static_cast<std::size_t>(quantity + 1) * units_.words.size() +
                            static_cast<std::size_t>(unit)];
        if (!pair.looked_up) [[unlikely]] {
            look_up(pair, quantity, unit);
        }
        return pair;
    }

    /// Canonical units met so far, as the words of a column.
    std::shared_ptr<const WordList> canonical_units() { return encoder_.finish(); }

  private:
    void look_up(UnitPair& pair, std::int32_t quantity, std::int32_t unit);

    WordView quantities_;
    WordView units_;
    std::vector<UnitPair> pairs_;
    WordEncoder encoder_{};
};

/// Readings by reference, without any check.
ReadingsView unchecked_view(const Table& readings);

}  // namespace enginewright::table
