#include "job/spins.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "balance/bounds.hpp"
#include "enginewright/balance/spins.hpp"
#include "enginewright/check.hpp"
#include "numerics/angles.hpp"

namespace enginewright::job {

using balance::Vector;

namespace {

constexpr std::string_view corrected_word = " corrected";

std::string spin_name(const Spin& spin)
{
    return spin.repeat == no_number ? "a spin" : "spin " + std::to_string(spin.repeat);
}

/// Names what is missing in a spin's pairs.
void note_halves(const Spin& spin, State& state)
{
    for (std::size_t p = 0; p < 2; ++p) {
        const auto& plane = spin.plane[p];
        if (!plane.whole() && (spin.loaded() || !spin.plane[0].empty() || !spin.plane[1].empty())) {
            const std::string what = plane.empty()           ? "no reading"
                                     : plane.phase == no_row ? "an amount without a phase"
                                                             : "a phase without an amount";
            state.notes.push_back(spin_name(spin) + ": " + what + " in the " +
                                  std::string(plane_words[p]) + ", not counted");
        }
    }
}

/// Doubt of one reading per axis: along the vector the amount's, across it the phase's.
double reading_doubt(const PlaneRows& plane, const std::vector<Row>& rows)
{
    const double along = rows[plane.length].uncertainty;
    const double turn = rows[plane.phase].uncertainty * std::numbers::pi / 180;
    const double across = turn > 0 ? turn * rows[plane.length].value : along;
    return std::sqrt((along * along + across * across) / 2);
}

/// The spins of a stage that count, as vectors.
struct Counted {
    std::vector<const Spin*> spins{};
    std::array<std::vector<Vector>, 2> vectors{};
    std::array<double, 2> machine{};  ///< doubt that no repetition takes away
    std::optional<std::vector<double>> speeds{};
};

Counted counted(const std::vector<const Spin*>& spins, const std::vector<Row>& rows,
                const RotorCard& card)
{
    Counted found{.spins = spins};
    std::vector<double> speeds;
    std::array<double, 2> squares{};
    for (const auto* spin : spins) {
        for (std::size_t p = 0; p < 2; ++p) {
            const auto& plane = spin->plane[p];
            const auto spot = spin->vibration ? balance::Spot::heavy : card.spot;
            found.vectors[p].push_back(balance::vector(rows[plane.length].value,
                                                       card.angle(rows[plane.phase].value), spot));
            const double doubt = reading_doubt(plane, rows);
            squares[p] += doubt * doubt / static_cast<double>(spins.size());
        }
        if (spin->speed != no_row) {
            speeds.push_back(rows[spin->speed].value);
        }
    }
    found.machine = {std::sqrt(squares[0]), std::sqrt(squares[1])};
    if (!speeds.empty() && speeds.size() == spins.size()) {
        found.speeds = std::move(speeds);
    }
    return found;
}

Vector trial_of(const TrialRows& trial, const std::vector<Row>& rows, const RotorCard& card)
{
    return trial.whole() ? balance::unbalance(rows[trial.mass].value, rows[trial.radius].value,
                                              card.angle(rows[trial.phase].value))
                         : Vector{};
}

/// Influence of the trial masses of this stage, when it has any.
void learn_influence(const StageSpins& stage, const std::vector<Row>& rows, const RotorCard& card,
                     const std::vector<const Spin*>& spins,
                     std::optional<KnownInfluence>& influence)
{
    if (std::none_of(spins.begin(), spins.end(), [](auto* each) { return each->loaded(); })) {
        return;
    }
    const auto read = counted(spins, rows, card);
    const auto runs = static_cast<Eigen::Index>(spins.size());
    Eigen::MatrixXcd states(runs, 2);
    Eigen::MatrixXcd readings(runs, 2);
    for (Eigen::Index j = 0; j < runs; ++j) {
        const auto i = static_cast<std::size_t>(j);
        for (Eigen::Index p = 0; p < 2; ++p) {
            const auto plane = static_cast<std::size_t>(p);
            states(j, p) = trial_of(spins[i]->trial[plane], rows, card);
            readings(j, p) = read.vectors[plane][i];
        }
    }
    influence = {balance::influence_coefficients(states, readings), stage.name};
}

void mean_of(const Counted& read, State& state)
{
    for (std::size_t p = 0; p < 2; ++p) {
        const auto runs = balance::repeat_runs(read.vectors[p], read.machine[p], read.speeds);
        state.found.push_back(runs.vector);
        state.doubt.push_back(runs.uncertainty);
        state.count = runs.count;
        if (runs.count > 1) {
            state.scatter.push_back(runs.scatter);
        }
        state.unsteady |= runs.status == balance::RunsStatus::unsteady;
        if (p == 0 && runs.status == balance::RunsStatus::unsteady) {
            state.notes.push_back(runs.reason);
        }
    }
}

std::string amount_at(const Vector& vector)
{
    return balance::amount_text(std::abs(vector)) + " at " +
           balance::angle_text(numerics::degrees_of(vector));
}

/// What the machine made of a known mass: it shows whether the machine may be believed.
///
/// The change against the mean of the spins without it should be the mass's own unbalance in its
/// plane and nothing in the other.
void prove_machine(const Spin& spin, const std::vector<Row>& rows, const RotorCard& card,
                   State& state)
{
    const auto read = counted({&spin}, rows, card);
    for (std::size_t p = 0; p < 2; ++p) {
        const auto known = trial_of(spin.trial[p], rows, card);
        if (std::abs(known) == 0) {
            continue;
        }
        const Vector change = read.vectors[p].front() - state.found[p];
        const Vector across = read.vectors[1 - p].front() - state.found[1 - p];
        const bool alone = !spin.trial[1 - p].whole();
        state.notes.push_back(
            spin_name(spin) + " carried a trial mass, " + amount_at(known) + " in the " +
            std::string(plane_words[p]) + ", not counted: the machine showed " + amount_at(change) +
            ", " + balance::amount_text(std::abs(change - known)) + " (" +
            fixed_text(100 * std::abs(change - known) / std::abs(known), 1) + " %) off" +
            (alone ? ", and " + balance::amount_text(std::abs(across)) + " in the other plane"
                   : "") +
            "; no limit is set for this, it is not judged");
    }
}

/// From amplitudes to unbalance, by what known masses did to them.
void undo_vibration(const KnownInfluence& known, State& state)
{
    auto doubt = state.doubt;
    for (std::size_t p = 0; p < 2; ++p) {
        // A single spin scatters as the trial runs did.
        if (state.scatter.empty() && known.influence.scatter) {
            doubt[p] = std::hypot(doubt[p], (*known.influence.scatter)[p]);
        }
    }
    const auto undone =
        balance::required_correction(known.influence, state.found, std::nullopt, doubt);
    state.found = undone.unbalance;
    state.doubt = undone.uncertainty;
    for (std::size_t p = 0; p < state.scatter.size(); ++p) {
        state.scatter[p] = state.doubt[p] * std::sqrt(static_cast<double>(state.count));
    }
    state.notes.push_back("by the trial masses of the stage '" + known.stage + "'");
    if (!known.influence.reason.empty()) {
        state.notes.push_back(known.influence.reason);
    }
}

void refuse_state(State& state, std::string fault, std::string next)
{
    state.fault = std::move(fault);
    state.next = std::move(next);
}

void work_out(const StageSpins& stage, const std::vector<Row>& rows, const RotorCard& card,
              std::optional<KnownInfluence>& influence, State& state)
{
    std::vector<const Spin*> whole;
    for (const auto& spin : stage.spins) {
        note_halves(spin, state);
        const bool half_trial = (!spin.trial[0].empty() && !spin.trial[0].whole()) ||
                                (!spin.trial[1].empty() && !spin.trial[1].whole());
        if (half_trial) {
            state.notes.push_back(spin_name(spin) +
                                  ": a trial mass needs mass, radius and phase, not counted");
        } else if (spin.plane[0].whole() && spin.plane[1].whole()) {
            whole.push_back(&spin);
        }
    }
    const bool vibration =
        std::any_of(whole.begin(), whole.end(), [](auto* each) { return each->vibration; });
    std::erase_if(whole, [&](auto* each) { return each->vibration != vibration; });
    if (vibration) {
        learn_influence(stage, rows, card, whole, influence);
    }
    std::vector<const Spin*> bare;
    for (const auto* spin : whole) {
        if (!spin->loaded()) {
            bare.push_back(spin);
        }
    }
    if (bare.empty()) {
        return refuse_state(state, "no spin has amount and phase in both planes",
                            "Spin " + stage.name +
                                " again and write amount and phase of both "
                                "planes.");
    }
    if (vibration && !influence) {
        return refuse_state(state,
                            "an amplitude says nothing of grams without trial masses (part "
                            "'trial left' and 'trial right')",
                            "Spin " + stage.name +
                                " with a trial mass in each plane in turn, "
                                "and write mass, radius and phase.");
    }
    mean_of(counted(bare, rows, card), state);
    if (vibration) {
        undo_vibration(*influence, state);
    }
    for (const auto* spin : whole) {
        if (spin->loaded() && !vibration) {
            prove_machine(*spin, rows, card, state);
        }
    }
    state.known = true;
}

}  // namespace

Spin& StageSpins::spin(std::int32_t repeat)
{
    const auto at = std::find_if(spins.begin(), spins.end(),
                                 [&](const auto& each) { return each.repeat == repeat; });
    return at != spins.end() ? *at : spins.emplace_back(Spin{.repeat = repeat});
}

void read_stage_word(StageSpins& stage)
{
    stage.part = stage.name;
    stage.finished = stage.name == "finished";
    // "flywheel corrected", and once more "flywheel corrected 2".
    std::string word = stage.name;
    const auto last = word.find_last_not_of("0123456789");
    if (last != std::string::npos && last + 1 < word.size() && word[last] == ' ') {
        word.resize(last);
    }
    if (word.size() > corrected_word.size() && word.ends_with(corrected_word)) {
        stage.corrected = true;
        stage.part = word.substr(0, word.size() - corrected_word.size());
    }
}

State state_of(const StageSpins& stage, const std::vector<Row>& rows, const RotorCard& card,
               std::optional<KnownInfluence>& influence)
{
    State state;
    if (const auto keys = card.missing(); !keys.empty()) {
        refuse_state(state,
                     "the engine card does not state " + keys +
                         ": an angle counted the other way round puts the hole on the wrong side",
                     "State " + keys +
                         " on the engine card: what the machine shows at the rotor's zero mark, "
                         "and which way it counts.");
        return state;
    }
    try {
        work_out(stage, rows, card, influence, state);
    } catch (const std::invalid_argument& refusal) {
        // A reading that cannot be is an open question of its stage, not the end of the job.
        state = {.notes = std::move(state.notes)};
        refuse_state(state, refusal.what(), "Look at the spins of " + stage.name + " again.");
    }
    return state;
}

}  // namespace enginewright::job
