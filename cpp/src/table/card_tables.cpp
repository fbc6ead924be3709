#include <cmath>
#include <limits>

#include "enginewright/table.hpp"
#include "table/gauges.hpp"

namespace enginewright::table {

double expanded_setting(const GaugeCard& card)
{
    const auto factor = card.gauge.coverage_factor;
    const auto standard = card.setting_uncertainty;
    const auto figure = standard * factor;
    // Multiplying rounds; a neighbour of the product divides back exactly.
    for (const double towards : {0.0, std::numeric_limits<double>::infinity()}) {
        auto candidate = figure;
        for (int step = 0; step < 4 && candidate / factor != standard; ++step) {
            candidate = std::nextafter(candidate, towards);
        }
        if (candidate / factor == standard) {
            return candidate;
        }
    }
    return figure;
}

namespace {

/// Columns of a list of records, one after the other.
template <class Rows>
class Columns {
  public:
    explicit Columns(const Rows& rows) : rows_(rows) {}

    void words(const char* name, auto&& pick)
    {
        WordEncoder encoder;
        std::vector<std::int32_t> codes;
        for (const auto& row : rows_) {
            codes.push_back(encoder.encode(pick(row)));
        }
        put(name, Column::of_words(hold(std::move(codes)), rows_.size(), encoder.finish()));
    }

    /// Figures that may be absent; an infinite one says nothing either.
    void figures(const char* name, auto&& pick)
    {
        std::vector<double> values;
        std::vector<std::uint8_t> present;
        for (const auto& row : rows_) {
            const std::optional<double> figure = pick(row);
            const bool said = figure && std::isfinite(*figure);
            values.push_back(said ? *figure : std::numeric_limits<double>::quiet_NaN());
            present.push_back(said ? 1 : 0);
        }
        put(name,
            Column::of_numbers(hold(std::move(values)), rows_.size(), mask_from_present(present)));
    }

    /// Counts, or days, that may be absent.
    void wholes(const char* name, Kind kind, auto&& pick)
    {
        std::vector<std::int32_t> values;
        std::vector<std::uint8_t> present;
        for (const auto& row : rows_) {
            const std::optional<int> whole = pick(row);
            values.push_back(whole.value_or(0));
            present.push_back(whole ? 1 : 0);
        }
        auto mask = mask_from_present(present);
        auto buffer = hold(std::move(values));
        put(name, kind == Kind::date
                      ? Column::of_dates(std::move(buffer), rows_.size(), std::move(mask))
                      : Column::of_counts(std::move(buffer), rows_.size(), std::move(mask)));
    }

    void truths(const char* name, auto&& pick)
    {
        std::vector<std::uint8_t> values;
        for (const auto& row : rows_) {
            values.push_back(pick(row) ? 1 : 0);
        }
        put(name, Column::of_truths(hold(std::move(values)), rows_.size()));
    }

    Table arranged(const TableSpec& spec)
    {
        return Table::arranged(spec, rows_.size(), std::move(columns_));
    }

  private:
    void put(const char* name, Column column) { columns_.push_back({name, std::move(column)}); }

    const Rows& rows_;
    std::vector<NamedColumn> columns_{};
};

}  // namespace

Table limits_table(const Limits& limits)
{
    Columns columns(limits.rows);
    const auto member = [](auto pointer) {
        return [pointer](const Limit& limit) { return limit.*pointer; };
    };
    columns.words("engine", member(&Limit::engine));
    columns.words("stage", member(&Limit::stage));
    columns.words("feature", member(&Limit::feature));
    columns.wholes("number", Kind::count, member(&Limit::number));
    columns.words("part", member(&Limit::part));
    columns.words("station", member(&Limit::station));
    columns.words("axis", member(&Limit::axis));
    columns.words("quantity", member(&Limit::quantity));
    columns.figures("lower", member(&Limit::lower));
    columns.figures("upper", member(&Limit::upper));
    columns.figures("target", member(&Limit::target));
    columns.words("unit", member(&Limit::unit));
    columns.words("kind", member(&Limit::kind));
    columns.words("source", member(&Limit::source));
    columns.words("provenance", member(&Limit::provenance));
    columns.words("given_unit", member(&Limit::given_unit));
    return columns.arranged(limits_spec());
}

Table gauges_table(const Gauges& gauges)
{
    using measure::Gauge;
    Columns columns(gauges.rows);
    const auto member = [](auto pointer) {
        return [pointer](const GaugeCard& card) { return std::optional(card.gauge.*pointer); };
    };
    const auto optional_member = [](auto pointer) {
        return [pointer](const GaugeCard& card) { return card.gauge.*pointer; };
    };
    columns.words("name", [](const GaugeCard& card) { return card.gauge.name; });
    columns.figures("resolution", member(&Gauge::resolution));
    columns.figures("maximum_permissible_error",
                    optional_member(&Gauge::maximum_permissible_error));
    columns.figures("calibration_uncertainty", optional_member(&Gauge::calibration_uncertainty));
    columns.figures("coverage_factor", member(&Gauge::coverage_factor));
    columns.figures("calibration_freedom", member(&Gauge::calibration_freedom));
    columns.figures("correction", optional_member(&Gauge::correction));
    columns.figures("repeatability", optional_member(&Gauge::repeatability));
    columns.figures("repeatability_freedom", member(&Gauge::repeatability_freedom));
    columns.figures("expansion", member(&Gauge::expansion));
    columns.truths("same_place", [](const GaugeCard& card) { return card.gauge.same_place; });
    columns.wholes("due", Kind::date, [](const GaugeCard& card) { return card.due; });
    columns.words("setting", [](const GaugeCard& card) { return card.setting; });
    columns.figures("setting_uncertainty", [](const GaugeCard& card) {
        return card.setting_uncertainty > 0 ? std::optional(expanded_setting(card)) : std::nullopt;
    });
    columns.figures("temperature", [](const GaugeCard& card) { return card.temperature; });
    columns.words("unit", [](const GaugeCard&) { return std::string("mm"); });
    return columns.arranged(gauges_spec());
}

}  // namespace enginewright::table
