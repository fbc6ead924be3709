#include "enginewright/measure/gauge_study.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "measure/spread.hpp"
#include "numerics/distributions.hpp"

namespace enginewright::measure {

namespace {

/// The readings as a block: parts by people by repeats.
struct Block {
    std::span<const double> readings;
    std::size_t parts, operators, repeats;

    double at(std::size_t i, std::size_t j, std::size_t k) const
    {
        // From the first reading on: a mean of equal readings is that reading to the last bit.
        return readings[(i * operators + j) * repeats + k] - readings.front();
    }
};

/// One source of variation: degrees of freedom and sum of squares.
struct Variation {
    std::size_t freedom = 0;
    double squares = 0;

    double mean_square() const { return squares / static_cast<double>(freedom); }
};

struct Analysis {
    Variation part{}, person{}, interaction{}, repeat{};
};

double square(double x) { return x * x; }

/// Means of the cells, of the parts and of the people, and of all.
struct Means {
    std::vector<double> cell{}, part{}, person{};
    double all = 0;
};

Means means_of(const Block& block)
{
    Means means;
    means.part.assign(block.parts, 0.0);
    means.person.assign(block.operators, 0.0);
    for (std::size_t i = 0; i < block.parts; ++i) {
        for (std::size_t j = 0; j < block.operators; ++j) {
            double sum = 0;
            for (std::size_t k = 0; k < block.repeats; ++k) {
                sum += block.at(i, j, k);
            }
            const double mean = sum / static_cast<double>(block.repeats);
            means.cell.push_back(mean);
            means.part[i] += mean / static_cast<double>(block.operators);
            means.person[j] += mean / static_cast<double>(block.parts);
        }
    }
    for (const double each : means.part) {
        means.all += each / static_cast<double>(block.parts);
    }
    return means;
}

Analysis analysis_of(const Block& block, double spread)
{
    const Means means = means_of(block);
    const auto p = block.parts;
    const auto o = block.operators;
    const auto r = block.repeats;
    Analysis out{.part = {.freedom = p - 1},
                 .person = {.freedom = o - 1},
                 .interaction = {.freedom = (p - 1) * (o - 1)},
                 .repeat = {.freedom = p * o * (r - 1)}};
    for (std::size_t i = 0; i < p; ++i) {
        out.part.squares += static_cast<double>(o * r) * square(means.part[i] - means.all);
        for (std::size_t j = 0; j < o; ++j) {
            const double cell = means.cell[i * o + j];
            out.interaction.squares +=
                static_cast<double>(r) * square(cell - means.part[i] - means.person[j] + means.all);
            for (std::size_t k = 0; k < r; ++k) {
                out.repeat.squares += square(block.at(i, j, k) - cell);
            }
        }
    }
    for (std::size_t j = 0; j < o; ++j) {
        out.person.squares += static_cast<double>(p * r) * square(means.person[j] - means.all);
    }
    // What rounding leaves of nothing is nothing: an F test must not see it.
    const double least = square(1e-14 * spread) * static_cast<double>(p * o * r);
    for (auto* each : {&out.part, &out.person, &out.interaction, &out.repeat}) {
        each->squares = each->squares <= least ? 0.0 : each->squares;
    }
    return out;
}

/// Whether the interaction is no more than the scatter of the readings.
bool is_pooled(const Analysis& analysis, double significance, Interaction interaction)
{
    if (interaction != Interaction::automatic) {
        return interaction == Interaction::pool;
    }
    if (analysis.interaction.squares == 0) {
        return true;
    }
    if (analysis.repeat.squares == 0) {
        return false;
    }
    // The chance of a greater F, from its reciprocal so that a small one keeps its digits.
    const double chance =
        numerics::f_cdf(analysis.repeat.mean_square() / analysis.interaction.mean_square(),
                        static_cast<double>(analysis.repeat.freedom),
                        static_cast<double>(analysis.interaction.freedom));
    return chance > significance;
}

StudyRow row_of(const char* name, const Variation& variation)
{
    return {.name = name,
            .degrees_of_freedom = static_cast<int>(variation.freedom),
            .sum_of_squares = variation.squares,
            .mean_square = variation.mean_square()};
}

double root(double variance) { return std::sqrt(std::max(0.0, variance)); }

void set_deviations(GaugeStudy& out, const Analysis& analysis, const Block& block)
{
    const auto p = static_cast<double>(block.parts);
    const auto o = static_cast<double>(block.operators);
    const auto r = static_cast<double>(block.repeats);
    Variation repeat = analysis.repeat;
    out.table = {row_of("part", analysis.part), row_of("operator", analysis.person)};
    if (out.pooled) {
        repeat.freedom += analysis.interaction.freedom;
        repeat.squares += analysis.interaction.squares;
    } else {
        out.table.push_back(row_of("interaction", analysis.interaction));
        out.interaction = root((analysis.interaction.mean_square() - repeat.mean_square()) / r);
    }
    out.table.push_back(row_of("repeatability", repeat));
    const double against = out.pooled ? repeat.mean_square() : analysis.interaction.mean_square();
    out.repeatability = root(repeat.mean_square());
    out.operator_ = root((analysis.person.mean_square() - against) / (p * r));
    out.part = root((analysis.part.mean_square() - against) / (o * r));
    out.reproducibility = std::hypot(out.operator_, out.interaction);
    out.gauge = std::hypot(out.repeatability, out.reproducibility);
    out.total = std::hypot(out.gauge, out.part);
}

void set_shares(GaugeStudy& out)
{
    const auto put = [&out](const char* name, double deviation) {
        const double share = out.total > 0 ? deviation / out.total : 0.0;
        out.study[name] = share;
        out.contribution[name] = share * share;
    };
    put("repeatability", out.repeatability);
    put("operator", out.operator_);
    put("interaction", out.interaction);
    put("reproducibility", out.reproducibility);
    put("gauge", out.gauge);
    put("part", out.part);
    put("total", out.total);
    if (out.gauge > 0) {
        constexpr double most = 1e9;
        out.categories = static_cast<int>(
            std::min(most, std::floor(std::numbers::sqrt2 * out.part / out.gauge)));
    }
}

std::string percent(double share) { return fixed_text(100 * share, 1) + " %"; }

void judge_study(GaugeStudy& out)
{
    // Common practice: up to a tenth good, up to three tenths for want of better.
    constexpr double good = 0.10;
    constexpr double bearable = 0.30;
    const double share = out.tolerance_share.value_or(out.study.at("gauge"));
    out.status = share <= good       ? Fitness::fit
                 : share <= bearable ? Fitness::marginal
                                     : Fitness::unfit;
    out.reason = "the gauge takes " + percent(share) + " of the " +
                 (out.tolerance_share ? "tolerance" : "spread of the readings");
    if (out.gauge == 0) {
        out.reason += ": no scatter at all, so its step is coarser than what was to be seen";
        return;
    }
    out.reason += out.repeatability >= out.reproducibility
                      ? "; most of it is the gauge's own scatter"
                      : "; most of it lies between the people";
    if (out.categories && *out.categories < 5) {
        // Common practice: five sizes of part are the least that control needs.
        out.reason +=
            "; it tells only " + std::to_string(*out.categories) + " sizes of these parts apart";
    }
}

void require_study(const Block& block, std::optional<double> tolerance, double significance)
{
    const auto at_least_two = [](std::string_view what, std::size_t count) {
        if (count < 2) {
            refuse_all("readings",
                       "hold at least 2 " + std::string(what) + ", got " + std::to_string(count));
        }
    };
    at_least_two("parts", block.parts);
    at_least_two("operators", block.operators);
    at_least_two("repeats", block.repeats);
    if (block.readings.size() != block.parts * block.operators * block.repeats) {
        refuse_all("readings", "be parts x operators x repeats, " +
                                   std::to_string(block.parts * block.operators * block.repeats) +
                                   " in all, got " + std::to_string(block.readings.size()));
    }
    require_readings("readings", block.readings, 8);
    if (tolerance) {
        require_positive("tolerance", *tolerance);
    }
    if (!(significance > 0 && significance < 1)) {
        refuse("significance", "above 0 and below 1", significance);
    }
}

}  // namespace

GaugeStudy gauge_study(std::span<const double> readings, std::size_t parts, std::size_t operators,
                       std::size_t repeats, std::optional<double> tolerance, double significance,
                       Interaction interaction)
{
    const Block block{readings, parts, operators, repeats};
    require_study(block, tolerance, significance);
    const double spread = spread_of("readings", readings);
    const Analysis analysis = analysis_of(block, spread);
    GaugeStudy out{.parts = static_cast<int>(parts),
                   .operators = static_cast<int>(operators),
                   .repeats = static_cast<int>(repeats),
                   .pooled = is_pooled(analysis, significance, interaction)};
    set_deviations(out, analysis, block);
    if (out.total == 0 && !tolerance) {
        refuse_all("readings", "differ somewhere, or a tolerance be given to judge by");
    }
    if (tolerance) {
        out.tolerance_share = 6 * out.gauge / *tolerance;
        if (!std::isfinite(*out.tolerance_share)) {
            refuse("tolerance", "large enough for the study to be a share of it", *tolerance);
        }
    }
    set_shares(out);
    judge_study(out);
    return out;
}

}  // namespace enginewright::measure
