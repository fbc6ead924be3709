#include <cmath>

#include "enginewright/measure/quantity.hpp"
#include "enginewright/measure/quantity_column.hpp"

namespace enginewright::measure {

namespace {

using Index = Eigen::Index;

/// A value and the slope there; the slope may be infinite at an edge of the domain.
struct Point {
    double value;
    double slope;
};

void require_domain(Function function, double x)
{
    switch (function) {
        case Function::sqrt:
            require_at_least("value", x, 0.0);
            break;
        case Function::log:
            if (!(x > 0)) {
                refuse("value", "above 0", x);
            }
            break;
        case Function::arcsin:
        case Function::arccos:
            require_between("value", x, -1.0, 1.0);
            break;
        default:
            break;
    }
}

Point point_of(Function function, double x)
{
    require_domain(function, x);
    switch (function) {
        case Function::sqrt:
            return {std::sqrt(x), 0.5 / std::sqrt(x)};
        case Function::exp:
            return {std::exp(x), std::exp(x)};
        case Function::log:
            return {std::log(x), 1 / x};
        case Function::sin:
            return {std::sin(x), std::cos(x)};
        case Function::cos:
            return {std::cos(x), -std::sin(x)};
        case Function::tan:
            return {std::tan(x), 1 + std::tan(x) * std::tan(x)};
        case Function::arcsin:
            return {std::asin(x), 1 / std::sqrt((1 - x) * (1 + x))};
        case Function::arccos:
            return {std::acos(x), -1 / std::sqrt((1 - x) * (1 + x))};
        case Function::arctan:
            return {std::atan(x), 1 / (1 + x * x)};
        case Function::absolute:
            return {std::abs(x), x < 0 ? -1.0 : 1.0};
    }
    return {x, 1};
}

Point power_point(double x, double exponent)
{
    require_finite("exponent", exponent);
    if (x == 0 && exponent < 0) {
        refuse("exponent", "at least 0 where the value is 0", exponent);
    }
    if (x < 0 && exponent != std::floor(exponent)) {
        refuse("exponent", "a whole number where the value is below 0", exponent);
    }
    const double slope = exponent == 0 ? 0.0 : exponent * std::pow(x, exponent - 1);
    return {std::pow(x, exponent), slope};
}

/// At an edge the slope is infinite: harmless for an exact value, senseless for any other.
double usable_slope(Point point, double x, bool exact)
{
    require_finite("result", point.value);
    if (std::isfinite(point.slope)) {
        return point.slope;
    }
    if (!exact) {
        refuse("value", "away from the edge where the slope is infinite", x);
    }
    return 0;
}

template <class At>
Quantity through(const Quantity& quantity, At at)
{
    const double x = quantity.value();
    const Point point = at(x);
    return combine(point.value, usable_slope(point, x, quantity.contributions().empty()), quantity,
                   0.0, Quantity{});
}

[[noreturn]] void refuse_at(const std::invalid_argument& refused, Index element)
{
    throw std::invalid_argument(std::string(refused.what()) + " (element " +
                                std::to_string(element) + " of the arrays)");
}

template <class At>
QuantityColumn through_each(const QuantityColumn& column, At at)
{
    const Eigen::ArrayXd& x = column.values();
    const bool exact = column.common().empty() && column.own().empty();
    const Eigen::ArrayXd variance = exact ? Eigen::ArrayXd::Zero(x.size()) : column.variance();
    Eigen::ArrayXd values(x.size());
    Eigen::ArrayXd slopes(x.size());
    for (Index i = 0; i < x.size(); ++i) {
        try {
            const Point point = at(x[i], static_cast<std::size_t>(i));
            values[i] = point.value;
            slopes[i] = usable_slope(point, x[i], variance[i] == 0);
        } catch (const std::invalid_argument& refused) {
            refuse_at(refused, i);
        }
    }
    const QuantityColumn nothing(Eigen::ArrayXd::Zero(x.size()), column.shape());
    return combine(std::move(values), Series(std::move(slopes)), column, 0.0, nothing);
}

/// Two columns stretched to their common shape.
struct Pair {
    QuantityColumn a;
    QuantityColumn b;
};

Pair stretched(const QuantityColumn& a, const QuantityColumn& b)
{
    if (a.shape() == b.shape()) {
        return {a, b};
    }
    const auto shape = common_shape(a.shape(), b.shape());
    return {a.stretched(shape), b.stretched(shape)};
}

}  // namespace

Quantity apply(Function function, const Quantity& quantity)
{
    return through(quantity, [function](double x) { return point_of(function, x); });
}

Quantity power(const Quantity& quantity, double exponent)
{
    return through(quantity, [exponent](double x) { return power_point(x, exponent); });
}

QuantityColumn apply_each(Function function, const QuantityColumn& column)
{
    return through_each(column,
                        [function](double x, std::size_t) { return point_of(function, x); });
}

QuantityColumn power_each(const QuantityColumn& column, const Series& exponent)
{
    return through_each(column,
                        [&](double x, std::size_t i) { return power_point(x, exponent[i]); });
}

QuantityColumn operator+(const QuantityColumn& a, const QuantityColumn& b)
{
    const Pair pair = stretched(a, b);
    return combine(pair.a.values() + pair.b.values(), 1.0, pair.a, 1.0, pair.b);
}

QuantityColumn operator-(const QuantityColumn& a, const QuantityColumn& b)
{
    const Pair pair = stretched(a, b);
    return combine(pair.a.values() - pair.b.values(), 1.0, pair.a, -1.0, pair.b);
}

QuantityColumn operator*(const QuantityColumn& a, const QuantityColumn& b)
{
    const Pair pair = stretched(a, b);
    return combine(pair.a.values() * pair.b.values(), Series(pair.b.values()), pair.a,
                   Series(pair.a.values()), pair.b);
}

QuantityColumn operator/(const QuantityColumn& a, const QuantityColumn& b)
{
    const Pair pair = stretched(a, b);
    const Eigen::ArrayXd& divisor = pair.b.values();
    for (Index i = 0; i < divisor.size(); ++i) {
        if (divisor[i] == 0) {
            try {
                refuse("divisor", "other than 0", divisor[i]);
            } catch (const std::invalid_argument& refused) {
                refuse_at(refused, i);
            }
        }
    }
    Eigen::ArrayXd ratio = pair.a.values() / divisor;
    const Series over(Eigen::ArrayXd(divisor.inverse()));
    const Series under(Eigen::ArrayXd(-ratio / divisor));
    return combine(std::move(ratio), over, pair.a, under, pair.b);
}

}  // namespace enginewright::measure
