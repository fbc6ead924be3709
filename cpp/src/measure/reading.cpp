#include <algorithm>
#include <cmath>

#include "enginewright/measure.hpp"

namespace enginewright::measure {

namespace {

constexpr double reference_temperature = 20.0;  // ISO 1
constexpr double absolute_zero = -273.15;
constexpr double greatest_expansion = 1e-3;  // soft plastics reach a fifth of it

void require_temperature(std::string_view name, double value)
{
    require_at_least(name, value, absolute_zero, "°C");
}

void require_expansion(std::string_view name, double value)
{
    require_between(name, value, 0.0, greatest_expansion, "1/K");
}

/// 1 + expansion * (temperature - 20); exactly 1 at exactly 20.
Quantity growth(const Quantity& expansion, const Quantity& temperature)
{
    return 1.0 + expansion * (temperature - reference_temperature);
}

bool is_exactly_reference(const Quantity& temperature)
{
    return temperature.value() == reference_temperature && temperature.contributions().empty();
}

struct Scatter {
    double mean = 0;
    std::optional<double> deviation{};
};

Scatter scatter_of(std::span<const double> readings)
{
    // From the first reading on: the mean of equal readings is that reading to the last bit.
    const double first = readings.front();
    const auto n = static_cast<double>(readings.size());
    double sum = 0;
    for (const double each : readings) {
        sum += each - first;
    }
    const double shift = sum / n;
    if (readings.size() == 1) {
        return {first, {}};
    }
    double squares = 0;
    for (const double each : readings) {
        const double off = each - first - shift;
        squares += off * off;
    }
    return {first + shift, std::sqrt(squares / (n - 1))};
}

const double root_three = std::sqrt(3.0);
const double root_twelve = std::sqrt(12.0);

Repeats repeats_of(const Gauge* gauge)
{
    if (gauge == nullptr) {
        return {};
    }
    return {.resolution = gauge->resolution,
            .record = gauge->repeatability,
            .record_freedom = gauge->repeatability_freedom};
}

void note(const Repeatability& repeat, std::vector<std::string>& notes)
{
    if (!repeat.assessed) {
        notes.emplace_back("repeatability not assessed");
    }
    if (repeat.stands_out) {
        notes.emplace_back("readings scatter more than the gauge's record");
    }
}

std::string zero_name(const Gauge* gauge, std::string_view setting)
{
    return (gauge != nullptr ? gauge->name + ": zero " : std::string("zero ")).append(setting);
}

/// Mean of the readings with correction, and the sources that every reading has.
Quantity indicated_size(const Scatter& scatter, const Gauge* gauge, const GaugeSources& known,
                        Sources& sources, Reading& result)
{
    const Repeatability repeat = repeatability(result.repeats, result.count, scatter.deviation);
    note(repeat, result.notes);
    Quantity size = scatter.mean;
    const auto doubt = [&size](double uncertainty, std::uint64_t source) {
        size = size + Quantity(0.0, uncertainty, source);
    };
    if (repeat.uncertainty > 0) {
        result.repeats.source =
            repeat.by_resolution ? sources.unnamed() : sources.unnamed(repeat.freedom, Kind::a);
        doubt(repeat.uncertainty, *result.repeats.source);
    }
    if (gauge == nullptr) {
        return size;
    }
    if (gauge->calibration_uncertainty.value_or(0.0) > 0) {
        doubt(*gauge->calibration_uncertainty / gauge->coverage_factor, known.certificate);
    }
    if (gauge->maximum_permissible_error.value_or(0.0) > 0 && !gauge->correction) {
        doubt(*gauge->maximum_permissible_error / root_three,
              gauge->same_place ? known.permissible_error : sources.unnamed());
    }
    return size + gauge->correction.value_or(0.0);
}

Quantity zero_of(const Gauge* gauge, const ReadingOptions& options, const GaugeSources& known,
                 Sources& sources)
{
    if (options.known_zero) {
        return *options.known_zero;
    }
    double mean = 0;
    double range = 0;
    if (!options.zero.empty()) {
        mean = scatter_of(options.zero).mean;
        const auto [least, greatest] = std::ranges::minmax(options.zero);
        range = greatest - least;
    }
    const double resolution = gauge != nullptr ? gauge->resolution : 0.0;
    const double uncertainty = std::hypot(resolution, range) / root_twelve;
    if (uncertainty == 0) {
        return mean;
    }
    if (options.setting.empty()) {
        return {mean, uncertainty, sources.unnamed()};
    }
    return {mean, uncertainty,
            gauge != nullptr ? known.zero : sources.named(zero_name(gauge, options.setting))};
}

void require_options(const ReadingOptions& options)
{
    require_temperature("temperature", options.temperature.value());
    if (options.expansion) {
        require_expansion("expansion", options.expansion->value());
    } else if (!is_exactly_reference(options.temperature)) {
        refuse_all("expansion", "be given when the temperature is not exactly 20 °C, got none at " +
                                    number_text(options.temperature.value()) + " °C");
    }
    if (options.gauge_temperature) {
        require_temperature("gauge_temperature", options.gauge_temperature->value());
    }
    if (options.master_temperature) {
        require_temperature("master_temperature", options.master_temperature->value());
    }
    if (options.master_expansion) {
        require_expansion("master_expansion", options.master_expansion->value());
    }
    if (options.master) {
        require_size("master", options.master->value());
    }
    if (!options.zero.empty()) {
        require_readings("zero", options.zero, 1);
    }
    const bool zeroed = std::ranges::any_of(options.zero, [](double each) { return each != 0; }) ||
                        options.known_zero.has_value();
    if (zeroed && !options.master) {
        const double first =
            options.known_zero ? options.known_zero->value() : options.zero.front();
        refuse("zero", "0 mm without a master, since a direct gauge's zero error is its correction",
               first);
    }
}

}  // namespace

Gauge gauge(const std::string& name, double resolution,
            std::optional<double> maximum_permissible_error,
            std::optional<double> calibration_uncertainty, double coverage_factor,
            double calibration_freedom, std::optional<double> correction,
            std::optional<double> repeatability, double repeatability_freedom, double expansion,
            bool same_place)
{
    Gauge card{.name = name,
               .resolution = resolution,
               .maximum_permissible_error = maximum_permissible_error,
               .calibration_uncertainty = calibration_uncertainty,
               .coverage_factor = coverage_factor,
               .calibration_freedom = calibration_freedom,
               .correction = correction,
               .repeatability = repeatability,
               .repeatability_freedom = repeatability_freedom,
               .expansion = expansion,
               .same_place = same_place};
    require_gauge(card);
    return card;
}

void require_gauge(const Gauge& gauge)
{
    if (gauge.name.empty() || gauge.name.front() == '#') {
        refuse_all("name", "be a name that is not empty and does not begin with '#', got '" +
                               gauge.name + "'");
    }
    const auto freedom = [](std::string_view name, double value) {
        if (!(value >= least_freedom)) {
            refuse(name, "at least 0.1", value);
        }
    };
    require_at_least("resolution", gauge.resolution, 0.0, "mm");
    require_at_least("maximum_permissible_error", gauge.maximum_permissible_error.value_or(0.0),
                     0.0, "mm");
    require_at_least("calibration_uncertainty", gauge.calibration_uncertainty.value_or(0.0), 0.0,
                     "mm");
    require_positive("coverage_factor", gauge.coverage_factor);
    freedom("calibration_freedom", gauge.calibration_freedom);
    require_finite("correction", gauge.correction.value_or(0.0));
    require_at_least("repeatability", gauge.repeatability.value_or(0.0), 0.0, "mm");
    freedom("repeatability_freedom", gauge.repeatability_freedom);
    require_expansion("expansion", gauge.expansion);
}

GaugeSources gauge_sources(const Gauge& gauge, std::string_view setting, Sources& sources)
{
    GaugeSources found;
    if (gauge.calibration_uncertainty.value_or(0.0) > 0) {
        found.certificate = sources.named(gauge.name + ": certificate", gauge.calibration_freedom);
    }
    if (gauge.same_place && gauge.maximum_permissible_error.value_or(0.0) > 0) {
        found.permissible_error = sources.named(gauge.name + ": permissible error");
    }
    if (!setting.empty()) {
        found.zero = sources.named(zero_name(&gauge, setting));
    }
    return found;
}

Reading reading(std::span<const double> readings, const Gauge* gauge, const ReadingOptions& options,
                Sources& sources)
{
    require_readings("readings", readings, 1);
    require_options(options);
    GaugeSources known;
    if (options.known_sources != nullptr) {
        known = *options.known_sources;
    } else if (gauge != nullptr) {
        require_gauge(*gauge);
        known = gauge_sources(*gauge, options.master ? options.setting : "", sources);
    }
    const Scatter scatter = scatter_of(readings);
    Reading result{.size = {},
                   .count = readings.size(),
                   .mean_indication = scatter.mean,
                   .standard_deviation = scatter.deviation,
                   .notes = {},
                   .repeats = repeats_of(gauge)};
    Quantity size = indicated_size(scatter, gauge, known, sources, result);
    const auto repeated = [&](const Quantity& quantity) {
        return result.repeats.source ? quantity.contribution(*result.repeats.source) : 0.0;
    };
    const double indicated = repeated(size);

    const double gauge_expansion = gauge != nullptr ? gauge->expansion : Gauge{}.expansion;
    if (options.master) {
        const Quantity zero = zero_of(gauge, options, known, sources);
        const Quantity& temperature =
            options.master_temperature ? *options.master_temperature : options.temperature;
        const Quantity expansion = options.master_expansion.value_or(gauge_expansion);
        size = *options.master * growth(expansion, temperature) + (size - zero);
    } else {
        const Quantity& temperature =
            options.gauge_temperature ? *options.gauge_temperature : options.temperature;
        if (!is_exactly_reference(temperature)) {
            size = size * growth(gauge_expansion, temperature);
        }
    }
    if (!is_exactly_reference(options.temperature)) {
        size = size / growth(*options.expansion, options.temperature);
    }
    if (result.repeats.source) {
        result.repeats.slope = repeated(size) / indicated;
    }
    result.size = std::move(size);
    return result;
}

double size_at(double length, double expansion, double from_temperature, double to_temperature)
{
    require_length("length", length);
    require_expansion("expansion", expansion);
    require_temperature("from_temperature", from_temperature);
    require_temperature("to_temperature", to_temperature);
    return length * (1 + expansion * (to_temperature - reference_temperature)) /
           (1 + expansion * (from_temperature - reference_temperature));
}

}  // namespace enginewright::measure
