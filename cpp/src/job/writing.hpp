#pragma once

#include <cstdint>
#include <limits>
#include <string_view>
#include <vector>

#include "job/context.hpp"

/// From findings to columns: a job at a time, column after column.
///
/// A year of readings makes millions of findings of thirty columns each, most of them empty or the
/// same; so a column takes no memory before its first entry, and no finding is ever moved twice.
namespace enginewright::job {

inline constexpr std::size_t no_row = static_cast<std::size_t>(-1);
inline constexpr std::int32_t no_number = table::CountColumn::none;
inline constexpr double no_figure = std::numeric_limits<double>::quiet_NaN();

/// One finding as codes and figures; its texts and readings go straight to their columns.
struct Line {
    std::int32_t stage = -1, feature = -1, part = -1, station = -1, axis = -1, quantity = -1,
                 check = -1, unit = -1, kind = -1, source = -1, amount_unit = -1,
                 number = no_number, repeat = no_number;
    Standing verdict = Standing::unlimited;
    double position = no_figure, value = no_figure, uncertainty = no_figure, lower = no_figure,
           upper = no_figure, target = no_figure, margin = no_figure, probability = no_figure,
           amount = no_figure;
    std::size_t mark = no_row;  ///< reading whose cell is marked
};

/// The findings of one worker: some jobs, one after the other.
class Writer {
  public:
    /// room  findings to make room for in a column that is begun; more may come
    Writer(const Context& context, std::size_t room);

    /// Begins a job's next finding; it is valid until the next one is begun.
    Line& line();

    /// The texts and the readings of the finding that was begun last.
    void texts(std::string_view next, std::string_view reason)
    {
        found_.next.append(next);
        found_.reason.append(reason);
    }
    void rests_on(std::size_t reading)
    {
        found_.reading_rows.push_back(static_cast<std::int64_t>(reading));
    }

    /// What no check of the job could look at.
    table::NotCheckedList& not_checked() { return found_.not_checked; }

    /// Writes the findings that were begun since the last job ended.
    void end_job(std::int32_t job);

    /// Findings of all writers in their order, columns shared out over the threads.
    static table::Findings joined(std::vector<Writer>& writers);

  private:
    const Context& context_;
    std::size_t room_;
    table::Findings found_;
    std::vector<Line> lines_;

    template <class T, class Each>
    void extend(std::vector<T>& column, T none, Each&& each) const;
    void write_cells();
};

}  // namespace enginewright::job
