#pragma once

#include <optional>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Bolts used again.
namespace enginewright::fasteners {

/// One reading, or several.
using OneOrMore = std::variant<double, std::vector<double>>;

/// What becomes of a used bolt.
enum class ReuseStatus { reuse, replace, measure_again };

}  // namespace enginewright::fasteners

namespace enginewright {
template <>
inline constexpr Words<3> words<fasteners::ReuseStatus>{"status",
                                                        {"reuse", "replace", "measure again"}};
}  // namespace enginewright

namespace enginewright::fasteners {

/// Whether one bolt may go in again.
struct BoltReuse {
    double permanent_stretch = 0;
    double limit = 0;
    Standing stretch_verdict = Standing::unlimited;
    std::optional<double> shank_least{};
    Standing shank_verdict = Standing::unlimited;
    ReuseStatus status = ReuseStatus::reuse;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"permanent_stretch", "mm", &BoltReuse::permanent_stretch,
                  "longer than new, loose"},
            Field{"limit", "mm", &BoltReuse::limit, "stretch allowed"},
            Field{"stretch_verdict", "", &BoltReuse::stretch_verdict, "of the stretch"},
            Field{"shank_least", "mm", &BoltReuse::shank_least, "smallest reading of the shank"},
            Field{"shank_verdict", "", &BoltReuse::shank_verdict, "of the shank"},
            Field{"status", "", &BoltReuse::status, "whether it may go in again"},
            Field{"reason", "", &BoltReuse::reason, "why not, when not"},
            Field{"next", "", &BoltReuse::next, "what to do with it"},
        };
    }
    bool operator==(const BoltReuse&) const = default;
};
static_assert(lists_every_member<BoltReuse>);

/// Whether a bolt may be used again, by its lasting stretch and its neck.
///
///     permanent_stretch = free_length - new_length
///
/// Unproven is not good enough for a bolt: it is replaced. A bolt much shorter than new is a wrong
/// record or reading, "measure again", which goes first. Bolts tightened to yield never go in
/// again, whatever they measure; cracks and damaged threads are not judged here.
///
/// free_length        loose, mm
/// new_length         of the same bolt when new, mm
/// limit              lasting stretch allowed, mm, above 0
/// uncertainty        standard (k = 1), of the difference, mm
/// shank_diameter     one reading or several along the shank, mm; none: not measured
/// shank_limit        smallest allowed, mm; none: no limit
/// shank_uncertainty  standard (k = 1), of a diameter, mm
///
/// Source: a rod bolt a thou longer than new is out: common practice, no source.
///
/// >>> bolt = ew.fasteners.reuse(60.04, 60.00, limit=0.025)
/// >>> bolt.status, bolt.reason
/// ('replace', '0.040 mm longer than new, 0.025 mm allowed')
BoltReuse reuse(double free_length, double new_length, double limit, double uncertainty = 0.0,
                const std::optional<OneOrMore>& shank_diameter = std::nullopt,
                std::optional<double> shank_limit = std::nullopt, double shank_uncertainty = 0.0);

}  // namespace enginewright::fasteners
