#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/record.hpp"

/// Quantities: values that carry their sources of doubt with them.
///
/// A quantity is a value and a short list of *contributions*, one for each independent source:
///
///     c_j = (slope of the value along source j) * (standard uncertainty of source j)
///
/// signed, in the unit of the value. Its variance is the sum of c_j squared. Two quantities that
/// name the same source share one and the same error, so a setting ring that two gauges were
/// zeroed on drops out of `bore - piston` by itself.
///
/// Source: JCGM 100:2008 (the guide to the expression of uncertainty), 5.1 and 5.2.
namespace enginewright::measure {

/// How an uncertainty was found: "A" from repeated readings, "B" from any other knowledge.
///
/// Source: JCGM 100:2008, 4.2 and 4.3.
enum class Kind { a, b };

/// Functions that carry doubt to first order, angles in radians.
enum class Function { sqrt, exp, log, sin, cos, tan, arcsin, arccos, arctan, absolute };

}  // namespace enginewright::measure

namespace enginewright {
template <>
inline constexpr Words<2> words<measure::Kind>{"kind", {"A", "B"}};
template <>
inline constexpr Words<10> words<measure::Function>{
    "function",
    {"sqrt", "exp", "log", "sin", "cos", "tan", "arcsin", "arccos", "arctan", "absolute"}};
}  // namespace enginewright

namespace enginewright::measure {

/// One source's share in one value: the source, and the amount in the unit of the value, signed.
struct Contribution {
    std::uint64_t source = 0;
    double amount = 0;
    bool operator==(const Contribution&) const = default;
};

/// Degrees of freedom of an uncertainty that counts as known.
inline constexpr double infinite_freedom = std::numeric_limits<double>::infinity();

/// The fewest degrees of freedom that mean anything: below, intervals leave the range of doubles.
inline constexpr double least_freedom = 0.1;

/// The side table of sources: their names, degrees of freedom and kinds.
///
/// The NAME of a source is its identity: the same name is the same error, wherever it is named.
/// A name that ends in a number in brackets, `bores[3]`, is a member of the family `bores`: an
/// array with a fresh error in each element has one family. Degrees of freedom and kind belong to
/// the family. A source without a name is shared with nothing; it is shown as `#17`.
///
/// A source travels as 64 bits, of which the upper five say the kind and whether the degrees of
/// freedom are infinite or a small whole number: arithmetic never asks the table and verdicts
/// hardly ever do. Numbers are given in the order of the calls, so a table of its own (one a job)
/// makes results independent of everything outside.
///
/// Every call may come from any thread. Nothing is ever removed.
class Sources {
  public:
    Sources();
    ~Sources();
    Sources(const Sources&) = delete;
    Sources& operator=(const Sources&) = delete;

    /// The table behind every quantity that names no other.
    static Sources& shared();

    /// The source of a name, made when the name is new.
    ///
    /// name                not empty, not beginning with '#'
    /// degrees_of_freedom  at least 0.1, may be infinite, need not be whole
    /// kind                "A" or "B"
    ///
    /// Throws std::invalid_argument when the name is known with other degrees of freedom or kind.
    std::uint64_t named(std::string_view name, double degrees_of_freedom = infinite_freedom,
                        Kind kind = Kind::b);

    /// A new source without a name: an error that nothing else shares.
    std::uint64_t unnamed(double degrees_of_freedom = infinite_freedom, Kind kind = Kind::b);

    /// Member `index` of the family that a source begins: `bores` and 3 give `bores[3]`.
    static std::uint64_t member(std::uint64_t family, std::size_t index);

    /// The number of a source's family in its table: `#17` is 17.
    static std::uint64_t number(std::uint64_t source);

    /// A bound above the numbers of all families so far. Numbers begin with 1: 0 is no source.
    std::uint64_t count() const;

    /// The family of a source, `bores[3]` -> `bores`; of a source on its own, itself.
    static std::uint64_t family(std::uint64_t source);

    /// The name as people see it: "ring", "bores[3]", "#17".
    std::string name(std::uint64_t source) const;

    /// True when the source was never given a name.
    bool is_unnamed(std::uint64_t source) const;

    /// Degrees of freedom of a source, infinite when its uncertainty counts as known.
    double degrees_of_freedom(std::uint64_t source) const
    {
        const auto code = (source >> freedom_shift) & freedom_mask;
        if (code == 0) {
            return infinite_freedom;
        }
        return code < freedom_in_table ? static_cast<double>(code) : freedom_from_table(source);
    }

    /// Kind of a source.
    static Kind kind(std::uint64_t source) { return (source >> 63U) != 0 ? Kind::a : Kind::b; }

    /// True when the degrees of freedom are infinite, told from the source alone.
    static bool has_infinite_freedom(std::uint64_t source)
    {
        return ((source >> freedom_shift) & freedom_mask) == 0;
    }

    /// Refuses degrees of freedom or a kind that a source does not have.
    void require_same(std::uint64_t source, double degrees_of_freedom, Kind kind) const;

    /// The greatest count of members of one family.
    static constexpr std::size_t most_members = (std::size_t{1} << 26U) - 2;

  private:
    // Bits from the top: kind 1, freedom 4, family 33, member 26 (0 = the source itself).
    static constexpr unsigned freedom_shift = 59;
    static constexpr std::uint64_t freedom_mask = 15;
    static constexpr std::uint64_t freedom_in_table = 15;

    double freedom_from_table(std::uint64_t source) const;

    struct Table;
    std::unique_ptr<Table> table_;
};

/// A value with its sources of doubt, or an array of such values.
///
/// It is a value and a short list of contributions, one for each independent source: the slope of
/// the value along the source times the source's standard uncertainty. The NAME of a source is its
/// identity: two quantities that name the same source share one and the same error, today, tomorrow
/// and after a round trip through the job file. A source without a name is shared with nothing.
///
/// Sums and scalings are exact; products and functions are first order. Comparisons raise
/// `TypeError`: uncertain numbers have verdicts, not order.
///
/// value                 a number or an array of numbers
/// standard_uncertainty  k = 1, in the unit of the value, at least 0
/// source                its name; None: a new source that nothing else shares
/// degrees_of_freedom    of the standard uncertainty; infinite: it counts as known
/// kind                  "A" from repeated readings, "B" otherwise
/// common                of an array: True for one error in all elements (the setting ring), False
///                       for a fresh error in each, sources `name[0]`, `name[1]`, ...
///
/// Up to twelve contributions stand inside the C++ object, sorted by source; more spill to the heap
/// and none is ever dropped or lumped. A contribution of exactly 0 is not kept. Combining two
/// quantities is one linear merge without allocation.
///
/// Source: JCGM 100:2008, 5.1.2 (first order), 5.2.2 (correlation through shared sources).
///
/// >>> ring = ew.Quantity(82.0, 0.002, source="82 mm ring")
/// >>> bore = ring + ew.Quantity(0.015, 0.001)
/// >>> piston = ring + ew.Quantity(-0.030, 0.0015)
/// >>> print(bore - piston)
/// 0.0450 ± 0.0035 (95 %, k = 1.96)
class Quantity {
  public:
    static constexpr std::size_t inside = 12;

    /// A number without doubt.
    Quantity(double value = 0) : value_(value) {}

    /// A value with one source of doubt.
    ///
    /// standard_uncertainty  k = 1, in the unit of the value, at least 0
    /// source                from a table of sources
    Quantity(double value, double standard_uncertainty, std::uint64_t source);

    /// A value with contributions in any order; those of one source are added up.
    Quantity(double value, std::span<const Contribution> contributions);

    double value() const { return value_; }

    /// Contributions, sorted by source, none of them 0.
    std::span<const Contribution> contributions() const
    {
        return {outside_.empty() ? inside_.data() : outside_.data(), count_};
    }

    /// Sum of the squared contributions.
    double variance() const;

    /// Root of the variance: k = 1.
    double standard_uncertainty() const;

    /// Effective degrees of freedom, not truncated; infinite when no finite ones contribute.
    ///
    ///     nu = u^4 / sum(c_j^4 / nu_j)
    ///
    /// over the net contributions, so that sources shared by several inputs are merged already, as
    /// the formula's condition of independence asks.
    ///
    /// Source: Welch-Satterthwaite formula, JCGM 100:2008, G.4.
    double degrees_of_freedom(const Sources& sources = Sources::shared()) const;

    /// The contribution of one source, 0 when it has none.
    double contribution(std::uint64_t source) const;

    friend Quantity combine(double value, double a, const Quantity& qa, double b,
                            const Quantity& qb);

  private:
    void append(Contribution next);

    double value_ = 0;
    std::size_t count_ = 0;
    std::array<Contribution, inside> inside_{};
    std::vector<Contribution> outside_{};
};

/// a * qa + b * qb, with every correlation kept: one linear merge.
Quantity combine(double a, const Quantity& qa, double b, const Quantity& qb);

/// A value found elsewhere, with the slopes a and b along two quantities.
Quantity combine(double value, double a, const Quantity& qa, double b, const Quantity& qb);

/// A value and its slopes along any number of quantities, shared sources merged.
///
/// value     the result at the values of the inputs
/// gradient  one slope an input, unit of the result per unit of the input
/// inputs    as many quantities
Quantity combine(double value, std::span<const double> gradient, std::span<const Quantity> inputs);

Quantity operator+(const Quantity& a, const Quantity& b);
Quantity operator-(const Quantity& a, const Quantity& b);
Quantity operator*(const Quantity& a, const Quantity& b);

/// Throws std::invalid_argument when the divisor's value is 0.
Quantity operator/(const Quantity& a, const Quantity& b);
Quantity operator-(const Quantity& a);

/// A function of a quantity: its slope times each contribution.
///
/// Throws std::invalid_argument outside the function's domain, and at an edge where the slope is
/// infinite while the value has an uncertainty.
Quantity apply(Function function, const Quantity& quantity);

/// A quantity to a real power.
///
/// Throws std::invalid_argument: 0 to a negative power, below 0 to one that is not whole.
Quantity power(const Quantity& quantity, double exponent);

/// Covariance of two quantities: the sum of the products of their shared contributions.
double covariance(const Quantity& a, const Quantity& b);

/// Correlation of two quantities, -1 to 1; 0 where one has no uncertainty.
double correlation(const Quantity& a, const Quantity& b);

/// Coverage factor k of a two-sided interval at a level: quantile of t at 0.5 + level / 2.
///
/// degrees_of_freedom  effective; infinite = normal
/// level               between 0 and 1, exclusive
///
/// Source: JCGM 100:2008, G.3 and G.6.4.
double coverage_factor(double degrees_of_freedom, double level = 0.95);

/// One source's line in a budget.
struct BudgetRow {
    std::string source{};
    Kind kind = Kind::b;
    double contribution = 0;
    double share = 0;
    double degrees_of_freedom = infinite_freedom;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"source", "", &BudgetRow::source, "name of the source"},
            Field{"kind", "", &BudgetRow::kind, "A from repeated readings, B otherwise"},
            Field{"contribution", "", &BudgetRow::contribution, "signed, in the value's unit"},
            Field{"share", "", &BudgetRow::share, "of the variance, 0 to 1"},
            Field{"degrees_of_freedom", "", &BudgetRow::degrees_of_freedom, "of this source"},
        };
    }
    bool operator==(const BudgetRow&) const = default;
};
static_assert(lists_every_member<BudgetRow>);

/// Where the doubt of one value comes from, largest first.
///
/// Source: JCGM 100:2008, 7.2.7 and table H.1.
struct Budget {
    std::vector<BudgetRow> rows{};
    double value = 0;
    double standard_uncertainty = 0;
    double degrees_of_freedom = infinite_freedom;
    double level = 0.95;
    double coverage_factor = 0;
    double expanded = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"rows", "", &Budget::rows, "one a source, largest contribution first"},
            Field{"value", "", &Budget::value, "the value"},
            Field{"standard_uncertainty", "", &Budget::standard_uncertainty, "k = 1"},
            Field{"degrees_of_freedom", "", &Budget::degrees_of_freedom, "effective"},
            Field{"level", "", &Budget::level, "probability of the expanded uncertainty"},
            Field{"coverage_factor", "", &Budget::coverage_factor, "k at the level"},
            Field{"expanded", "", &Budget::expanded, "expanded uncertainty at the level"},
        };
    }
    bool operator==(const Budget&) const = default;
};
static_assert(lists_every_member<Budget>);

/// The budget of a quantity: rows by the size of their contribution, then by name.
Budget budget(const Quantity& quantity, double level = 0.95,
              const Sources& sources = Sources::shared());

/// A quantity for people: "82.0153 ± 0.0020 (95 %, k = 1.96)".
///
/// The expanded uncertainty has two significant digits and the value ends at the same place. A
/// value without uncertainty is its plain number.
std::string quantity_text(const Quantity& quantity, double level = 0.95,
                          const Sources& sources = Sources::shared());

}  // namespace enginewright::measure
