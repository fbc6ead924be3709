#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>

#include "crank_train_formulas.hpp"
#include "reciprocating/parts.hpp"

namespace enginewright::reciprocating {

namespace {

/// What the figures of one list must be; `name[i]` only where the caller gave a list.
template <class Rule>
void each_must(std::string_view name, const std::vector<double>& values, Rule rule)
{
    const bool equal = std::ranges::all_of(values, [&](double v) { return v == values.front(); });
    for (std::size_t i = 0; i < values.size(); ++i) {
        rule(equal ? std::string(name) : element_name(name, i), values[i]);
    }
}

void require_length_of(std::string_view name, std::size_t given, std::size_t cylinders)
{
    if (given != cylinders) {
        refuse_all(name, "hold one figure a cylinder, " + std::to_string(cylinders) + ", got " +
                             std::to_string(given));
    }
}

}  // namespace

void require_layout(const EngineLayout& layout)
{
    const std::size_t n = layout.throw_angle.size();
    if (n == 0 || n > most_cylinders) {
        refuse_all("throw_angle", "hold 1 to " + std::to_string(most_cylinders) +
                                      " cylinders, got " + std::to_string(n));
    }
    using Named = std::pair<std::string_view, const std::vector<double>*>;
    for (const auto& [name, list] :
         {Named{"bank_angle", &layout.bank_angle}, Named{"position", &layout.position},
          Named{"crank_radius", &layout.crank_radius}, Named{"rod_length", &layout.rod_length},
          Named{"reciprocating", &layout.reciprocating}, Named{"rotating", &layout.rotating},
          Named{"offset", &layout.offset}}) {
        require_length_of(name, list->size(), n);
    }
    each_must("throw_angle", layout.throw_angle, require_angle);
    each_must("bank_angle", layout.bank_angle, require_angle);
    each_must("position", layout.position,
              [](std::string_view each, double value) { require_length(each, value); });
    each_must("crank_radius", layout.crank_radius, require_radius);
    each_must("reciprocating", layout.reciprocating, require_mass);
    each_must("rotating", layout.rotating, require_mass);
    each_must("offset", layout.offset,
              [](std::string_view each, double value) { require_length(each, value); });
    for (std::size_t i = 0; i < n; ++i) {
        require_positive("rod_length", layout.rod_length[i], "mm");
        const double bound = layout.crank_radius[i] + std::abs(layout.offset[i]);
        if (!(layout.rod_length[i] > bound * (1 + 1e-12))) {
            refuse("rod_length", "above crank_radius + |offset|, " + number_text(bound) + " mm",
                   layout.rod_length[i]);
        }
        crank_train::formula::train(2 * layout.crank_radius[i], layout.rod_length[i],
                                    layout.offset[i]);
    }
    require_length_of("counterweight_position", layout.counterweight_position.size(),
                      layout.counterweight.size());
    for (std::size_t i = 0; i < layout.counterweight.size(); ++i) {
        const auto& vector = layout.counterweight[i];
        const double amount = std::hypot(vector.real(), vector.imag());
        require_between(element_name("counterweight", i), amount, 0, greatest_unbalance, "g mm");
        require_length(element_name("counterweight_position", i), layout.counterweight_position[i]);
    }
}

EngineLayout engine_layout(OneOrEach throw_angle, OneOrEach bank_angle, OneOrEach position,
                           OneOrEach crank_radius, OneOrEach rod_length, OneOrEach reciprocating,
                           OneOrEach rotating, OneOrEach offset,
                           std::vector<std::complex<double>> counterweight,
                           const OneOrEach& counterweight_position, std::string name)
{
    std::size_t n = 1;
    for (const auto* each : {&throw_angle, &bank_angle, &position, &crank_radius, &rod_length,
                             &reciprocating, &rotating, &offset}) {
        n = std::max(n, count_of(*each));
    }
    EngineLayout layout{
        .throw_angle = spread_over("throw_angle", throw_angle, n),
        .bank_angle = spread_over("bank_angle", bank_angle, n),
        .position = spread_over("position", position, n),
        .crank_radius = spread_over("crank_radius", crank_radius, n),
        .rod_length = spread_over("rod_length", rod_length, n),
        .reciprocating = spread_over("reciprocating", reciprocating, n),
        .rotating = spread_over("rotating", rotating, n),
        .offset = spread_over("offset", offset, n),
        .counterweight = std::move(counterweight),
        .counterweight_position = {},
        .name = std::move(name),
    };
    layout.counterweight_position =
        spread_over("counterweight_position", counterweight_position, layout.counterweight.size());
    require_layout(layout);
    return layout;
}

namespace {

/// One line of the table: banks repeat along the engine, places are counted in spacings.
struct NamedLayout {
    std::string_view name;
    std::vector<double> throws;
    std::vector<double> banks;
    double cylinders_abreast;
};

const std::vector<NamedLayout>& named_layouts()
{
    static const std::vector<NamedLayout> table{
        {"single", {0}, {0}, 1},
        {"inline 2, 360", {0, 0}, {0}, 1},
        {"inline 2, 180", {0, 180}, {0}, 1},
        {"inline 3", {0, 240, 120}, {0}, 1},
        {"inline 4", {0, 180, 180, 0}, {0}, 1},
        {"inline 5", {0, 216, 144, 72, 288}, {0}, 1},
        {"inline 6", {0, 120, 240, 240, 120, 0}, {0}, 1},
        {"flat twin", {0, 180}, {90, -90}, 1},
        {"flat 4", {0, 180, 180, 0}, {90, -90}, 1},
        {"flat 6", {0, 180, 240, 60, 120, 300}, {90, -90}, 1},
        {"V-twin", {0, 0}, {0}, 2},
        {"V6, 60 (offset pins)", {0, 60, 240, 300, 120, 180}, {30, -30}, 2},
        {"cross-plane V8", {0, 0, 90, 90, 270, 270, 180, 180}, {45, -45}, 2},
        {"flat-plane V8", {0, 0, 180, 180, 180, 180, 0, 0}, {45, -45}, 2},
    };
    return table;
}

const NamedLayout& named_layout(std::string_view name)
{
    std::string names;
    for (const auto& each : named_layouts()) {
        if (each.name == name) {
            return each;
        }
        names.append(names.empty() ? "'" : ", '").append(each.name).append("'");
    }
    refuse_word("name", names, name);
}

}  // namespace

EngineLayout common_layout(std::string_view name, double spacing, double crank_radius,
                           double rod_length, double reciprocating, double rotating,
                           std::optional<double> bank)
{
    const auto& found = named_layout(name);
    require_length_at_least_zero("spacing", spacing);
    std::vector<double> banks = found.banks;
    if (name == "V-twin") {
        if (!bank) {
            refuse_all("bank", "be given for a V-twin: the angle between its cylinders, degrees");
        }
        require_positive("bank", *bank, "deg");
        require_at_most("bank", *bank, 180, "deg");
        banks = {*bank / 2, -*bank / 2};
    } else if (bank) {
        refuse_all("bank", "be left out: only the V-twin's is free");
    }
    std::vector<double> bank_angles;
    std::vector<double> positions;
    for (std::size_t i = 0; i < found.throws.size(); ++i) {
        bank_angles.push_back(banks[i % banks.size()]);
        positions.push_back(std::floor(static_cast<double>(i) / found.cylinders_abreast) * spacing);
    }
    return engine_layout(found.throws, bank_angles, positions, crank_radius, rod_length,
                         reciprocating, rotating, 0.0, {}, std::vector<double>{},
                         std::string(name));
}

namespace {

/// An angle within a turn; what is a rounding short of a whole one is 0.
double within_a_turn(double degrees)
{
    double turned = std::fmod(degrees, 360);
    turned = turned < 0 ? turned + 360 : turned;
    turned = std::round(turned * 1e9) / 1e9;
    return turned >= 360 ? 0.0 : turned;
}

std::vector<std::size_t> require_order(const std::vector<int>& firing_order, std::size_t cylinders)
{
    std::vector<bool> named(cylinders, false);
    std::vector<std::size_t> order;
    for (const int each : firing_order) {
        if (each < 1 || static_cast<std::size_t>(each) > cylinders) {
            refuse("firing_order", "made of cylinders from 1 to " + std::to_string(cylinders),
                   each);
        }
        order.push_back(static_cast<std::size_t>(each) - 1);
        if (named[order.back()]) {
            refuse_all("firing_order",
                       "name each cylinder once, got " + std::to_string(each) + " twice");
        }
        named[order.back()] = true;
    }
    if (order.size() != cylinders) {
        refuse_all("firing_order", "name each cylinder once, " + std::to_string(cylinders) +
                                       " in all, got " + std::to_string(order.size()));
    }
    return order;
}

}  // namespace

Firing firing_intervals(std::span<const double> throw_angles, const OneOrEach& bank_angles,
                        const std::vector<int>& firing_order, int strokes)
{
    require_readings("throw_angles", throw_angles, 1);
    const std::size_t n = throw_angles.size();
    if (n > most_cylinders) {
        refuse_all("throw_angles", "hold at most " + std::to_string(most_cylinders) +
                                       " cylinders, got " + std::to_string(n));
    }
    const auto banks = spread_over("bank_angles", bank_angles, n);
    for (std::size_t i = 0; i < n; ++i) {
        require_angle(element_name("throw_angles", i), throw_angles[i]);
        require_angle("bank_angles", banks[i]);
    }
    const auto order = require_order(firing_order, n);
    if (strokes != 2 && strokes != 4) {
        refuse("strokes", "2 or 4", strokes);
    }
    const double cycle = 180.0 * strokes;
    const auto top = [&](std::size_t i) { return banks[order[i]] - throw_angles[order[i]]; };
    Firing firing;
    double sum = 0;
    for (std::size_t i = 0; i < n; ++i) {
        firing.intervals.push_back(within_a_turn(top((i + 1) % n) - top(i)));
        sum += firing.intervals.back();
    }
    auto missing = static_cast<int>(std::lround((cycle - sum) / 360));
    if (missing < 0) {
        firing.status = FiringStatus::impossible_order;
        firing.reason = "the order needs " + fixed_text(sum, 0) + " deg of crank, a cycle has " +
                        fixed_text(cycle, 0) + " deg";
        firing.next = "give an order in which the pistons come to the top one after the other";
        return firing;
    }
    for (; missing > 0; --missing) {
        *std::ranges::min_element(firing.intervals) += 360;
    }
    const double wanted = cycle / static_cast<double>(n);
    double spread = 0;
    for (const double each : firing.intervals) {
        spread = std::max(spread, std::abs(each - wanted));
    }
    firing.spread = spread;
    firing.even = spread < 1e-6;
    if (!firing.even) {
        firing.next = "the engine fires unevenly by up to " + fixed_text(spread, 1) +
                      " deg: set ignition and injection a cylinder at a time";
    }
    return firing;
}

}  // namespace enginewright::reciprocating
