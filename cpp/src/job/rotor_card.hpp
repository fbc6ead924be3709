#pragma once

#include <optional>
#include <string>
#include <vector>

#include "enginewright/balance/plan.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/table.hpp"

/// What an engine card says about its rotor: how the machine counts, where metal may go.
namespace enginewright::job {

struct RotorCard {
    std::vector<double> planes{}, tolerance_planes{};  ///< z, mm; empty: not stated
    std::vector<double> tolerance{};                   ///< g mm, one a plane; empty: not stated
    std::optional<double> zero{};                      ///< what is shown at the mark, degrees
    std::optional<balance::Counted> counted{};
    balance::SeenFrom seen_from = balance::SeenFrom::front;
    balance::Spot spot = balance::Spot::heavy;
    double target = 0.5;
    int maximum_operations = 4;
    double wall = 2.0;
    std::vector<balance::Site> sites{};

    /// The keys without which no angle can be read: "rotor.zero and rotor.counted"; empty: none.
    std::string missing() const;

    /// What a machine shows, as an angle on the rotor, degrees.
    double angle(double shown) const;
};

/// Reads a card; null is a card that states nothing.
RotorCard rotor_card(const table::EngineCard* card);

}  // namespace enginewright::job
