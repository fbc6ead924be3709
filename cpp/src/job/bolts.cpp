#include <algorithm>

#include "enginewright/check.hpp"
#include "enginewright/fasteners.hpp"
#include "job/inspector.hpp"

/// Bolts used again: each against its length when new and its shank; the worst speaks for the set.
namespace enginewright::job {

/// One bolt: its length as it came, its length when new, the thinnest place of its shank.
struct Inspector::Bolt {
    std::int32_t number = no_number;
    const Place* used = nullptr;
    const Place* fresh = nullptr;
    const Part* shank = nullptr;
    measure::Quantity stretch = 0.0;
    Finding finding{};
    fasteners::BoltReuse reuse{};
    bool judged = false;

    /// The worse a bolt, the higher: outside, wrong, unproven, within, without a limit.
    int rank() const
    {
        switch (finding.verdict) {
            case Standing::outside:
                return 3;
            case Standing::unproven:
                return 2;
            case Standing::within:
                return 1;
            case Standing::unlimited:
                break;
        }
        return 0;
    }
};

void Inspector::check_bolts()
{
    for (const auto& set : sets_) {
        if (context_.role[static_cast<std::size_t>(set.feature)] == Role::bolt &&
            set.measured == Measured::length) {
            bolt_reuse_of(set);
        }
    }
}

std::vector<Inspector::Bolt> Inspector::bolts_of(const Set& set)
{
    std::vector<Bolt> bolts;
    const auto is_new = [&](const Place& place) {
        return place.station >= 0 &&
               context_.readings.station.words[static_cast<std::size_t>(place.station)] == "new";
    };
    for (const auto p : set.parts) {
        const Part& part = parts_[p];
        auto at = std::find_if(bolts.begin(), bolts.end(),
                               [&](const auto& each) { return each.number == part.number; });
        if (at == bolts.end()) {
            bolts.push_back({.number = part.number});
            at = bolts.end() - 1;
        }
        for (const auto& place : part.places) {
            auto& length = is_new(place) ? at->fresh : at->used;
            // Of several readings of one length the greatest shows the stretch.
            if (length == nullptr || place.value > length->value) {
                length = &place;
            }
        }
    }
    for (auto& bolt : bolts) {
        for (const auto& part : parts_) {
            if (part.stage == set.stage && part.feature == set.feature && part.part == set.part &&
                part.number == bolt.number && part.measured == Measured::diameter) {
                bolt.shank = &part;
            }
        }
    }
    return bolts;
}

void Inspector::judge_bolt(Bolt& bolt, const Set& set)
{
    const Part& part = parts_[set.parts.front()];
    Finding& finding = bolt.finding;
    finding = begin(Check::bolt_reuse, part, Derived::stretch);
    finding.number = bolt.number;
    const auto limit = limit_of({.engine = set.engine,
                                 .stage = set.stage,
                                 .feature = set.feature,
                                 .part = set.part,
                                 .quantity = finding.quantity,
                                 .number = bolt.number,
                                 .kind = context_.stage_kind[Context::index(set.stage)]});
    judge(finding, bolt.stretch, limit);
    const auto* block = block_of(set.stage, set.feature, bolt.number, set.part);
    const double length = bolt.used->value;
    const bool sensible = length > 0 && length - *finding.value > 0 &&
                          length + std::abs(*finding.value) < greatest_length;
    if (finding.upper && *finding.upper > 0 && sensible) {
        std::optional<fasteners::OneOrMore> shank;
        std::optional<double> shank_limit;
        double shank_doubt = 0;
        if (bolt.shank != nullptr && bolt.shank->least().value > 0) {
            const Place& thinnest = bolt.shank->least();
            shank = thinnest.value;
            shank_doubt = quantity_of(thinnest).standard_uncertainty();
            const auto of_shank = limit_of(key_of(rows_[thinnest.rows.front()]));
            if (of_shank >= 0) {
                shank_limit = context_.limits.rows[static_cast<std::size_t>(of_shank)].lower;
            }
        }
        bolt.reuse =
            fasteners::reuse(length, length - *finding.value, *finding.upper,
                             bolt.stretch.standard_uncertainty(), shank, shank_limit, shank_doubt);
        bolt.judged = true;
        finding.reason = bolt.reuse.reason;
        finding.next.clear();
        if (bolt.reuse.status == fasteners::ReuseStatus::reuse) {
            finding.verdict = Standing::within;
        } else {
            const bool out = bolt.reuse.status == fasteners::ReuseStatus::replace &&
                             (bolt.reuse.stretch_verdict == Standing::outside ||
                              bolt.reuse.shank_verdict == Standing::outside);
            finding.verdict = out ? Standing::outside : Standing::unproven;
        }
    }
    if (block != nullptr && finding.verdict != Standing::outside) {
        unprove(finding, reason_of(*block), next_of(*block));
    }
}

std::string Inspector::bolts_next(const Set& set, const std::vector<Bolt>& bolts,
                                  const Bolt& worst) const
{
    const auto kind = set.part < 0 ? std::string("bolt") : part_word(set.part);
    if (worst.reuse.status != fasteners::ReuseStatus::replace) {
        return "Measure " + kind +
               (worst.number == no_number ? "" : " " + std::to_string(worst.number)) +
               " again and look up its length when new.";
    }
    std::string numbers;
    int count = 0;
    for (const auto& bolt : bolts) {
        if (bolt.judged && bolt.reuse.status == fasteners::ReuseStatus::replace) {
            ++count;
            if (bolt.number != no_number) {
                numbers += (numbers.empty() ? " " : ", ") + std::to_string(bolt.number);
            }
        }
    }
    return "Replace " + kind + (count > 1 ? "s" : "") + numbers +
           (worst.finding.verdict == Standing::unproven ? ", or prove it with a better gauge."
                                                        : ".");
}

void Inspector::bolt_reuse_of(const Set& set)
{
    auto bolts = bolts_of(set);
    const auto& first = parts_[set.parts.front()];
    auto key = key_of(rows_[first.places.front().rows.front()]);
    key.station = key.axis = -1;
    key.number = no_number;
    const auto fresh = context_.find_limit_of_kind(key, "new");
    std::erase_if(bolts, [](const auto& bolt) { return bolt.used == nullptr; });
    if (bolts.empty()) {
        return;  // only lengths when new: the record of a set that went in
    }
    for (auto& bolt : bolts) {
        if (bolt.fresh != nullptr) {
            bolt.stretch = quantity_of(*bolt.used) - quantity_of(*bolt.fresh);
        } else if (fresh >= 0) {
            const auto& row = context_.limits.rows[static_cast<std::size_t>(fresh)];
            const double size = row.target ? *row.target
                                : row.lower && row.upper
                                    ? (*row.lower + *row.upper) / 2
                                    : row.lower.value_or(row.upper.value_or(0));
            bolt.stretch = quantity_of(*bolt.used) - measure::Quantity(size);
        } else {
            return missing(Check::bolt_reuse, "the lengths of the bolts when new");
        }
        judge_bolt(bolt, set);
    }
    const auto worst = std::max_element(bolts.begin(), bolts.end(), [](auto& a, auto& b) {
        return std::pair(a.rank(), *a.finding.value) < std::pair(b.rank(), *b.finding.value);
    });
    Finding finding = worst->finding;
    if (worst->judged && finding.next.empty() && finding.verdict != Standing::within) {
        finding.next = bolts_next(set, bolts, *worst);
    }
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    for (const auto& bolt : bolts) {
        if (bolt.shank != nullptr) {
            use(*bolt.shank, finding);
        }
    }
    finding.mark = rows_[worst->used->rows.front()].row;
    add(std::move(finding));
}

}  // namespace enginewright::job
