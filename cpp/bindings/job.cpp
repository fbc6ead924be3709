#include "enginewright/job.hpp"

#include "bind.hpp"
#include "doc/job.hpp"
#include "enginewright/job/assembly.hpp"
#include "quantity_object.hpp"
#include "tables.hpp"

namespace enginewright::bind {

namespace {

job::InspectOptions options_from(const std::string& rule, double level)
{
    job::InspectOptions options;
    options.rule = from_word<measure::Rule>("rule", rule);
    options.level = level;
    return options;
}

py::object inspect(const py::object& readings, const py::object& limits, const py::object& gauges,
                   std::optional<std::string> kind, const std::string& rule, double level,
                   int threads, bool plans_always)
{
    auto options = options_from(rule, level);
    options.kind = std::move(kind);
    options.threads = threads;
    options.plans_always = plans_always;
    const auto view = table::view(take_readings(readings));
    const auto& rows = take_limits(limits);
    const auto& cards = take_gauges(gauges);
    table::Findings found = [&] {
        const py::gil_scoped_release released;
        return job::inspect(view, rows, cards, options);
    }();
    return give_findings(std::move(found), readings);
}

py::object assemblies(const py::object& readings, const py::object& limits,
                      const py::object& gauges, std::optional<std::string> kind,
                      const std::string& rule, double level, bool plans_always)
{
    auto options = options_from(rule, level);
    options.kind = std::move(kind);
    options.plans_always = plans_always;
    const auto view = table::view(take_readings(readings));
    const auto& rows = take_limits(limits);
    const auto& cards = take_gauges(gauges);
    const auto found = [&] {
        const py::gil_scoped_release released;
        return job::assemblies(view, rows, cards, options);
    }();
    return give(found);
}

/// A number or a quantity as figure, doubt and degrees of freedom.
void set_value(job::CustomFinding& finding, const py::object& value)
{
    if (value.is_none()) {
        return;
    }
    const auto taken = take_quantity(value, "value");
    if (!taken.single()) {
        refuse_all("value", "be one figure, got an array");
    }
    finding.value = taken.one().value();
    finding.uncertainty = taken.one().standard_uncertainty();
    finding.freedom = taken.one().degrees_of_freedom();
}

job::CustomFinding custom_finding(std::vector<std::int64_t> rows, const py::object& value,
                                  std::optional<double> lower, std::optional<double> upper,
                                  std::optional<double> target, std::string unit,
                                  std::string quantity, std::string next, std::string reason,
                                  std::optional<double> amount, std::string amount_unit,
                                  std::string source, const std::optional<std::string>& verdict)
{
    require_ordered("lower", lower, "upper", upper, unit);
    job::CustomFinding finding;
    finding.rows = std::move(rows);
    set_value(finding, value);
    finding.lower = lower;
    finding.upper = upper;
    finding.target = target;
    finding.amount = amount;
    finding.unit = std::move(unit);
    finding.amount_unit = std::move(amount_unit);
    finding.quantity = std::move(quantity);
    finding.source = std::move(source);
    finding.next = std::move(next);
    finding.reason = std::move(reason);
    if (verdict) {
        finding.verdict = from_word<Standing>("verdict", *verdict);
    }
    return finding;
}

py::object join(const py::object& findings, const py::object& readings,
                const std::vector<job::CustomFinding>& custom, const std::string& rule,
                double level, const py::object& gauges)
{
    return give_findings(job::join(take_findings(findings), table::view(take_readings(readings)),
                                   custom, options_from(rule, level), &take_gauges(gauges)),
                         readings);
}

std::vector<job::CheckInfo> all_checks()
{
    const auto list = job::checks();
    return {list.begin(), list.end()};
}

}  // namespace

void bind_job(py::module_ module)
{
    bind_record<job::CheckInfo>(module, "CheckInfo", doc::job::CheckInfo);
    define(module, "checks", plain(all_checks), doc::job::checks);
    py::class_<job::CustomFinding>(module, "CustomFinding", doc::job::CustomFinding)
        .def(
            "named",
            [](job::CustomFinding finding, std::string name) {
                finding.check = std::move(name);
                return finding;
            },
            "name"_a, "The same finding under the name of its check.");
    py::class_<job::Sizes>(module, "Sizes", doc::job::Sizes)
        .def(py::init([](const py::object& readings, const py::object& limits,
                         const py::object& gauges) {
                 return std::make_unique<job::Sizes>(table::view(take_readings(readings)),
                                                     take_limits(limits), take_gauges(gauges));
             }),
             "readings"_a, "limits"_a, "gauges"_a, py::keep_alive<1, 2>(), py::keep_alive<1, 3>(),
             py::keep_alive<1, 4>())
        .def(
            "at", [](job::Sizes& self, std::size_t row) { return give_quantity(self.at(row)); },
            "row"_a, doc::job::Sizes_at)
        .def(
            "fitting_limit",
            [](job::Sizes& self, std::size_t row) { return give(self.fitting_limit(row)); },
            "row"_a, doc::job::Sizes_fitting_limit)
        .def("unit", &job::Sizes::unit, "row"_a, doc::job::Sizes_unit);
    module.def("inspect", &inspect, "readings"_a, "limits"_a, "gauges"_a, "kind"_a, "rule"_a,
               "level"_a, "threads"_a, "plans_always"_a, doc::job::inspect);
    bind_record<job::SpunStage>(module, "SpunStage", doc::job::SpunStage);
    bind_record<job::Assembly>(module, "Assembly", doc::job::Assembly);
    module.def("assemblies", &assemblies, "readings"_a, "limits"_a, "gauges"_a, "kind"_a, "rule"_a,
               "level"_a, "plans_always"_a, doc::job::assemblies);
    module.def("custom_finding", &custom_finding, py::kw_only(), "rows"_a, "value"_a, "lower"_a,
               "upper"_a, "target"_a, "unit"_a, "quantity"_a, "next"_a, "reason"_a, "amount"_a,
               "amount_unit"_a, "source"_a, "verdict"_a, doc::job::CustomFinding);
    module.def("join", &join, "findings"_a, "readings"_a, "custom"_a, "rule"_a, "level"_a,
               "gauges"_a, doc::job::join);
}

}  // namespace enginewright::bind
