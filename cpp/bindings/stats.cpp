#include "enginewright/stats.hpp"

#include "bind.hpp"
#include "doc/stats.hpp"

namespace enginewright::bind {

/// Readings of one dimension, single ones; of two, subgroups by readings. Looked at, not copied.
template <>
struct Argument<stats::Values> {
    py::array_t<double, py::array::c_style> held;
    Argument(py::handle given, std::string_view name) : held(take_array(given, name))
    {
        if (held.ndim() != 1 && held.ndim() != 2) {
            refuse_all(name, "have one or two dimensions, got " + std::to_string(held.ndim()));
        }
        if (held.ndim() == 2 && held.size() == 0) {
            refuse_all(name, "hold at least 1 subgroup of 2 readings, got " +
                                 std::to_string(held.shape(0)) + " by " +
                                 std::to_string(held.shape(1)));
        }
    }
    stats::Values get() const
    {
        return {{held.data(), static_cast<std::size_t>(held.size())},
                held.ndim() == 2 ? static_cast<std::size_t>(held.shape(1)) : 0};
    }
};

void bind_stats(py::module_ module)
{
    namespace text = doc::stats;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<stats::Summary>(module, "Summary", text::Summary);
    bind_record<stats::Constants>(module, "Constants", text::Constants);
    bind_record<stats::Signal>(module, "Signal", text::Signal);
    bind_record<stats::Chart>(module, "Chart", text::Chart);
    bind_record<stats::DriftChart>(module, "DriftChart", text::DriftChart);
    bind_record<stats::Capability>(module, "Capability", text::Capability);
    bind_record<stats::Trend>(module, "Trend", text::Trend);

    const py::object usual = give(stats::usual_patterns);
    module.attr("DEFAULT") = usual;
    define(module, "summary", without_gil(stats::summary), text::summary, "values"_a);
    define(module, "chart_constants", broadcast(stats::chart_constants), text::chart_constants,
           "count"_a);
    define(module, "signals", without_gil(stats::signals), text::signals, "points"_a, "centre"_a,
           "sigma"_a, keyword_only, "rules"_a = usual);
    define(module, "chart", without_gil(stats::chart), text::chart, "values"_a, "kind"_a = none,
           keyword_only, "baseline"_a = none, "rules"_a = usual);
    define(module, "drift_chart", without_gil(stats::drift_chart), text::drift_chart, "values"_a,
           "centre"_a, "sigma"_a, keyword_only, "weight"_a = 0.2, "width"_a = 3.0,
           "steady"_a = false);
    define(module, "capability", without_gil(stats::capability), text::capability, "values"_a,
           "lower"_a = none, "upper"_a = none, keyword_only, "target"_a = none, "level"_a = 0.95);
    define(module, "trend", without_gil(stats::trend), text::trend, "times"_a, "values"_a,
           keyword_only, "level"_a = 0.95, "lower"_a = none, "upper"_a = none);
}

}  // namespace enginewright::bind
