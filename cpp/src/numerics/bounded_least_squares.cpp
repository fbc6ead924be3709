#include "numerics/bounded_least_squares.hpp"

#include <Eigen/QR>
#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace enginewright::numerics {

namespace {

using Eigen::Index;

enum class Place { lower, free, upper };

/// One run of the active set method; columns of length 1 or 0.
class ActiveSet {
  public:
    ActiveSet(const Eigen::MatrixXd& a, const Eigen::VectorXd& b, const Eigen::VectorXd& upper)
        : a_(a),
          b_(b),
          upper_(upper),
          x_(Eigen::VectorXd::Zero(a.cols())),
          place_(static_cast<std::size_t>(a.cols()), Place::lower),
          tolerance_(1e-13 * b.norm())
    {
    }

    bool run()
    {
        const Index rounds = 20 * (a_.cols() + 5);
        std::vector<bool> barren(place_.size(), false);
        for (Index round = 0; round < rounds; ++round) {
            const Index entering = most_promising(barren);
            if (entering < 0) {
                return true;
            }
            const double before = (b_ - a_ * x_).squaredNorm();
            place(entering) = Place::free;
            settle();
            // A column that promises but gives nothing is rounding; it is not asked again until
            // another one has moved the point.
            const bool moved = (b_ - a_ * x_).squaredNorm() < before;
            if (moved) {
                barren.assign(barren.size(), false);
            }
            barren[static_cast<std::size_t>(entering)] = !moved;
        }
        return false;
    }

    const Eigen::VectorXd& x() const { return x_; }

  private:
    Place& place(Index j) { return place_[static_cast<std::size_t>(j)]; }

    Index most_promising(const std::vector<bool>& barren)
    {
        const Eigen::VectorXd slope = a_.transpose() * (b_ - a_ * x_);
        Index best = -1;
        double most = tolerance_;
        for (Index j = 0; j < slope.size(); ++j) {
            const double gain = place(j) == Place::lower   ? slope[j]
                                : place(j) == Place::upper ? -slope[j]
                                                           : 0;
            if (gain > most && !barren[static_cast<std::size_t>(j)] && upper_[j] > 0) {
                most = gain;
                best = j;
            }
        }
        return best;
    }

    /// Solves for the free unknowns, putting those that leave their bounds on them.
    void settle()
    {
        for (Index step = 0; step <= a_.cols(); ++step) {
            std::vector<Index> free;
            for (Index j = 0; j < a_.cols(); ++j) {
                if (place(j) == Place::free) {
                    free.push_back(j);
                }
            }
            if (free.empty()) {
                return;
            }
            Eigen::MatrixXd columns(a_.rows(), static_cast<Index>(free.size()));
            Eigen::VectorXd now(columns.cols());
            for (Index k = 0; k < columns.cols(); ++k) {
                columns.col(k) = a_.col(free[static_cast<std::size_t>(k)]);
                now[k] = x_[free[static_cast<std::size_t>(k)]];
            }
            const Eigen::VectorXd goal = now + columns.colPivHouseholderQr().solve(b_ - a_ * x_);
            if (!step_towards(free, now, goal)) {
                return;
            }
        }
    }

    /// Goes from `now` to `goal` until a bound is met; true when one was.
    bool step_towards(const std::vector<Index>& free, const Eigen::VectorXd& now,
                      const Eigen::VectorXd& goal)
    {
        double share = 1;
        Index blocking = -1;
        for (Index k = 0; k < goal.size(); ++k) {
            const double bound = upper_[free[static_cast<std::size_t>(k)]];
            const double edge = goal[k] < 0 ? 0.0 : bound;
            if ((goal[k] < 0 || goal[k] > bound) && goal[k] != now[k]) {
                const double fraction = std::clamp((edge - now[k]) / (goal[k] - now[k]), 0.0, 1.0);
                if (fraction < share || blocking < 0) {
                    share = std::min(share, fraction);
                    blocking = k;
                }
            }
        }
        for (Index k = 0; k < goal.size(); ++k) {
            const Index j = free[static_cast<std::size_t>(k)];
            x_[j] = std::clamp(now[k] + share * (goal[k] - now[k]), 0.0, upper_[j]);
            if (k == blocking) {
                place(j) = goal[k] < 0 ? Place::lower : Place::upper;
                x_[j] = goal[k] < 0 ? 0.0 : upper_[j];
            }
        }
        return blocking >= 0;
    }

    const Eigen::MatrixXd& a_;
    const Eigen::VectorXd& b_;
    const Eigen::VectorXd& upper_;
    Eigen::VectorXd x_;
    std::vector<Place> place_;
    double tolerance_;
};

}  // namespace

BoundedLeastSquares bounded_least_squares(const Eigen::MatrixXd& a, const Eigen::VectorXd& b,
                                          const Eigen::VectorXd& upper)
{
    Eigen::VectorXd length = a.colwise().norm();
    length = (length.array() > 0).select(length, 1.0);
    const Eigen::MatrixXd scaled = a * length.cwiseInverse().asDiagonal();
    const Eigen::VectorXd room = upper.cwiseProduct(length);
    ActiveSet set(scaled, b, room);
    BoundedLeastSquares answer;
    answer.converged = set.run();
    answer.solution = set.x().cwiseQuotient(length);
    const Eigen::VectorXd r = b - scaled * set.x();
    answer.distance = r.norm();
    if (answer.distance > 0) {
        const Eigen::VectorXd slope = scaled.transpose() * r;
        double dual = r.dot(b);
        for (Index j = 0; j < slope.size(); ++j) {
            // Without a bound the slope is at most rounding at the minimum; it is left out there.
            if (slope[j] > 0 && std::isfinite(room[j])) {
                dual -= room[j] * slope[j];
            }
        }
        answer.floor = std::clamp(dual / answer.distance, 0.0, answer.distance);
    }
    return answer;
}

}  // namespace enginewright::numerics
