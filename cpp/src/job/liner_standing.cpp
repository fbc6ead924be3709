#include <algorithm>
#include <cmath>
#include <map>

#include "enginewright/check.hpp"
#include "enginewright/cylinders.hpp"
#include "job/inspector.hpp"
#include "numerics/harmonics.hpp"
#include "turns.hpp"
#include "wording.hpp"

/// Liners over the deck: mean, tilt, the step to the neighbour, and the shims beneath them.
namespace enginewright::job {

namespace {

/// One liner's heights, by the angle at which each was read.
struct Flange {
    std::vector<std::size_t> rows{};
    std::vector<double> angles{};
    std::vector<measure::Quantity> heights{};
};

/// The mean and the tilt of a flange; none of it tilts where too few angles were read.
struct Lie {
    measure::Quantity mean{};
    std::optional<measure::Quantity> tilt{};
};

Lie lie_of(const Flange& flange)
{
    const auto count = flange.heights.size();
    if (numerics::different_angles(flange.angles) < 3) {
        const std::vector<double> even(count, 1.0 / static_cast<double>(count));
        double mean = 0;
        for (const auto& each : flange.heights) {
            mean += each.value() / static_cast<double>(count);
        }
        return {.mean = measure::combine(mean, even, flange.heights)};
    }
    const numerics::HarmonicFit fit(flange.angles, 1);
    const auto size = static_cast<Eigen::Index>(count);
    const Eigen::MatrixXd weights = fit.coefficients(Eigen::MatrixXd::Identity(size, size));
    Eigen::VectorXd heights(size);
    for (Eigen::Index i = 0; i < size; ++i) {
        heights[i] = flange.heights[static_cast<std::size_t>(i)].value();
    }
    const Eigen::Vector3d shape = weights * heights;
    const double half = std::hypot(shape[1], shape[2]);
    const Eigen::Vector2d along = half > turns::no_length ? Eigen::Vector2d(shape.tail<2>() / half)
                                                          : Eigen::Vector2d::UnitX();
    const Eigen::RowVectorXd mean = weights.row(0);
    const Eigen::RowVectorXd tilt = 2 * along.transpose() * weights.bottomRows<2>();
    const auto as_span = [](const Eigen::RowVectorXd& row) {
        return std::span<const double>(row.data(), static_cast<std::size_t>(row.size()));
    };
    return {.mean = measure::combine(shape[0], as_span(mean), flange.heights),
            .tilt = measure::combine(2 * half, as_span(tilt), flange.heights)};
}

}  // namespace

void Inspector::check_liner_standing()
{
    std::map<std::int32_t, std::map<std::int32_t, Flange>> stages;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const auto& row = rows_[i];
        if (!row.has_value || row.feature < 0 || row.quantity < 0 || row.number == no_number ||
            context_.role[static_cast<std::size_t>(row.feature)] != Role::liner ||
            context_.measured[static_cast<std::size_t>(row.quantity)] != Measured::protrusion) {
            continue;
        }
        auto& flange = stages[row.stage][row.number];
        const auto& position = context_.readings.position;
        flange.rows.push_back(i);
        flange.angles.push_back(position.present(row.row) ? position.values[row.row] : 0.0);
        flange.heights.push_back(single_quantity(row));
    }
    for (const auto& [stage, flanges] : stages) {
        std::vector<Standing> verdicts;
        std::vector<std::pair<std::int32_t, measure::Quantity>> means;
        const auto ask = [&, stage = stage](std::int32_t number,
                                            const std::vector<std::size_t>& basis, Derived derived,
                                            const measure::Quantity& value) {
            const auto& row = rows_[basis.front()];
            const Part part{.stage = stage,
                            .feature = row.feature,
                            .part = row.part,
                            .number = number,
                            .engine = row.engine,
                            .measured = Measured::protrusion};
            Finding finding = begin(Check::liner_standing, part, derived);
            finding.imperial = row.conversion->imperial;
            auto key = key_of(row);
            key.station = key.axis = -1;
            key.quantity = finding.quantity;
            judge(finding, value, limit_of(key));
            finding.mark = row.row;
            for (const auto i : basis) {
                rows_[i].used = true;
                finding.basis.push_back(i);
            }
            verdicts.push_back(finding.verdict);
            return finding;
        };
        std::vector<std::size_t> all;
        for (const auto& [number, flange] : flanges) {
            const auto lie = lie_of(flange);
            add(ask(number, flange.rows, Derived::protrusion, lie.mean));
            if (lie.tilt) {
                auto tilt = ask(number, flange.rows, Derived::tilt, *lie.tilt);
                if (tilt.verdict == Standing::outside) {
                    tilt.next = "Clean the seat of " + name_of(tilt.feature, number) +
                                ", try it turned, then true the counterbore before any shim.";
                }
                add(std::move(tilt));
            } else {
                missing(Check::liner_standing,
                        "the protrusion of every liner at three angles (position)");
            }
            if (!means.empty()) {
                const auto& [before, mean] = means.back();
                auto basis = flanges.at(before).rows;
                basis.insert(basis.end(), flange.rows.begin(), flange.rows.end());
                const auto step =
                    mean.value() < lie.mean.value() ? lie.mean - mean : mean - lie.mean;
                auto found = ask(before, basis, Derived::step, step);
                if (found.verdict == Standing::outside) {
                    found.next = "The step from " + name_of(found.feature, before) + " to " +
                                 std::to_string(number) + " is " + said(-*found.margin, found) +
                                 " over its limit: shims or the counterbore.";
                }
                add(std::move(found));
            }
            means.emplace_back(number, lie.mean);
            all.insert(all.end(), flange.rows.begin(), flange.rows.end());
        }
        const bool asked = std::any_of(verdicts.begin(), verdicts.end(), [](Standing each) {
            return each == Standing::outside || each == Standing::unproven;
        });
        if ((asked || context_.options.plans_always) && !context_.finished[Context::index(stage)]) {
            plan_shims(all, means);
        }
    }
}

void Inspector::plan_shims(const std::vector<std::size_t>& basis,
                           const std::vector<std::pair<std::int32_t, measure::Quantity>>& means)
{
    const auto& row = rows_[basis.front()];
    const auto* card = context_.card[Context::index(row.engine)];
    const auto* shelf = shelf_of(row.engine, "liner shim");
    if (card == nullptr || shelf == nullptr) {
        return missing(Check::liner_standing, "the liner shims on the shelf of the engine card");
    }
    const Part part{.stage = row.stage,
                    .feature = row.feature,
                    .part = row.part,
                    .engine = row.engine,
                    .measured = Measured::protrusion};
    Finding finding = begin(Check::liner_standing, part, Derived::shim_deviation);
    auto key = key_of(row);
    key.station = key.axis = -1;
    key.number = no_number;
    key.quantity = context_.derived(Derived::protrusion);
    set_limit(finding, limit_of(key));
    if (!finding.lower || !finding.upper) {
        return missing(Check::liner_standing, "both limits of the protrusion of the liners");
    }
    key.quantity = context_.derived(Derived::step);
    const auto step = limit_of(key);
    std::vector<double> heights, sizes;
    std::vector<int> stock;
    for (const auto& each : means) {
        heights.push_back(each.second.value());
    }
    for (const auto& item : *shelf) {
        sizes.push_back(item.size);
        stock.push_back(item.pieces);
    }
    if (heights.size() > 24 || sizes.size() > 24) {
        return missing(Check::liner_standing, "a choice among so many liners or shims");
    }
    const auto plan = cylinders::liner_shims(
        heights, sizes, stock, *finding.lower, *finding.upper, finding.target,
        step < 0 ? std::nullopt : context_.limits.rows[static_cast<std::size_t>(step)].upper,
        std::clamp(card->most_shims.value_or(2), 1, 4));
    finding.value = plan.worst_deviation;
    finding.verdict =
        plan.status == cylinders::ShimStatus::selected ? Standing::unlimited : Standing::outside;
    // What is asked of the heights is no limit of the deviation.
    finding.lower = finding.upper = finding.target = std::nullopt;
    finding.reason = plan.reason;
    finding.next = wording::sentence(
        plan.status == cylinders::ShimStatus::selected ? "fit " + plan.next : plan.next);
    finding.mark = row.row;
    finding.basis = basis;
    add(std::move(finding));
}

}  // namespace enginewright::job
