#include "numerics/distributions.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "numerics/normal_quantile.hpp"

namespace enginewright::numerics {

namespace {

constexpr double epsilon = std::numeric_limits<double>::epsilon();
constexpr double half_log_two_pi = 0.91893853320467274178;  // ln(2 pi) / 2

// What Stirling's formula leaves out: ln Gamma(z) - ((z - 1/2) ln z - z + ln(2 pi) / 2).
// DLMF 5.11.1; from 12 on eight terms reach the last bit.
double stirling_rest(double z)
{
    if (z < 12) {
        return log_gamma(z) - ((z - 0.5) * std::log(z) - z + half_log_two_pi);
    }
    constexpr std::array terms{1.0 / 12,   -1.0 / 360,        1.0 / 1260, -1.0 / 1680,
                               1.0 / 1188, -691.0 / 360360.0, 1.0 / 156,  -3617.0 / 122400.0};
    const double inverse_square = 1 / (z * z);
    double sum = 0;
    for (auto term = terms.rbegin(); term != terms.rend(); ++term) {
        sum = sum * inverse_square + *term;
    }
    return sum / z;
}

// ln(1 + z) - z without cancellation near 0, by the series of the inverse hyperbolic tangent.
// `ratio` is 1 + z, from which the logarithm is taken where z is no longer small.
double log_rest(double z, double ratio)
{
    if (std::abs(z) > 0.4) {
        return std::log(ratio) - z;
    }
    const double r = z / (2 + z);
    const double square = r * r;
    double sum = 0;
    double power = 1;
    for (int odd = 3; power > epsilon * 1e-3 && odd < 60; odd += 2) {
        sum += power / odd;
        power *= square;
    }
    return r * (2 * square * sum - z);
}

}  // namespace

double half_step_ratio(double a)
{
    if (a < 12) {
        return std::exp(log_gamma(a + 0.5) - log_gamma(a)) / std::sqrt(a);
    }
    return std::exp(a * log_rest(0.5 / a, 1 + 0.5 / a) + stirling_rest(a + 0.5) - stirling_rest(a));
}

namespace {

// I_x(a, b) B(a, b) / (x^a y^b), quick for x below (a + 1) / (a + b + 2). DLMF 8.17.22 contracted
// to its even part, as Didonato and Morris write it: all coefficients come from x, y and the
// distance from the mean, so that none loses digits where x is near 1. Rule of Lentz.
double beta_fraction(double a, double b, double x, double y)
{
    constexpr int most = 1'000'000;
    const double distance = x <= y ? a - (a + b) * x : (a + b) * y - b;
    double denominator = a / (a + 1) * (distance + 1);
    double c = denominator;
    double d = 0;
    double value = denominator;
    for (int n = 1; n < most; ++n) {
        const double at = a + 2.0 * n;
        const double numerator =
            (a + n - 1) / (at - 1) * ((a + b + n - 1) / (at - 1)) * (n * (b - n)) * (x * x);
        denominator =
            n + n * (b - n) * x / (at - 1) + (a + n) / (at + 1) * (distance + 1 + n * (1 + y));
        d = 1 / (denominator + numerator * d);
        c = denominator + numerator / c;
        value *= c * d;
        if (std::abs(c * d - 1) <= 0.5 * epsilon) {
            break;
        }
    }
    return 1 / value;
}

// One beta function: what its exponents alone decide is worked out once.
class BetaCurve {
  public:
    struct Point {
        Shares shares;
        double weight;  // x^a y^b / B(a, b)
    };

    BetaCurve(double a, double b)
        : a_(a),
          b_(b),
          rest_(stirling_rest(a + b) - stirling_rest(a) - stirling_rest(b)),
          scale_(std::sqrt(a / (a + b) * b / (2 * std::numbers::pi)))
    {
    }

    // The large parts of the exponent cancel on paper, not in rounding (saddle-point form:
    // everything is measured from the mean a / (a + b)).
    double weight(double x, double y) const
    {
        const double n = a_ + b_;
        // The small share tells the distance from the mean with its digits.
        const double shift = x <= y ? x - a_ / n : b_ / n - y;
        return scale_ * std::exp(a_ * log_rest(shift * n / a_, x * (n / a_)) +
                                 b_ * log_rest(-shift * n / b_, y * (n / b_)) + rest_);
    }

    Point at(double x, double y) const
    {
        if (x <= 0) {
            return {{0, 1}, 0};
        }
        if (y <= 0) {
            return {{1, 0}, 0};
        }
        const double w = weight(x, y);
        if (x * (a_ + b_ + 2) < a_ + 1) {
            const double below = std::min(w * beta_fraction(a_, b_, x, y), 1.0);
            return {{below, 1 - below}, w};
        }
        const double above = std::min(w * beta_fraction(b_, a_, y, x), 1.0);
        return {{1 - above, above}, w};
    }

  private:
    double a_, b_, rest_, scale_;
};

// x^a e^-x / Gamma(a + 1).
double gamma_weight(double a, double x)
{
    return std::exp(a * log_rest((x - a) / a, x / a) - stirling_rest(a)) /
           std::sqrt(2 * std::numbers::pi * a);
}

// DLMF 8.11.4: P = weight * sum of x^k / ((a + 1) ... (a + k)); all terms are positive.
double gamma_series(double a, double x)
{
    double sum = 1;
    double term = 1;
    for (double k = 1; term > 0.25 * epsilon * sum; ++k) {
        term *= x / (a + k);
        sum += term;
    }
    return sum;
}

// DLMF 8.9.2, contracted to its even part: Q = weight * a * fraction, for x above a + 1.
double gamma_fraction(double a, double x)
{
    constexpr int most = 1'000'000;
    double b = x + 1 - a;
    double c = 1e300;
    double d = 1 / b;
    double product = d;
    for (int k = 1; k < most; ++k) {
        const double coefficient = -k * (k - a);
        b += 2;
        d = 1 / (coefficient * d + b);
        c = b + coefficient / c;
        product *= c * d;
        if (std::abs(c * d - 1) <= 0.5 * epsilon) {
            break;
        }
    }
    return product;
}

// P(T > x) for x >= 0 and many degrees of freedom. With b = 1/2 the leading term of Didonato's and
// Morris's expansion is the complementary error function, and each next one follows from the last.
double t_tail_expansion(double x, double freedom)
{
    constexpr int most = 30;
    const double half = freedom / 2;
    const double stretch = half - 0.25;
    const double log_x = std::log1p(x * x / freedom);
    const double u = stretch * log_x;
    const double lead = std::erfc(std::sqrt(u));
    // Gamma(a + 1/2) / (Gamma(a) stretch^(1/2)) is the scale of all terms.
    const double scale = half_step_ratio(half) * std::sqrt(half / stretch);
    const double weight = std::sqrt(u / std::numbers::pi) * std::exp(-u);
    const double quarter_square = log_x * log_x / 4;

    std::array<double, most> p{1.0};
    std::array<double, most> inverse_factorial{1.0};  // 1 / (2 n + 1)!
    double j = lead;
    double sum = lead;
    double power = weight;
    double twice = 0.5;  // b + 2 n
    for (std::size_t n = 1; n < most; ++n) {
        const auto at = static_cast<double>(n);
        inverse_factorial[n] = inverse_factorial[n - 1] / (2 * at * (2 * at + 1));
        double inner = 0;
        for (std::size_t m = 1; m < n; ++m) {
            inner += (static_cast<double>(m) * 0.5 - at) * p[n - m] * inverse_factorial[m];
        }
        p[n] = inner / at - 0.5 * inverse_factorial[n];
        j = (twice * (twice + 1) * j + (u + twice + 1) * power) / (4 * stretch * stretch);
        power *= quarter_square;
        twice += 2;
        const double term = p[n] * j;
        sum += term;
        if (std::abs(term) <= 0.25 * epsilon * sum) {
            break;
        }
    }
    return 0.5 * scale * sum;
}

// P(T > x) for x >= 0.
double t_tail(double x, double freedom)
{
    const double square = x * x;
    if (std::isinf(freedom)) {
        return 0.5 * std::erfc(x / std::numbers::sqrt2);
    }
    if (freedom >= 60 && square < freedom) {
        return t_tail_expansion(x, freedom);
    }
    if (std::isinf(square)) {
        // I_x(a, 1/2) for x = freedom / square, which has left the range of a double.
        const double a = freedom / 2;
        return 0.5 * half_step_ratio(a) * std::sqrt(a / std::numbers::pi) / a *
               std::pow(std::sqrt(freedom) / x, freedom);
    }
    const double sum = freedom + square;
    return 0.5 * incomplete_beta(freedom / 2, 0.5, freedom / sum, square / sum).below;
}

// A share of the probability, and how it changes with ln x.
struct Share {
    double value;
    double slope;
};

// The x > 0 at which a share of the probability takes the value `target`, by Newton's rule on
// ln(share) against ln(x). Both shares of the curves here are concave in these coordinates, so
// that after one step the rule comes in from one side and cannot run away. From where the share has
// left the range of a double it goes half the way back to `good`, where it is known to have digits.
template <class Curve>
double solve_in_logs(double target, double start, double good, Curve share)
{
    // The next move would be of the order of the square of this one.
    constexpr double done = 1e-9;
    double x = start;
    for (int step = 0; step < 200; ++step) {
        const Share now = share(x);
        if (!(now.value > 0) || now.slope == 0 || !std::isfinite(x)) {
            x = std::sqrt(good) * std::sqrt(std::min(x, std::numeric_limits<double>::max()));
            continue;
        }
        good = x;
        const double move = std::log(now.value / target) * now.value / now.slope;
        x *= std::exp(std::clamp(-move, -300.0, 300.0));
        if (std::abs(move) < done) {
            break;
        }
    }
    return x;
}

// Where P(T > x) is about this much: near enough for Newton's rule to end after a step or two.
// G. W. Hill, Algorithm 396, Communications of the ACM 13 (1970) 619.
double t_start(double tail, double freedom)
{
    const double n = freedom;
    const double z = -quick_normal_quantile(tail);
    if (n < 1) {
        return z;
    }
    const double a = 1 / (n - 0.5);
    const double b = 48 / (a * a);
    double c = ((20700 * a / b - 98) * a - 16) * a + 96.36;
    const double d = ((94.5 / (b + c) - 3) / b + 1) * std::sqrt(a * std::numbers::pi / 2) * n;
    double y = std::pow(2 * d * tail, 2 / n);
    if (y > 0.05 + a) {
        const double square = z * z;
        if (n < 5) {
            c += 0.3 * (n - 4.5) * (z + 0.6);
        }
        c += (((0.05 * d * z - 5) * z - 7) * z - 2) * z + b;
        y = (((((0.4 * square + 6.3) * square + 36) * square + 94.5) / c - square - 3) / b + 1) * z;
        y = std::expm1(a * y * y);
    } else {
        y = ((1 / (((n + 6) / (n * y) - 0.089 * d - 0.822) * (n + 2) * 3) + 0.5 / (n + 4)) * y -
             1) *
                (n + 1) / (n + 2) +
            1 / y;
    }
    const double start = std::sqrt(n * y);
    return start > 0 && std::isfinite(start) ? start : z;
}

// Where P(F < x) is about this much; 1 where nothing better is known.
// Abramowitz and Stegun, 26.6.16.
double f_start(double probability, double above, double below)
{
    if (above < 2 || below < 2) {
        return 1;
    }
    const double first = 1 / (above - 1);
    const double second = 1 / (below - 1);
    const double z = quick_normal_quantile(probability);
    const double lambda = (z * z - 3) / 6;
    const double h = 2 / (first + second);
    if (h + lambda < 0) {
        return 1;
    }
    const double w =
        z * std::sqrt(h + lambda) / h - (first - second) * (lambda + 5.0 / 6 - 2 / (3 * h));
    return std::exp(std::clamp(2 * w, -50.0, 50.0));
}

}  // namespace

double log_gamma(double z)
{
    // Shifted up to where Stirling's formula holds to the last bit.
    double product = 1;
    while (z < 12) {
        product *= z;
        z += 1;
    }
    return (z - 0.5) * std::log(z) - z + half_log_two_pi + stirling_rest(z) - std::log(product);
}

Shares incomplete_beta(double a, double b, double x, double y)
{
    // At the ends the exponents do not matter, however wild they are.
    if (x <= 0) {
        return {0, 1};
    }
    if (y <= 0) {
        return {1, 0};
    }
    return BetaCurve(a, b).at(x, y).shares;
}

Shares incomplete_gamma(double a, double x)
{
    if (x <= 0) {
        return {0, 1};
    }
    if (std::isinf(x)) {
        return {1, 0};
    }
    const double weight = gamma_weight(a, x);
    if (x < a + 1) {
        const double below = std::min(weight * gamma_series(a, x), 1.0);
        return {below, 1 - below};
    }
    const double above = std::min(weight * a * gamma_fraction(a, x), 1.0);
    return {1 - above, above};
}

double normal_density(double x) { return std::exp(-0.5 * x * x) / std::sqrt(2 * std::numbers::pi); }

double normal_cdf(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

double normal_quantile(double probability)
{
    if (probability > 0.5) {
        return -normal_quantile(1 - probability);
    }
    // Start: Abramowitz and Stegun, 26.2.22, good to 3e-3; two or three steps of Halley's rule on
    // the cdf then reach the last bit. Near the middle the cdf's distance from 1/2 keeps the
    // digits.
    const double w = std::sqrt(-2 * std::log(probability));
    double z = w - (2.30753 + 0.27061 * w) / (1 + w * (0.99229 + 0.04481 * w));
    const double from_middle = 0.5 - probability;
    for (int step = 0; step < 6; ++step) {
        const double density = normal_density(z);
        const double excess = probability > 0.3
                                  ? from_middle - 0.5 * std::erf(z / std::numbers::sqrt2)
                                  : 0.5 * std::erfc(z / std::numbers::sqrt2) - probability;
        const double newton = excess / density;
        const double move = newton / (1 - 0.5 * z * newton);
        z += move;
        if (std::abs(move) <= 1e-9 * std::abs(z)) {
            break;
        }
    }
    return -z;
}

double t_density(double x, double freedom)
{
    if (std::isinf(freedom)) {
        return normal_density(x);
    }
    const double scale = half_step_ratio(freedom / 2) / std::sqrt(2 * std::numbers::pi);
    // Far out the square would leave the range of a double.
    const double r = std::abs(x) / std::sqrt(freedom);
    const double logarithm = r > 1e10 ? 2 * std::log(r) : std::log1p(r * r);
    return scale * std::exp(-(freedom + 1) / 2 * logarithm);
}

double t_cdf(double x, double freedom)
{
    const double tail = t_tail(std::abs(x), freedom);
    return x > 0 ? 1 - tail : tail;
}

double t_quantile(double probability, double freedom)
{
    if (std::isinf(freedom)) {
        return normal_quantile(probability);
    }
    if (probability > 0.5) {
        return -t_quantile(1 - probability, freedom);
    }
    if (probability == 0.5) {
        return 0;
    }
    const double start = t_start(probability, freedom);
    if (probability > 0.3) {
        // P(0 < T < x) keeps its digits where x is small.
        const BetaCurve curve(0.5, freedom / 2);
        return -solve_in_logs(0.5 - probability, start, 1, [&](double x) {
            const double square = x * x;
            const double sum = freedom + square;
            const auto point = curve.at(square / sum, freedom / sum);
            return Share{0.5 * point.shares.below, point.weight};
        });
    }
    const BetaCurve curve(freedom / 2, 0.5);
    return -solve_in_logs(probability, start, 1, [&](double x) {
        const double square = x * x;
        if (std::isinf(square) || (freedom >= 60 && square < freedom)) {
            return Share{t_tail(x, freedom), -x * t_density(x, freedom)};
        }
        const double sum = freedom + square;
        const auto point = curve.at(freedom / sum, square / sum);
        return Share{0.5 * point.shares.below, -point.weight};
    });
}

double chi_square_density(double x, double freedom)
{
    return gamma_weight(freedom / 2, x / 2) * freedom / 2 / x;
}

double chi_square_cdf(double x, double freedom)
{
    return incomplete_gamma(freedom / 2, x / 2).below;
}

double chi_square_quantile(double probability, double freedom)
{
    // Start: the cube root of chi-square over its freedom is nearly normal (Wilson and Hilferty,
    // 1931); far down, where that fails, the first term of the series.
    const double part = 2 / (9 * freedom);
    const double root = 1 - part + normal_quantile(probability) * std::sqrt(part);
    const double a = freedom / 2;
    const double start = root > 0.3 ? freedom * root * root * root
                                    : 2 * std::exp((std::log(probability) + log_gamma(a + 1)) / a);
    const bool low = probability <= 0.5;
    return solve_in_logs(low ? probability : 1 - probability, start, start, [&](double x) {
        const Shares shares = incomplete_gamma(a, x / 2);
        const double slope = a * gamma_weight(a, x / 2);
        return low ? Share{shares.below, slope} : Share{shares.above, -slope};
    });
}

double f_density(double x, double above, double below)
{
    const double sum = above * x + below;
    return BetaCurve(above / 2, below / 2).weight(above * x / sum, below / sum) / x;
}

double f_cdf(double x, double above, double below)
{
    if (x <= 0) {
        return 0;
    }
    if (std::isinf(below)) {
        return chi_square_cdf(x * above, above);
    }
    const double sum = above * x + below;
    return incomplete_beta(above / 2, below / 2, above * x / sum, below / sum).below;
}

double f_quantile(double probability, double above, double below)
{
    if (std::isinf(below)) {
        return chi_square_quantile(probability, above) / above;
    }
    const bool low = probability <= 0.5;
    const BetaCurve curve(above / 2, below / 2);
    return solve_in_logs(low ? probability : 1 - probability, f_start(probability, above, below), 1,
                         [&](double x) {
                             const double sum = above * x + below;
                             const auto point = curve.at(above * x / sum, below / sum);
                             return low ? Share{point.shares.below, point.weight}
                                        : Share{point.shares.above, -point.weight};
                         });
}

}  // namespace enginewright::numerics
