// One bore and its limit, from C++ alone: the gauge cannot decide, and this is what settles it.
// The clearance over the piston then keeps the ring that both gauges were set on. All invented.

#include <array>
#include <enginewright/measure.hpp>
#include <enginewright/measure/settle.hpp>
#include <exception>
#include <iomanip>
#include <iostream>

namespace {

namespace measure = enginewright::measure;

void bore_and_piston()
{
    const auto ring_source = measure::Sources::shared().named("86 mm ring");
    const measure::Quantity ring(86.0, 0.0008, ring_source);
    const auto card = measure::gauge("bore gauge", 0.001);

    measure::ReadingOptions on_the_ring;
    on_the_ring.master = ring;
    const std::array readings{0.046, 0.050, 0.048};
    const auto bore = measure::reading(readings, &card, on_the_ring);
    const auto verdict = measure::check(bore.size, {}, 86.050);
    std::cout << "bore: " << enginewright::word(verdict.verdict) << ", " << verdict.reason << '\n';
    const auto settle = measure::settle(bore, {}, 86.050);
    std::cout << "  " << enginewright::word(settle.status) << ": " << settle.reason << '\n';

    const measure::Quantity piston =
        ring + measure::Quantity(-0.012, 0.0010, measure::Sources::shared().unnamed());
    const auto clearance = bore.size - piston;
    std::cout << "clearance: " << measure::quantity_text(clearance) << " mm, of which the ring "
              << clearance.contribution(ring_source) << '\n';
}

}  // namespace

int main()
{
    try {
        std::cout << std::fixed << std::setprecision(4);
        bore_and_piston();
    } catch (const std::exception& refused) {
        std::cerr << refused.what() << '\n';
        return 1;
    }
}
