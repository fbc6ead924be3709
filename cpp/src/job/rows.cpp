#include <algorithm>
#include <bit>

#include "job/inspector.hpp"

/// What was written becomes rows with their doubt, places, parts and sets.
namespace enginewright::job {

namespace {

/// How many limits found are remembered: a power of two, small for the single job.
std::size_t remembered_size(std::size_t readings)
{
    return std::bit_ceil(std::clamp<std::size_t>(readings, 32, 4096));
}

std::uint64_t hash_of(const LimitKey& key)
{
    std::uint64_t hash = 0x9e3779b97f4a7c15ULL;
    for (const auto each : {key.engine, key.stage, key.feature, key.part, key.station, key.axis,
                            key.quantity, key.number, key.kind}) {
        hash = (hash ^ static_cast<std::uint32_t>(each)) * 0xff51afd7ed558ccdULL;
        hash ^= hash >> 29U;
    }
    return hash;
}

std::string row_name(const table::ReadingsView& readings, std::size_t row)
{
    const auto sheet = readings.sheet.text(row);
    if (!sheet.empty() && readings.row.present(row)) {
        return std::string(sheet) + ", row " + std::to_string(readings.row.values[row]);
    }
    return "row " + std::to_string(row);
}

}  // namespace

const Place& Part::least() const
{
    return *std::min_element(places.begin(), places.end(),
                             [](const auto& a, const auto& b) { return a.value < b.value; });
}

const Place& Part::greatest() const
{
    return *std::max_element(places.begin(), places.end(),
                             [](const auto& a, const auto& b) { return a.value < b.value; });
}

Inspector::Inspector(const Context& the_context)
    : context_(the_context), remembered_(remembered_size(the_context.readings.rows))
{
}

void Inspector::begin_job(std::span<const std::int64_t> job_rows, Writer& out)
{
    out_ = &out;
    own_sources_ = std::make_unique<measure::Sources>();
    sources_ = own_sources_.get();
    gauge_sources_.assign(context_.gauge.size(), {});
    parts_.clear();
    places_.clear();
    sets_.clear();
    sizes_.clear();
    findings_.clear();
    not_checked_.clear();
    blocked_.clear();
    carried_.clear();
    take_rows(job_rows);
}

void Inspector::inspect(std::span<const std::int64_t> job_rows, Writer& out)
{
    begin_job(job_rows, out);
    judge_rows();
    make_parts();
    check_form();
    check_plans();
    check_bearing_clearance();
    check_shell_choice();
    check_piston_clearance();
    check_ring_gaps();
    check_liner_standing();
    check_end_float();
    check_deck_clearance();
    check_masses();
    check_bolts();
    check_balance(nullptr);
    write_all(context_.readings.job.code(static_cast<std::size_t>(job_rows.front())), out);
}

namespace {

void require_row(const table::ReadingsView& readings, std::size_t at)
{
    if (at >= readings.rows) {
        refuse("row", "a row of the readings", static_cast<double>(at));
    }
}

/// What a row is about, without its figure.
void take_words(const table::ReadingsView& readings, std::size_t at, Row& row)
{
    row.row = at;
    row.engine = readings.engine.code(at);
    row.stage = readings.stage.code(at);
    row.feature = readings.feature.code(at);
    row.part = readings.part.code(at);
    row.station = readings.station.code(at);
    row.axis = readings.axis.code(at);
    row.quantity = readings.quantity.code(at);
    row.gauge = readings.gauge.code(at);
    row.number = readings.number.present(at) ? readings.number.values[at] : no_number;
}

}  // namespace

LimitKey Inspector::key_of_row(std::size_t at) const
{
    require_row(context_.readings, at);
    Row row;
    take_words(context_.readings, at, row);
    return key_of(row);
}

measure::Quantity Inspector::quantity_of_row(std::size_t at, measure::Sources& sources)
{
    sources_ = &sources;
    gauge_sources_.assign(context_.gauge.size(), {});
    require_row(context_.readings, at);
    Row row;
    take_row(at, row);
    if (!row.has_value) {
        refuse_all("row", "hold a number, " + row_name(context_.readings, at) + " holds none");
    }
    return single_quantity(row);
}

void Inspector::take_rows(std::span<const std::int64_t> job_rows)
{
    rows_.assign(job_rows.size(), Row{});
    for (std::size_t i = 0; i < job_rows.size(); ++i) {
        take_row(static_cast<std::size_t>(job_rows[i]), rows_[i]);
    }
}

void Inspector::take_row(std::size_t at, Row& row)
{
    const auto& readings = context_.readings;
    take_words(readings, at, row);
    row.has_value = readings.value.present(at) && !std::isnan(readings.value.values[at]);
    if (!row.has_value) {
        row.observation = readings.observation.code(at);
        const auto word = readings.observation.text(at);
        if (!word.empty() && word != "ok") {
            blocked_.push_back({row.stage, row.feature, row.number, row.part, row.observation});
        }
        return;
    }
    const auto unit = readings.unit.code(at);
    if (row.quantity < 0 || unit < 0) {
        refuse_all("unit", "stand beside every value, missing in " + row_name(readings, at));
    }
    row.conversion = &context_.conversion(row.quantity, unit);
    if (!row.conversion->known) {
        refuse_all("unit", "suit the quantity '" + std::string(readings.quantity.text(at)) +
                               "', got '" + std::string(readings.unit.text(at)) + "' in " +
                               row_name(readings, at));
    }
    row.value = (readings.value.values[at] + row.conversion->offset) * row.conversion->factor;
    require_finite("value", row.value);
    give_doubt(at, row);
}

void Inspector::give_doubt(std::size_t at, Row& row)
{
    const auto& readings = context_.readings;
    const GaugeInfo* gauge =
        row.gauge < 0 ? nullptr : &context_.gauge[static_cast<std::size_t>(row.gauge)];
    if (gauge != nullptr && gauge->card != nullptr && taken_past_due(*gauge->card, readings, at)) {
        row.past_due = row.gauge;
    }
    if (gauge != nullptr && (gauge->card == nullptr || !row.conversion->length)) {
        gauge = nullptr;
        row.gauge = -1;
    }
    if (gauge != nullptr) {
        row.value += gauge->correction;
        row.uncertainty = gauge->uncertainty;
        row.freedom = gauge->freedom;
        row.coverage = gauge->coverage;
    } else {
        row.coverage = context_.normal_coverage;
    }
    if (readings.uncertainty.present(at) && !std::isnan(readings.uncertainty.values[at])) {
        row.stated = true;
        // Written with coverage factor 2.
        row.uncertainty = readings.uncertainty.values[at] * row.conversion->factor / 2;
        require_at_least("uncertainty", row.uncertainty, 0.0);
        row.freedom = measure::infinite_freedom;
        row.coverage = context_.normal_coverage;
    }
    if (row.conversion->length && readings.temperature.present(at) &&
        !std::isnan(readings.temperature.values[at])) {
        const auto features = readings.feature.words.size();
        const double part = row.feature < 0
                                ? 11.5e-6
                                : context_.expansion[Context::index(row.engine) * features +
                                                     static_cast<std::size_t>(row.feature)];
        const double warm = readings.temperature.values[at] - 20.0;
        double factor = 1.0 / (1.0 + part * warm);
        if (gauge != nullptr && gauge->card->temperature) {
            factor *= 1.0 + gauge->card->gauge.expansion * (*gauge->card->temperature - 20.0);
        }
        row.value *= factor;
    }
}

LimitKey Inspector::key_of(const Row& row) const
{
    // What no limit names cannot tell rows apart.
    return {.engine = row.engine,
            .stage = row.stage,
            .feature = row.feature,
            .part = row.part,
            .station = context_.stations_named ? row.station : -1,
            .axis = context_.axes_named ? row.axis : -1,
            .quantity = row.quantity,
            .number = context_.numbers_named ? row.number : no_number,
            .kind = context_.stage_kind[Context::index(row.stage)]};
}

std::int32_t Inspector::limit_of(const LimitKey& key)
{
    if (last_.filled && last_.key == key) {
        return last_.limit;
    }
    auto& slot = remembered_[hash_of(key) & (remembered_.size() - 1)];
    if (!slot.filled || slot.key != key) {
        slot = {key, context_.find_limit(key), true};
    }
    last_ = slot;
    return slot.limit;
}

void Inspector::judge_rows()
{
    for (auto& row : rows_) {
        row.limit = limit_of(key_of(row));
        if (row.limit >= 0 && row.has_value) {
            const auto& limit = context_.limits.rows[static_cast<std::size_t>(row.limit)];
            row.decision =
                measure::decide(row.value, row.uncertainty, row.freedom, limit.lower, limit.upper,
                                context_.options.rule, context_.options.level);
        }
    }
}

void Inspector::make_parts()
{
    auto& order = order_;
    order.clear();
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const auto& row = rows_[i];
        if (row.has_value && row.feature >= 0 && row.quantity >= 0 &&
            context_.role[static_cast<std::size_t>(row.feature)] != Role::other &&
            context_.role[static_cast<std::size_t>(row.feature)] != Role::rotor &&
            context_.measured[static_cast<std::size_t>(row.quantity)] != Measured::other &&
            !context_.readings.position.present(row.row)) {
            order.push_back(i);
        }
    }
    const auto key = [&](std::size_t i) {
        const auto& row = rows_[i];
        return std::tuple(context_.stage_rank(row.stage), context_.feature_rank(row.feature),
                          context_.part_rank(row.part), row.quantity, row.number, i);
    };
    const auto before = [&](std::size_t a, std::size_t b) { return key(a) < key(b); };
    // Most sheets are written part after part already.
    if (!std::is_sorted(order.begin(), order.end(), before)) {
        std::sort(order.begin(), order.end(), before);
    }
    places_.reserve(order.size());  // parts point into it
    for (const auto i : order) {
        put_in_part(i);
    }
    sizes_.reserve(places_.size());  // what is asked for stays where it is
}

void Inspector::put_in_part(std::size_t i)
{
    const auto& row = rows_[i];
    const auto measured = context_.measured[static_cast<std::size_t>(row.quantity)];
    if (sets_.empty() || sets_.back().stage != row.stage || sets_.back().feature != row.feature ||
        sets_.back().part != row.part || sets_.back().measured != measured) {
        sets_.push_back({.stage = row.stage,
                         .feature = row.feature,
                         .part = row.part,
                         .engine = row.engine,
                         .measured = measured});
    }
    auto& set = sets_.back();
    const auto worn_side = context_.shape[static_cast<std::size_t>(row.feature)] == Shape::hole
                               ? measure::Side::upper
                               : measure::Side::lower;
    set.worn |= row.decision.verdict == Standing::outside && row.decision.side == worn_side;
    set.unproven |= row.decision.verdict == Standing::unproven;
    if (set.parts.empty() || parts_.back().number != row.number) {
        parts_.push_back({.stage = row.stage,
                          .feature = row.feature,
                          .part = row.part,
                          .number = row.number,
                          .engine = row.engine,
                          .measured = measured,
                          .places = {places_.data() + places_.size(), 0}});
        set.parts.push_back(parts_.size() - 1);
    }
    auto& places = parts_.back().places;
    const auto at = std::find_if(places.begin(), places.end(), [&](const auto& each) {
        return each.station == row.station && each.axis == row.axis;
    });
    if (at == places.end()) {
        places_.push_back({row.station, row.axis, row.value, RowList(i)});
        places = {places.data(), places.size() + 1};
    } else {
        at->rows.push_back(i);
        double sum = 0;
        for (const auto each : at->rows) {
            sum += rows_[each].value;
        }
        at->value = sum / static_cast<double>(at->rows.size());
    }
}

measure::Quantity Inspector::single_quantity(const Row& row)
{
    if (row.uncertainty == 0) {
        return row.value;
    }
    if (row.stated || row.gauge < 0) {
        return {row.value, row.uncertainty, sources_->unnamed()};
    }
    const auto& doubts = context_.gauge[static_cast<std::size_t>(row.gauge)].doubts;
    auto& named = gauge_sources_[static_cast<std::size_t>(row.gauge)];
    if (named.empty()) {
        for (const auto& each : doubts) {
            named.push_back(
                each.name.empty() ? 0 : sources_->named(each.name, each.freedom, each.kind));
        }
    }
    std::array<measure::Contribution, measure::Quantity::inside> all{};
    const auto count = std::min(doubts.size(), all.size());
    for (std::size_t i = 0; i < count; ++i) {
        all[i] = {doubts[i].name.empty() ? sources_->unnamed(doubts[i].freedom, doubts[i].kind)
                                         : named[i],
                  doubts[i].amount};
    }
    std::sort(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(count),
              [](const auto& a, const auto& b) { return a.source < b.source; });
    return {row.value, std::span<const measure::Contribution>(all.data(), count)};
}

const measure::Quantity& Inspector::quantity_of(const Place& place)
{
    if (place.size < 0) {
        place.size = static_cast<std::int32_t>(sizes_.size());
        sizes_.push_back(made_quantity(place));
    }
    return sizes_[static_cast<std::size_t>(place.size)];
}

measure::Quantity Inspector::made_quantity(const Place& place)
{
    const auto& first = rows_[place.rows.front()];
    if (place.rows.size() == 1) {
        return single_quantity(first);
    }
    const bool one_gauge = std::all_of(place.rows.begin(), place.rows.end(), [&](auto i) {
        return rows_[i].gauge == first.gauge && !rows_[i].stated;
    });
    if (!one_gauge) {
        measure::Quantity mean = 0.0;
        for (const auto i : place.rows) {
            mean = measure::combine(1.0, mean, 1.0 / static_cast<double>(place.rows.size()),
                                    single_quantity(rows_[i]));
        }
        return mean;
    }
    const GaugeInfo* info =
        first.gauge < 0 ? nullptr : &context_.gauge[static_cast<std::size_t>(first.gauge)];
    std::vector<double> indications;
    for (const auto i : place.rows) {
        indications.push_back(rows_[i].value - (info == nullptr ? 0.0 : info->correction));
    }
    auto size =
        measure::reading(indications, info == nullptr ? nullptr : &info->card->gauge, {}, *sources_)
            .size;
    if (info != nullptr && !info->card->setting.empty() && info->card->setting_uncertainty > 0) {
        size = size + measure::Quantity(0.0, info->card->setting_uncertainty,
                                        sources_->named(info->card->setting));
    }
    return size;
}

void Inspector::use(const Part& part, Finding& finding)
{
    finding.basis.reserve(finding.basis.size() + part.places.size());
    for (const auto& place : part.places) {
        use_place(place, finding);
    }
}

void Inspector::use_place(const Place& place, Finding& finding)
{
    for (const auto i : place.rows) {
        rows_[i].used = true;
        finding.basis.push_back(i);
    }
}

const std::vector<table::ShelfItem>* Inspector::shelf_of(std::int32_t engine,
                                                         const std::string& what) const
{
    const auto* card = context_.card[Context::index(engine)];
    if (card == nullptr) {
        return nullptr;
    }
    const auto at = card->shelf.find(what);
    return at == card->shelf.end() || at->second.empty() ? nullptr : &at->second;
}

bool Inspector::wants_plan(const Finding& finding) const
{
    const bool asked =
        finding.verdict == Standing::outside || finding.verdict == Standing::unproven;
    return (asked || context_.options.plans_always) &&
           !context_.finished[Context::index(finding.stage)];
}

}  // namespace enginewright::job
