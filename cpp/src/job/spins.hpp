#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/balance/influence.hpp"
#include "job/inspector.hpp"
#include "job/rotor_card.hpp"

/// Spins as a shop writes them, and the vectors that they are.
namespace enginewright::job {

inline constexpr std::array<std::string_view, 2> plane_words{"left plane", "right plane"};

/// What was read in one plane: rows of the inspector, `no_row` where nothing was written.
struct PlaneRows {
    std::size_t length = no_row;  ///< amount, or amplitude of a vibration meter
    std::size_t phase = no_row;

    bool whole() const { return length != no_row && phase != no_row; }
    bool empty() const { return length == no_row && phase == no_row; }
};

/// A known mass that was on the rotor during a spin.
struct TrialRows {
    std::size_t mass = no_row, radius = no_row, phase = no_row;

    bool whole() const { return mass != no_row && radius != no_row && phase != no_row; }
    bool empty() const { return mass == no_row && radius == no_row && phase == no_row; }
};

struct Spin {
    std::int32_t repeat = no_number;
    std::array<PlaneRows, 2> plane{};
    std::array<TrialRows, 2> trial{};
    std::size_t speed = no_row;
    bool vibration = false;

    bool loaded() const { return !trial[0].empty() || !trial[1].empty(); }
};

/// All spins of one stage.
///
/// A stage whose word ends in "corrected" is the part of that name once more, after work on it;
/// "finished" is the whole assembly as it goes out.
struct StageSpins {
    std::int32_t stage = -1;
    std::string name{}, part{};
    bool corrected = false, finished = false;
    std::vector<Spin> spins{};
    std::vector<std::size_t> rows{};

    Spin& spin(std::int32_t repeat);
};

/// The part that a stage's word names, and whether it says that work was done on it.
void read_stage_word(StageSpins& stage);

/// What one stage comes to. Not `known`: `fault` says why, `next` what settles it.
struct State {
    bool known = false;
    std::vector<balance::Vector> found{};  ///< measuring planes, g mm
    std::vector<double> doubt{};           ///< standard, per axis
    std::vector<double> scatter{};         ///< of one spin, per axis; empty: a single one
    int count = 0;
    bool unsteady = false;
    std::vector<std::string> notes{};
    std::string fault{}, next{};
};

/// One rotor under inspection: what was written, what it comes to, and the record of it.
struct SpunRotor {
    std::int32_t number = no_number;
    const RotorCard& card;
    std::vector<StageSpins> stages{};
    std::vector<State> states{};  ///< one a stage
    Assembly assembly{};          ///< its stages in the same order
};

/// How a vibration meter answers to masses, and at which stage that was found out.
struct KnownInfluence {
    balance::Influence influence{};
    std::string stage{};
};

/// Works out the vectors of one stage.
///
/// influence  of an earlier stage; that of this stage takes its place
State state_of(const StageSpins& stage, const std::vector<Row>& rows, const RotorCard& card,
               std::optional<KnownInfluence>& influence);

/// The tolerance of an assembly or of a part, and the limits that set it.
struct Inspector::Allowed {
    std::optional<std::vector<double>> tolerance{};
    std::array<std::int32_t, 2> limit{-1, -1};

    /// Takes one plane's figure after the other.
    void put(std::size_t plane, double figure, std::int32_t row)
    {
        if (plane == 0) {
            tolerance = std::vector<double>{figure};
        } else if (tolerance && tolerance->size() == plane) {
            tolerance->push_back(figure);
        }
        limit[plane] = row;
    }
};

}  // namespace enginewright::job
