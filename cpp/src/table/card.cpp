#include "table/card.hpp"

#include <algorithm>
#include <set>

#include "enginewright/rings.hpp"
#include "near.hpp"
#include "table/card_keys.hpp"

namespace enginewright::table {

namespace {

std::vector<std::string_view> known_keys()
{
    std::vector<std::string_view> keys;
    for (const auto& rule : card_key_rules()) {
        keys.push_back(rule.key);
    }
    return keys;
}

/// A figure in the unit of its key; angles are degrees everywhere and may stand bare.
Json one_figure(const Place& place, const CardKeyRule& rule, std::string_view key,
                const Json& written)
{
    const auto unit = rule.dimension == "angle" ? std::string_view("°") : std::string_view{};
    const auto found = figure(place, key, written, unit, rule.dimension);
    if (!found) {
        return nullptr;
    }
    // Lengths are mm everywhere; the altitude of a place alone is told in metres.
    constexpr double millimetres_a_metre = 1000;
    return rule.unit == "m" ? found->value / millimetres_a_metre : found->value;
}

Json list_of(const Place& place, const CardKeyRule& rule, std::string_view key, const Json& written,
             auto&& one)
{
    Json list = Json::array();
    if (!written.is_array()) {
        place.fault(std::string(key) + " must be a list, got " + shown(written));
        return list;
    }
    for (std::size_t i = 0; i < written.size(); ++i) {
        list.push_back(one(place, rule, element_name(key, i), written[i]));
    }
    return list;
}

Json by_word(const Place& place, const CardKeyRule& rule, const Json& written, auto&& one)
{
    Json object = Json::object();
    if (!written.is_object()) {
        place.fault(std::string(rule.key) + " must be a table by feature, got " + shown(written));
        return object;
    }
    for (const auto& [word, each] : written.items()) {
        object[word] = one(place, rule, std::string(rule.key) + "." + word, each);
    }
    return object;
}

Json one_text(const Place& place, const CardKeyRule&, std::string_view key, const Json& written)
{
    const auto text = text_of(place, key, written);
    return text ? Json(*text) : Json(nullptr);
}

Json one_whole(const Place& place, const CardKeyRule&, std::string_view key, const Json& written)
{
    const auto whole = whole_of(place, key, written, 1);
    return whole ? Json(*whole) : Json(nullptr);
}

Json figures_list(const Place& place, const CardKeyRule& rule, std::string_view key,
                  const Json& written)
{
    return list_of(place, rule, key, written, one_figure);
}

/// {"red": {"wall": "1.985 mm", "pieces": 4}}
Json grade(const Place& place, const CardKeyRule& rule, std::string_view key, const Json& written)
{
    Json out = Json::object();
    for (const auto& [name, value] : written.items()) {
        if (name == "wall") {
            out["wall"] = one_figure(place, rule, std::string(key) + ".wall", value);
        } else if (name == "pieces") {
            const auto pieces = whole_of(place, std::string(key) + ".pieces", value, 0);
            out["pieces"] = pieces ? Json(*pieces) : Json(nullptr);
        } else {
            place.fault(std::string(key) + " has an unknown key '" + name +
                        "', it may have wall and pieces");
        }
    }
    if (!out.contains("wall") || !out.contains("pieces")) {
        place.fault(std::string(key) + " must have wall and pieces");
    }
    return out;
}

/// {"2.20 mm": 2} becomes [{"size": 2.2, "pieces": 2}]; grades keep their names.
Json one_shelf(const Place& place, const CardKeyRule& rule, std::string_view key,
               const Json& written)
{
    if (!written.is_object()) {
        place.fault(std::string(key) + " must be a table of sizes or grades, got " +
                    shown(written));
        return nullptr;
    }
    const bool grades = !written.empty() && written.begin()->is_object();
    Json out = grades ? Json::object() : Json::array();
    for (const auto& [name, value] : written.items()) {
        const auto inner = std::string(key) + "." + name;
        if (value.is_object() != grades) {
            place.fault(std::string(key) + " must hold sizes or grades, not both");
            return out;
        }
        if (grades) {
            out[name] = grade(place, rule, inner, value);
            continue;
        }
        const auto pieces = whole_of(place, inner, value, 0);
        out.push_back({{"size", one_figure(place, rule, inner, Json(name))},
                       {"pieces", pieces ? Json(*pieces) : Json(nullptr)}});
    }
    return out;
}

Json value_of(const Place& place, const CardKeyRule& rule, const Json& written);

/// A table whose figures are read as the card's own are: the rotor, a site.
Json typed_table(const Place& place, const CardKeyRule& rule, std::string_view key,
                 const Json& written)
{
    Json figures = Json::object();
    std::vector<std::string_view> known;
    for (const auto& each : rule.typed) {
        known.push_back(each.key);
    }
    for (const auto& [name, value] : written.items()) {
        const auto at = std::find(known.begin(), known.end(), name);
        if (at == known.end()) {
            place.fault(std::string(key) + " has an unknown key '" + name + "'" +
                        did_you_mean(name, known));
        } else if (says_something(value)) {
            const auto& own = rule.typed[static_cast<std::size_t>(at - known.begin())];
            const auto full = std::string(key) + "." + name;
            CardKeyRule inner{full, own.holds, own.dimension, own.unit, ""};
            inner.words = own.words;
            figures[name] = value_of(place, inner, value);
        }
    }
    return figures;
}

/// A table of the adjuster: its keys are known, its values are kept as written.
Json one_table(const Place& place, const CardKeyRule& rule, std::string_view key,
               const Json& written)
{
    if (!written.is_object()) {
        place.fault(std::string(key) + " must be a table, got " + shown(written));
        return nullptr;
    }
    if (!rule.typed.empty()) {
        return typed_table(place, rule, key, written);
    }
    for (const auto& [name, value] : written.items()) {
        if (std::find(rule.keys.begin(), rule.keys.end(), name) == rule.keys.end()) {
            place.fault(std::string(key) + " has an unknown key '" + name + "'" +
                        did_you_mean(name, rule.keys));
        }
    }
    return written;
}

Json curve(const Place& place, const CardKeyRule& rule, const Json& written)
{
    const CardKeyRule angles{"angles", Holds::figures, "angle", "°", ""};
    const CardKeyRule lifts{"lifts", Holds::figures, "length", "mm", ""};
    if (!written.is_object() || written.size() != 2 || !written.contains("angles") ||
        !written.contains("lifts")) {
        place.fault(std::string(rule.key) + " must be a table with angles and lifts, got " +
                    shown(written));
        return nullptr;
    }
    const std::string key(rule.key);
    Json out{{"angles", figures_list(place, angles, key + ".angles", written["angles"])},
             {"lifts", figures_list(place, lifts, key + ".lifts", written["lifts"])}};
    if (out["angles"].size() != out["lifts"].size()) {
        place.fault(key + " must have as many lifts as angles, got " +
                    std::to_string(out["lifts"].size()) + " and " +
                    std::to_string(out["angles"].size()));
    }
    return out;
}

Json share(const Place& place, const CardKeyRule& rule, const Json& written)
{
    const auto number = number_of(place, rule.key, written);
    if (number && !(*number >= 0 && *number <= 1)) {
        place.fault(std::string(rule.key) + " must be between 0 and 1, got " + shown(written));
    }
    return number ? Json(*number) : Json(nullptr);
}

Json one_word(const Place& place, const CardKeyRule& rule, const Json& written)
{
    const auto text = text_of(place, rule.key, written);
    const auto allowed = rule.words;
    if (text && std::find(allowed.begin(), allowed.end(), *text) == allowed.end()) {
        std::string all;
        for (const auto each : allowed) {
            all.append(all.empty() ? "" : ", ").append(each);
        }
        place.fault(std::string(rule.key) + " must be one of " + all + ", got '" + *text + "'" +
                    did_you_mean(*text, allowed));
    }
    return text ? Json(*text) : Json(nullptr);
}

Json one_number(const Place& place, const CardKeyRule& rule, const Json& written)
{
    const auto number = number_of(place, rule.key, written);
    return number ? Json(*number) : Json(nullptr);
}

Json value_of(const Place& place, const CardKeyRule& rule, const Json& written)
{
    switch (rule.holds) {
        case Holds::text:
            return one_text(place, rule, rule.key, written);
        case Holds::whole:
            return one_whole(place, rule, rule.key, written);
        case Holds::wholes:
            return list_of(place, rule, rule.key, written, one_whole);
        case Holds::share:
            return share(place, rule, written);
        case Holds::figure:
            return one_figure(place, rule, rule.key, written);
        case Holds::figures:
            return figures_list(place, rule, rule.key, written);
        case Holds::figure_or_each:
            return written.is_array() ? figures_list(place, rule, rule.key, written)
                                      : one_figure(place, rule, rule.key, written);
        case Holds::figures_by_word:
            return by_word(place, rule, written, figures_list);
        case Holds::text_by_word:
            return by_word(place, rule, written, one_text);
        case Holds::whole_by_word:
            return by_word(place, rule, written, one_whole);
        case Holds::shelf:
            return by_word(place, rule, written, one_shelf);
        case Holds::curve:
            return curve(place, rule, written);
        case Holds::table:
            return one_table(place, rule, rule.key, written);
        case Holds::tables:
            return list_of(place, rule, rule.key, written, one_table);
        case Holds::number:
            return one_number(place, rule, written);
        case Holds::word:
            return one_word(place, rule, written);
    }
    return nullptr;
}

void require_rising(const Place& place, const std::string& key, const std::vector<double>& steps)
{
    double before = 0;
    for (const auto step : steps) {
        if (!(step > before)) {
            place.fault(key + " must rise strictly from above 0 mm, got " + number_text(step) +
                        " after " + number_text(before));
            return;
        }
        before = step;
    }
}

void require_one_of(const Place& place, std::string_view key, const std::string& word,
                    const std::vector<std::string>& allowed)
{
    if (word.empty() || std::find(allowed.begin(), allowed.end(), word) != allowed.end()) {
        return;
    }
    std::string all;
    for (const auto& each : allowed) {
        all.append(all.empty() ? "" : "; ").append(each);
    }
    place.fault(std::string(key) + " must be one of " + all + ", got '" + word + "'" +
                did_you_mean(word, allowed));
}

std::vector<std::string> ring_duties()
{
    std::vector<std::string> duties;
    for (const auto& rule : rings::gap_rules()) {
        if (std::find(duties.begin(), duties.end(), rule.duty) == duties.end()) {
            duties.push_back(rule.duty);
        }
    }
    return duties;
}

void require_firing_order(const Place& place, const EngineCard& card)
{
    const std::set<int> distinct(card.firing_order.begin(), card.firing_order.end());
    const auto count = static_cast<std::size_t>(card.cylinders.value_or(0));
    const bool each_once = distinct.size() == card.firing_order.size();
    const bool all =
        !card.cylinders || (distinct.size() == count && *distinct.rbegin() <= *card.cylinders);
    if (!card.firing_order.empty() && !(each_once && all)) {
        place.fault("firing_order must name each cylinder once, from 1" +
                    (card.cylinders ? " to " + std::to_string(count) : std::string{}));
    }
}

void require_sizes(const Place& place, const EngineCard& card)
{
    const auto above = [&](const char* key, std::optional<double> size) {
        if (size && !(*size > 0)) {
            place.fault(std::string(key) + " must be above 0 mm, got " + number_text(*size));
        }
    };
    const auto at_least = [&](const char* key, std::optional<double> size) {
        if (size && *size < 0) {
            place.fault(std::string(key) + " must be at least 0 mm, got " + number_text(*size));
        }
    };
    above("bore", card.bore);
    above("stroke", card.stroke);
    above("rod_length", card.rod_length);
    above("largest_bore", card.largest_bore);
    at_least("grinding_allowance", card.grinding_allowance);
    at_least("hone_allowance", card.hone_allowance);
    at_least("clean_up", card.clean_up);
    at_least("case_depth", card.case_depth);
}

/// Two pads, the big-end one first and well apart from the other.
void require_pads(const Place& place, const EngineCard& card)
{
    const auto& pads = card.rod_pads;
    if (pads.empty()) {
        return;
    }
    if (pads.size() != 2) {
        place.fault("rod_pads must hold the big-end and the small-end pad, got " +
                    std::to_string(pads.size()) + " figures");
    } else if (!(pads[1] - pads[0] > 1e-6 * card.rod_length.value_or(1.0))) {
        place.fault("rod_pads must hold the small-end pad above the big-end one, " +
                    number_text(pads[0]) + " mm, got " + number_text(pads[1]));
    }
}

/// The shelf by what lies there: grades with their wall, or sizes.
std::map<std::string, std::vector<ShelfItem>> shelf_of(const Json& figures)
{
    std::map<std::string, std::vector<ShelfItem>> shelf;
    for (const auto& [what, items] : figures.items()) {
        auto& list = shelf[what];
        for (const auto& [name, item] : items.items()) {
            const bool grade = items.is_object();
            list.push_back({.grade = grade ? name : std::string(),
                            .size = item.at(grade ? "wall" : "size").get<double>(),
                            .pieces = item.at("pieces").get<int>()});
        }
    }
    return shelf;
}

/// Fills the members that the checks ask for from figures that had no fault.
EngineCard filled(const Json& figures)
{
    EngineCard card;
    const auto take = [&](const char* key, auto& member) {
        if (const auto at = figures.find(key); at != figures.end()) {
            member = at->get<std::remove_cvref_t<decltype(member)>>();
        }
    };
    const auto take_optional = [&](const char* key, auto& member) {
        if (const auto at = figures.find(key); at != figures.end()) {
            member = at->get<typename std::remove_cvref_t<decltype(member)>::value_type>();
        }
    };
    take("name", card.name);
    take("layout", card.layout);
    take("ring_duty", card.ring_duty);
    take("wear_side", card.wear_side);
    take("source", card.source);
    take("firing_order", card.firing_order);
    take("undersizes", card.undersizes);
    take("oversizes", card.oversizes);
    take("rod_pads", card.rod_pads);
    take("materials", card.materials);
    take("journals", card.journals);
    take_optional("cylinders", card.cylinders);
    take_optional("valves_per_cylinder", card.valves_per_cylinder);
    take_optional("most_shims", card.most_shims);
    take_optional("bore", card.bore);
    take_optional("stroke", card.stroke);
    take_optional("rod_length", card.rod_length);
    take_optional("grinding_allowance", card.grinding_allowance);
    take_optional("hone_allowance", card.hone_allowance);
    take_optional("clean_up", card.clean_up);
    take_optional("aim", card.aim);
    take_optional("case_depth", card.case_depth);
    take_optional("largest_bore", card.largest_bore);
    if (const auto at = figures.find("shelf"); at != figures.end()) {
        card.shelf = shelf_of(*at);
    }
    return card;
}

}  // namespace

Json figures_of_card(const Place& place, const Json& written)
{
    Json figures = Json::object();
    for (const auto& [key, value] : written.items()) {
        const auto* const rule = card_key_rule(key);
        if (rule == nullptr) {
            place.fault("unknown key '" + key + "'" + did_you_mean(key, known_keys()));
        } else if (says_something(value)) {
            figures[key] = value_of(place, *rule, value);
        }
    }
    if (!figures.contains("name")) {
        place.fault("name must be given, it is missing");
    }
    return figures;
}

EngineCard card_from(const Place& place, const Json& written)
{
    const auto before = place.faults.size();
    const auto figures = figures_of_card(place, written);
    if (place.faults.size() > before) {
        return {};
    }
    auto card = filled(figures);
    require_rising(place, "oversizes", card.oversizes);
    require_pads(place, card);
    for (const auto& [feature, steps] : card.undersizes) {
        require_rising(place, "undersizes." + feature, steps);
    }
    require_one_of(place, "ring_duty", card.ring_duty, ring_duties());
    require_one_of(place, "wear_side", card.wear_side, {"even", "one side"});
    require_firing_order(place, card);
    require_sizes(place, card);
    card.written = written.dump();
    return card;
}

std::string card_figures(const EngineCard& card)
{
    Faults faults;
    const Place place{card.name, faults};
    const auto figures =
        figures_of_card(place, card.written.empty() ? Json{{"name", card.name}}
                                                    : parsed_json(card.written, card.name));
    faults.refuse_any();
    return figures.dump();
}

}  // namespace enginewright::table
