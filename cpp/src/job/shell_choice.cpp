#include <algorithm>
#include <map>

#include "enginewright/journals.hpp"
#include "job/inspector.hpp"
#include "wording.hpp"

/// Which shell halves from the shelf go into which bearing.
namespace enginewright::job {

void Inspector::check_shell_choice()
{
    for (const auto& set : sets_) {
        const auto role = context_.role[static_cast<std::size_t>(set.feature)];
        const auto piece =
            set.part < 0 ? PartRole::whole : context_.part_role[static_cast<std::size_t>(set.part)];
        const bool main = role == Role::main_bearing;
        if (set.measured == Measured::diameter && piece == PartRole::housing &&
            (main || role == Role::big_end_bearing) &&
            !context_.finished[Context::index(set.stage)]) {
            choose_shells(set, main ? Role::main_journal : Role::big_end_journal,
                          main ? "main shell" : "big-end shell");
        }
    }
}

void Inspector::choose_shells(const Set& set, Role journals, const std::string& shells)
{
    const auto* shelf = shelf_of(set.engine, shells);
    if (shelf == nullptr) {
        return missing(Check::shell_choice, "the " + shells + "s on the shelf of the engine card");
    }
    // Journals that are to be ground first have no shells yet.
    const bool ground = std::any_of(findings_.begin(), findings_.end(), [&](const Finding& each) {
        return each.check == Check::regrind && each.stage == set.stage &&
               context_.role[static_cast<std::size_t>(each.feature)] == journals;
    });
    if (ground) {
        return;
    }
    const Part& first = parts_[set.parts.front()];
    Part all = first;
    all.part = -1;
    all.number = no_number;
    Finding finding = begin(Check::shell_choice, all, Derived::shell_deviation);
    set_limit(finding, limit_of({.engine = set.engine,
                                 .stage = set.stage,
                                 .feature = set.feature,
                                 .quantity = context_.derived(Derived::clearance),
                                 .number = no_number,
                                 .kind = context_.stage_kind[Context::index(set.stage)]}));
    if (!finding.lower || !finding.upper) {
        return missing(Check::shell_choice,
                       "both limits of the clearance of the " + plural_of(set.feature));
    }
    std::vector<double> housings, sizes;
    for (const auto p : set.parts) {
        const auto& part = parts_[p];
        const auto* journal =
            find_part(set.stage, journals, PartRole::whole, Measured::diameter, part.number);
        if (journal == nullptr) {
            return missing(Check::shell_choice, "the diameter of every journal beside its housing");
        }
        housings.push_back(part.least().value);
        sizes.push_back(journal->greatest().value);
        use(part, finding);
        use(*journal, finding);
    }
    std::map<std::string, double> grades;
    std::map<std::string, int> stock;
    const auto take = [&](const auto& items, std::map<std::string, int>& pieces) {
        for (const auto& item : items) {
            const std::string name =
                item.grade.empty() ? fixed_text(item.size, 3) + " mm" : item.grade;
            grades.emplace(name, item.size);
            pieces[name] += item.pieces;
        }
    };
    take(*shelf, stock);
    std::optional<std::map<std::string, int>> lowers;
    if (const auto* upper = shelf_of(set.engine, shells + " upper")) {
        // Grooved uppers and plain lowers do not mix.
        lowers = stock;
        stock.clear();
        take(*upper, stock);
    }
    if (housings.size() > 24 || grades.size() > 60) {
        return missing(Check::shell_choice, "a choice among so many bearings or grades");
    }
    const auto plan = journals::select_shells(housings, sizes, grades, stock, *finding.lower,
                                              *finding.upper, finding.target, 1, lowers);
    finding.value = plan.worst_deviation;
    finding.verdict =
        plan.status == journals::ShellStatus::selected ? Standing::unlimited : Standing::outside;
    finding.lower = finding.upper = finding.target = std::nullopt;
    finding.reason = plan.reason;
    finding.next = wording::sentence(plan.next);
    finding.mark = rows_[first.places.front().rows.front()].row;
    add(std::move(finding));
}

}  // namespace enginewright::job
