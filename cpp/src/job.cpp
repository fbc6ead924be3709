#include "enginewright/job.hpp"

#include <algorithm>
#include <array>
#include <exception>
#include <numeric>
#include <thread>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

namespace enginewright::job {

namespace {

const std::array<CheckInfo, check_count> check_list{{
    {.check = "limits",
     .rows = "every reading",
     .limits = "the most specific row that matches the reading; kind as asked, else 'new'",
     .card = "materials, for parts measured warm",
     .value = "the reading at 20 °C",
     .next = "back inside: how much and which way",
     .rule = "within when the probability of conformity is at least the level, outside when that "
             "of non-conformity is, else unproven",
     .source = "ISO 14253-1 (decision rule), JCGM 106 (probability of conformity), ISO 1 (20 °C)"},
    {.check = "ovality",
     .rows = "diameters of one bore, liner, journal or housing in two directions or more",
     .limits = "feature, quantity 'ovality'",
     .card = "",
     .value = "greatest range over the directions at one station",
     .next = "the directions that are missing",
     .rule = "ovality = largest less smallest diameter at one station",
     .source = "common practice, no source"},
    {.check = "taper",
     .rows = "diameters of one bore, liner, journal or housing at two stations or more",
     .limits = "feature, quantity 'taper'",
     .card = "",
     .value = "greatest range over the stations in one direction",
     .next = "the stations that are missing",
     .rule = "taper = largest less smallest diameter along one direction",
     .source = "common practice, no source"},
    {.check = "wear",
     .rows = "diameters of one bore, liner, journal or housing, as received",
     .limits = "feature, quantity 'wear'; the 'new' limits of the diameter",
     .card = "",
     .value = "largest bore less the lower new limit; upper new limit less the smallest journal",
     .next = "",
     .rule = "wear = the reading that went farthest, against the size it had",
     .source = "common practice, no source"},
    {.check = "regrind",
     .rows = "diameters of all journals of one feature",
     .limits = "the 'new' limits of the diameter",
     .card = "undersizes, grinding_allowance, aim, case_depth, wear_side",
     .value = "the undersize of the set",
     .next = "the band to grind to, the journal that decides, what is to spare",
     .rule = "the first undersize whose target lies under every journal's clean-up diameter",
     .source = "common practice, no source"},
    {.check = "rebore",
     .rows = "diameters of all bores",
     .limits = "the 'new' limits of the piston's diameter; the limits of its clearance",
     .card = "oversizes, hone_allowance, clean_up, largest_bore, wear_side",
     .value = "the oversize",
     .next = "bored and honed size, the cylinder that decides, or which to sleeve",
     .rule = "the first oversize whose bored size holds every bore's clean-up diameter",
     .source = "common practice, no source"},
    {.check = "bearing clearance",
     .rows = "diameters of bearings with shells fitted, or of housings and shell thickness; "
             "diameters of the journals",
     .limits = "feature of the bearing, quantity 'clearance'",
     .card = "",
     .value = "smallest bearing diameter less largest journal diameter, by number",
     .next = "how much is missing or too much",
     .rule = "clearance = housing - both walls - journal; one wall read once counts twice",
     .source = "JCGM 100:2008, 5.2.2 (correlated inputs)"},
    {.check = "shell choice",
     .rows = "diameters of bearing housings and of their journals",
     .limits = "feature of the bearing, quantity 'clearance', both limits",
     .card = "shelf: 'main shell', 'big-end shell', grooved uppers apart as '... upper'",
     .value = "greatest distance of a clearance to the target",
     .next = "which grade in each half, or what to order",
     .rule = "fewest outside, then least greatest distance, then least sum; proven, not sampled",
     .source = "exact search over the stock, derived"},
    {.check = "piston clearance",
     .rows = "diameters of the bores and of the pistons",
     .limits = "feature 'piston', quantity 'clearance'",
     .card = "",
     .value = "smallest bore diameter less largest piston diameter, by cylinder",
     .next = "an order of the pistons within limits, when there is one",
     .rule = "clearance = bore - piston, both at 20 °C",
     .source = "common practice, no source"},
    {.check = "ring gap",
     .rows = "feature 'ring', quantity 'gap'",
     .limits = "feature 'ring', quantity 'gap'; else the rule of the card's ring_duty",
     .card = "ring_duty, bore",
     .value = "the gap, carried to the finish bore of a planned rebore",
     .next = "how much to file off",
     .rule = "gap_new = gap + pi * (bore_new - bore): the ring keeps its length",
     .source = "circumference of a circle; rules of the trade: common practice, no source"},
    {.check = "second ring",
     .rows = "gaps of the top and second ring of one cylinder",
     .limits = "feature 'ring', quantity 'gap difference'; else at least 0.05 mm",
     .card = "",
     .value = "second gap less top gap",
     .next = "how much to file off the second ring",
     .rule = "the second gap is the larger one, so that no pressure lifts the top ring",
     .source = "common practice, no source"},
    {.check = "liner standing",
     .rows = "feature 'liner', quantity 'protrusion', position = angle",
     .limits = "feature 'liner', quantities 'protrusion', 'tilt' and 'step'",
     .card = "shelf: 'liner shim'; most_shims",
     .value = "mean height, tilt across the flange, step to the next liner",
     .next = "which shims under which liner, or what to cut off the counterbore",
     .rule = "height = mean + tilt/2 cos(angle - high side), least squares",
     .source = "harmonic analysis, derived"},
    {.check = "end float",
     .rows = "feature 'crankshaft', quantity 'end float'; thickness of the thrust washers fitted, "
             "front and rear",
     .limits = "feature 'crankshaft', quantity 'end float'",
     .card = "shelf: 'thrust washer'",
     .value = "the end float",
     .next = "which washers to fit",
     .rule = "end float + washers fitted - washers chosen, nearest to the target",
     .source = "common practice, no source"},
    {.check = "deck clearance",
     .rows = "feature 'block deck', quantity 'depth', number = cylinder",
     .limits = "feature 'block deck', quantities 'depth' and 'spread'",
     .card = "",
     .value = "each depth, and greatest less least",
     .next = "what to take off the deck",
     .rule = "cut = depth - target",
     .source = "common practice, no source"},
    {.check = "mass match",
     .rows = "masses of all pistons, pins or rods; rods whole or by their two ends",
     .limits = "feature, quantity 'spread'",
     .card = "rod_length, rod_pads, for rods weighed at both ends",
     .value = "heaviest less lightest of the set",
     .next = "how much off which part, rods at which pad",
     .rule = "every part comes down to the lightest; rods to the lightest at each balance pad",
     .source = "equations of the lever; least squares of a rod's three weighings"},
    {.check = "bolt reuse",
     .rows = "lengths of bolts, used and, at the station 'new', as new; diameters of the shank",
     .limits = "feature 'bolt', quantity 'stretch'; the 'new' limits of the length where the new "
               "length was not read; quantity 'diameter' for the shank",
     .card = "",
     .value = "lasting stretch of the worst bolt of the set",
     .next = "which bolts to replace",
     .rule = "stretch = length - length when new; a bolt whose stretch or shank is not proven "
             "within is not used again",
     .source = "a rod bolt a thou longer than new is out: common practice, no source"},
    {.check = "balance",
     .rows = "feature 'rotor', stage = what was bolted on ('bare crank', 'pulley' ...; 'flywheel "
             "corrected' after work on it, 'finished' as it goes out), station 'left plane' and "
             "'right plane', repeat = spin, quantities 'amount' and 'phase'; from a vibration "
             "meter 'amplitude' and 'phase', with trial masses: part 'trial left' and 'trial "
             "right', quantities 'mass', 'radius', 'phase'; quantity 'speed'",
     .limits = "feature 'rotor', quantity 'residual' (or 'amount'), a row a station or one for "
               "both: upper = the tolerance of the assembly; with a stage, or of quantity "
               "'contribution': that of the part which came on there",
     .card = "rotor: zero, counted, seen_from, spot, planes, tolerance_planes, tolerance, target, "
             "maximum_operations, wall; site",
     .value = "residual in each plane, what each part brought, and what the plan leaves",
     .next = "which part to put right, how much at which angle, and the holes that do it",
     .rule = "mean vector of the spins, carried to the tolerance planes; a part brings what the "
             "reading became less what the stage before left; within when the true length is "
             "below the tolerance with the level asked for",
     .source = "ISO 21940-11 and -14 (planes, tolerances), S. O. Rice 1944 (length of a vector), "
               "T. P. Goodman 1964 (trial masses)"},
}};

/// Rows of the readings by job, jobs in the order in which they are first seen.
struct Jobs {
    std::vector<std::int64_t> rows;
    std::vector<std::size_t> starts;  ///< one more than there are jobs
};

Jobs group(const table::ReadingsView& readings)
{
    const auto words = readings.job.words.size();
    std::vector<std::int64_t> count(words, 0);
    std::vector<std::size_t> first_seen(words, 0);
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < readings.rows; ++i) {
        const auto code = readings.job.code(i);
        if (code < 0) {
            refuse_all("job", "be given for every reading, missing in row " + std::to_string(i));
        }
        if (count[static_cast<std::size_t>(code)]++ == 0) {
            first_seen[static_cast<std::size_t>(code)] = order.size();
            order.push_back(static_cast<std::size_t>(code));
        }
    }
    Jobs jobs;
    jobs.starts.assign(1, 0);
    std::vector<std::size_t> fill(order.size(), 0);
    for (std::size_t j = 0; j < order.size(); ++j) {
        fill[j] = jobs.starts.back();
        jobs.starts.push_back(jobs.starts.back() + static_cast<std::size_t>(count[order[j]]));
    }
    jobs.rows.resize(readings.rows);
    for (std::size_t i = 0; i < readings.rows; ++i) {
        const auto job = first_seen[static_cast<std::size_t>(readings.job.code(i))];
        jobs.rows[fill[job]++] = static_cast<std::int64_t>(i);
    }
    return jobs;
}

void name_words(const Context& context, table::Findings& out)
{
    const auto copy = [](table::WordColumn& column, const table::WordView& view) {
        column.words.assign(view.words.begin(), view.words.end());
    };
    const auto& readings = context.readings;
    copy(out.job, readings.job);
    copy(out.stage, readings.stage);
    copy(out.feature, readings.feature);
    copy(out.part, readings.part);
    copy(out.station, readings.station);
    copy(out.axis, readings.axis);
    copy(out.file, readings.file);
    copy(out.sheet, readings.sheet);
    out.quantity.words = context.quantities;
    out.unit.words = context.units;
    out.amount_unit.words = context.units;
    out.kind.words = context.kinds;
    out.limit_source.words = context.sources;
    for (const auto& each : check_list) {
        out.check.words.push_back(each.check);
    }
    for (const auto each : words<Standing>.list) {
        out.verdict.words.emplace_back(each);
    }
}

}  // namespace

std::string_view check_word(Check check)
{
    return check_list[static_cast<std::size_t>(check)].check;
}

std::span<const CheckInfo> checks() { return check_list; }

table::Findings inspect(const table::ReadingsView& readings, const table::Limits& limits,
                        const table::Gauges& gauges, const InspectOptions& options)
{
    const Context context(readings, limits, gauges, options);
    const Jobs jobs = group(readings);
    const std::size_t job_count = jobs.starts.size() - 1;
    // Asked only where it matters: the system opens a file to answer.
    const std::size_t wanted = options.threads > 0 ? static_cast<std::size_t>(options.threads)
                               : job_count < 2     ? 1
                                                   : std::thread::hardware_concurrency();
    const std::size_t workers = std::max<std::size_t>(1, std::min(wanted, job_count));

    // One contiguous run of jobs a worker, cut so that the rows are shared out evenly.
    std::vector<std::size_t> cuts{0};
    for (std::size_t w = 1; w < workers; ++w) {
        const auto target = readings.rows * w / workers;
        const auto at = std::lower_bound(jobs.starts.begin(), jobs.starts.end(), target);
        cuts.push_back(
            std::clamp(static_cast<std::size_t>(at - jobs.starts.begin()), cuts.back(), job_count));
    }
    cuts.push_back(job_count);
    std::vector<Writer> writers;
    for (std::size_t w = 0; w < workers; ++w) {
        // The first writer takes in the findings of the others. Memory that is never written
        // costs nothing.
        const auto rows = w == 0 ? readings.rows : jobs.starts[cuts[w + 1]] - jobs.starts[cuts[w]];
        writers.emplace_back(context, rows + rows / 2);
    }
    std::vector<std::exception_ptr> failures(workers);
    const auto work = [&](std::size_t w) {
        try {
            Inspector inspector(context);
            for (std::size_t j = cuts[w]; j < cuts[w + 1]; ++j) {
                inspector.inspect(
                    {jobs.rows.data() + jobs.starts[j], jobs.starts[j + 1] - jobs.starts[j]},
                    writers[w]);
            }
        } catch (...) {
            failures[w] = std::current_exception();
        }
    };
    std::vector<std::thread> threads;
    for (std::size_t w = 1; w < workers; ++w) {
        threads.emplace_back(work, w);
    }
    work(0);
    for (auto& thread : threads) {
        thread.join();
    }
    // The first job's refusal, whatever the number of threads.
    for (const auto& failure : failures) {
        if (failure) {
            std::rethrow_exception(failure);
        }
    }
    table::Findings all = Writer::joined(writers);
    name_words(context, all);
    return all;
}

std::vector<Assembly> assemblies(const table::ReadingsView& readings, const table::Limits& limits,
                                 const table::Gauges& gauges, const InspectOptions& options)
{
    const Context context(readings, limits, gauges, options);
    const Jobs jobs = group(readings);
    Writer unread(context, 0);
    Inspector inspector(context);
    std::vector<Assembly> found;
    for (std::size_t j = 0; j + 1 < jobs.starts.size(); ++j) {
        inspector.assemblies(
            {jobs.rows.data() + jobs.starts[j], jobs.starts[j + 1] - jobs.starts[j]}, unread,
            found);
    }
    return found;
}

}  // namespace enginewright::job
