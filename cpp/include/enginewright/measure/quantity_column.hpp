#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "enginewright/measure/quantity.hpp"

/// Columns of quantities: arrays of values with their sources of doubt, worked on as flat arrays.
///
/// A shop's year is some 100 000 jobs of 8 cylinders. What all its readings share (the ring they
/// were zeroed on, a certificate) is kept once a source; what each reading has for itself is kept
/// once an element; so a difference of two columns costs little more than that of plain numbers.
namespace enginewright::measure {

/// One number for all elements, or one for each: coefficients and slopes of a column.
///
/// Arrays are shared and never changed, so that a copy costs nothing.
class Series {
  public:
    Series(double constant = 0) : constant_(constant) {}
    explicit Series(Eigen::ArrayXd each)
        : each_(std::make_shared<const Eigen::ArrayXd>(std::move(each)))
    {
    }

    bool is_constant() const { return each_ == nullptr; }
    double constant() const { return constant_; }
    const Eigen::ArrayXd& each() const { return *each_; }
    double operator[](std::size_t i) const
    {
        return each_ ? (*each_)[static_cast<Eigen::Index>(i)] : constant_;
    }

  private:
    double constant_ = 0;
    std::shared_ptr<const Eigen::ArrayXd> each_{};
};

/// A source that acts on every element, each with its own coefficient: the setting ring.
struct CommonSource {
    std::uint64_t source = 0;
    Series amount{};
};

/// A source of its own for each element: the repeatability of each reading.
///
/// Element i has source `member(family, first + i)`, or `each[i]` where a list is given; 0 with the
/// amount 0 where it has none. An element never meets the same source twice.
struct OwnSources {
    std::uint64_t family = 0;
    std::size_t first = 0;
    std::shared_ptr<const std::vector<std::uint64_t>> each{};
    std::uint64_t least = 0;     ///< bounds of the sources, to tell strangers quickly
    std::uint64_t greatest = 0;  ///< (inclusive)
    std::size_t row_length = 0;  ///< members that stand side by side in the family's last axis
    Series amount{};

    std::uint64_t source(std::size_t i) const
    {
        return each ? (*each)[i] : Sources::member(family, first + i);
    }
};

/// An array of quantities of any shape, row-major.
///
/// Values are one array, a common source is one coefficient array (or one number), and sources of
/// single elements stay diagonal under element-wise work. When elements are mixed along the LAST
/// axis (`q - q.mean()`) an element carries the sources of its neighbours too, at most 64 of them;
/// mixing across leading axes (jobs) is refused, naming the axis. So 100 000 jobs of 8 cylinders
/// with 6 sources each are flat array work.
class QuantityColumn {
  public:
    using Shape = std::vector<std::ptrdiff_t>;
    static constexpr std::size_t most_own = 64;

    /// Numbers without doubt.
    QuantityColumn(Eigen::ArrayXd values, Shape shape);

    /// One quantity in every element, its error shared by all.
    QuantityColumn(const Quantity& quantity, Shape shape);

    /// Values with one source of doubt.
    ///
    /// standard_uncertainty  k = 1, one number or one an element, at least 0
    /// source                from a table of sources
    /// common                true: one error for all elements; false: a member each, `source[i]`
    QuantityColumn(Eigen::ArrayXd values, Shape shape, Series standard_uncertainty,
                   std::uint64_t source, bool common);

    /// Values with any sources, for readers of files and the combinations below.
    ///
    /// common  sorted by source, each once
    /// own     no element meets a source twice, here or in `common`
    QuantityColumn(Eigen::ArrayXd values, Shape shape, std::vector<CommonSource> common,
                   std::vector<OwnSources> own);

    /// A column of quantities, as the function `stack`.
    static QuantityColumn stack(std::span<const Quantity> quantities);

    /// Lengths of the axes, the last running fastest.
    const Shape& shape() const { return shape_; }
    std::size_t size() const { return static_cast<std::size_t>(values_->size()); }
    const Eigen::ArrayXd& values() const { return *values_; }
    /// The sources, for reports and storage.
    std::span<const CommonSource> common() const { return common_; }
    std::span<const OwnSources> own() const { return own_; }

    /// Sum of the squared contributions of each element, and its root (k = 1).
    Eigen::ArrayXd variance() const;
    Eigen::ArrayXd standard_uncertainty() const;

    /// Effective degrees of freedom of each element, as `Quantity::degrees_of_freedom`.
    Eigen::ArrayXd degrees_of_freedom(const Sources& sources = Sources::shared()) const;

    /// One element, counted row by row.
    Quantity at(std::size_t index) const;

    /// The elements of a list of indices, in a new shape: slices, picks, reshapes, transposes.
    QuantityColumn take(std::span<const std::ptrdiff_t> indices, Shape shape) const;

    /// Stretched to a greater shape by the usual rule of broadcasting.
    ///
    /// Throws std::invalid_argument when the shapes do not fit.
    QuantityColumn stretched(const Shape& shape) const;

    /// Sum over all elements: their common errors add whole, their own in squares.
    Quantity sum() const;

    /// Sum over the last axis of a column with at least two.
    QuantityColumn sum_last() const;

  private:
    std::shared_ptr<const Eigen::ArrayXd> values_;
    Shape shape_;
    std::vector<CommonSource> common_;
    std::vector<OwnSources> own_;
};

/// The common shape of two by the usual rule of broadcasting.
QuantityColumn::Shape common_shape(const QuantityColumn::Shape& a, const QuantityColumn::Shape& b);

/// A column of values found elsewhere, with the slopes a and b along two columns of its shape.
///
/// Throws std::invalid_argument: elements mixed across a leading axis; more than 64 own sources.
QuantityColumn combine(Eigen::ArrayXd values, const Series& a, const QuantityColumn& qa,
                       const Series& b, const QuantityColumn& qb);

/// Arithmetic of columns; shapes are stretched by the usual rule of broadcasting.
QuantityColumn operator+(const QuantityColumn& a, const QuantityColumn& b);
QuantityColumn operator-(const QuantityColumn& a, const QuantityColumn& b);
QuantityColumn operator*(const QuantityColumn& a, const QuantityColumn& b);

/// Throws std::invalid_argument when a value of the divisor is 0, by element.
QuantityColumn operator/(const QuantityColumn& a, const QuantityColumn& b);

/// A function of each element, as `apply`; refusals name the element.
QuantityColumn apply_each(Function function, const QuantityColumn& column);

/// Each element to a power, as `power`; `exponent` is one number or has the column's shape.
QuantityColumn power_each(const QuantityColumn& column, const Series& exponent);

/// Covariance of two columns, element by element.
Eigen::ArrayXd covariance(const QuantityColumn& a, const QuantityColumn& b);

/// Covariance of all pairs of elements of one column.
Eigen::MatrixXd covariance_matrix(const QuantityColumn& column);

/// Single quantities as one column, with every correlation kept.
///
/// quantities  at least one, scalars
///
/// >>> ring = ew.Quantity(0.0, 0.002, source="ring")
/// >>> len(ew.measure.stack([ring + 86.01, ring + 86.02]))
/// 2
QuantityColumn stack(std::span<const Quantity> quantities);

}  // namespace enginewright::measure
