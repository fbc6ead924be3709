#include "quantities.hpp"

#include <cmath>

#include "functions.hpp"

namespace enginewright::bind {

namespace {

using Index = Eigen::Index;
using measure::Series;

/// One figure of an answer: a number, or an array of them with gaps. Absent: not there at all.
struct Figure {
    bool present = false;
    Lengths shape{};
    Eigen::ArrayXd values{};
    std::vector<bool> gaps{};  ///< empty: none

    bool has_gaps() const { return std::find(gaps.begin(), gaps.end(), true) != gaps.end(); }

    /// An infinite figure (the safety of what nothing presses) has no doubt: it stays a number.
    bool is_finite() const { return values.isFinite().all(); }
    Eigen::ArrayXd finite_values() const { return values.isFinite().select(values, 0.0); }
};

Figure figure_of(const py::object& value)
{
    Figure figure;
    if (PyFloat_Check(value.ptr())) {
        figure.present = true;
        figure.values = Eigen::ArrayXd::Constant(1, PyFloat_AS_DOUBLE(value.ptr()));
        return figure;
    }
    if (!py::isinstance<py::array>(value)) {
        return figure;
    }
    py::object plain = value;
    if (is_masked_array(value)) {
        const auto mask = py::array_t<bool, py::array::c_style | py::array::forcecast>(
            py::module_::import("numpy.ma").attr("getmaskarray")(value));
        figure.gaps.assign(mask.data(), mask.data() + mask.size());
        plain = value.attr("data");
    }
    const auto array = py::array_t<double, py::array::c_style | py::array::forcecast>(plain);
    figure.present = true;
    figure.shape.assign(array.shape(), array.shape() + array.ndim());
    figure.values = Eigen::Map<const Eigen::ArrayXd>(array.data(), array.size());
    return figure;
}

std::vector<Figure> figures_of(const py::object& answer, const std::vector<std::string>& fields)
{
    if (fields.empty()) {
        return {figure_of(answer)};
    }
    std::vector<Figure> figures;
    for (const auto& field : fields) {
        figures.push_back(figure_of(answer.attr(field.c_str())));
    }
    return figures;
}

Eigen::ArrayXd values_of(const AnyQuantity& quantity)
{
    return quantity.single() ? Eigen::ArrayXd::Constant(1, quantity.one().value())
                             : quantity.column().values();
}

Eigen::ArrayXd uncertainties_of(const AnyQuantity& quantity)
{
    return quantity.single() ? Eigen::ArrayXd::Constant(1, quantity.one().standard_uncertainty())
                             : quantity.column().standard_uncertainty();
}

py::object give_numbers(const Eigen::ArrayXd& values, const AnyQuantity& like)
{
    return like.single() ? py::object(py::float_(values[0]))
                         : py::object(give_array(values, like.shape()));
}

/// Numbers of an argument's shape, stretched to the shape of the answer.
Eigen::ArrayXd spread_over(const Eigen::ArrayXd& values, const Lengths& from, const Lengths& to)
{
    return QuantityColumn(values, from).stretched(to).values();
}

/// One call of `through_quantities`: the arguments, and the answers around them.
class Run {
  public:
    Run(const Recall& recall, const Signature& signature, PyObject* const* given, std::size_t count,
        const std::vector<std::string>& fields)
        : recall_(recall), fields_(fields), numbers_(given, given + count)
    {
        for (std::size_t i = 0; i < count; ++i) {
            if (holds_quantity(given[i])) {
                inputs_.push_back(
                    {i, signature.name(i), take_quantity(given[i], signature.name(i)), {}});
            }
        }
        for (auto& input : inputs_) {
            input.numbers = give_numbers(values_of(input.quantity), input.quantity);
            numbers_[input.argument] = input.numbers.ptr();
        }
        answer_ = recall_(numbers_.data());
        base_ = figures_of(answer_, fields_);
    }

    Carried carried() const
    {
        std::vector<AnyQuantity> sums;
        for (const auto& figure : base_) {
            sums.push_back(plain_of(figure));
        }
        for (const auto& input : inputs_) {
            add_doubt(input, sums);
        }
        Carried out{.plain = answer_};
        for (std::size_t f = 0; f < base_.size(); ++f) {
            if (base_[f].present && (base_[f].is_finite() || !base_[f].shape.empty())) {
                out.doubtful.emplace_back(fields_.empty() ? "" : fields_[f],
                                          with_gaps(sums[f], base_[f]));
            }
        }
        return out;
    }

  private:
    struct Input {
        std::size_t argument;
        std::string name;
        AnyQuantity quantity;
        py::object numbers;
    };

    static AnyQuantity plain_of(const Figure& figure)
    {
        if (!figure.present || figure.shape.empty()) {
            return {Quantity(figure.present ? figure.finite_values()[0] : 0.0)};
        }
        return {QuantityColumn(figure.finite_values(), figure.shape)};
    }

    /// A column with gaps has no column of quantities: each element is one, or None, or infinite.
    static py::object with_gaps(const AnyQuantity& quantity, const Figure& figure)
    {
        if (!figure.has_gaps() && figure.is_finite()) {
            return py::cast(quantity);
        }
        std::vector<py::object> each;
        for (std::size_t i = 0; i < quantity.column().size(); ++i) {
            const double value = figure.values[static_cast<Index>(i)];
            if (!figure.gaps.empty() && figure.gaps[i]) {
                each.push_back(py::none());
            } else if (std::isfinite(value)) {
                each.push_back(give_quantity(quantity.column().at(i)));
            } else {
                each.push_back(py::float_(value));
            }
        }
        return array_of_objects(each, figure.shape);
    }

    /// The figures with one argument moved; none when the function refuses it there, or when a
    /// figure that was there is gone.
    std::optional<std::vector<Figure>> moved(const Input& input, const Eigen::ArrayXd& to) const
    {
        auto numbers = numbers_;
        const py::object shifted = give_numbers(to, input.quantity);
        numbers[input.argument] = shifted.ptr();
        try {
            auto figures = figures_of(recall_(numbers.data()), fields_);
            for (std::size_t f = 0; f < base_.size(); ++f) {
                if (figures[f].present != base_[f].present || figures[f].gaps != base_[f].gaps) {
                    return std::nullopt;
                }
            }
            return figures;
        } catch (const std::invalid_argument&) {
            return std::nullopt;
        }
    }

    void add_doubt(const Input& input, std::vector<AnyQuantity>& sums) const
    {
        const Eigen::ArrayXd x = values_of(input.quantity);
        const Eigen::ArrayXd step = uncertainties_of(input.quantity) * measure::slope_step;
        if ((step == 0).all()) {
            return;
        }
        const Eigen::ArrayXd up = x + step;
        const Eigen::ArrayXd down = x - step;
        const Eigen::ArrayXd half_up = x + step / 2;
        const Eigen::ArrayXd half_down = x - step / 2;
        const auto above = moved(input, up);
        const auto below = moved(input, down);
        const auto near_above = moved(input, half_up);
        const auto near_below = moved(input, half_down);
        for (std::size_t f = 0; f < base_.size(); ++f) {
            const Figure& base = base_[f];
            if (!base.present) {
                continue;
            }
            const auto wide = [&](const Eigen::ArrayXd& values) {
                return base.shape.empty() ? values
                                          : spread_over(values, input.quantity.shape(), base.shape);
            };
            Eigen::ArrayXd slope(base.values.size());
            const Eigen::ArrayXd from = wide(x);
            const auto fill = [&](auto slope_at) {
                for (Index i = 0; i < slope.size(); ++i) {
                    slope[i] = slope_at(i);
                }
            };
            if (above && below && near_above && near_below) {
                const Eigen::ArrayXd far_up = wide(up - x);
                const Eigen::ArrayXd near_up = wide(half_up - x);
                const Eigen::ArrayXd near_down = wide(half_down - x);
                const Eigen::ArrayXd far_down = wide(down - x);
                fill([&](Index i) {
                    return measure::slope_through({.below = (*below)[f].values[i],
                                                   .near_below = (*near_below)[f].values[i],
                                                   .at = base.values[i],
                                                   .near_above = (*near_above)[f].values[i],
                                                   .above = (*above)[f].values[i],
                                                   .far_down = far_down[i],
                                                   .near_down = near_down[i],
                                                   .near_up = near_up[i],
                                                   .far_up = far_up[i]});
                });
            } else {
                // The value stands at the edge of what the function takes: look to one side.
                const bool upward = above && near_above;
                if (!upward && !(below && near_below)) {
                    refuse_all(input.name,
                               "leave room for its uncertainty within what the function takes");
                }
                const Eigen::ArrayXd far = wide(upward ? up : down) - from;
                const Eigen::ArrayXd near = wide(upward ? half_up : half_down) - from;
                const auto& end = (upward ? *above : *below)[f].values;
                const auto& middle = (upward ? *near_above : *near_below)[f].values;
                fill([&](Index i) {
                    const double at = base.values[i];
                    if (far[i] != 0 && measure::is_steep_edge(end[i] - at, middle[i] - at, at)) {
                        refuse_all(input.name,
                                   "stand away from the edge where the slope is infinite");
                    }
                    return measure::one_sided_slope(end[i] - at, far[i], middle[i] - at, near[i]);
                });
            }
            sums[f] = joined(base, sums[f], slope, input.quantity);
        }
    }

    static AnyQuantity joined(const Figure& base, const AnyQuantity& sum,
                              const Eigen::ArrayXd& slope, const AnyQuantity& input)
    {
        if (base.shape.empty()) {
            return {
                measure::combine(base.finite_values()[0], 1.0, sum.one(), slope[0], input.one())};
        }
        return {measure::combine(base.finite_values(), 1.0, sum.column(), Series(slope),
                                 input.stretched(base.shape))};
    }

    const Recall& recall_;
    const std::vector<std::string>& fields_;
    std::vector<PyObject*> numbers_;
    std::vector<Input> inputs_{};
    py::object answer_{};
    std::vector<Figure> base_{};
};

}  // namespace

Carried carry_doubt(const Recall& recall, const Signature& signature, PyObject* const* given,
                    std::size_t count, const std::vector<std::string>& fields)
{
    return Run(recall, signature, given, count, fields).carried();
}

py::object carry_into_record(const Recall& recall, const Signature& signature,
                             PyObject* const* given, std::size_t count, const RecordType& type)
{
    auto carried = carry_doubt(recall, signature, given, count, doubtful_fields(type));
    any_rows(carried.plain)->doubtful = std::move(carried.doubtful);
    return carried.plain;
}

std::vector<measure::FieldDoubt> doubts_of(
    const std::vector<std::pair<std::string, py::object>>& doubtful, std::size_t row)
{
    std::vector<measure::FieldDoubt> doubts;
    for (const auto& [field, value] : doubtful) {
        Quantity one;
        if (is_quantity(value.ptr())) {
            const auto& any = value.cast<const AnyQuantity&>();
            one = any.single() ? any.one() : any.column().at(row);
        } else {
            const py::object element = value.attr("flat")[py::int_(row)];
            if (!is_quantity(element.ptr())) {
                continue;
            }
            one = element.cast<const AnyQuantity&>().one();
        }
        doubts.push_back({field, one.standard_uncertainty(), one.degrees_of_freedom()});
    }
    return doubts;
}

}  // namespace enginewright::bind
