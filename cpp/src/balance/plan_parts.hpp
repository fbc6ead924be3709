#pragma once

#include <Eigen/Core>
#include <array>
#include <optional>
#include <span>
#include <vector>

#include "balance/sites.hpp"
#include "enginewright/balance/plan.hpp"

/// What the making, the words and the playing out of a plan share.
namespace enginewright::balance {

/// Carries what is done at a site into the measuring and the tolerance planes.
class Carriage {
  public:
    Carriage(std::span<const double> planes, std::span<const double> tolerance_planes,
             const std::optional<Eigen::MatrixXcd>& response);

    /// In the measuring planes, as planned.
    Eigen::Vector2cd nominal(const Site& site, const MetalMoment& metal) const;
    /// In the tolerance planes, as the rotor answers.
    Eigen::Vector2cd effect(const Site& site, const MetalMoment& metal) const;
    /// A reading in the measuring planes, in the tolerance planes.
    Eigen::Vector2cd start(const std::vector<Vector>& unbalance) const
    {
        return to_tolerance_ * Eigen::Vector2cd(unbalance[0], unbalance[1]);
    }

  private:
    std::array<double, 2> planes_;
    Eigen::Matrix2cd to_tolerance_;
    Eigen::Matrix2cd answered_;
};

/// Writes reason and next of a plan.
void say(CorrectionPlan& plan, const std::vector<Site>& sites);

/// The sites of a plan's operations, in their order.
std::vector<const Site*> sites_of(const CorrectionPlan& plan, const std::vector<Site>& sites);

}  // namespace enginewright::balance
