#include "enginewright/journals/shells.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "judging.hpp"
#include "numerics/shelf_choice.hpp"
#include "wording.hpp"

namespace enginewright::journals {

using judging::slack;
using wording::mm;
using wording::part;

namespace {

struct Grade {
    std::string name;
    double wall;
};

/// Grades by wall, then by name.
std::vector<Grade> graded(const std::map<std::string, double>& grades)
{
    if (grades.empty()) {
        refuse_all("grades", "hold at least 1 grade, got 0");
    }
    constexpr std::size_t most_grades = 60;
    if (grades.size() > most_grades) {
        refuse_all("grades", "hold at most " + std::to_string(most_grades) + ", got " +
                                 std::to_string(grades.size()));
    }
    std::vector<Grade> list;
    for (const auto& [name, wall] : grades) {
        require_size("grades['" + name + "']", wall);
        list.push_back({name, wall});
    }
    std::stable_sort(list.begin(), list.end(),
                     [](const Grade& a, const Grade& b) { return a.wall < b.wall; });
    return list;
}

/// Halves of each grade, in the order of the grades.
std::vector<int> halves(std::string_view name, const std::map<std::string, int>& stock,
                        const std::vector<Grade>& grades)
{
    std::vector<int> counts(grades.size(), 0);
    for (const auto& [grade, count] : stock) {
        const auto at =
            std::find_if(grades.begin(), grades.end(),
                         [&grade = grade](const Grade& each) { return each.name == grade; });
        if (at == grades.end()) {
            std::string names;
            for (const auto& each : grades) {
                names.append(names.empty() ? "" : ", ").append(each.name);
            }
            refuse_word(std::string(name) + " grade", names, grade);
        }
        if (count < 0) {
            refuse(std::string(name) + "['" + grade + "']", "at least 0", count);
        }
        counts[static_cast<std::size_t>(at - grades.begin())] = count;
    }
    return counts;
}

/// Two grades for one bearing, by index.
struct Halves {
    std::size_t first;
    std::size_t second;
};

/// The pairs that a bearing may take, lowest grades first.
std::vector<Halves> pairs_of(std::size_t grades, int grade_step, bool two_stocks)
{
    const auto step = static_cast<std::size_t>(grade_step);
    std::vector<Halves> pairs;
    for (std::size_t i = 0; i < grades; ++i) {
        const std::size_t from = two_stocks ? i - std::min(i, step) : i;
        for (std::size_t j = from; j < grades && j <= i + step; ++j) {
            pairs.push_back({i, j});
        }
    }
    return pairs;
}

struct Bearings {
    std::span<const double> housing_bores;
    std::span<const double> journals;
    double lower;
    double upper;
    double target;

    double clearance(std::size_t i, double walls) const
    {
        return housing_bores[i] - walls - journals[i];
    }
};

numerics::Shelf shelf_of(const Bearings& bearings, const std::vector<Grade>& grades,
                         const std::vector<Halves>& pairs, bool two_stocks)
{
    numerics::Shelf shelf;
    for (std::size_t i = 0; i < bearings.journals.size(); ++i) {
        auto& options = shelf.places.emplace_back();
        for (const auto& [first, second] : pairs) {
            const double clearance =
                bearings.clearance(i, grades[first].wall + grades[second].wall);
            numerics::ShelfOption option{
                .outside = !judging::inside(clearance, bearings.lower, bearings.upper),
                .deviation = judging::whole(clearance - bearings.target)};
            const std::size_t from_second = second + (two_stocks ? grades.size() : 0);
            if (first == from_second) {
                option.pieces = {{first, 2}};
            } else {
                option.pieces = {{first, 1}, {from_second, 1}};
            }
            options.push_back(std::move(option));
        }
    }
    return shelf;
}

/// What a choice takes of each size on the shelf.
std::vector<int> taken(const numerics::Shelf& shelf, const numerics::ShelfChoice& choice,
                       std::size_t sizes)
{
    std::vector<int> count(sizes, 0);
    for (std::size_t i = 0; i < choice.options.size(); ++i) {
        for (const auto& each : shelf.places[i][choice.options[i]].pieces) {
            count[each.size] += each.count;
        }
    }
    return count;
}

/// "2 of grade 3" for each grade of which some are wanted.
std::string order_list(const ShellSelection& found)
{
    std::vector<std::string> wanted;
    for (std::size_t k = 0; k < found.to_order.size(); ++k) {
        if (found.to_order[k] > 0) {
            const std::size_t grades = found.grades.size();
            const char* place =
                found.to_order.size() == grades ? "" : (k < grades ? " first" : " second");
            wanted.push_back(std::to_string(found.to_order[k]) + place + " of grade " +
                             found.grades[k % grades]);
        }
    }
    return wording::joined(wanted, ", ");
}

std::string fitting(const ShellSelection& found)
{
    std::vector<std::string> places;
    for (std::size_t i = 0; i < found.first.size(); ++i) {
        places.push_back(part("journal", static_cast<int>(i)) + ": " + found.first[i] + " and " +
                         found.second[i] + " (" + mm(found.clearances[i]) + ")");
    }
    return wording::joined(places, "; ");
}

void say(ShellSelection& found, const Bearings& bearings)
{
    const std::string order = order_list(found);
    if (found.status == ShellStatus::not_enough) {
        found.reason =
            "the shelf does not fill all " + std::to_string(bearings.journals.size()) + " bearings";
        found.next = order.empty() ? "allow grades further apart" : "order " + order;
        return;
    }
    found.next = "fit " + fitting(found);
    if (found.status == ShellStatus::not_all_within) {
        std::vector<std::string> told;
        for (const int i : found.outside) {
            const double clearance = found.clearances[static_cast<std::size_t>(i)];
            const bool wide = clearance > bearings.upper;
            told.push_back(part("journal", i) + " gets " + mm(clearance) + ", " +
                           mm(wide ? bearings.upper : bearings.lower) +
                           (wide ? " allowed" : " at least"));
        }
        found.reason = wording::joined(told, "; ");
        found.next = order.empty() ? "grind or find another size for " +
                                         wording::parts("journal", found.outside) +
                                         ": no grade brings it inside"
                                   : "order " + order + ", then choose again";
    } else if (!order.empty()) {
        found.next += "; nearer the target with " + order;
    }
    if (!found.optimal) {
        found.reason.append(found.reason.empty() ? "" : "; ")
            .append("too many ways to try them all: a better choice is possible");
    }
}

void require_bearings(std::span<const double> housing_bores, std::span<const double> journals,
                      int grade_step)
{
    judging::require_sizes("housing_bores", housing_bores);
    judging::require_sizes("journals", journals);
    judging::require_count("journals", journals.size(), housing_bores.size(), "a housing bore");
    if (journals.size() > numerics::most_places) {
        refuse_all("journals", "hold at most " + std::to_string(numerics::most_places) + ", got " +
                                   std::to_string(journals.size()));
    }
    if (grade_step < 0) {
        refuse("grade_step", "at least 0", grade_step);
    }
}

void write_choice(ShellSelection& found, const numerics::ShelfChoice& choice,
                  const Bearings& bearings, const std::vector<Grade>& grades,
                  const std::vector<Halves>& pairs)
{
    found.worst_deviation = 0;
    found.total_deviation = 0;
    for (std::size_t i = 0; i < choice.options.size(); ++i) {
        const auto& [first, second] = pairs[choice.options[i]];
        const double clearance = bearings.clearance(i, grades[first].wall + grades[second].wall);
        found.first.push_back(grades[first].name);
        found.second.push_back(grades[second].name);
        found.clearances.push_back(clearance);
        const double deviation = std::abs(clearance - bearings.target);
        found.worst_deviation = std::max(*found.worst_deviation, deviation);
        *found.total_deviation += deviation;
        if (!judging::inside(clearance, bearings.lower, bearings.upper)) {
            found.outside.push_back(static_cast<int>(i));
        }
    }
    found.optimal = choice.optimal;
    found.status = found.outside.empty() ? ShellStatus::selected : ShellStatus::not_all_within;
}

}  // namespace

ShellSelection select_shells(std::span<const double> housing_bores,
                             std::span<const double> journals,
                             const std::map<std::string, double>& grades,
                             const std::map<std::string, int>& stock, double lower, double upper,
                             std::optional<double> target, int grade_step,
                             const std::optional<std::map<std::string, int>>& second_stock)
{
    require_bearings(housing_bores, journals, grade_step);
    const auto list = graded(grades);
    std::vector<int> shelf_stock = halves("stock", stock, list);
    if (second_stock) {
        const auto second = halves("second_stock", *second_stock, list);
        shelf_stock.insert(shelf_stock.end(), second.begin(), second.end());
    }
    judging::require_limits(lower, upper);
    const Bearings bearings{.housing_bores = housing_bores,
                            .journals = journals,
                            .lower = lower,
                            .upper = upper,
                            .target = judging::target_between(lower, upper, target)};
    const auto pairs = pairs_of(list.size(), grade_step, second_stock.has_value());
    auto shelf = shelf_of(bearings, list, pairs, second_stock.has_value());
    // An endless shelf always has a choice.
    const auto wanted = taken(shelf, *numerics::choose_from_shelf(shelf), shelf_stock.size());
    shelf.stock = shelf_stock;
    ShellSelection found;
    for (const auto& each : list) {
        found.grades.push_back(each.name);
    }
    for (std::size_t k = 0; k < wanted.size(); ++k) {
        found.to_order.push_back(std::max(0, wanted[k] - shelf_stock[k]));
    }
    found.stock_left = shelf_stock;
    if (const auto choice = numerics::choose_from_shelf(shelf)) {
        write_choice(found, *choice, bearings, list, pairs);
        const auto used = taken(shelf, *choice, shelf_stock.size());
        for (std::size_t k = 0; k < used.size(); ++k) {
            found.stock_left[k] -= used[k];
        }
    } else {
        found.status = ShellStatus::not_enough;
    }
    say(found, bearings);
    return found;
}

ShellCrush shell_crush(double parting_gap, double housing_bore, double wall, double modulus)
{
    require_length_at_least_zero("parting_gap", parting_gap);
    require_at_least("housing_bore", housing_bore, 0.001, "mm");
    require_size("housing_bore", housing_bore);
    require_size("wall", wall);
    require_below("wall", wall, housing_bore / 2, "mm");
    require_positive("modulus", modulus, "MPa");
    require_at_most("modulus", modulus, 1e9, "MPa");
    const double strain = parting_gap / (std::numbers::pi * (housing_bore - wall));
    const double hoop_stress = modulus * strain;
    ShellCrush found{.crush_per_shell = parting_gap / 2,
                     .strain = strain,
                     .hoop_stress = hoop_stress,
                     .seating_pressure = 2 * hoop_stress * wall / housing_bore};
    if (parting_gap == 0) {
        found.status = CrushStatus::no_crush;
        found.reason = "no gap at the loosened side: nothing presses the shells home";
        found.next = "check the housing bore and the shells: they must be held";
    }
    return found;
}

ShellSpread shell_spread(double free_width, double housing_bore, double least)
{
    require_size("free_width", free_width);
    require_size("housing_bore", housing_bore);
    require_length_at_least_zero("least", least);
    ShellSpread found{.spread = free_width - housing_bore};
    if (found.spread <= slack) {
        found.status = SpreadStatus::none;
        found.reason = "the free shell is " + mm(-found.spread) + " narrower than its housing";
        found.next = "reject the shell: it does not stay in";
    } else if (found.spread < least - slack) {
        found.status = SpreadStatus::too_little;
        found.reason = mm(found.spread) + " of spread, " + mm(least) + " wanted";
        found.next = "reject the shell, or ask its maker";
    }
    return found;
}

}  // namespace enginewright::journals
