#include "job/writing.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <functional>
#include <thread>

#include "numerics/large_memory.hpp"

namespace enginewright::job {

namespace {

constexpr bool is_none(double value, double) { return value != value; }
constexpr bool is_none(std::int32_t value, std::int32_t none) { return value == none; }

}  // namespace

Writer::Writer(const Context& context, std::size_t room) : context_(context), room_(room)
{
    numerics::make_room(found_.finding, room);
    numerics::make_room(found_.reading_offsets, room + 1);
    numerics::make_room(found_.reading_rows, 2 * room);
    numerics::make_room(found_.next.offsets, room + 1);
    numerics::make_room(found_.reason.offsets, room + 1);
    // Most findings are within and say nothing.
    numerics::make_room(found_.next.bytes, 16 * room);
    numerics::make_room(found_.reason.bytes, 16 * room);
}

Line& Writer::line()
{
    if (!lines_.empty()) {
        found_.reading_offsets.push_back(static_cast<std::int64_t>(found_.reading_rows.size()));
    }
    return lines_.emplace_back();
}

template <class T, class Each>
void Writer::extend(std::vector<T>& column, T none, Each&& each) const
{
    std::size_t first = 0;
    if (column.empty()) {
        while (first < lines_.size() && is_none(each(lines_[first]), none)) {
            ++first;
        }
        if (first == lines_.size()) {
            return;
        }
        numerics::make_room(column, std::max(room_, found_.rows + lines_.size()));
        column.assign(found_.rows + first, none);
    }
    column.resize(found_.rows + lines_.size());
    T* to = column.data() + found_.rows;
    for (std::size_t i = first; i < lines_.size(); ++i) {
        to[i] = each(lines_[i]);
    }
}

void Writer::write_cells()
{
    const auto& readings = context_.readings;
    const auto code = [](const table::WordView& view) {
        return
            [&view](const Line& line) { return line.mark == no_row ? -1 : view.code(line.mark); };
    };
    const auto count = [](const table::CountView& view) {
        return [&view](const Line& line) {
            const bool there = line.mark != no_row && view.present(line.mark);
            return there ? view.values[line.mark] : table::CountColumn::none;
        };
    };
    if (!readings.file.codes.empty()) {
        extend(found_.file.codes, -1, code(readings.file));
    }
    if (!readings.sheet.codes.empty()) {
        extend(found_.sheet.codes, -1, code(readings.sheet));
    }
    if (!readings.row.values.empty()) {
        extend(found_.row.values, table::CountColumn::none, count(readings.row));
    }
    if (!readings.column.values.empty()) {
        extend(found_.column.values, table::CountColumn::none, count(readings.column));
    }
}

void Writer::end_job(std::int32_t job)
{
    if (lines_.empty()) {
        return;
    }
    found_.reading_offsets.push_back(static_cast<std::int64_t>(found_.reading_rows.size()));
    const auto member = [](auto Line::* field) {
        return [field](const Line& line) { return line.*field; };
    };
    const auto codes = [&](table::WordColumn& column, std::int32_t Line::* field) {
        extend(column.codes, -1, member(field));
    };
    const auto counts = [&](table::CountColumn& column, std::int32_t Line::* field) {
        extend(column.values, table::CountColumn::none, member(field));
    };
    const auto figures = [&](table::NumberColumn& column, double Line::* field) {
        extend(column.values, no_figure, member(field));
    };
    for (std::size_t i = 0; i < lines_.size(); ++i) {
        found_.finding.push_back(static_cast<std::int64_t>(i));
    }
    extend(found_.job.codes, -1, [job](const Line&) { return job; });
    codes(found_.stage, &Line::stage);
    codes(found_.feature, &Line::feature);
    codes(found_.part, &Line::part);
    codes(found_.station, &Line::station);
    codes(found_.axis, &Line::axis);
    codes(found_.quantity, &Line::quantity);
    codes(found_.check, &Line::check);
    codes(found_.unit, &Line::unit);
    codes(found_.kind, &Line::kind);
    codes(found_.amount_unit, &Line::amount_unit);
    codes(found_.limit_source, &Line::source);
    extend(found_.verdict.codes, -1,
           [](const Line& line) { return static_cast<std::int32_t>(line.verdict); });
    counts(found_.number, &Line::number);
    counts(found_.repeat, &Line::repeat);
    figures(found_.position, &Line::position);
    figures(found_.value, &Line::value);
    figures(found_.uncertainty, &Line::uncertainty);
    figures(found_.lower, &Line::lower);
    figures(found_.upper, &Line::upper);
    figures(found_.target, &Line::target);
    figures(found_.margin, &Line::margin);
    figures(found_.probability, &Line::probability);
    figures(found_.amount, &Line::amount);
    write_cells();
    found_.rows += lines_.size();
    lines_.clear();
}

namespace {

/// One column of one writer after that of those before it, which have so many rows.
template <class T>
void append(std::vector<T>& to, std::size_t rows, std::vector<T>& from, std::size_t more, T none)
{
    if (from.empty() && to.empty()) {
        return;
    }
    if (to.empty()) {
        numerics::make_room(to, rows + more);
        to.assign(rows, none);
    }
    if (from.empty()) {
        to.insert(to.end(), more, none);
    } else {
        to.insert(to.end(), from.begin(), from.end());
    }
    from = {};
}

/// Offsets into what another column continues: shifted by what stands before.
void append_offsets(std::vector<std::int64_t>& to, std::vector<std::int64_t>& from)
{
    const auto shift = to.back();
    const auto first = to.size();
    to.insert(to.end(), from.begin() + 1, from.end());
    for (std::size_t i = first; i < to.size(); ++i) {
        to[i] += shift;
    }
    from.assign(1, 0);
}

template <class T>
void append_all(std::vector<T>& to, std::vector<T>& from)
{
    to.insert(to.end(), from.begin(), from.end());
    from = {};
}

void append_texts(table::TextColumn& to, table::TextColumn& from)
{
    append_offsets(to.offsets, from.offsets);
    append_all(to.bytes, from.bytes);
}

using Task = std::function<void(table::Findings&, table::Findings&)>;

/// Each column by itself, so that the threads can share them out.
std::vector<Task> column_tasks()
{
    using F = table::Findings;
    std::vector<Task> tasks;
    for (const auto column : {&F::next, &F::reason}) {
        tasks.emplace_back([=](F& to, F& from) { append_texts(to.*column, from.*column); });
    }
    tasks.emplace_back([](F& to, F& from) {
        append_offsets(to.reading_offsets, from.reading_offsets);
        append_all(to.reading_rows, from.reading_rows);
    });
    tasks.emplace_back([](F& to, F& from) { append_all(to.finding, from.finding); });
    for (const auto column : {&F::position, &F::value, &F::uncertainty, &F::lower, &F::upper,
                              &F::target, &F::margin, &F::probability, &F::amount}) {
        tasks.emplace_back([=](F& to, F& from) {
            append((to.*column).values, to.rows, (from.*column).values, from.rows, no_figure);
        });
    }
    for (const auto column : {&F::job, &F::stage, &F::feature, &F::part, &F::station, &F::axis,
                              &F::quantity, &F::check, &F::unit, &F::kind, &F::verdict,
                              &F::amount_unit, &F::limit_source, &F::file, &F::sheet}) {
        tasks.emplace_back([=](F& to, F& from) {
            append((to.*column).codes, to.rows, (from.*column).codes, from.rows, -1);
        });
    }
    for (const auto column : {&F::number, &F::repeat, &F::row, &F::column}) {
        tasks.emplace_back([=](F& to, F& from) {
            append((to.*column).values, to.rows, (from.*column).values, from.rows,
                   table::CountColumn::none);
        });
    }
    tasks.emplace_back([](F& to, F& from) { to.not_checked.append(from.not_checked); });
    return tasks;
}

}  // namespace

table::Findings Writer::joined(std::vector<Writer>& writers)
{
    table::Findings all = std::move(writers.front().found_);
    const auto tasks = column_tasks();
    for (std::size_t w = 1; w < writers.size(); ++w) {
        auto& from = writers[w].found_;
        std::atomic<std::size_t> next{0};
        std::vector<std::exception_ptr> failures(tasks.size());
        const auto work = [&] {
            for (auto i = next.fetch_add(1); i < tasks.size(); i = next.fetch_add(1)) {
                try {
                    tasks[i](all, from);
                } catch (...) {
                    failures[i] = std::current_exception();
                }
            }
        };
        std::vector<std::thread> threads;
        if (from.rows > 10000) {
            for (std::size_t t = 1; t < writers.size(); ++t) {
                threads.emplace_back(work);
            }
        }
        work();
        for (auto& thread : threads) {
            thread.join();
        }
        for (const auto& failure : failures) {
            if (failure) {
                std::rethrow_exception(failure);
            }
        }
        all.rows += from.rows;
    }
    return all;
}

}  // namespace enginewright::job
