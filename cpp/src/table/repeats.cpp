#include <algorithm>
#include <bit>
#include <numeric>
#include <stdexcept>

#include "enginewright/table.hpp"
#include "table/unit_pairs.hpp"

namespace enginewright::table {

namespace {

/// The key of a row without its job, hashed and compared.
class Keys {
  public:
    explicit Keys(const ReadingsView& readings) : readings_(readings) {}

    /// 32 bits of a hash of the key; equal keys have equal ones.
    std::uint32_t tag(std::size_t row) const
    {
        const auto& r = readings_;
        std::uint64_t h = mix(pair(r.stage.code(row), r.feature.code(row)), 0);
        h = mix(pair(r.part.code(row), r.station.code(row)), h);
        h = mix(pair(r.axis.code(row), r.quantity.code(row)), h);
        h = mix(position(row), h);
        return static_cast<std::uint32_t>(mix(number(row), h) >> 16U);
    }

    bool same(std::size_t a, std::size_t b) const
    {
        const auto& r = readings_;
        return r.stage.code(a) == r.stage.code(b) && r.feature.code(a) == r.feature.code(b) &&
               r.part.code(a) == r.part.code(b) && r.station.code(a) == r.station.code(b) &&
               r.axis.code(a) == r.axis.code(b) && r.quantity.code(a) == r.quantity.code(b) &&
               number(a) == number(b) && position(a) == position(b);
    }

  private:
    static std::uint64_t pair(std::int32_t a, std::int32_t b)
    {
        return static_cast<std::uint64_t>(static_cast<std::uint32_t>(a)) << 32U |
               static_cast<std::uint32_t>(b);
    }
    // Multiply and fold, as splitmix64 does it: every bit of the key reaches the low bits.
    static std::uint64_t mix(std::uint64_t value, std::uint64_t h)
    {
        h = (h ^ value) * 0x9E3779B97F4A7C15U;
        return h ^ (h >> 32U);
    }
    std::uint64_t number(std::size_t row) const
    {
        return readings_.number.present(row)
                   ? static_cast<std::uint64_t>(readings_.number.values[row])
                   : ~std::uint64_t{0};
    }
    std::uint64_t position(std::size_t row) const
    {
        if (!readings_.position.present(row)) {
            return ~std::uint64_t{0};
        }
        // -0 and 0 are one position.
        return std::bit_cast<std::uint64_t>(readings_.position.values[row] + 0.0);
    }

    const ReadingsView& readings_;
};

/// One row on its way through the table of keys: a part of its hash, and which row it is.
struct Entry {
    std::uint32_t tag = 0;
    std::uint32_t row = 0;
};

/// Where each job begins, and, when the jobs lie mixed, its rows one after the other.
struct JobOrder {
    std::vector<Entry> entries{};  ///< empty: the rows lie in the order of their jobs
    std::vector<std::size_t> starts{0};
};

/// Place of a job among all, the first being that of rows without one.
std::size_t place_of(std::int32_t code) { return static_cast<std::size_t>(std::int64_t{code} + 1); }

/// Notes where the job changes; false when a job comes back after another.
bool contiguous(const ReadingsView& readings, JobOrder& order)
{
    std::vector<bool> met(readings.job.words.size() + 1, false);
    const auto job_of = [&](std::size_t i) { return place_of(readings.job.code(i)); };
    for (std::size_t i = 1; i < readings.rows; ++i) {
        if (job_of(i) != job_of(i - 1)) {
            met[job_of(i - 1)] = true;
            if (met[job_of(i)]) {
                return false;
            }
            order.starts.push_back(i);
        }
    }
    order.starts.push_back(readings.rows);
    return true;
}

/// Sorts the rows by job. The hashes go with them: reading the keys of rows that lie far apart
/// would cost ten times as much.
void sort_by_job(const ReadingsView& readings, const Keys& keys, JobOrder& order)
{
    const auto jobs = readings.job.words.size() + 1;
    std::vector<std::size_t> place(jobs + 1, 0);
    for (std::size_t i = 0; i < readings.rows; ++i) {
        ++place[place_of(readings.job.code(i)) + 1];
    }
    for (std::size_t job = 0; job < jobs; ++job) {
        place[job + 1] += place[job];
    }
    order.starts.assign(place.begin(), place.end());
    order.entries.resize(readings.rows);
    for (std::size_t i = 0; i < readings.rows; ++i) {
        order.entries[place[place_of(readings.job.code(i))]++] = {keys.tag(i),
                                                                  static_cast<std::uint32_t>(i)};
    }
}

JobOrder order_by_job(const ReadingsView& readings, const Keys& keys)
{
    if (readings.rows > 0xFFFFFFFFU) {
        throw std::length_error("a table of readings must have fewer than 2^32 rows");
    }
    JobOrder order;
    if (!contiguous(readings, order)) {
        sort_by_job(readings, keys, order);
    }
    return order;
}

/// Finds rows of one job that have the same key: pairs of the first such row and a later one.
class SameKeys {
  public:
    explicit SameKeys(const Keys& keys) : keys_(keys) {}

    void look(const JobOrder& order, std::size_t first, std::size_t past)
    {
        pairs_.clear();
        const auto size = std::bit_ceil((past - first) * 2 + 1);
        slots_.assign(size, {});
        for (auto place = first; place < past; ++place) {
            const auto entry = order.entries.empty()
                                   ? Entry{keys_.tag(place), static_cast<std::uint32_t>(place)}
                                   : order.entries[place];
            auto at = entry.tag & (size - 1);
            for (; slots_[at].taken; at = (at + 1) & (size - 1)) {
                if (slots_[at].entry.tag == entry.tag &&
                    keys_.same(slots_[at].entry.row, entry.row)) {
                    pairs_.emplace_back(slots_[at].entry.row, entry.row);
                    break;
                }
            }
            if (!slots_[at].taken) {
                slots_[at] = {entry, true};
            }
        }
    }

    /// Sorted by first row; in each group the later rows in their order.
    std::vector<std::pair<std::size_t, std::size_t>>& pairs() { return pairs_; }

  private:
    struct Slot {
        Entry entry{};
        bool taken = false;
    };
    const Keys& keys_;
    std::vector<Slot> slots_{};
    std::vector<std::pair<std::size_t, std::size_t>> pairs_{};
};

/// The new column, made only when something has to be numbered.
class Repeats {
  public:
    explicit Repeats(const ReadingsView& readings) : readings_(readings) {}

    /// Numbers the rows of one key, given in their order.
    void number(std::span<const std::size_t> rows)
    {
        std::vector<std::pair<std::int32_t, std::size_t>> said;
        for (const auto row : rows) {
            if (readings_.repeat.present(row)) {
                said.emplace_back(readings_.repeat.values[row], row);
            }
        }
        std::sort(said.begin(), said.end());
        for (std::size_t i = 1; i < said.size(); ++i) {
            if (said[i].first == said[i - 1].first) {
                refuse_twice(said[i - 1].second, said[i].second, said[i].first);
            }
        }
        std::int32_t greatest = 0;
        for (const auto row : rows) {
            if (readings_.repeat.present(row)) {
                greatest = std::max(greatest, readings_.repeat.values[row]);
                continue;
            }
            do {
                ++greatest;
            } while (std::binary_search(said.begin(), said.end(), std::pair{greatest, row},
                                        [](auto a, auto b) { return a.first < b.first; }));
            set(row, greatest);
            if (row != rows.front()) {
                numbered.push_back(static_cast<std::int64_t>(row));
            }
        }
    }

    Column column(const Column& as_given)
    {
        if (values_.empty()) {
            return as_given;
        }
        const auto rows = values_.size();
        return Column::of_counts(hold(std::move(values_)), rows, mask_from_present(present_));
    }

    std::vector<std::int64_t> numbered{};

  private:
    void set(std::size_t row, std::int32_t repeat)
    {
        if (values_.empty()) {
            values_.resize(readings_.rows);
            present_.resize(readings_.rows);
            for (std::size_t i = 0; i < readings_.rows; ++i) {
                present_[i] = readings_.repeat.present(i) ? 1 : 0;
                values_[i] = present_[i] != 0 ? readings_.repeat.values[i] : 0;
            }
        }
        values_[row] = repeat;
        present_[row] = 1;
    }

    [[noreturn]] void refuse_twice(std::size_t a, std::size_t b, std::int32_t repeat) const
    {
        throw std::invalid_argument("repeat must tell readings of the same thing apart, got " +
                                    std::to_string(repeat) + " in both " + cell_of(readings_, a) +
                                    " and " + cell_of(readings_, b) + " (" +
                                    std::string(readings_.feature.text(a)) + " " +
                                    std::string(readings_.quantity.text(a)) + ")");
    }

    const ReadingsView& readings_;
    std::vector<std::int32_t> values_{};
    std::vector<std::uint8_t> present_{};
};

}  // namespace

Numbered number_repeats(const Table& readings)
{
    const auto rows = view(readings);
    const Keys keys(rows);
    const auto order = order_by_job(rows, keys);
    SameKeys same(keys);
    Repeats repeats(rows);
    std::vector<std::size_t> group;
    for (std::size_t job = 0; job + 1 < order.starts.size(); ++job) {
        same.look(order, order.starts[job], order.starts[job + 1]);
        auto& pairs = same.pairs();
        std::sort(pairs.begin(), pairs.end());
        for (std::size_t i = 0; i < pairs.size();) {
            group.assign(1, pairs[i].first);
            for (; i < pairs.size() && pairs[i].first == group.front(); ++i) {
                group.push_back(pairs[i].second);
            }
            repeats.number(group);
        }
    }
    std::sort(repeats.numbered.begin(), repeats.numbered.end());
    return {.repeat = repeats.column(readings.column("repeat")),
            .numbered = std::move(repeats.numbered)};
}

}  // namespace enginewright::table
