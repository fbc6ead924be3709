#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "enginewright/measure/quantity_column.hpp"

/// What becomes of the sources of columns when their elements are combined.
namespace enginewright::measure {

/// Own sources from a list, one an element, 0 where it has none.
OwnSources listed(std::vector<std::uint64_t> sources, Series amount, std::size_t row_length);

/// The sources of single elements, one list an element: what remains when columns are mixed.
class Mixture {
  public:
    explicit Mixture(std::size_t size) : lists_(size) {}

    void add(std::size_t element, std::uint64_t source, double amount);
    void add(const OwnSources& own);
    void add(const CommonSource& common);

    /// Says how many members stand side by side in what is mixed.
    void keep_rows(std::size_t length);

    /// The lists as own sources of a column.
    ///
    /// Throws std::invalid_argument: elements of different rows of one family in one list; more
    /// than 64 in one.
    std::vector<OwnSources> own(const QuantityColumn::Shape& shape);

  private:
    void require_rows() const;

    static constexpr std::size_t several = ~std::size_t{0};

    std::vector<std::vector<Contribution>> lists_;
    std::size_t row_length_ = 0;  ///< 0: not said yet; `several`: of different lengths
};

/// The sources of a combination.
struct Doubts {
    std::vector<CommonSource> common{};
    std::vector<OwnSources> own{};
};

/// The sources of two columns of one shape with the slopes a and b along them, merged.
///
/// Own sources stay side by side while they cannot meet; only where an element would carry one
/// source twice are the lists of each element mixed.
Doubts merged(const Series& a, const QuantityColumn& qa, const Series& b, const QuantityColumn& qb);

/// True when every coefficient is 0.
bool vanishes(const Series& amount);

/// Refuses results beyond the range of doubles, by element.
void require_results(std::string_view name, const Eigen::ArrayXd& values);

}  // namespace enginewright::measure
