#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "enginewright/job/assembly.hpp"
#include "enginewright/measure.hpp"
#include "job/context.hpp"
#include "job/writing.hpp"

/// One job under inspection: its rows, the parts they make, the findings they give.
namespace enginewright::job {

/// One reading as the checks see it: canonical unit, 20 °C, with its doubt.
struct Row {
    std::size_t row = 0;  ///< in the readings
    double value = 0;
    double uncertainty = 0;  ///< standard
    double freedom = measure::infinite_freedom;
    double coverage = 2;
    bool has_value = false;
    bool stated = false;  ///< an uncertainty of its own was written
    bool used = false;    ///< stands in the basis of a finding
    std::int32_t engine = -1, stage = -1, feature = -1, part = -1, station = -1, axis = -1,
                 quantity = -1, number = no_number, gauge = -1, observation = -1;
    std::int32_t past_due = -1;  ///< code of a gauge whose certificate had run out by then
    const Conversion* conversion = nullptr;
    std::int32_t limit = -1;
    measure::Decision decision{};
};

/// Rows of one place: nearly always a single one, which then needs no memory of its own.
class RowList {
  public:
    explicit RowList(std::size_t row) : single_(row) {}

    void push_back(std::size_t row)
    {
        if (several_.empty()) {
            several_.push_back(single_);
        }
        several_.push_back(row);
    }
    std::size_t front() const { return *begin(); }
    std::size_t size() const { return several_.empty() ? 1 : several_.size(); }
    const std::size_t* begin() const { return several_.empty() ? &single_ : several_.data(); }
    const std::size_t* end() const { return begin() + size(); }

  private:
    std::size_t single_;
    std::vector<std::size_t> several_{};
};

/// One place of a part: repeats of it are one reading.
struct Place {
    std::int32_t station = -1, axis = -1;
    double value = 0;
    RowList rows;  ///< in `Inspector::rows`
    /// In `Inspector::sizes`, made when first asked for: a place has one error, whatever is
    /// computed from it.
    mutable std::int32_t size = -1;
};

/// All readings of one quantity of one part: the diameters of bore 3.
struct Part {
    std::int32_t stage = -1, feature = -1, part = -1, number = no_number, engine = -1;
    Measured measured = Measured::other;
    std::span<Place> places{};  ///< in `Inspector::places`

    const Place& least() const;
    const Place& greatest() const;
};

/// The parts of one kind in one stage: all bores, all main journals.
struct Set {
    std::int32_t stage = -1, feature = -1, part = -1, engine = -1;
    Measured measured = Measured::other;
    std::vector<std::size_t> parts{};  ///< in `Inspector::parts`, by number
    bool worn = false;                 ///< a finding is outside on the worn side
    bool unproven = false;             ///< a finding is unproven
};

/// Said of a reading without a stated uncertainty that is within.
inline constexpr std::string_view face_value = "no uncertainty stated, judged at face value";

/// One finding before it becomes a row of the columns.
struct Finding {
    Check check = Check::limits;
    std::int32_t stage = -1, feature = -1, part = -1, station = -1, axis = -1, quantity = -1,
                 number = no_number, unit = -1, kind = -1, source = -1, amount_unit = -1;
    std::optional<double> position{};
    std::optional<std::int32_t> repeat{};
    std::optional<double> value{}, uncertainty{}, lower{}, upper{}, target{}, margin{},
        probability{}, amount{};
    Standing verdict = Standing::unlimited;
    bool imperial = false;  ///< sentences show inches too
    std::string next{}, reason{};
    std::size_t mark = no_row;         ///< reading whose cell is marked
    std::vector<std::size_t> basis{};  ///< in `Inspector::rows`
};

/// The readings of one part as the plans of the core take them.
using PlanGrid = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Adds a clause to a reason.
inline void add_reason(std::string& reason, std::string_view more)
{
    reason.append(reason.empty() || more.empty() ? "" : "; ").append(more);
}

struct StageSpins;
struct State;
struct SpunRotor;

/// Inspects one job after the other; keeps its memory between them.
class Inspector {
  public:
    explicit Inspector(const Context& the_context);

    /// Inspects one job and appends its findings.
    ///
    /// job_rows  the job's rows in the readings, in order
    void inspect(std::span<const std::int64_t> job_rows, Writer& out);

    /// The rotors of one job: the records behind its findings of balance.
    void assemblies(std::span<const std::int64_t> job_rows, Writer& out,
                    std::vector<Assembly>& found);

    /// One reading with its doubt; its sources are named in `sources`.
    measure::Quantity quantity_of_row(std::size_t at, measure::Sources& sources);

    /// What the limit of one reading is looked up by.
    LimitKey key_of_row(std::size_t at) const;

  private:
    const Context& context_;
    std::vector<Row> rows_;
    std::vector<Part> parts_;
    std::vector<Place> places_;
    std::vector<Set> sets_;
    std::vector<measure::Quantity> sizes_;  ///< of the places that were asked for
    std::vector<Finding> findings_;
    Writer* out_ = nullptr;                   ///< of the job under inspection
    std::vector<std::size_t> order_;          ///< in which findings or rows are written
    std::vector<std::uint32_t> not_checked_;  ///< texts, each once
    std::unique_ptr<measure::Sources> own_sources_;
    measure::Sources* sources_ = nullptr;                    ///< of the job under inspection
    std::vector<std::vector<std::uint64_t>> gauge_sources_;  ///< by gauge code, of this job
    struct Blocked {
        std::int32_t stage, feature, number, part, word;
    };
    std::vector<Blocked> blocked_;
    struct Carried {
        std::int32_t stage;
        double finish_bore;
    };
    std::vector<Carried> carried_;  ///< bores that a rebore will finish to, by stage

    // Limit rows found before, by key: jobs ask the same again and again.
    struct Remembered {
        LimitKey key{};
        std::int32_t limit = -1;
        bool filled = false;
    };
    std::vector<Remembered> remembered_;
    Remembered last_{};

    // rows.cpp: what was written becomes rows, parts and sets.
    void begin_job(std::span<const std::int64_t> job_rows, Writer& out);
    void take_rows(std::span<const std::int64_t> job_rows);
    void take_row(std::size_t at, Row& row);
    void give_doubt(std::size_t at, Row& row);
    void judge_rows();
    void make_parts();
    void put_in_part(std::size_t i);
    std::int32_t limit_of(const LimitKey& key);
    LimitKey key_of(const Row& row) const;
    const measure::Quantity& quantity_of(const Place& place);
    measure::Quantity made_quantity(const Place& place);
    measure::Quantity single_quantity(const Row& row);
    void use(const Part& part, Finding& finding);
    void use_place(const Place& place, Finding& finding);
    /// What the card's shelf holds of a kind; null: no card, or nothing of it.
    const std::vector<table::ShelfItem>* shelf_of(std::int32_t engine,
                                                  const std::string& what) const;
    /// Whether a finding asks for a plan: outside, unproven, or plans are always wanted.
    bool wants_plan(const Finding& finding) const;

    // The checks, each in the file of its name.
    void check_limits(Writer& out);
    void judge_word(const Row& row, Line& line, Writer& out) const;
    void judge_figure(const Row& row, Line& line, Writer& out) const;
    void check_form();
    void form_of_set(Set& set);
    void wear_of_set(Set& set);
    void check_plans();
    void plan_regrind(const Set& set);
    void plan_rebore(const Set& set);
    /// One grid a part; the plans need no more than its greatest and least reading.
    std::vector<PlanGrid> grids_of(const Set& set) const;
    /// Greatest standard uncertainty of a reading of the set, mm.
    double greatest_doubt(const Set& set);
    /// "the bore", "all four bores".
    std::string whole_set(const Set& set, std::string_view one, std::string_view many) const;
    /// What is written of the set's parts where a size belongs, and how deep it may go.
    ///
    /// spare  what each part has to spare at the planned size, mm on diameter; empty: no size
    /// work   what must wait until it is measured: "grinding"
    std::string unmeasured_damage(const Set& set, std::span<const double> spare,
                                  std::string_view work) const;
    /// A sentence of the core about parts counted from 1, with the numbers that they have.
    std::string renumbered(const std::string& text, const Set& set) const;
    /// The limit of a piston's quantity by its kind; null: none.
    const table::Limit* limit_of_pistons(const Set& bores, std::string_view quantity,
                                         std::string_view kind) const;
    void check_bearing_clearance();
    void check_piston_clearance();
    void check_ring_gaps();
    /// "59.720-59.740 mm", in inches too where the shop wrote inches.
    std::string said_band(double lower, double upper, const Part& part) const;
    /// The gap that a new ring is filed to, in words; `least` where no limit says it.
    std::string gap_to_file_to(const Part& ring, std::optional<double> least) const;
    void check_shell_choice();
    void choose_shells(const Set& set, Role journals, const std::string& shells);
    void check_liner_standing();
    void plan_shims(const std::vector<std::size_t>& basis,
                    const std::vector<std::pair<std::int32_t, measure::Quantity>>& means);
    void check_end_float();
    const Place* fitted_washer(std::int32_t stage, bool front) const;
    void plan_washers(const Part& part, Finding& finding);
    void check_deck_clearance();
    void depth_of_place(const Part& part, const Place& place);
    void spread_of_deck(const Set& set, const Place& highest, const Place& lowest,
                        std::int32_t number_of_highest);
    void check_masses();
    void mass_match_of(const Set& set);
    std::string part_word(std::int32_t part) const;
    /// Row of the limit of a set's spread, -1 where there is none in its unit.
    std::int32_t limit_of_spread(const Set& set);
    /// How far apart parts may stay that nobody works on, in the set's unit; 0: no limit.
    double spread_left_alone(const Set& set);
    std::string weights_next(const Set& set);
    std::string rods_next(const Set& big, const Set& small);
    const Set* other_end(const Set& set) const;
    bool doubt_rods(const Set& set, Finding& finding);
    void check_bolts();
    struct Bolt;
    std::vector<Bolt> bolts_of(const Set& set);
    void judge_bolt(Bolt& bolt, const Set& set);
    std::string bolts_next(const Set& set, const std::vector<Bolt>& bolts, const Bolt& worst) const;
    void bolt_reuse_of(const Set& set);
    void check_balance(std::vector<Assembly>* keep);
    std::vector<StageSpins> spins_of(std::int32_t number);
    bool take_spin_row(std::size_t i, StageSpins& stage) const;
    void balance_of(SpunRotor& rotor);
    void read_states(SpunRotor& rotor);
    void judge_states(SpunRotor& rotor);
    void judge_parts(SpunRotor& rotor);
    struct Allowed;
    Allowed allowed(const StageSpins& stage, bool first, Derived what);
    Finding about_spins(const StageSpins& stage, std::int32_t number, Derived what);
    void residual_finding(const StageSpins& stage, std::int32_t number, SpunStage& spun,
                          const State& state, std::size_t plane);
    void contribution_finding(const StageSpins& stage, std::int32_t number,
                              const balance::StageFinding& found, const SpunStage& spun,
                              const std::string& note);
    void plan_finding(const StageSpins& stage, std::int32_t number, const SpunStage& spun,
                      Assembly& assembly, const RotorCard& card);

    // findings.cpp: verdicts, sentences, columns.
    Finding begin(Check check, const Part& part, Derived quantity) const;
    void judge(Finding& finding, const measure::Quantity& value, std::int32_t limit);
    void set_limit(Finding& finding, std::int32_t limit) const;
    void unprove(Finding& finding, std::string reason, std::string next) const;
    void apply_blocks(Finding& finding) const;
    const Blocked* block_of(std::int32_t stage, std::int32_t feature, std::int32_t number,
                            std::int32_t part) const;
    std::string next_of(const Blocked& block) const;
    std::string reason_of(const Blocked& block) const;
    void add(Finding&& finding, Set* set = nullptr);
    void missing(Check check, std::string_view what);
    void write(const Finding& finding, Writer& out) const;
    void write_all(std::int32_t job, Writer& out);

    void add_past_due(std::int32_t gauge, std::string& reason) const;
    void put_texts(const Row& row, std::string_view next, std::string_view reason,
                   Writer& out) const;
    std::string name_of(const Finding& finding) const;
    std::string name_of(const Line& line) const;
    std::string placed(std::string name, std::int32_t part, std::int32_t station,
                       std::int32_t axis) const;
    std::string name_of(std::int32_t feature, std::int32_t number) const;
    std::string plural_of(std::int32_t feature) const;
    std::string said(double value, const Finding& finding) const;
    std::string said(double millimetres, const Part& part) const;
    std::string said_in(double value, const Conversion& conversion) const;
    std::string limits_next(const Line& line, const Row& row) const;
    std::string limits_reason(const Line& line, const Row& row) const;
    const Conversion& written(const Part& part) const;
    const Part* find_part(std::int32_t stage, Role role, PartRole part, Measured measured,
                          std::int32_t number) const;
    bool has_any(std::int32_t stage, Role role, PartRole part, Measured measured) const;
};

/// The word of a check, as in the findings.
std::string_view check_word(Check check);

}  // namespace enginewright::job
