#pragma once

#include <string>

#include "enginewright/table/limits.hpp"
#include "table/figures.hpp"

/// The engine card: what may be written on it, and what the checks read off it.
namespace enginewright::table {

/// A card from what was written; every fault goes to the place.
EngineCard card_from(const Place& place, const Json& written);

/// Every key of the card with its figures as numbers in canonical units; faults as above.
Json figures_of_card(const Place& place, const Json& written);

}  // namespace enginewright::table
