#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/balance/verdict.hpp"
#include "enginewright/record.hpp"

/// Learning from the first cut, and the record of a balancing job.
namespace enginewright::balance {

/// How a rotor answers to a planned change.
struct Response {
    std::vector<std::vector<Vector>> matrix{};
    std::vector<std::vector<double>> uncertainty{};
    int count = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"matrix", "", &Response::matrix, "measured = matrix * planned"},
            Field{"uncertainty", "", &Response::uncertainty, "standard, per axis, of each entry"},
            Field{"count", "", &Response::count, "corrections it was learned from"},
        };
    }
    bool operator==(const Response&) const = default;
};
static_assert(lists_every_member<Response>);

/// Learns how a rotor answers from planned and measured changes.
///
/// measured = G * planned. Each row of G minimises
///
///     sum over j of |measured_j - (G planned_j)|² / u² + sum over q of |G_pq - delta_pq|² / prior²
///
/// so that without evidence G is the identity, and one cut already teaches what a plug gauge that
/// reads short, a density that is wrong or a mark six degrees off does to every hole.
///
/// planned      changes as planned in the measuring planes, corrections by two, g mm
/// measured     changes as read, the same shape
/// uncertainty  standard, per axis, of a measured change, g mm, above 0
/// prior        how far an entry may be from that of the identity, above 0
///
/// Throws std::invalid_argument.
///
/// Source: ridge regression towards a given matrix, closed form.
///
/// >>> learned = ew.balance.learn_response([[-500, 0]], [[-400, 0]], uncertainty=2)
/// >>> round(abs(learned.matrix[0, 0]), 3)
/// 0.8
Response learn_response(const Eigen::MatrixXcd& planned, const Eigen::MatrixXcd& measured,
                        double uncertainty, double prior = 0.2);

/// What one line of a record is.
enum class EntryKind { run, correction };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<2> words<balance::EntryKind>{"kind", {"run", "correction"}};
}  // namespace enginewright

namespace enginewright::balance {

/// One line of a balancing job: a run that was read, or a correction that was made.
struct BalanceEntry {
    EntryKind kind = EntryKind::run;
    std::vector<Vector> vectors{};
    std::optional<double> uncertainty{};
    std::string note{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"kind", "", &BalanceEntry::kind, "run or correction"},
            Field{"vectors", "g mm", &BalanceEntry::vectors,
                  "as read, or nominal change, measuring planes"},
            Field{"uncertainty", "g mm", &BalanceEntry::uncertainty,
                  "standard, per axis, of this run; none: that of the record"},
            Field{"note", "", &BalanceEntry::note, "what was noted"},
        };
    }
    bool operator==(const BalanceEntry&) const = default;
};
static_assert(lists_every_member<BalanceEntry>);

/// A balancing job from the first spin to the last: immutable, each call returns a new one.
///
/// planes            measuring planes, two positions, mm
/// tolerance         one for both or one for each tolerance plane, g mm, above 0
/// tolerance_planes  two positions, mm; None: the measuring planes
/// uncertainty       standard, per axis, of a run, g mm, at least 0
/// level             probability asked for, above 0.5 and below 1
/// prior             as in `learn_response`, above 0
/// name              of the job
///
/// Throws std::invalid_argument: a missing tolerance among them.
///
/// >>> record = ew.balance.BalanceRecord([0, 360], tolerance=60).with_run([500, 20j])
/// >>> record = record.with_correction([-480, 0]).with_run([30, 25j])
/// >>> record.verdict().overall
/// 'within'
struct BalanceRecord {
    std::string name{};
    std::vector<double> planes{};
    std::vector<double> tolerance{};
    std::vector<double> tolerance_planes{};
    double uncertainty = 0;
    double level = 0.95;
    double prior = 0.2;
    std::vector<BalanceEntry> entries{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &BalanceRecord::name, "of the job"},
            Field{"planes", "mm", &BalanceRecord::planes, "measuring planes"},
            Field{"tolerance", "g mm", &BalanceRecord::tolerance, "of each tolerance plane"},
            Field{"tolerance_planes", "mm", &BalanceRecord::tolerance_planes, "bearing planes"},
            Field{"uncertainty", "g mm", &BalanceRecord::uncertainty, "standard, per axis"},
            Field{"level", "", &BalanceRecord::level, "probability asked for"},
            Field{"prior", "", &BalanceRecord::prior, "doubt of the response before any cut"},
            Field{"entries", "", &BalanceRecord::entries, "runs and corrections in order"},
        };
    }
    bool operator==(const BalanceRecord&) const = default;
};
static_assert(lists_every_member<BalanceRecord>);

/// Makes a record, refusing what cannot be.
BalanceRecord balance_record(std::span<const double> planes, const OneOrEach& tolerance,
                             const std::optional<std::vector<double>>& tolerance_planes = {},
                             double uncertainty = 0.0, double level = 0.95, double prior = 0.2,
                             std::string name = "");

/// The record with one more run.
///
/// reading      in the measuring planes, two vectors, g mm
/// uncertainty  standard, per axis, of this run, g mm; None: that of the record
/// note         any words
BalanceRecord with_run(const BalanceRecord& record, std::span<const Vector> reading,
                       std::optional<double> uncertainty = {}, std::string note = "");

/// The record with one more correction; several before the next run add up.
///
/// change  nominal, in the measuring planes, two vectors, g mm: `plan.nominal_change`
/// note    any words
///
/// Throws std::invalid_argument: before the first run.
BalanceRecord with_correction(const BalanceRecord& record, std::span<const Vector> change,
                              std::string note = "");

/// How the rotor has answered so far: learned from every pair of correction and run after it.
///
/// Before the first pair: the identity with the prior as its uncertainty, count 0.
Response response(const BalanceRecord& record);

/// What the next run should read: the last one and the rotor's answer to what was done since.
///
/// Throws std::invalid_argument: before the first run.
std::vector<Vector> predicted(const BalanceRecord& record);

/// One run of a record, as its table shows it.
struct BalanceRow {
    int run = 0;
    std::vector<double> amount{};
    std::vector<double> angle{};
    std::vector<double> ratio{};
    std::optional<std::vector<Vector>> predicted{};
    std::optional<std::vector<Vector>> error{};
    std::optional<std::vector<double>> reduction{};
    std::string note{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"run", "", &BalanceRow::run, "counted from 1"},
            Field{"amount", "g mm", &BalanceRow::amount, "in each measuring plane"},
            Field{"angle", "deg", &BalanceRow::angle, "in each measuring plane"},
            Field{"ratio", "", &BalanceRow::ratio, "over tolerance, in each tolerance plane"},
            Field{"predicted", "g mm", &BalanceRow::predicted, "by what was known before"},
            Field{"error", "g mm", &BalanceRow::error, "run less predicted"},
            Field{"reduction", "", &BalanceRow::reduction, "1 - |now| / |before|"},
            Field{"note", "", &BalanceRow::note, "what was noted"},
        };
    }
    bool operator==(const BalanceRow&) const = default;
};
static_assert(lists_every_member<BalanceRow>);

/// The runs one by one; each is predicted by what was known before it.
std::vector<BalanceRow> rows(const BalanceRecord& record);

/// Verdict on the last run, in the tolerance planes.
///
/// Throws std::invalid_argument: before the first run.
ResidualVerdict verdict(const BalanceRecord& record);

/// The record as JSON text.
std::string to_json(const BalanceRecord& record);

/// A record from its JSON text.
///
/// Throws std::invalid_argument: damaged text, or a record that cannot be.
BalanceRecord record_from_json(std::string_view text);

}  // namespace enginewright::balance
