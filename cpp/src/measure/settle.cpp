#include "enginewright/measure/settle.hpp"

#include <cmath>

#include "measure/figure.hpp"
#include "numerics/distributions.hpp"

namespace enginewright::measure {

namespace {

constexpr int most_readings = 10'000;

/// The budget of a reading in two parts: what more readings make smaller, and the rest.
class Doubt {
  public:
    Doubt(const Reading& reading, const Sources& sources) : reading_(reading)
    {
        for (const auto& each : reading.size.contributions()) {
            if (reading.repeats.source == each.source) {
                repeats_ = true;
                continue;
            }
            const double square = each.amount * each.amount;
            rest_ += square;
            rest_fourths_ += square / sources.degrees_of_freedom(each.source) * square;
            if (std::abs(each.amount) > largest_amount_) {
                largest_amount_ = std::abs(each.amount);
                largest_ = each.source;
            }
        }
    }

    /// Whether there is a term that more readings could make smaller.
    bool repeats() const { return repeats_; }

    /// Standard uncertainty and degrees of freedom with n readings in all.
    std::pair<double, double> with(int n) const
    {
        const auto term = term_of(n);
        const double square = term.uncertainty * term.uncertainty;
        const double variance = rest_ + square;
        const double fourths = rest_fourths_ + square / term.freedom * square;
        return {std::sqrt(variance),
                fourths > 0 ? variance / fourths * variance : infinite_freedom};
    }

    /// The source of the greatest contribution with n readings in all; none without any doubt.
    std::optional<std::uint64_t> largest(int n) const
    {
        return repeats_ && term_of(n).uncertainty > largest_amount_ ? reading_.repeats.source
                                                                    : largest_;
    }

  private:
    Repeatability term_of(int n) const
    {
        auto term = repeatability(reading_.repeats, static_cast<std::size_t>(n),
                                  reading_.standard_deviation);
        term.uncertainty *= std::abs(reading_.repeats.slope);
        return term;
    }

    const Reading& reading_;
    bool repeats_ = false;
    double rest_ = 0;
    double rest_fourths_ = 0;
    double largest_amount_ = 0;
    std::optional<std::uint64_t> largest_{};
};

/// What a source is to somebody at the bench.
std::string said(std::uint64_t source, const Reading& reading, int n, const Sources& sources)
{
    if (reading.repeats.source == source) {
        const auto term =
            repeatability(reading.repeats, static_cast<std::size_t>(n), reading.standard_deviation);
        return term.by_resolution ? "the resolution of the gauge" : "the scatter of the readings";
    }
    return sources.is_unnamed(source) ? "a source without a name (" + sources.name(source) + ")"
                                      : "'" + sources.name(source) + "'";
}

/// Smallest count above those taken that decides, none when there is none.
std::optional<int> count_that_decides(const Reading& reading, const Doubt& doubt,
                                      const Verdict& verdict, int most)
{
    if (!doubt.repeats()) {
        return {};
    }
    for (int n = static_cast<int>(reading.count) + 1; n <= most; ++n) {
        const auto [u, freedom] = doubt.with(n);
        const auto decision = decide(verdict.value, u, freedom, verdict.lower, verdict.upper,
                                     verdict.rule, verdict.level);
        if (decision.verdict != Standing::unproven) {
            return n;
        }
    }
    return {};
}

}  // namespace

Settle settle(const Reading& reading, std::optional<double> lower, std::optional<double> upper,
              double level, int most, const Sources& sources)
{
    require_between("most", most, 1, most_readings);
    const Verdict verdict = check(reading.size, lower, upper, Rule::guarded, level, "mm", sources);
    const Doubt doubt(reading, sources);
    const int taken =
        std::max(1, static_cast<int>(std::min<std::size_t>(reading.count, 1'000'000)));
    Settle out{.reason = verdict.reason};
    const auto name_largest = [&](int n) {
        const auto source = doubt.largest(n);
        if (source) {
            out.largest_source = sources.name(*source);
        }
        return source;
    };
    (void)name_largest(taken);
    if (verdict.margin) {
        out.needed_uncertainty = std::abs(*verdict.margin) / numerics::normal_quantile(level);
    }
    if (verdict.verdict != Standing::unproven) {
        return out;
    }
    if (*verdict.margin == 0) {
        out.status = Settling::on_the_limit;
        out.reason +=
            ": no gauge will decide; agree with the customer what counts, or work the "
            "part";
        return out;
    }
    if (const auto n = count_that_decides(reading, doubt, verdict, most)) {
        out.status = Settling::more_readings;
        out.readings = *n;
        out.reason += "; take " + std::to_string(*n) + " readings in all, " +
                      std::to_string(*n - taken) + " more, at the same place";
        return out;
    }
    out.status = Settling::better_gauge;
    const int far = std::max(most, taken);
    const auto source = name_largest(far);
    out.reason += doubt.repeats() ? "; " + std::to_string(far) + " readings would not decide"
                                  : "; more readings change nothing";
    out.reason += ": " + said(*source, reading, far, sources) + " weighs most, and " +
                  figure(*out.needed_uncertainty, "mm") + " of standard uncertainty is needed";
    return out;
}

}  // namespace enginewright::measure
