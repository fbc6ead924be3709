#include <algorithm>

#include "job/inspector.hpp"
#include "job/spins.hpp"

/// Which rows are spins of which rotor, at which stage.
namespace enginewright::job {

namespace {

/// Puts a row where it belongs, unless another row stands there already.
bool put(std::size_t& place, std::size_t row)
{
    if (place != no_row) {
        return false;
    }
    place = row;
    return true;
}

/// 0 for the left plane, 1 for the right one, 2 for none of them.
std::size_t plane_of(std::string_view word)
{
    return static_cast<std::size_t>(std::find(plane_words.begin(), plane_words.end(), word) -
                                    plane_words.begin());
}

}  // namespace

bool Inspector::take_spin_row(std::size_t i, StageSpins& stage) const
{
    const auto& row = rows_[i];
    const auto& readings = context_.readings;
    const auto repeat =
        readings.repeat.present(row.row) ? readings.repeat.values[row.row] : no_number;
    const auto quantity = readings.quantity.text(row.row);
    const auto part = readings.part.text(row.row);
    auto& spin = stage.spin(repeat);
    if (part == "trial left" || part == "trial right") {
        auto& trial = spin.trial[part == "trial left" ? 0 : 1];
        return quantity == "mass"     ? put(trial.mass, i)
               : quantity == "radius" ? put(trial.radius, i)
               : quantity == "phase"  ? put(trial.phase, i)
                                      : false;
    }
    if (quantity == "speed") {
        return put(spin.speed, i);
    }
    const auto p = plane_of(readings.station.text(row.row));
    if (p > 1 || !part.empty()) {
        return false;
    }
    if (quantity == "amplitude") {
        spin.vibration = true;
    }
    return quantity == "amount" || quantity == "amplitude" ? put(spin.plane[p].length, i)
           : quantity == "phase"                           ? put(spin.plane[p].phase, i)
                                                           : false;
}

std::vector<StageSpins> Inspector::spins_of(std::int32_t number)
{
    std::vector<StageSpins> stages;
    const auto& words = context_.readings.stage.words;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const auto& row = rows_[i];
        if (!row.has_value || row.feature < 0 || row.number != number || row.stage < 0 ||
            context_.role[static_cast<std::size_t>(row.feature)] != Role::rotor) {
            continue;
        }
        auto at = std::find_if(stages.begin(), stages.end(),
                               [&](const auto& each) { return each.stage == row.stage; });
        if (at == stages.end()) {
            stages.push_back({.stage = row.stage,
                              .name = std::string(words[static_cast<std::size_t>(row.stage)])});
            read_stage_word(stages.back());
            at = stages.end() - 1;
        }
        if (take_spin_row(i, *at)) {
            at->rows.push_back(i);
        }
    }
    std::erase_if(stages, [](const auto& each) { return each.rows.empty(); });
    for (auto& stage : stages) {
        // A row that is no spin may have opened one.
        std::erase_if(stage.spins, [](const auto& spin) {
            return spin.plane[0].empty() && spin.plane[1].empty() && !spin.loaded() &&
                   spin.speed == no_row;
        });
    }
    return stages;
}

}  // namespace enginewright::job
