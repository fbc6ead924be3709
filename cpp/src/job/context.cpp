#include "job/context.hpp"

#include <algorithm>
#include <array>
#include <numeric>

#include "enginewright/fits.hpp"
#include "enginewright/units.hpp"

namespace enginewright::job {

namespace {

struct RoleWord {
    std::string_view word;
    Role role;
    Shape shape;
};
constexpr std::array<RoleWord, 21> role_words{{
    {"bore", Role::bore, Shape::hole},
    {"liner", Role::liner, Shape::hole},
    {"main journal", Role::main_journal, Shape::shaft},
    {"big-end journal", Role::big_end_journal, Shape::shaft},
    {"main bearing", Role::main_bearing, Shape::hole},
    {"big-end bearing", Role::big_end_bearing, Shape::hole},
    {"piston", Role::piston, Shape::shaft},
    {"ring", Role::ring, Shape::none},
    {"crankshaft", Role::crankshaft, Shape::none},
    {"thrust washer", Role::thrust_washer, Shape::none},
    {"block deck", Role::block_deck, Shape::none},
    {"rotor", Role::rotor, Shape::none},
    {"small end", Role::other, Shape::hole},
    {"valve guide", Role::other, Shape::hole},
    {"pin", Role::pin, Shape::shaft},
    {"rod", Role::rod, Shape::none},
    {"bolt", Role::bolt, Shape::none},
    {"valve", Role::other, Shape::shaft},
    {"camshaft", Role::other, Shape::shaft},
    {"tappet", Role::other, Shape::shaft},
    {"pulley", Role::other, Shape::hole},
}};

constexpr std::array<std::string_view, derived_count> derived_words{
    "ovality",      "taper",           "wear",   "undersize",      "oversize",        "clearance",
    "gap",          "gap difference",  "spread", "stretch",        "protrusion",      "tilt",
    "step",         "end float",       "depth",  "shim deviation", "shell deviation", "residual",
    "contribution", "planned residual"};

Measured measured_of(std::string_view word)
{
    return word == "diameter"                          ? Measured::diameter
           : word == "thickness"                       ? Measured::thickness
           : word == "gap"                             ? Measured::gap
           : word == "mass"                            ? Measured::mass
           : word == "length" || word == "free length" ? Measured::length
           : word == "end float"                       ? Measured::end_float
           : word == "depth"                           ? Measured::depth
           : word == "protrusion"                      ? Measured::protrusion
           : word == "amount"                          ? Measured::amount
                                                       : Measured::other;
}

PartRole part_role_of(std::string_view word)
{
    return word.empty()            ? PartRole::whole
           : word == "housing"     ? PartRole::housing
           : word == "shell"       ? PartRole::shell
           : word == "top ring"    ? PartRole::top_ring
           : word == "second ring" ? PartRole::second_ring
           : word == "oil rail"    ? PartRole::oil_rail
           : word == "big end"     ? PartRole::big_end
           : word == "small end"   ? PartRole::small_end
                                   : PartRole::other;
}

/// Place of each word in the alphabet, shifted by one for "none".
std::vector<std::int32_t> ranks(const table::WordView& words)
{
    std::vector<std::size_t> order(words.words.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(),
              [&](auto a, auto b) { return words.words[a] < words.words[b]; });
    std::vector<std::int32_t> rank(words.words.size() + 1, 0);
    for (std::size_t i = 0; i < order.size(); ++i) {
        rank[order[i] + 1] = static_cast<std::int32_t>(i + 1);
    }
    return rank;
}

std::int32_t put_word(std::vector<std::string>& list, std::string_view word)
{
    if (word.empty()) {
        return -1;
    }
    const auto at = std::find(list.begin(), list.end(), word);
    if (at == list.end()) {
        list.emplace_back(word);
        return static_cast<std::int32_t>(list.size() - 1);
    }
    return static_cast<std::int32_t>(at - list.begin());
}

std::int32_t code_of(const table::WordView& words, std::string_view word)
{
    const auto at = std::find(words.words.begin(), words.words.end(), word);
    return at == words.words.end() ? LimitCodes::never
                                   : static_cast<std::int32_t>(at - words.words.begin());
}

bool is_imperial(std::string_view unit)
{
    constexpr std::array<std::string_view, 16> inches{
        "in", "ft",    "thou", "tenths", "µin", "in²",    "in³",    "oz",
        "lb", "grain", "lbf",  "lbf/in", "psi", "lbf·ft", "lbf·in", "oz·in"};
    return std::find(inches.begin(), inches.end(), unit) != inches.end();
}

}  // namespace

Context::Context(const table::ReadingsView& the_readings, const table::Limits& the_limits,
                 const table::Gauges& gauges, const InspectOptions& the_options)
    : readings(the_readings), limits(the_limits), options(the_options)
{
    if (options.threads < 0) {
        refuse("threads", "at least 0", options.threads);
    }
    normal_coverage = measure::coverage_factor(measure::infinite_freedom, options.level);
    know_words();
    know_units();
    know_gauges(gauges);
    know_limits();
    know_cards();
}

void Context::know_words()
{
    for (const auto word : readings.feature.words) {
        const auto known = std::find_if(role_words.begin(), role_words.end(),
                                        [&](const auto& each) { return each.word == word; });
        role.push_back(known == role_words.end() ? Role::other : known->role);
        shape.push_back(known == role_words.end() ? Shape::none : known->shape);
    }
    for (const auto word : readings.quantity.words) {
        measured.push_back(measured_of(word));
        quantities.emplace_back(word);
    }
    for (const auto word : derived_words) {
        derived_.push_back(put_word(quantities, word));
    }
    for (const auto word : readings.part.words) {
        part_role.push_back(part_role_of(word));
    }
    part_rank_ = ranks(readings.part);
    station_rank_ = ranks(readings.station);
    feature_rank_ = ranks(readings.feature);
    stage_rank_ = ranks(readings.stage);
}

void Context::know_units()
{
    millimetre = put_word(units, "mm");
    if (std::find(role.begin(), role.end(), Role::rotor) != role.end()) {
        gram_millimetre = put_word(units, units::canonical("unbalance"));
    }
    unit_count_ = readings.unit.words.size();
    conversions_.resize(readings.quantity.words.size() * unit_count_);
    for (std::size_t q = 0; q < readings.quantity.words.size(); ++q) {
        const auto known = table::dimension_of(readings.quantity.words[q]);
        const auto dimension = known.empty() ? std::nullopt : std::optional(known);
        for (std::size_t u = 0; u < unit_count_; ++u) {
            auto& conversion = conversions_[q * unit_count_ + u];
            if (readings.quantity.words[q] == "amplitude") {
                // A vibration meter has a scale of its own: nothing converts, nothing is refused.
                conversion = {.unit = put_word(units, readings.unit.words[u]), .known = true};
                continue;
            }
            try {
                const auto& unit = units::unit(readings.unit.words[u], dimension);
                conversion = {.factor = unit.factor,
                              .offset = unit.offset,
                              .unit = put_word(units, units::canonical(unit.dimension)),
                              .known = true,
                              .length = unit.dimension == "length",
                              .imperial = is_imperial(unit.symbol),
                              .dimension = std::string(unit.dimension)};
            } catch (const units::UnitError&) {
                // Only a row that really pairs them is refused, where it stands.
                conversion.known = false;
            }
        }
    }
}

std::string past_due_text(const table::GaugeCard& card)
{
    return "gauge '" + card.gauge.name + "' was due for calibration on " +
           table::date_text(*card.due);
}

void Context::know_gauges(const table::Gauges& gauges)
{
    for (const auto word : readings.gauge.words) {
        GaugeInfo info;
        for (const auto& each : gauges.rows) {
            if (each.gauge.name == word) {
                info.card = &each;
            }
        }
        if (info.card != nullptr) {
            const auto& own = info.card->gauge;
            measure::Sources names;
            const double probe = 0.0;
            const auto reading =
                measure::reading({&probe, 1}, &own, measure::ReadingOptions{}, names);
            info.correction = own.correction.value_or(0.0);
            if (info.card->due) {
                info.past_due = past_due_text(*info.card);
            }
            for (const auto& each : reading.size.contributions()) {
                const bool unnamed = names.is_unnamed(each.source);
                info.doubts.push_back({.name = unnamed ? "" : names.name(each.source),
                                       .amount = each.amount,
                                       .freedom = names.degrees_of_freedom(each.source),
                                       .kind = measure::Sources::kind(each.source)});
            }
            if (!info.card->setting.empty() && info.card->setting_uncertainty > 0) {
                info.doubts.push_back(
                    {.name = info.card->setting, .amount = info.card->setting_uncertainty});
            }
            std::vector<measure::Contribution> all;
            for (const auto& each : info.doubts) {
                const auto id = each.name.empty() ? names.unnamed(each.freedom, each.kind)
                                                  : names.named(each.name, each.freedom, each.kind);
                all.push_back({id, each.amount});
            }
            std::sort(all.begin(), all.end(),
                      [](const auto& a, const auto& b) { return a.source < b.source; });
            const measure::Quantity one(0.0, all);
            info.uncertainty = one.standard_uncertainty();
            info.freedom = one.degrees_of_freedom(names);
            info.coverage = measure::coverage_factor(info.freedom, options.level);
        }
        gauge.push_back(std::move(info));
    }
}

void Context::know_limits()
{
    for (const auto& row : limits.rows) {
        LimitCodes codes;
        const auto need = [&](std::int32_t& code, const table::WordView& words,
                              const std::string& word) {
            if (!word.empty()) {
                code = code_of(words, word);
                ++codes.specific;
            }
        };
        need(codes.engine, readings.engine, row.engine);
        need(codes.stage, readings.stage, row.stage);
        need(codes.feature, readings.feature, row.feature);
        need(codes.part, readings.part, row.part);
        need(codes.station, readings.station, row.station);
        need(codes.axis, readings.axis, row.axis);
        if (!row.quantity.empty()) {
            const auto at = std::find(quantities.begin(), quantities.end(), row.quantity);
            codes.quantity = at == quantities.end()
                                 ? LimitCodes::never
                                 : static_cast<std::int32_t>(at - quantities.begin());
            ++codes.specific;
        }
        if (row.number) {
            codes.number = *row.number;
            ++codes.specific;
        }
        limit_codes.push_back(codes);
        stations_named |= !row.station.empty();
        axes_named |= !row.axis.empty();
        numbers_named |= row.number.has_value();
        limit_kind.push_back(put_word(kinds, row.kind));
        limit_source.push_back(put_word(sources, row.source));
        limit_unit.push_back(put_word(units, row.unit));
    }
    rule_source = put_word(sources,
                           "rule of thumb for petrol engines; the piston and ring maker's "
                           "figure goes before it");
    card_source = put_word(sources, "engine card, rotor.tolerance");
    const auto know_stage = [&](std::string_view word) {
        const std::string wanted =
            options.kind ? *options.kind : (word == "as received" ? "wear" : "machining");
        stage_kind.push_back(put_word(kinds, wanted));
        finished.push_back(word == "finished");
        as_received.push_back(options.kind ? *options.kind == "wear" : word == "as received");
    };
    know_stage("");
    for (const auto word : readings.stage.words) {
        know_stage(word);
    }
}

void Context::know_cards()
{
    const auto find = [&](std::string_view name) -> const table::EngineCard* {
        const auto at = limits.cards.find(std::string(name));
        return at == limits.cards.end() ? nullptr : &at->second;
    };
    // A job that names no engine has the only card there is.
    card.push_back(limits.cards.size() == 1 ? &limits.cards.begin()->second : nullptr);
    for (const auto word : readings.engine.words) {
        card.push_back(find(word));
    }
    if (gram_millimetre >= 0) {
        for (const auto* each : card) {
            rotor.push_back(rotor_card(each));
        }
    }
    const std::size_t features = readings.feature.words.size();
    expansion.assign(card.size() * features, fits::expansion_of("steel"));
    for (std::size_t e = 0; e < card.size(); ++e) {
        for (std::size_t f = 0; f < features && card[e] != nullptr; ++f) {
            const auto at = card[e]->materials.find(std::string(readings.feature.words[f]));
            if (at != card[e]->materials.end()) {
                expansion[e * features + f] = fits::expansion_of(at->second);
            }
        }
    }
}

std::int32_t Context::kind_code(std::string_view kind) const
{
    const auto at = std::find(kinds.begin(), kinds.end(), kind);
    return at == kinds.end() ? -1 : static_cast<std::int32_t>(at - kinds.begin());
}

std::int32_t Context::best_limit(const LimitKey& key, std::int32_t kind) const
{
    const auto fits = [](std::int32_t asked, std::int32_t has) {
        return asked == LimitCodes::any || asked == has;
    };
    std::int32_t best = -1;
    std::int32_t rival = -1;
    for (std::size_t i = 0; i < limit_codes.size(); ++i) {
        const auto& codes = limit_codes[i];
        if (limit_kind[i] != kind || !fits(codes.quantity, key.quantity) ||
            !fits(codes.feature, key.feature) || !fits(codes.engine, key.engine) ||
            !fits(codes.stage, key.stage) || !fits(codes.number, key.number) ||
            !fits(codes.part, key.part) || !fits(codes.station, key.station) ||
            !fits(codes.axis, key.axis)) {
            continue;
        }
        const auto found = static_cast<std::int32_t>(i);
        const auto specific = best < 0 ? -1 : limit_codes[static_cast<std::size_t>(best)].specific;
        if (codes.specific > specific) {
            best = found;
            rival = -1;
        } else if (codes.specific == specific) {
            rival = found;
        }
    }
    if (rival >= 0) {
        const auto& a = limits.rows[static_cast<std::size_t>(best)];
        const auto& b = limits.rows[static_cast<std::size_t>(rival)];
        if (a.lower != b.lower || a.upper != b.upper || a.target != b.target) {
            refuse_all("limits",
                       "decide: " + a.place + " and " + b.place + " fit equally well and differ");
        }
    }
    return best;
}

std::int32_t Context::find_limit(const LimitKey& key) const
{
    std::int32_t found = key.kind < 0 ? -1 : best_limit(key, key.kind);
    if (found < 0) {
        found = best_limit(key, -1);
    }
    if (found < 0) {
        const auto fresh = kind_code("new");
        if (fresh >= 0 && fresh != key.kind) {
            found = best_limit(key, fresh);
        }
    }
    return found;
}

std::int32_t Context::find_limit_of_kind(LimitKey key, std::string_view kind) const
{
    const auto code = kind_code(kind);
    return code < 0 ? -1 : best_limit(key, code);
}

std::int32_t Context::find_limit_for_fitting(const LimitKey& key) const
{
    std::int32_t found = find_limit_of_kind(key, "machining");
    found = found >= 0 ? found : find_limit_of_kind(key, "new");
    return found >= 0 ? found : best_limit(key, -1);
}

}  // namespace enginewright::job
