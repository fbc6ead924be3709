#pragma once

#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/balance/plan.hpp"
#include "enginewright/balance/stages.hpp"
#include "enginewright/job.hpp"

/// The rotor of a job as the check "balance" sees it: every state it was spun in, the part that is
/// to blame, and the holes that put it right.
namespace enginewright::job {

/// The rotor in one state: spun one or several times with the same parts on it.
///
/// `found` lies in the measuring planes, `residual` is the same carried to the tolerance planes,
/// where it is judged. A state that could not be worked out has neither, and `reason` says why.
struct SpunStage {
    std::string stage{};
    std::string part{};
    std::vector<balance::Vector> found{};
    std::vector<balance::Vector> residual{};
    std::vector<double> uncertainty{};
    std::vector<double> scatter{};
    int spins = 0;
    std::optional<std::vector<double>> tolerance{};
    std::vector<Standing> verdict{};
    std::vector<double> probability{};
    std::string overtaken{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"stage", "", &SpunStage::stage, "as the shop wrote it"},
            Field{"part", "", &SpunStage::part, "what was bolted on, without \"corrected\""},
            Field{"found", "g mm", &SpunStage::found, "mean of the spins, measuring planes"},
            Field{"residual", "g mm", &SpunStage::residual, "the same in the tolerance planes"},
            Field{"uncertainty", "g mm", &SpunStage::uncertainty,
                  "standard, per axis, of the residual"},
            Field{"scatter", "g mm", &SpunStage::scatter,
                  "of one spin, per axis, measuring planes; empty: a single spin"},
            Field{"spins", "", &SpunStage::spins, "that the mean stands on"},
            Field{"tolerance", "g mm", &SpunStage::tolerance, "of the assembly, each plane"},
            Field{"verdict", "", &SpunStage::verdict, "of each plane"},
            Field{"probability", "", &SpunStage::probability,
                  "that the true residual is within; empty without a tolerance"},
            Field{"overtaken", "", &SpunStage::overtaken,
                  "later stage that takes its place; empty: it stands"},
            Field{"reason", "", &SpunStage::reason, "what the figures leave unsaid"},
        };
    }
    bool operator==(const SpunStage&) const = default;
};
static_assert(lists_every_member<SpunStage>);

/// Everything that the balance of one rotor was judged by.
struct Assembly {
    std::string job{};
    std::optional<int> number{};
    std::vector<double> planes{};
    std::vector<double> tolerance_planes{};
    std::vector<SpunStage> stages{};
    std::vector<balance::StageFinding> parts{};
    std::optional<balance::CorrectionPlan> plan{};
    std::vector<balance::Site> sites{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"job", "", &Assembly::job, "the shop's job number"},
            Field{"number", "", &Assembly::number, "of the rotor, where the job has several"},
            Field{"planes", "mm", &Assembly::planes, "measuring planes of the engine card"},
            Field{"tolerance_planes", "mm", &Assembly::tolerance_planes, "bearing planes"},
            Field{"stages", "", &Assembly::stages, "states in the order in which they were spun"},
            Field{"parts", "", &Assembly::parts, "what each part brought, after its correction"},
            Field{"plan", "", &Assembly::plan, "for the last state; none where none is needed"},
            Field{"sites", "", &Assembly::sites, "of the engine card, that the plan was made for"},
        };
    }
    bool operator==(const Assembly&) const = default;
};
static_assert(lists_every_member<Assembly>);

/// The rotors of all jobs, each with its states, parts and plan: the records behind the findings
/// of the check "balance".
///
/// A rotor that the engine card does not let one read (no zero mark, no sense of counting) has
/// states without vectors.
///
/// readings  rows of any number of jobs
/// limits    limits and engine cards
/// gauges    as `inspect` takes them
/// options   as `inspect` takes them
///
/// Throws std::invalid_argument, as `inspect`.
std::vector<Assembly> assemblies(const table::ReadingsView& readings, const table::Limits& limits,
                                 const table::Gauges& gauges = {},
                                 const InspectOptions& options = {});

}  // namespace enginewright::job
