#include "fits/iso_tables.hpp"

#include <algorithm>
#include <cstddef>

namespace enginewright::fits::iso {

namespace {

/// Where the standard prints a dash.
constexpr double x = 1e6;

constexpr std::array<double, 13> ranges{3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500};
constexpr std::array<double, 25> steps{3,   6,   10,  14,  18,  24,  30,  40,  50,
                                       65,  80,  100, 120, 140, 160, 180, 200, 225,
                                       250, 280, 315, 355, 400, 450, 500};

// clang-format off

// ISO 286-1:2010, table 1: widths of the standard tolerance grades, micrometres, by ranges.
constexpr std::array<std::array<double, 13>, 20> grades{{
    {{0.3, 0.4, 0.4, 0.5, 0.6, 0.6, 0.8, 1, 1.2, 2, 2.5, 3, 4}},  // IT01
    {{0.5, 0.6, 0.6, 0.8, 1, 1, 1.2, 1.5, 2, 3, 4, 5, 6}},  // IT0
    {{0.8, 1, 1, 1.2, 1.5, 1.5, 2, 2.5, 3.5, 4.5, 6, 7, 8}},  // IT1
    {{1.2, 1.5, 1.5, 2, 2.5, 2.5, 3, 4, 5, 7, 8, 9, 10}},  // IT2
    {{2, 2.5, 2.5, 3, 4, 4, 5, 6, 8, 10, 12, 13, 15}},  // IT3
    {{3, 4, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20}},  // IT4
    {{4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27}},  // IT5
    {{6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40}},  // IT6
    {{10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63}},  // IT7
    {{14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97}},  // IT8
    {{25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155}},  // IT9
    {{40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250}},  // IT10
    {{60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400}},  // IT11
    {{100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630}},  // IT12
    {{140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970}},  // IT13
    {{250, 300, 360, 430, 520, 620, 740, 870, 1000, 1150, 1300, 1400, 1550}},  // IT14
    {{400, 480, 580, 700, 840, 1000, 1200, 1400, 1600, 1850, 2100, 2300, 2500}},  // IT15
    {{600, 750, 900, 1100, 1300, 1600, 1900, 2200, 2500, 2900, 3200, 3600, 4000}},  // IT16
    {{1000, 1200, 1500, 1800, 2100, 2500, 3000, 3500, 4000, 4600, 5200, 5700, 6300}},  // IT17
    {{1400, 1800, 2200, 2700, 3300, 3900, 4600, 5400, 6300, 7200, 8100, 8900, 9700}},  // IT18
}};

template <std::size_t N>
struct Row {
    std::string_view letter;
    std::array<double, N> micrometres;
};

// ISO 286-1:2010, tables 4 and 5: deviations of shafts, micrometres, by the finer steps. Those of
// a to h lie below the nominal size and stand here without their sign, as all others without one.
constexpr std::array<Row<25>, 14> by_steps{{
    {"a", {270, 270, 280, 290, 290, 300, 300, 310, 320, 340, 360, 380, 410, 460, 520, 580, 660, 740, 820, 920, 1050, 1200, 1350, 1500, 1650}},
    {"b", {140, 140, 150, 150, 150, 160, 160, 170, 180, 190, 200, 220, 240, 260, 280, 310, 340, 380, 420, 480, 540, 600, 680, 760, 840}},
    {"c", {60, 70, 80, 95, 95, 110, 110, 120, 130, 140, 150, 170, 180, 200, 210, 230, 240, 260, 280, 300, 330, 360, 400, 440, 480}},
    {"r", {10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132}},
    {"s", {14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190, 208, 232, 252}},
    {"t", {x, x, x, x, x, x, 41, 48, 54, 66, 75, 91, 104, 122, 134, 146, 166, 180, 196, 218, 240, 268, 294, 330, 360}},
    {"u", {18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210, 236, 258, 284, 315, 350, 390, 435, 490, 540}},
    {"v", {x, x, x, x, 39, 47, 55, 68, 81, 102, 120, 146, 172, 202, 228, 252, 284, 310, 340, 385, 425, 475, 530, 595, 660}},
    {"x", {20, 28, 34, 40, 45, 54, 64, 80, 97, 122, 146, 178, 210, 248, 280, 310, 350, 385, 425, 475, 525, 590, 660, 740, 820}},
    {"y", {x, x, x, x, x, 63, 75, 94, 114, 144, 174, 214, 254, 300, 340, 380, 425, 470, 520, 580, 650, 730, 820, 920, 1000}},
    {"z", {26, 35, 42, 50, 60, 73, 88, 112, 136, 172, 210, 258, 310, 365, 415, 465, 520, 575, 640, 710, 790, 900, 1000, 1100, 1250}},
    {"za", {32, 42, 52, 64, 77, 98, 118, 148, 180, 226, 274, 335, 400, 470, 535, 600, 670, 740, 820, 920, 1000, 1150, 1300, 1450, 1600}},
    {"zb", {40, 50, 67, 90, 108, 136, 160, 200, 242, 300, 360, 445, 525, 620, 700, 780, 880, 960, 1050, 1200, 1300, 1500, 1650, 1850, 2100}},
    {"zc", {60, 80, 97, 130, 150, 188, 218, 274, 325, 405, 480, 585, 690, 800, 900, 1000, 1150, 1250, 1350, 1550, 1700, 1900, 2100, 2400, 2600}},
}};

// The same for letters whose deviation is one number in each range.
constexpr std::array<Row<13>, 11> by_ranges{{
    {"cd", {34, 46, 56, 70, 85, 100, x, x, x, x, x, x, x}},
    {"d", {20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230}},
    {"e", {14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135}},
    {"ef", {10, 14, 18, 23, 28, 35, x, x, x, x, x, x, x}},
    {"f", {6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68}},
    {"fg", {4, 6, 8, 10, 12, 15, x, x, x, x, x, x, x}},
    {"g", {2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20}},
    {"k", {0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5}},
    {"m", {2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23}},
    {"n", {4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40}},
    {"p", {6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68}},
}};

// ISO 286-1:2010, table 5: lower deviation of j, grades 5 and 6 alike, then 7.
constexpr std::array<double, 13> j_5_6{-2, -2, -2, -3, -4, -5, -7, -9, -11, -13, -16, -18, -20};
constexpr std::array<double, 13> j_7{-4, -4, -5, -6, -8, -10, -12, -15, -18, -21, -26, -28, -32};
constexpr double j_8_to_3_mm = -6;

// ISO 286-1:2010, table 2: upper deviation of J, grades 6, 7, 8.
constexpr std::array<std::array<double, 13>, 3> hole_j{{
    {{2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33}},
    {{4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43}},
    {{6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66}},
}};

// clang-format on

template <std::size_t N>
std::size_t place(const std::array<double, N>& ends, double size)
{
    // A size at the end of a range belongs to it.
    return static_cast<std::size_t>(std::lower_bound(ends.begin(), ends.end(), size) -
                                    ends.begin());
}

std::optional<Hundredths> entry(double micrometres)
{
    return micrometres == x ? std::nullopt : std::optional(from_micrometres(micrometres));
}

template <std::size_t Rows, std::size_t N>
std::optional<double> found(const std::array<Row<N>, Rows>& table,
                            const std::array<double, N>& ends, std::string_view letter, double size)
{
    for (const auto& row : table) {
        if (row.letter == letter) {
            return row.micrometres[place(ends, size)];
        }
    }
    return std::nullopt;
}

bool below_the_line(std::string_view letter) { return letter.front() < 'h'; }

}  // namespace

Hundredths tolerance(double size, int grade)
{
    // The first row is IT01, grade -1.
    const auto row = static_cast<std::size_t>(std::int64_t{grade} + 1);
    return from_micrometres(grades[row][place(ranges, size)]);
}

std::optional<Hundredths> shaft_deviation(std::string_view letter, double size)
{
    const auto in_step = found(by_steps, steps, letter, size);
    const auto in_range = in_step ? in_step : found(by_ranges, ranges, letter, size);
    const auto value = in_range ? entry(*in_range) : std::nullopt;
    return value && below_the_line(letter) ? std::optional(-*value) : value;
}

std::optional<Hundredths> j_deviation(int grade, double size)
{
    const std::size_t at = place(ranges, size);
    switch (grade) {
        case 5:
        case 6:
            return from_micrometres(j_5_6[at]);
        case 7:
            return from_micrometres(j_7[at]);
        case 8:
            return at == 0 ? std::optional(from_micrometres(j_8_to_3_mm)) : std::nullopt;
        default:
            return std::nullopt;
    }
}

std::optional<Hundredths> hole_j_deviation(int grade, double size)
{
    if (grade < 6 || grade > 8) {
        return std::nullopt;
    }
    return from_micrometres(hole_j[static_cast<std::size_t>(grade - 6)][place(ranges, size)]);
}

}  // namespace enginewright::fits::iso
