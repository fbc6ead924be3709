#include "enginewright/balance/learning.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "balance/bounds.hpp"
#include "enginewright/balance/planes.hpp"
#include "json.hpp"
#include "numerics/angles.hpp"

namespace enginewright::balance {

namespace {

using Eigen::Index;

void require_pairs(std::string_view name, const Eigen::MatrixXcd& table)
{
    if (table.size() > 0 && table.cols() != 2) {
        refuse_all(name, "have two columns, one a plane, got " + std::to_string(table.cols()));
    }
    for (Index i = 0; i < table.rows(); ++i) {
        for (Index p = 0; p < table.cols(); ++p) {
            require_vector(element_name(name, static_cast<std::size_t>(i)), table(i, p));
        }
    }
}

void require_prior(double prior)
{
    require_positive("prior", prior);
    require_between("prior", prior, 1e-6, 1e6);
}

}  // namespace

Response learn_response(const Eigen::MatrixXcd& planned, const Eigen::MatrixXcd& measured,
                        double uncertainty, double prior)
{
    require_pairs("planned", planned);
    require_pairs("measured", measured);
    require_count("measured", static_cast<std::size_t>(measured.rows()),
                  static_cast<std::size_t>(planned.rows()), "changes");
    require_some_amount("uncertainty", uncertainty);
    require_prior(prior);
    // Everything in multiples of prior: H = I + D^H D (prior / u)², so that no size overflows.
    const double weight = prior / uncertainty;
    const bool none = planned.rows() == 0;
    const Eigen::MatrixXcd d =
        none ? Eigen::MatrixXcd::Zero(1, 2) : Eigen::MatrixXcd(planned * weight);
    const Eigen::MatrixXcd delta =
        none ? Eigen::MatrixXcd::Zero(1, 2) : Eigen::MatrixXcd(measured * weight);
    const Eigen::Matrix2cd h = d.adjoint() * d + Eigen::Matrix2cd::Identity();
    const Eigen::Matrix2cd inverse = h.llt().solve(Eigen::Matrix2cd::Identity());
    const Eigen::Matrix2cd transposed =
        h.llt().solve(d.adjoint() * delta + Eigen::Matrix2cd::Identity());
    Response found{.count = static_cast<int>(planned.rows())};
    for (Index p = 0; p < 2; ++p) {
        found.matrix.push_back({transposed(0, p), transposed(1, p)});
        found.uncertainty.push_back(
            {prior * std::sqrt(inverse(0, 0).real()), prior * std::sqrt(inverse(1, 1).real())});
    }
    return found;
}

namespace {

void require_record(const BalanceRecord& record)
{
    require_plane_pair("planes", record.planes);
    require_plane_pair("tolerance_planes", record.tolerance_planes);
    each_tolerance(record.tolerance, 2);
    require_amount("uncertainty", record.uncertainty);
    require_level(record.level);
    require_prior(record.prior);
    bool run = false;
    for (const auto& entry : record.entries) {
        require_count("vectors", entry.vectors.size(), 2, "vectors");
        require_vectors("vectors", entry.vectors);
        if (entry.uncertainty) {
            require_amount("uncertainty", *entry.uncertainty);
        }
        run = run || entry.kind == EntryKind::run;
        if (!run) {
            refuse_all("entries", "begin with a run, got a correction");
        }
    }
}

std::vector<Vector> plus(std::span<const Vector> a, std::span<const Vector> b)
{
    return {a[0] + b[0], a[1] + b[1]};
}

std::vector<Vector> minus(std::span<const Vector> a, std::span<const Vector> b)
{
    return {a[0] - b[0], a[1] - b[1]};
}

std::vector<Vector> answer(const Response& response, std::span<const Vector> change)
{
    const auto& g = response.matrix;
    return {g[0][0] * change[0] + g[0][1] * change[1], g[1][0] * change[0] + g[1][1] * change[1]};
}

/// A walk along the entries: the last run, what was done since, and all pairs so far.
struct Walk {
    const BalanceEntry* last = nullptr;
    std::vector<Vector> pending = std::vector<Vector>(2);
    bool corrected = false;
    std::vector<std::vector<Vector>> planned{};
    std::vector<std::vector<Vector>> measured{};

    void meet(const BalanceEntry& entry)
    {
        if (entry.kind == EntryKind::correction) {
            pending = plus(pending, entry.vectors);
            corrected = true;
            return;
        }
        if (corrected) {
            planned.push_back(pending);
            measured.push_back(minus(entry.vectors, last->vectors));
            pending.assign(2, Vector{});
            corrected = false;
        }
        last = &entry;
    }

    Response learned(const BalanceRecord& record) const
    {
        const auto count = static_cast<Index>(planned.size());
        Eigen::MatrixXcd d(count, 2);
        Eigen::MatrixXcd delta(count, 2);
        for (Index j = 0; j < count; ++j) {
            const auto at = static_cast<std::size_t>(j);
            d.row(j) << planned[at][0], planned[at][1];
            delta.row(j) << measured[at][0], measured[at][1];
        }
        // A change is the difference of two runs.
        const double u = std::max(std::numbers::sqrt2 * record.uncertainty, 1e-9);
        return learn_response(d, delta, u, record.prior);
    }

    std::vector<Vector> predicted(const BalanceRecord& record) const
    {
        return plus(last->vectors, answer(learned(record), pending));
    }
};

Walk walked(const BalanceRecord& record)
{
    Walk walk;
    for (const auto& entry : record.entries) {
        walk.meet(entry);
    }
    return walk;
}

Walk walked_to_run(const BalanceRecord& record)
{
    auto walk = walked(record);
    if (walk.last == nullptr) {
        refuse_all("record", "hold a run, got none: spin first");
    }
    return walk;
}

}  // namespace

BalanceRecord balance_record(std::span<const double> planes, const OneOrEach& tolerance,
                             const std::optional<std::vector<double>>& tolerance_planes,
                             double uncertainty, double level, double prior, std::string name)
{
    BalanceRecord record{.name = std::move(name),
                         .planes = {planes.begin(), planes.end()},
                         .tolerance = each_tolerance(tolerance, 2),
                         .uncertainty = uncertainty,
                         .level = level,
                         .prior = prior};
    record.tolerance_planes = tolerance_planes.value_or(record.planes);
    require_record(record);
    return record;
}

BalanceRecord with_run(const BalanceRecord& record, std::span<const Vector> reading,
                       std::optional<double> uncertainty, std::string note)
{
    require_count("reading", reading.size(), 2, "vectors");
    require_vectors("reading", reading);
    if (uncertainty) {
        require_amount("uncertainty", *uncertainty);
    }
    auto more = record;
    more.entries.push_back({.kind = EntryKind::run,
                            .vectors = {reading.begin(), reading.end()},
                            .uncertainty = uncertainty,
                            .note = std::move(note)});
    return more;
}

BalanceRecord with_correction(const BalanceRecord& record, std::span<const Vector> change,
                              std::string note)
{
    require_count("change", change.size(), 2, "vectors");
    require_vectors("change", change);
    if (record.entries.empty()) {
        refuse_all("change", "follow a run: spin before the first correction");
    }
    auto more = record;
    more.entries.push_back({.kind = EntryKind::correction,
                            .vectors = {change.begin(), change.end()},
                            .note = std::move(note)});
    return more;
}

Response response(const BalanceRecord& record) { return walked(record).learned(record); }

std::vector<Vector> predicted(const BalanceRecord& record)
{
    return walked_to_run(record).predicted(record);
}

std::vector<BalanceRow> rows(const BalanceRecord& record)
{
    std::vector<BalanceRow> list;
    Walk walk;
    for (const auto& entry : record.entries) {
        if (entry.kind == EntryKind::run) {
            BalanceRow row{.run = static_cast<int>(list.size()) + 1, .note = entry.note};
            const auto carried = to_planes(entry.vectors, record.planes, record.tolerance_planes);
            for (std::size_t p = 0; p < 2; ++p) {
                row.amount.push_back(std::abs(entry.vectors[p]));
                row.angle.push_back(numerics::degrees_of(entry.vectors[p]));
                row.ratio.push_back(std::abs(carried[p]) / record.tolerance[p]);
            }
            if (walk.corrected) {
                row.predicted = walk.predicted(record);
                row.error = minus(entry.vectors, *row.predicted);
            }
            if (walk.last != nullptr) {
                auto& reduction = row.reduction.emplace();
                for (std::size_t p = 0; p < 2; ++p) {
                    const double before = std::abs(walk.last->vectors[p]);
                    reduction.push_back(before > 0 ? 1 - row.amount[p] / before : 0.0);
                }
            }
            list.push_back(std::move(row));
        }
        walk.meet(entry);
    }
    return list;
}

ResidualVerdict verdict(const BalanceRecord& record)
{
    const auto walk = walked_to_run(record);
    const auto carried = to_planes(walk.last->vectors, record.planes, record.tolerance_planes);
    const double u = walk.last->uncertainty.value_or(record.uncertainty);
    const auto first = plane_share(record.planes[0], record.tolerance_planes);
    const auto second = plane_share(record.planes[1], record.tolerance_planes);
    const std::vector<double> doubt{u * std::hypot(first[0], second[0]),
                                    u * std::hypot(first[1], second[1])};
    return residual_verdict(carried, record.tolerance, doubt, record.level);
}

std::string to_json(const BalanceRecord& record) { return Json(record).dump(2); }

BalanceRecord record_from_json(std::string_view text)
{
    auto record = parsed_json(text, "text").get<BalanceRecord>();
    require_record(record);
    return record;
}

}  // namespace enginewright::balance
