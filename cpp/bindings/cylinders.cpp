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

/// `judge_deck` of plain sizes, or of parts that carry their doubt.
struct JudgeDeck {
    static constexpr std::size_t count = 12;
    static constexpr std::size_t parts = 5;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto way = broadcast(cylinders::judge_deck);
        if (std::none_of(given, given + parts, holds_quantity)) {
            return way.call(signature, given);
        }
        for (std::size_t i = parts; i < 9; ++i) {
            require_no_uncertainty(given[i], signature.name(i));
        }
        // The doubts of the figures come by their slopes, the finding's own from the parts.
        py::object answer = way.call(signature, given);
        auto& rows = *rows_of<cylinders::DeckFinding>(answer);
        std::erase_if(rows.doubtful, [](const auto& each) {
            return each.first != "clearance" && each.first != "margin" && each.first != "cut";
        });
        const Lengths shape(rows.shape.begin(), rows.shape.end());
        std::vector<std::vector<Quantity>> taken;
        for (std::size_t i = 0; i < parts; ++i) {
            const auto part = take_quantity(given[i], signature.name(i));
            taken.push_back(rows.single() ? std::vector{part.one()}
                                          : elements_of(AnyQuantity{part.stretched(shape)}));
        }
        for (std::size_t i = 0; i < rows.rows.size(); ++i) {
            auto& found = rows.rows[i];
            const auto target =
                found.cut ? std::optional(found.clearance - *found.cut) : std::nullopt;
            found =
                cylinders::judge_deck_with_doubt(taken[0][i], taken[1][i], taken[2][i], taken[3][i],
                                                 taken[4][i], found.lower, found.upper, target)
                    .finding;
        }
        return answer;
    }
};

void bind_profiles_and_liners(py::module_& module)
{
    namespace text = doc::cylinders;
    const py::kw_only keyword_only;
    const py::none none;
    define(module, "select_pistons", without_gil(cylinders::select_pistons), text::select_pistons,
           "bores"_a, "pistons"_a, keyword_only, "lower"_a, "upper"_a, "target"_a = none);
    define(module, "circle_fit", without_gil(cylinders::circle_fit), text::circle_fit, "x"_a, "y"_a,
           keyword_only, "criterion"_a = "least squares");
    define(module, "roundness", without_gil(cylinders::roundness), text::roundness, "angle"_a,
           "deviation"_a, "radius"_a, keyword_only, "harmonics"_a = 6, "limit"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "liner_standing", plain(cylinders::liner_standing), text::liner_standing,
           "readings"_a, keyword_only, "angle"_a, "radius"_a, "lower"_a = none, "upper"_a = none,
           "within_limit"_a = none, "neighbour_limit"_a = none, "uncertainty"_a = 0.0);
    define(module, "liner_shims", without_gil(cylinders::liner_shims), text::liner_shims,
           "heights"_a, "sizes"_a, "stock"_a = none, keyword_only, "lower"_a, "upper"_a,
           "target"_a = none, "neighbour_limit"_a = none, "most"_a = 2);
    define(module, "dry_liner_fit", broadcast(cylinders::dry_liner_fit), text::dry_liner_fit,
           "liner_outside"_a, "bore"_a, keyword_only, "target"_a, "lower"_a = none,
           "upper"_a = none);
}

void bind_deck_and_hone(py::module_& module)
{
    namespace text = doc::cylinders;
    const py::kw_only keyword_only;
    const py::none none;
    define(module, "deck_clearance", broadcast(cylinders::deck_clearance), text::deck_clearance,
           "block_height"_a, "stroke"_a, "rod_length"_a, "compression_height"_a,
           "pin_offset"_a = 0.0);
    define(module, "judge_deck", JudgeDeck{}, text::judge_deck, "block_height"_a, "stroke"_a,
           "rod_length"_a, "compression_height"_a, keyword_only, "pin_offset"_a = 0.0,
           "uncertainty_block"_a = 0.0, "uncertainty_stroke"_a = 0.0, "uncertainty_rod"_a = 0.0,
           "uncertainty_piston"_a = 0.0, "lower"_a = none, "upper"_a = none, "target"_a = none);
    define(module, "deck_flatness", without_gil(cylinders::deck_flatness), text::deck_flatness,
           "x"_a, "y"_a, "z"_a, keyword_only, "limit"_a = none, "local_span"_a = none,
           "local_limit"_a = none, "uncertainty"_a = 0.0);
    define(module, "cross_hatch", broadcast(cylinders::cross_hatch), text::cross_hatch, "bore"_a,
           "spindle_speed"_a, "stroke_length"_a, "stroke_rate"_a);
    define(module, "stroke_rate_for", broadcast(cylinders::stroke_rate_for), text::stroke_rate_for,
           "angle"_a, "bore"_a, "spindle_speed"_a, "stroke_length"_a);
}

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
    bind_record<cylinders::PistonSelection>(module, "PistonSelection", text::PistonSelection);
    bind_record<cylinders::CircleFit>(module, "CircleFit", text::CircleFit);
    bind_record<cylinders::Roundness>(module, "Roundness", text::Roundness);
    bind_record<cylinders::LinerStanding>(module, "LinerStanding", text::LinerStanding);
    bind_record<cylinders::ShimStack>(module, "ShimStack", text::ShimStack);
    bind_record<cylinders::LinerShims>(module, "LinerShims", text::LinerShims);
    bind_record<cylinders::DryLinerFit>(module, "DryLinerFit", text::DryLinerFit);
    bind_record<cylinders::DeckFinding>(module, "DeckFinding", text::DeckFinding);
    bind_record<cylinders::DeckFlatness>(module, "DeckFlatness", text::DeckFlatness);

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
    bind_profiles_and_liners(module);
    bind_deck_and_hone(module);
}

}  // namespace enginewright::bind
