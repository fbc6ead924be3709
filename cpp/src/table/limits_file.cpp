#include <algorithm>
#include <array>
#include <map>
#include <tuple>

#include "enginewright/fits.hpp"
#include "enginewright/table.hpp"
#include "enginewright/units.hpp"
#include "near.hpp"
#include "table/card.hpp"

namespace enginewright::table {

namespace {

constexpr std::array<std::string_view, 5> file_keys{"schema", "version", "limit", "engine",
                                                    "gauge"};
constexpr std::array<std::string_view, 18> limit_keys{
    "engine", "stage",    "feature",    "number",     "part",   "station",
    "axis",   "quantity", "lower",      "upper",      "target", "unit",
    "kind",   "source",   "provenance", "given_unit", "place",  "tolerance_class"};
constexpr std::array<std::string_view, 4> limit_kinds{"new", "wear", "machining", "repair size"};
constexpr std::array<std::string_view, 4> provenances{"published", "common practice", "from memory",
                                                      "measured here"};

std::string listed(std::span<const std::string_view> words)
{
    std::string all;
    for (const auto word : words) {
        all.append(all.empty() ? "" : ", ").append(word);
    }
    return all;
}

/// Reads one row of the limits.
class RowReader {
  public:
    RowReader(const Json& written, const Place& place) : written_(written), place_(place) {}

    Limit read()
    {
        refuse_unknown_keys();
        Limit limit;
        limit.engine = text("engine");
        limit.stage = text("stage");
        limit.feature = text("feature");
        limit.part = text("part");
        limit.station = text("station");
        limit.axis = text("axis");
        limit.quantity = text("quantity");
        limit.kind = word("kind", limit_kinds);
        limit.source = text("source");
        limit.provenance = word("provenance", provenances);
        limit.place = place_.text;
        if (const auto* number = at("number")) {
            limit.number = whole_of(place_, "number", *number, 1);
        }
        read_figures(limit);
        if (limit.source.empty()) {
            place_.fault("source must be given: where the figure is from");
        }
        return limit;
    }

  private:
    const Json* at(std::string_view key) const
    {
        const auto found = written_.find(std::string(key));
        return found != written_.end() && says_something(*found) ? &*found : nullptr;
    }

    std::string text(std::string_view key) const
    {
        const auto* const found = at(key);
        return found == nullptr ? std::string{} : text_of(place_, key, *found).value_or("");
    }

    std::string word(std::string_view key, std::span<const std::string_view> allowed) const
    {
        auto given = text(key);
        if (!given.empty() && std::find(allowed.begin(), allowed.end(), given) == allowed.end()) {
            place_.fault(std::string(key) + " must be one of " + listed(allowed) + "; got '" +
                         given + "'");
        }
        return given;
    }

    void refuse_unknown_keys() const
    {
        for (const auto& [key, value] : written_.items()) {
            if (std::find(limit_keys.begin(), limit_keys.end(), key) == limit_keys.end()) {
                place_.fault("unknown key '" + key + "'" + did_you_mean(key, limit_keys));
            }
        }
    }

    void read_figures(Limit& limit)
    {
        std::string dimension(dimension_of(limit.quantity));
        const auto unit = text("unit");
        const auto read = [&](std::string_view key, std::optional<double>& into) {
            const auto* const written = at(key);
            if (written == nullptr) {
                return;
            }
            any_ = true;
            if (const auto found = figure(place_, key, *written, unit, dimension)) {
                into = found->value;
                dimension = found->dimension;
                limit.unit = found->unit;
                if (limit.given_unit.empty()) {
                    limit.given_unit = found->given_unit;
                }
            }
        };
        read("lower", limit.lower);
        read("upper", limit.upper);
        read_class(limit, dimension);
        read("target", limit.target);
        if (!any_) {
            place_.fault("lower, upper or target must be given, all are missing");
        }
        read_given_unit(limit, unit, dimension);
        require_order(limit);
    }

    /// Lower and upper limit from a class of ISO 286: of a size, or of a clearance from a fit.
    void read_class(Limit& limit, std::string& dimension)
    {
        limit.tolerance_class = text("tolerance_class");
        if (limit.tolerance_class.empty()) {
            return;
        }
        if (any_) {
            place_.fault(
                "lower and upper must be left out beside tolerance_class, which says both");
            return;
        }
        any_ = true;
        const bool names_fit = limit.tolerance_class.find('/') != std::string::npos;
        if (names_fit != (limit.quantity == "clearance") ||
            (!dimension.empty() && dimension != "length")) {
            place_.fault(
                "tolerance_class must be one class, as '60 h6', for a size, and a fit, as "
                "'40 H7/p6', for a clearance; got '" +
                limit.tolerance_class + "' for '" + limit.quantity + "'");
            return;
        }
        try {
            if (names_fit) {
                const auto fit = fits::fit(limit.tolerance_class);
                limit.lower = fit.minimum_clearance;
                limit.upper = fit.maximum_clearance;
            } else {
                const auto size = fits::limits(limit.tolerance_class);
                limit.lower = size.lower;
                limit.upper = size.upper;
            }
        } catch (const std::invalid_argument& refused) {
            place_.fault(std::string("tolerance_class: ") + refused.what());
            return;
        }
        dimension = "length";
        limit.unit = "mm";
        limit.given_unit = "mm";
    }

    /// The unit that the shop wrote, where a file says it apart from the figures.
    void read_given_unit(Limit& limit, const std::string& unit, const std::string& dimension) const
    {
        const auto given = text("given_unit").empty() ? unit : text("given_unit");
        if (given.empty()) {
            return;
        }
        try {
            limit.given_unit =
                units::unit(given, dimension.empty() ? std::nullopt
                                                     : std::optional<std::string_view>(dimension))
                    .symbol;
        } catch (const units::UnitError& refused) {
            place_.fault(std::string("unit: ") + refused.what());
        }
    }

    void require_order(const Limit& limit) const
    {
        const auto said = [&](double value) { return number_text(value) + " " + limit.unit; };
        if (limit.lower && limit.upper && *limit.lower > *limit.upper) {
            place_.fault("upper must be at least lower, " + said(*limit.lower) + ", got " +
                         said(*limit.upper));
            return;
        }
        if (limit.target && limit.lower && *limit.target < *limit.lower) {
            place_.fault("target must be at least lower, " + said(*limit.lower) + ", got " +
                         said(*limit.target));
        }
        if (limit.target && limit.upper && *limit.target > *limit.upper) {
            place_.fault("target must be at most upper, " + said(*limit.upper) + ", got " +
                         said(*limit.target));
        }
    }

    const Json& written_;
    const Place& place_;
    bool any_ = false;
};

auto key_of(const Limit& l)
{
    return std::tie(l.engine, l.stage, l.feature, l.number, l.part, l.station, l.axis, l.quantity,
                    l.kind);
}

bool same_figures(const Limit& a, const Limit& b)
{
    return a.lower == b.lower && a.upper == b.upper && a.target == b.target && a.unit == b.unit;
}

void refuse_contradictions(const std::vector<Limit>& rows, Faults& faults)
{
    std::map<decltype(key_of(rows.front())), const Limit*> first;
    for (const auto& row : rows) {
        const auto [at, fresh] = first.emplace(key_of(row), &row);
        if (!fresh && !same_figures(*at->second, row)) {
            faults.add(row.place, "figures must be those of " + at->second->place +
                                      ", which is for the same readings");
        }
    }
}

void refuse_unknown_lists(const Json& file, const Place& place)
{
    for (const auto& [key, value] : file.items()) {
        if (std::find(file_keys.begin(), file_keys.end(), key) == file_keys.end()) {
            place.fault("unknown key '" + key + "'" + did_you_mean(key, file_keys));
        }
    }
}

void read_cards(const Json& file, std::string_view place, Limits& limits, Faults& faults)
{
    std::size_t number = 0;
    for (const auto* written : objects_at(file, "engine", {std::string(place), faults})) {
        ++number;
        const auto name = written->find("name");
        const auto called = name != written->end() && name->is_string()
                                ? "engine " + name->get<std::string>()
                                : "engine " + std::to_string(number);
        const Place here{std::string(place) + ", " + called, faults};
        auto card = card_from(here, *written);
        if (!card.name.empty() && !limits.cards.emplace(card.name, card).second) {
            here.fault("name must stand once, got it twice");
        }
    }
}

std::string figure_text(double value, const std::string& unit)
{
    return number_text(value) + " " + unit;
}

}  // namespace

Limits limits_from_json(std::string_view text, std::string_view place)
{
    const auto file = parsed_json(text, place);
    if (!file.is_object()) {
        throw std::invalid_argument(std::string(place) + " must be a table of limits, got " +
                                    shown(file));
    }
    Faults faults;
    const Place whole{std::string(place), faults};
    if (const auto schema = file.find("schema"); schema != file.end() && schema->is_string()) {
        require_schema(limits_spec(), schema->get_ref<const std::string&>());
    }
    refuse_unknown_lists(file, whole);
    Limits limits;
    for (const auto* written : objects_at(file, "limit", whole)) {
        const auto own = written->find("place");
        const Place here{
            own != written->end() && own->is_string()
                ? own->get<std::string>()
                : std::string(place) + ", limit " + std::to_string(limits.rows.size() + 1),
            faults};
        limits.rows.push_back(RowReader(*written, here).read());
    }
    read_cards(file, place, limits, faults);
    if (!faults.any()) {
        refuse_contradictions(limits.rows, faults);
    }
    faults.refuse_any();
    return limits;
}

std::string limits_to_json(const Limits& limits)
{
    Json file{{"schema", limits_spec().schema()}, {"limit", Json::array()}};
    for (const auto& row : limits.rows) {
        Json out = Json::object();
        const auto put = [&out](const char* key, const std::string& value) {
            if (!value.empty()) {
                out[key] = value;
            }
        };
        const auto put_figure = [&](const char* key, std::optional<double> value) {
            if (value) {
                out[key] = figure_text(*value, row.unit);
            }
        };
        put("engine", row.engine);
        put("stage", row.stage);
        put("feature", row.feature);
        if (row.number) {
            out["number"] = *row.number;
        }
        put("part", row.part);
        put("station", row.station);
        put("axis", row.axis);
        put("quantity", row.quantity);
        // A class is written as such: its figures follow from it, to the last bit.
        put("tolerance_class", row.tolerance_class);
        if (row.tolerance_class.empty()) {
            put_figure("lower", row.lower);
            put_figure("upper", row.upper);
        }
        put_figure("target", row.target);
        put("given_unit", row.given_unit);
        put("kind", row.kind);
        put("source", row.source);
        put("provenance", row.provenance);
        put("place", row.place);
        file["limit"].push_back(std::move(out));
    }
    file["engine"] = Json::array();
    for (const auto& [name, card] : limits.cards) {
        file["engine"].push_back(card.written.empty() ? Json{{"name", name}}
                                                      : parsed_json(card.written, name));
    }
    return file.dump();
}

}  // namespace enginewright::table
