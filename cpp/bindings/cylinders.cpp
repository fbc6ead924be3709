#include "enginewright/cylinders.hpp"

#include "doc/cylinders.hpp"
#include "forms.hpp"

namespace enginewright::bind {

namespace {

/// `form` of plain readings, or of readings that carry their doubt.
struct Form {
    static constexpr std::size_t count = 9;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        if (!holds_quantity(given[0]) && !holds_quantity(given[3]) && !holds_quantity(given[4])) {
            return plain(cylinders::form).call(signature, given);
        }
        const auto limit = [&](std::size_t i) {
            return take_optional(given[i], signature.name(i));
        };
        const auto size = [&](std::size_t i) {
            return take_optional_quantity(given[i], signature.name(i));
        };
        const auto stations = take_stations(given[0], signature.name(0));
        require_no_uncertainty(given[8], signature.name(8));
        auto found =
            cylinders::form_with_doubt(stations.readings, stations.axes, limit(1), limit(2),
                                       size(3), size(4), limit(5), limit(6), limit(7));
        return give_doubtful(std::move(found.form), {{"minimum", found.minimum},
                                                     {"maximum", found.maximum},
                                                     {"mean", found.mean},
                                                     {"ovality", found.ovality},
                                                     {"taper", found.taper},
                                                     {"end_difference", found.end_difference},
                                                     {"barrel", found.barrel},
                                                     {"wear", found.wear},
                                                     {"ridge", found.ridge}});
    }
};

}  // namespace

void bind_cylinders(py::module_ module)
{
    namespace text = doc::cylinders;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<cylinders::BoreForm>(module, "BoreForm", text::BoreForm);
    bind_record<cylinders::SleeveOption>(module, "SleeveOption", text::SleeveOption);
    bind_record<cylinders::OversizePlan>(module, "OversizePlan", text::OversizePlan);
    bind_record<cylinders::FinishBores>(module, "FinishBores", text::FinishBores);

    define(module, "form", Form{}, text::form, "readings"_a, keyword_only, "lower"_a = none,
           "upper"_a = none, "original"_a = none, "unworn_top"_a = none, "ovality_limit"_a = none,
           "taper_limit"_a = none, "ridge_limit"_a = none, "uncertainty"_a = 0.0);
    define(module, "oversize_plan", without_gil(cylinders::oversize_plan), text::oversize_plan,
           "readings"_a, keyword_only, "piston_standard"_a, "oversizes"_a, "clearance"_a,
           "hone_allowance"_a = 0.0, "clean_up"_a = 0.0, "damage_depth"_a = none,
           "wear_side"_a = "even", "current_oversize"_a = 0.0, "largest_bore"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "finish_bores", plain(cylinders::finish_bores), text::finish_bores, "pistons"_a,
           "clearance"_a, keyword_only, "bores"_a = none, "hone_allowance"_a = 0.0);
}

}  // namespace enginewright::bind
