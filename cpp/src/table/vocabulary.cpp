#include <algorithm>
#include <array>

#include "enginewright/table.hpp"

namespace enginewright::table {

namespace {

struct Measured {
    const char* word;
    const char* dimension;
    const char* unit;
};

// The parts that come across the bench, from the bottom end upwards.
constexpr std::array features{
    "main journal",
    "big-end journal",
    "crankshaft",
    "main bearing",
    "big-end bearing",
    "rod",
    "small end",
    "piston",
    "pin",
    "ring",
    "bore",
    "liner",
    "block deck",
    "head face",
    "chamber",
    "valve",
    "valve guide",
    "valve seat",
    "valve spring",
    "tappet",
    "camshaft",
    "cam",
    "timing gear",
    "flywheel",
    "clutch",
    "pulley",
    "rotor",
    "bolt",
    "gasket",
    "plug",
    "pushrod",
    "rocker",
    "thrust washer",
};

constexpr std::array quantities{
    Measured{"diameter", "length", "mm"},
    Measured{"width", "length", "mm"},
    Measured{"height", "length", "mm"},
    Measured{"depth", "length", "mm"},
    Measured{"gap", "length", "mm"},
    Measured{"clearance", "length", "mm"},
    Measured{"end float", "length", "mm"},
    Measured{"run-out", "length", "mm"},
    Measured{"lift", "length", "mm"},
    Measured{"protrusion", "length", "mm"},
    Measured{"thickness", "length", "mm"},
    Measured{"stretch", "length", "mm"},
    Measured{"free length", "length", "mm"},
    Measured{"length", "length", "mm"},
    Measured{"installed height", "length", "mm"},
    Measured{"radius", "length", "mm"},
    Measured{"mass", "mass", "g"},
    Measured{"volume", "volume", "cc"},
    Measured{"burette reading", "volume", "cc"},
    Measured{"pressure", "gas pressure", "kPa"},
    Measured{"vacuum", "gas pressure", "kPa"},
    Measured{"force", "force", "N"},
    Measured{"torque", "torque", "N·m"},
    Measured{"angle", "angle", "°"},
    Measured{"phase", "angle", "°"},
    Measured{"amount", "unbalance", "g·mm"},
    // A vibration meter shows mm/s or a scale of its own; `units` has no dimension for it.
    Measured{"amplitude", "", "mm/s"},
    Measured{"speed", "speed", "rpm"},
    Measured{"temperature", "temperature", "°C"},
    Measured{"time", "time", "s"},
    Measured{"turns", "number", "1"},
    Measured{"teeth", "number", "1"},
    Measured{"roughness", "length", "mm"},
};

// Limits may be set on these; no reading is one. The spread of a set takes its set's dimension.
constexpr std::array derived{
    Measured{"ovality", "length", "mm"},
    Measured{"taper", "length", "mm"},
    Measured{"wear", "length", "mm"},
    Measured{"spread", "", ""},
    Measured{"tilt", "length", "mm"},
    Measured{"step", "length", "mm"},
    Measured{"flatness", "length", "mm"},
    Measured{"residual", "unbalance", "g·mm"},
    Measured{"contribution", "unbalance", "g·mm"},
    Measured{"bore_now", "length", "mm"},
    Measured{"stroke_now", "length", "mm"},
    Measured{"rod_length_now", "length", "mm"},
    Measured{"swept_volume", "volume", "cc"},
    Measured{"head_drop", "length", "mm"},
    Measured{"deck_gap", "length", "mm"},
    Measured{"chamber_now", "volume", "cc"},
    Measured{"gasket_volume", "volume", "cc"},
    Measured{"clearance_volume", "volume", "cc"},
    Measured{"ratio", "number", "1"},
    Measured{"squish", "length", "mm"},
    Measured{"cam_timing_change", "angle", "°"},
    Measured{"inlet_full_lift_now", "angle", "°"},
    Measured{"exhaust_full_lift_now", "angle", "°"},
    Measured{"inlet_closing_now", "angle", "°"},
    Measured{"trapped_ratio", "number", "1"},
    Measured{"cranking_pressure", "gas pressure", "kPa"},
    Measured{"efficiency", "number", "1"},
    Measured{"inlet_drop_now", "length", "mm"},
    Measured{"exhaust_drop_now", "length", "mm"},
    Measured{"inlet_valve_to_piston", "length", "mm"},
    Measured{"exhaust_valve_to_piston", "length", "mm"},
    Measured{"inlet_spring_height_now", "length", "mm"},
    Measured{"exhaust_spring_height_now", "length", "mm"},
    Measured{"pushrod_length_needed", "length", "mm"},
    Measured{"ring_gap_now", "length", "mm"},
    Measured{"piston_clearance", "length", "mm"},
};

std::vector<VocabularyWord> all_words()
{
    std::vector<VocabularyWord> words;
    words.reserve(std::size(features) + std::size(quantities));
    for (const auto* feature : features) {
        words.push_back({.kind = "feature", .word = feature});
    }
    for (const auto& each : quantities) {
        words.push_back({"quantity", each.word, each.dimension, each.unit});
    }
    for (const auto& each : derived) {
        words.push_back({"derived quantity", each.word, each.dimension, each.unit});
    }
    return words;
}

}  // namespace

std::span<const VocabularyWord> vocabulary()
{
    static const std::vector<VocabularyWord> words = all_words();
    return words;
}

std::string_view dimension_of(std::string_view quantity)
{
    const auto words = vocabulary();
    const auto found = std::find_if(words.begin(), words.end(), [&](const VocabularyWord& each) {
        return each.kind != "feature" && each.word == quantity;
    });
    return found == words.end() ? std::string_view{} : std::string_view(found->dimension);
}

}  // namespace enginewright::table
