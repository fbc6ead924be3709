#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/table.hpp"

/// The job: readings in, findings out.
///
/// `inspect` looks at each job by itself. A reading is converted to the canonical unit and to
/// 20 °C, given its doubt, and judged against the most specific limit that matches it. Where the
/// rows of a derived check are there, the check runs: ovality, taper and wear of bores and
/// journals, bearing and piston clearance, ring gaps, and the plans that say what to grind or bore.
///
/// What holds for all of them:
///
/// 1. Each reading stands in the basis of at least one finding.
/// 2. A place that other parts of the set have, and this one lacks, makes its figure "unproven".
///    A mating part, a limit or a card key that the job does not hold makes no finding but a line
///    in `Findings::not_checked`.
/// 3. The limit of a derived figure is looked up under the feature that bears the finding and the
///    figure's own word: "ovality", "clearance".
/// 4. Readings of one gauge share its certificate, gauges zeroed on one ring share the ring.
/// 5. A plan is one finding a set: "unlimited" when it solves the matter, "outside" when it cannot.
/// 6. A word other than "ok" where a number belongs ("scored") blocks the word "within" for that
///    part; "outside" stays outside.
namespace enginewright::job {

/// How `inspect` works.
struct InspectOptions {
    /// Which limits to judge against: "wear", "machining", "new", "repair size". Absent: "wear" at
    /// the stage "as received", "machining" at any other; "new" where there is no such limit.
    std::optional<std::string> kind{};
    measure::Rule rule = measure::Rule::guarded;  ///< decision rule of every verdict
    double level = 0.95;                          ///< probability that a verdict asks for
    int threads = 0;  ///< 0: as many as this process may use; the result never depends on it
    bool plans_always = false;  ///< plans run even where nothing is worn
};

/// What one check is: the one description that `inspect`, `explain` and the notebooks share.
struct CheckInfo {
    std::string check{};
    std::string rows{};
    std::string limits{};
    std::string card{};
    std::string value{};
    std::string next{};
    std::string rule{};
    std::string source{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"check", "", &CheckInfo::check, "name of the check, as in the findings"},
            Field{"rows", "", &CheckInfo::rows, "readings it takes"},
            Field{"limits", "", &CheckInfo::limits, "limits it is judged by"},
            Field{"card", "", &CheckInfo::card, "keys of the engine card it uses"},
            Field{"value", "", &CheckInfo::value, "the figure it gives"},
            Field{"next", "", &CheckInfo::next, "what it says to do"},
            Field{"rule", "", &CheckInfo::rule, "how the figure is formed"},
            Field{"source", "", &CheckInfo::source, "where the rule is from"},
        };
    }
    bool operator==(const CheckInfo&) const = default;
};
static_assert(lists_every_member<CheckInfo>);

/// All checks, in the order in which their findings stand.
std::span<const CheckInfo> checks();

/// Judges every reading of every job and says what to do next.
///
/// Jobs are independent of each other and are shared out to threads; the findings stand in a fixed
/// order whatever their number: jobs as first seen, then the checks in their order, then number,
/// part and station.
///
/// readings  rows of any number of jobs; views, nothing is copied
/// limits    limits and engine cards
/// gauges    cards of the gauges that the readings name; a gauge that is not listed counts as none
/// options   kind of limits, decision rule, threads
///
/// Throws std::invalid_argument: an unknown unit, a unit that does not suit its quantity, two
/// equally specific limits that differ, level not in (0.5, 1), threads below 0.
table::Findings inspect(const table::ReadingsView& readings, const table::Limits& limits,
                        const table::Gauges& gauges = {}, const InspectOptions& options = {});

/// A finding of the shop's own check. What it does not say follows from its readings.
struct CustomFinding {
    std::string check{};                         ///< the check's name: "shop.top_gap"
    std::vector<std::int64_t> rows{};            ///< its readings; at least one
    std::optional<double> value{};               ///< the figure, in `unit`
    double uncertainty = 0;                      ///< standard
    double freedom = measure::infinite_freedom;  ///< its degrees of freedom
    std::optional<double> lower{}, upper{}, target{}, amount{};
    std::string unit{}, amount_unit{}, quantity{}, kind{}, source{};
    std::string next{}, reason{};       ///< kept unless the figure is within
    std::optional<Standing> verdict{};  ///< given: it stands as it is, with its reason
};

/// Adds the findings of custom checks to those of `inspect`: in each job behind the others.
///
/// Verdict, margin and probability come from `measure::decide`, as everywhere. Number, part,
/// station and the like are those on which all readings of the finding agree.
///
/// findings  as `inspect` gave them for these readings
/// readings  the same readings
/// custom    in the order of the checks; within a check in the order in which they were made
/// options   decision rule and level
/// gauges    their cards: a finding made with one past due says so; null: none
///
/// Throws std::invalid_argument: a row that is not there, rows of two jobs, limits that cross.
table::Findings join(table::Findings findings, const table::ReadingsView& readings,
                     std::span<const CustomFinding> custom, const InspectOptions& options = {},
                     const table::Gauges* gauges = nullptr);

/// Readings as values with their doubt, in the canonical unit and at 20 °C.
///
/// Readings of one gauge share its certificate, as in `inspect`; the shared table of sources keeps
/// their names. Built once, asked many times; the readings, limits and gauges must outlive it.
class Sizes {
  public:
    Sizes(const table::ReadingsView& readings, const table::Limits& limits,
          const table::Gauges& gauges);
    ~Sizes();
    Sizes(const Sizes&) = delete;
    Sizes& operator=(const Sizes&) = delete;

    /// The reading in this row, counted from 0.
    ///
    /// Throws std::invalid_argument: no such row, no number written, a unit that does not suit.
    measure::Quantity at(std::size_t row);

    /// The limit that a part going in is made to, for the reading in this row: of the kind
    /// "machining", else "new", else without a kind; none where there is only a wear limit.
    ///
    /// Throws std::invalid_argument: no such row, a unit that does not suit.
    std::optional<table::Limit> fitting_limit(std::size_t row);

    /// Canonical unit of the reading in this row; empty when no number is written.
    std::string unit(std::size_t row) const;

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace enginewright::job
