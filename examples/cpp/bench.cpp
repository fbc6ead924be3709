// Four questions of the bench, asked from C++ alone: does a ring need filing after the rebore,
// which undersize cleans the crank, what does pressing in do to a valve guide, and what bobweight
// does the twin's crankpin carry? The engines are invented (Linnet 2.0, Dunlin V-twin).

#include <algorithm>
#include <enginewright/fits.hpp>
#include <enginewright/journals.hpp>
#include <enginewright/reciprocating.hpp>
#include <enginewright/rings.hpp>
#include <exception>
#include <iomanip>
#include <iostream>
#include <vector>

namespace {

namespace fits = enginewright::fits;
namespace journals = enginewright::journals;
namespace reciprocating = enginewright::reciprocating;
namespace rings = enginewright::rings;

journals::Grid journal(double front_x, double front_y, double back_x, double back_y)
{
    return (journals::Grid(2, 2) << front_x, front_y, back_x, back_y).finished();
}

void ring_gap()
{
    // Read in a ring gauge of 86.40 mm; the bore will be honed to 86.50 mm.
    const double gap = rings::gap_at_bore(0.05, 86.40, 86.50);
    const auto wanted = rings::gap_by_rule(86.50, "top", "road, naturally aspirated");
    std::cout << "top ring: " << gap << " mm in the finished bore, " << wanted.gap
              << " mm wanted; file off " << std::max(0.0, wanted.gap - gap) << " mm\n";
}

void crank()
{
    const std::vector<journals::Grid> mains{
        journal(59.958, 59.955, 59.957, 59.954), journal(59.902, 59.861, 59.899, 59.842),
        journal(59.951, 59.947, 59.950, 59.945), journal(59.949, 59.941, 59.948, 59.940),
        journal(59.957, 59.954, 59.957, 59.952)};
    const std::vector<double> undersizes{0.25, 0.50, 0.75};
    const auto plan = journals::regrind_plan(mains, 59.970, 59.990, undersizes, 0.03);
    std::cout << "mains: " << plan.next << '\n';
    for (const auto& warning : plan.warnings) {
        std::cout << "  mind: " << warning << '\n';
    }
}

void guide()
{
    // 14 mm outside, bored 8 mm, pressed 45 mm deep with 0.040 mm of interference.
    const auto& bronze = fits::material("phosphor bronze");
    const auto& alloy = fits::material("cast aluminium");
    const auto pressed = fits::press_fit(14.0, 0.040, 45.0, 34.0, 8.0, bronze, alloy);
    const auto hot = fits::loosening_temperature(14.0, 0.040, bronze.expansion, alloy.expansion);
    std::cout << "guide: " << pressed.pressure << " MPa, its bore closes by "
              << pressed.bore_closure << " mm: ream after pressing\n  mind: " << hot.reason << '\n';
}

void twin()
{
    const auto layout = reciprocating::common_layout("V-twin", 0, 44, 155, 667, 451, /*bank=*/75.0);
    // A frame that gives way upwards twice as easily as fore and aft.
    const auto best = reciprocating::balance_factor(layout, 5500, 2, 1, 0);
    const auto pin = reciprocating::bobweight(451, 667, best.factor.value_or(0.5), 2, 4);
    std::cout << "twin: " << best.next << "; bobweight " << pin.mass << " g\n"
              << "  mind: guards closed, low speed first; follow the balancing machine's manual\n";
}

}  // namespace

int main()
{
    try {
        std::cout << std::fixed << std::setprecision(3);
        ring_gap();
        crank();
        guide();
        twin();
    } catch (const std::exception& refused) {
        std::cerr << refused.what() << '\n';
        return 1;
    }
}
