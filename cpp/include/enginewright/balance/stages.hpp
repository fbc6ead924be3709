#pragma once

#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Staged assembly: pulley, flywheel and clutch are bolted on in turn, and each pays for itself.
namespace enginewright::balance {

/// The rotor after one more part was bolted on.
///
/// name         of the part: "bare crank", "pulley", ...
/// found        as read with the part on, one vector for each of two planes, g mm
/// left         after a correction at this stage; None: left as found
/// uncertainty  standard, per axis, of the reading, g mm, at least 0
/// tolerance    of the part alone, one for both or one for each plane, g mm; None: none is set
/// removable    whether the part can be changed later without balancing again
///
/// >>> ew.balance.Stage("pulley", [30 + 0j, 5j], uncertainty=2, tolerance=20).name
/// 'pulley'
struct Stage {
    std::string name{};
    std::vector<Vector> found{};
    std::optional<std::vector<Vector>> left{};
    double uncertainty = 0;
    std::optional<std::vector<double>> tolerance{};
    bool removable = true;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &Stage::name, "part that was bolted on"},
            Field{"found", "g mm", &Stage::found, "as read with the part on"},
            Field{"left", "g mm", &Stage::left, "after a correction at this stage"},
            Field{"uncertainty", "g mm", &Stage::uncertainty, "standard, per axis"},
            Field{"tolerance", "g mm", &Stage::tolerance, "of the part alone, each plane"},
            Field{"removable", "", &Stage::removable, "whether it can be changed later"},
        };
    }
    bool operator==(const Stage&) const = default;
};
static_assert(lists_every_member<Stage>);

/// Refuses a stage that cannot be: no name, not two planes, a tolerance of 0.
///
/// Throws std::invalid_argument.
void require_stage(const Stage& stage);

/// What to do about a part.
enum class StageAdvice {
    accept,
    give_a_tolerance,
    measure_again,
    correct_rotor,
    correct_part,
    correct_assembly
};

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<6> words<balance::StageAdvice>{
    "advice",
    {"accept", "give a tolerance", "measure again", "correct rotor", "correct part",
     "correct assembly"}};
}  // namespace enginewright

namespace enginewright::balance {

/// What one part brought to the assembly.
struct StageFinding {
    std::string name{};
    std::vector<Vector> contribution{};
    std::vector<double> amount{};
    std::vector<double> angle{};
    double uncertainty = 0;
    std::vector<Standing> verdict{};
    Standing overall = Standing::unlimited;
    int worst_plane = 0;
    std::optional<std::vector<double>> ratio{};
    std::vector<Vector> found{};
    std::vector<Vector> left{};
    StageAdvice advice = StageAdvice::accept;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &StageFinding::name, "part that was bolted on"},
            Field{"contribution", "g mm", &StageFinding::contribution, "of the part alone"},
            Field{"amount", "g mm", &StageFinding::amount, "its length in each plane"},
            Field{"angle", "deg", &StageFinding::angle, "its heavy side in each plane"},
            Field{"uncertainty", "g mm", &StageFinding::uncertainty, "standard, per axis"},
            Field{"verdict", "", &StageFinding::verdict, "against the part's own tolerance"},
            Field{"overall", "", &StageFinding::overall, "of the part"},
            Field{"worst_plane", "", &StageFinding::worst_plane, "from 0"},
            Field{"ratio", "", &StageFinding::ratio, "amount over tolerance"},
            Field{"found", "g mm", &StageFinding::found, "the assembly as read"},
            Field{"left", "g mm", &StageFinding::left, "the assembly after this stage"},
            Field{"advice", "", &StageFinding::advice, "accept, or where to correct"},
            Field{"reason", "", &StageFinding::reason, "the figures behind it"},
            Field{"next", "", &StageFinding::next, "what to do next"},
        };
    }
    bool operator==(const StageFinding&) const = default;
};
static_assert(lists_every_member<StageFinding>);

/// Finds out which part of an assembly is to blame.
///
/// A part's contribution is what the reading became less what the stage before left behind:
///
///     contribution_k = found_k - left_(k-1),  uncertainty = sqrt(u_k² + u_(k-1)²)
///
/// judged as `residual_verdict` against the part's own tolerance. A pulley drilled true can be
/// swapped for another; a crank drilled to suit a bad pulley cannot. So outside is "correct rotor"
/// for the first stage, "correct part" for a removable one, else "correct assembly".
///
/// stages  in the order of assembly, at least one
/// level   probability asked for, above 0.5 and below 1
///
/// Throws std::invalid_argument.
///
/// >>> crank = ew.balance.Stage("bare crank", [5, 4j], tolerance=40)
/// >>> pulley = ew.balance.Stage("pulley", [85, 4j], tolerance=40)
/// >>> [finding.advice for finding in ew.balance.staged_assembly([crank, pulley])]
/// ['accept', 'correct part']
std::vector<StageFinding> staged_assembly(const std::vector<Stage>& stages, double level = 0.95);

}  // namespace enginewright::balance
