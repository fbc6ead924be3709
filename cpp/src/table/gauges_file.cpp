#include <algorithm>
#include <array>
#include <set>

#include "enginewright/table.hpp"
#include "near.hpp"
#include "table/figures.hpp"
#include "table/gauges.hpp"

namespace enginewright::table {

namespace {

constexpr std::array<std::string_view, 16> gauge_keys{"name",
                                                      "resolution",
                                                      "maximum_permissible_error",
                                                      "calibration_uncertainty",
                                                      "coverage_factor",
                                                      "calibration_freedom",
                                                      "correction",
                                                      "repeatability",
                                                      "repeatability_freedom",
                                                      "expansion",
                                                      "same_place",
                                                      "due",
                                                      "setting",
                                                      "setting_uncertainty",
                                                      "temperature",
                                                      "unit"};

/// Reads one gauge.
class GaugeReader {
  public:
    GaugeReader(const Json& written, const Place& place) : written_(written), place_(place) {}

    GaugeCard read()
    {
        for (const auto& [key, value] : written_.items()) {
            if (std::find(gauge_keys.begin(), gauge_keys.end(), key) == gauge_keys.end()) {
                place_.fault("unknown key '" + key + "'" + did_you_mean(key, gauge_keys));
            }
        }
        GaugeCard card;
        auto& gauge = card.gauge;
        gauge.name = text("name");
        if (gauge.name.empty()) {
            place_.fault("name must be given, it is missing");
        }
        gauge.resolution = length("resolution").value_or(0);
        gauge.maximum_permissible_error = length("maximum_permissible_error");
        gauge.calibration_uncertainty = length("calibration_uncertainty");
        gauge.coverage_factor = above_zero("coverage_factor").value_or(gauge.coverage_factor);
        gauge.calibration_freedom =
            above_zero("calibration_freedom").value_or(gauge.calibration_freedom);
        gauge.correction = signed_length("correction");
        gauge.repeatability = length("repeatability");
        gauge.repeatability_freedom =
            above_zero("repeatability_freedom").value_or(gauge.repeatability_freedom);
        gauge.expansion = expansion().value_or(gauge.expansion);
        gauge.same_place = truth("same_place");
        card.due = due();
        card.setting = text("setting");
        card.setting_uncertainty =
            length("setting_uncertainty").value_or(0) / gauge.coverage_factor;
        card.temperature = temperature();
        if (card.setting_uncertainty > 0 && card.setting.empty()) {
            place_.fault("setting must be given with a setting_uncertainty: what it is zeroed on");
        }
        return card;
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

    std::optional<double> signed_length(std::string_view key) const
    {
        const auto* const found = at(key);
        if (found == nullptr) {
            return std::nullopt;
        }
        const auto read = figure(place_, key, *found, text("unit"), "length");
        return read ? std::optional(read->value) : std::nullopt;
    }

    std::optional<double> length(std::string_view key) const
    {
        const auto value = signed_length(key);
        if (value && *value < 0) {
            place_.fault(std::string(key) + " must be at least 0 mm, got " + number_text(*value));
        }
        return value;
    }

    std::optional<double> above_zero(std::string_view key) const
    {
        const auto* const found = at(key);
        if (found == nullptr) {
            return std::nullopt;
        }
        const auto value = number_of(place_, key, *found);
        if (value && !(*value > 0)) {
            place_.fault(std::string(key) + " must be above 0, got " + number_text(*value));
            return std::nullopt;
        }
        return value;
    }

    /// A coefficient may stand as the bare number that `measure.gauge` takes: it has one unit only.
    std::optional<double> expansion() const
    {
        const auto* const found = at("expansion");
        if (found == nullptr) {
            return std::nullopt;
        }
        const auto read = figure(place_, "expansion", *found, "1/K", "expansion");
        if (read && read->value < 0) {
            place_.fault("expansion must be at least 0 1/K, got " + number_text(read->value));
        }
        return read ? std::optional(read->value) : std::nullopt;
    }

    std::optional<double> temperature() const
    {
        const auto* const found = at("temperature");
        if (found == nullptr) {
            return std::nullopt;
        }
        const auto read = figure(place_, "temperature", *found, "°C", "temperature");
        return read ? std::optional(read->value) : std::nullopt;
    }

    bool truth(std::string_view key) const
    {
        const auto* const found = at(key);
        if (found == nullptr) {
            return false;
        }
        if (!found->is_boolean()) {
            place_.fault(std::string(key) + " must be true or false, got " + shown(*found));
            return false;
        }
        return found->get<bool>();
    }

    std::optional<int> due() const
    {
        const auto given = text("due");
        if (given.empty()) {
            return std::nullopt;
        }
        try {
            return days_of_text("due", given);
        } catch (const std::invalid_argument& refused) {
            place_.fault(refused.what());
            return std::nullopt;
        }
    }

    const Json& written_;
    const Place& place_;
};

/// A setting has one uncertainty, whichever gauge names it.
void refuse_contradictions(const std::vector<GaugeCard>& rows, std::string_view place,
                           Faults& faults)
{
    std::set<std::string> names;
    std::map<std::string, const GaugeCard*> settings;
    for (const auto& row : rows) {
        const auto here = std::string(place) + ", gauge " + row.gauge.name;
        if (!row.gauge.name.empty() && !names.insert(row.gauge.name).second) {
            faults.add(here, "name must stand once, got it twice");
        }
        if (row.setting.empty()) {
            continue;
        }
        const auto [at, fresh] = settings.emplace(row.setting, &row);
        if (!fresh && at->second->setting_uncertainty != row.setting_uncertainty) {
            faults.add(here, "setting_uncertainty must be the one that " + at->second->gauge.name +
                                 " has for the same setting, '" + row.setting + "'");
        }
    }
}

}  // namespace

Gauges gauges_from_json(std::string_view text, std::string_view place)
{
    const auto file = parsed_json(text, place);
    if (!file.is_object()) {
        throw std::invalid_argument(std::string(place) + " must be a table of gauges, got " +
                                    shown(file));
    }
    Faults faults;
    const Place whole{std::string(place), faults};
    if (const auto schema = file.find("schema"); schema != file.end() && schema->is_string()) {
        require_schema(gauges_spec(), schema->get_ref<const std::string&>());
    }
    constexpr std::array<std::string_view, 5> file_keys{"schema", "version", "gauge", "limit",
                                                        "engine"};
    for (const auto& [key, value] : file.items()) {
        if (std::find(file_keys.begin(), file_keys.end(), key) == file_keys.end()) {
            whole.fault("unknown key '" + key + "'" + did_you_mean(key, file_keys));
        }
    }
    Gauges gauges;
    for (const auto* written : objects_at(file, "gauge", whole)) {
        const Place here{std::string(place) + ", gauge " + std::to_string(gauges.rows.size() + 1),
                         faults};
        gauges.rows.push_back(GaugeReader(*written, here).read());
    }
    refuse_contradictions(gauges.rows, place, faults);
    faults.refuse_any();
    return gauges;
}

std::string gauges_to_json(const Gauges& gauges)
{
    Json file{{"schema", gauges_spec().schema()}, {"gauge", Json::array()}};
    for (const auto& row : gauges.rows) {
        Json out = Json::object();
        for_each_field(row.gauge, [&](const auto& field, const auto& value) {
            // What is as if nobody had written it is not written: infinity among it.
            auto json = json_of(field.name, field.unit, value);
            if (!json.is_null()) {
                out[field.name] = std::move(json);
            }
        });
        if (row.due) {
            out["due"] = date_text(*row.due);
        }
        if (!row.setting.empty()) {
            out["setting"] = row.setting;
        }
        if (row.setting_uncertainty > 0) {
            out["setting_uncertainty"] = number_text(expanded_setting(row)) + " mm";
        }
        if (row.temperature) {
            out["temperature"] = number_text(*row.temperature) + " °C";
        }
        file["gauge"].push_back(std::move(out));
    }
    return file.dump();
}

}  // namespace enginewright::table
