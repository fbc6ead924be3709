#include "bind.hpp"
#include "doc/measure.hpp"
#include "enginewright/measure/gauge_study.hpp"
#include "enginewright/measure/outliers.hpp"
#include "enginewright/measure/risk.hpp"
#include "enginewright/measure/settle.hpp"

/// What is asked of gauges and readings as a whole: settling, outliers, studies, risks.
namespace enginewright::bind {

namespace {

/// `measure.settle`: a reading with its count, or any other quantity, which has none.
struct SettleReading {
    static constexpr std::size_t count = 5;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const Argument<std::optional<double>> lower(given[1], signature.name(1));
        const Argument<std::optional<double>> upper(given[2], signature.name(2));
        const Argument<double> level(given[3], signature.name(3));
        const Argument<int> most(given[4], signature.name(4));
        return give(measure::settle(taken(given[0], signature.name(0)), lower.get(), upper.get(),
                                    level.get(), most.get()));
    }

  private:
    static measure::Reading taken(PyObject* given, std::string_view name)
    {
        const AnyQuantity quantity = take_quantity(given, name);
        if (!quantity.single()) {
            refuse_all(name, "be a single reading, got an array");
        }
        measure::Reading reading{.size = quantity.one()};
        if (py::isinstance<AnyReading>(given)) {
            const auto& seen = py::handle(given).cast<const AnyReading&>();
            reading.count = seen.count;
            reading.mean_indication = seen.mean_indication;
            reading.standard_deviation = seen.standard_deviation;
            reading.repeats = seen.repeats;
        }
        return reading;
    }
};

/// `measure.gauge_study`: readings of three dimensions.
struct StudyGauge {
    static constexpr std::size_t count = 4;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto readings = take_array(given[0], signature.name(0));
        const Argument<std::optional<double>> tolerance(given[1], signature.name(1));
        const Argument<double> significance(given[2], signature.name(2));
        const Argument<measure::Interaction> interaction(given[3], signature.name(3));
        if (readings.ndim() != 3) {
            refuse_all(signature.name(0),
                       "have three dimensions, parts by operators by repeats, got " +
                           std::to_string(readings.ndim()));
        }
        const auto length = [&](int axis) {
            return static_cast<std::size_t>(readings.shape(axis));
        };
        return give(measure::gauge_study(
            {readings.data(), static_cast<std::size_t>(readings.size())}, length(0), length(1),
            length(2), tolerance.get(), significance.get(), interaction.get()));
    }
};

}  // namespace

void bind_measure_studies(py::module_& module)
{
    bind_record<measure::Settle>(module, "Settle", doc::measure::Settle);
    bind_record<measure::Outliers>(module, "Outliers", doc::measure::Outliers);
    bind_record<measure::StudyRow>(module, "StudyRow", doc::measure::StudyRow);
    bind_record<measure::GaugeStudy>(module, "GaugeStudy", doc::measure::GaugeStudy);
    bind_record<measure::Risk>(module, "Risk", doc::measure::Risk);

    define(module, "settle", SettleReading{}, doc::measure::settle, "reading"_a,
           "lower"_a = py::none(), "upper"_a = py::none(), py::kw_only(), "level"_a = 0.95,
           "most"_a = 50);
    define(module, "outliers", without_gil(measure::outliers), doc::measure::outliers, "readings"_a,
           py::kw_only(), "most"_a = 1, "significance"_a = 0.05, "side"_a = "both");
    define(module, "gauge_study", StudyGauge{}, doc::measure::gauge_study, "readings"_a,
           py::kw_only(), "tolerance"_a = py::none(), "significance"_a = 0.25,
           "interaction"_a = "auto");
    define(module, "risk", broadcast(measure::risk), doc::measure::risk, "mean"_a, "deviation"_a,
           "standard_uncertainty"_a, "lower"_a = py::none(), "upper"_a = py::none(), py::kw_only(),
           "guard"_a = 0.0);
}

}  // namespace enginewright::bind
