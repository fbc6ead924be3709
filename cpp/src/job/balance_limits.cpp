#include <algorithm>

#include "job/inspector.hpp"
#include "job/spins.hpp"

/// Which tolerance holds for a rotor, and which for a part that came on.
namespace enginewright::job {

Inspector::Allowed Inspector::allowed(const StageSpins& stage, bool first, Derived what)
{
    const auto& row = rows_[stage.rows.front()];
    const auto& stations = context_.readings.station.words;
    const auto amount =
        std::find(context_.quantities.begin(), context_.quantities.end(), "amount") -
        context_.quantities.begin();
    Allowed found;
    for (std::size_t p = 0; p < 2; ++p) {
        const auto station = std::find(stations.begin(), stations.end(), plane_words[p]);
        const auto look = [&](std::int32_t quantity, bool by_stage) {
            auto key = key_of(row);
            key.part = key.axis = -1;
            key.station = station == stations.end()
                              ? -1
                              : static_cast<std::int32_t>(station - stations.begin());
            key.stage = by_stage ? stage.stage : -1;
            key.quantity = quantity;
            key.kind = context_.stage_kind[Context::index(stage.stage)];
            const auto limit = limit_of(key);
            if (limit < 0) {
                return limit;
            }
            const auto& upper = context_.limits.rows[static_cast<std::size_t>(limit)].upper;
            const auto unit = context_.limit_unit[static_cast<std::size_t>(limit)];
            return upper && *upper > 0 && unit == context_.gram_millimetre ? limit : -1;
        };
        const auto names_stage = [&](std::int32_t limit) {
            return limit >= 0 &&
                   context_.limit_codes[static_cast<std::size_t>(limit)].stage != LimitCodes::any;
        };
        const auto residual = context_.derived(Derived::residual);
        std::int32_t limit = -1;
        if (what == Derived::contribution) {
            limit = look(context_.derived(Derived::contribution), true);
        }
        for (const auto quantity : {residual, static_cast<std::int32_t>(amount)}) {
            const auto general = limit < 0 ? look(quantity, false) : limit;
            const auto own = limit < 0 ? look(quantity, true) : limit;
            if (limit >= 0) {
                break;
            }
            if (first) {
                limit = own;
            } else if (what == Derived::contribution) {
                // What holds for the assembly says nothing of the part that came on.
                limit = names_stage(own) ? own : -1;
            } else {
                limit = general >= 0 ? general : own;
            }
        }
        if (limit >= 0) {
            found.put(p, *context_.limits.rows[static_cast<std::size_t>(limit)].upper, limit);
        } else if (what == Derived::residual || first) {
            const auto& card = context_.rotor[Context::index(row.engine)].tolerance;
            if (card.size() == 2 && card[p] > 0) {
                found.put(p, card[p], -1);
            }
        }
    }
    if (found.tolerance && found.tolerance->size() != 2) {
        found.tolerance = std::nullopt;
    }
    return found;
}

}  // namespace enginewright::job
