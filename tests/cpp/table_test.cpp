#include "enginewright/table.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "near.hpp"
#include "refusal.hpp"
#include "table/bits.hpp"

namespace enginewright::table {
namespace {

Column words_column(const std::vector<std::string>& texts)
{
    WordEncoder encoder;
    std::vector<std::int32_t> codes;
    for (const auto& text : texts) {
        codes.push_back(encoder.encode(text));
    }
    return Column::of_words(hold(std::move(codes)), texts.size(), encoder.finish());
}

Column numbers_column(std::vector<double> values)
{
    std::vector<std::uint8_t> present;
    for (const auto value : values) {
        present.push_back(std::isnan(value) ? 0 : 1);
    }
    const auto rows = values.size();
    return Column::of_numbers(hold(std::move(values)), rows, mask_from_present(present));
}

/// A missing count is written as 0.
Column counts_column(std::vector<std::int32_t> values)
{
    std::vector<std::uint8_t> present;
    for (const auto value : values) {
        present.push_back(value == 0 ? 0 : 1);
    }
    const auto rows = values.size();
    return Column::of_counts(hold(std::move(values)), rows, mask_from_present(present));
}

Column same(const std::string& text, std::size_t rows)
{
    return words_column(std::vector<std::string>(rows, text));
}

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// Bores of one job: `values` in `unit`, one row a value, numbered as given.
std::vector<NamedColumn> bores(std::vector<double> values, std::vector<std::int32_t> numbers,
                               const std::string& unit = "mm")
{
    const auto rows = values.size();
    return {{"job", same("J1", rows)},
            {"stage", same("as received", rows)},
            {"feature", same("bore", rows)},
            {"quantity", same("diameter", rows)},
            {"number", counts_column(std::move(numbers))},
            {"value", numbers_column(std::move(values))},
            {"unit", same(unit, rows)}};
}

Table readings(std::vector<NamedColumn> columns)
{
    const auto rows = columns.front().column.rows();
    return Table::arranged(readings_spec(), rows, std::move(columns));
}

TEST(WordEncoder, GivesEachWordItsCodeInTheOrderOfFirstSight)
{
    const auto column = words_column({"top", "middle", "", "top", "bottom"});
    const auto view = column.words();
    EXPECT_EQ(std::vector(view.codes.begin(), view.codes.end()),
              (std::vector<std::int32_t>{0, 1, -1, 0, 2}));
    EXPECT_EQ(view.text(4), "bottom");
    EXPECT_EQ(view.text(2), "");
    EXPECT_EQ(column.missing_count(), 1U);
}

TEST(WordEncoder, KeepsThousandsOfWordsApart)
{
    WordEncoder encoder;
    for (int round = 0; round < 2; ++round) {
        for (std::int32_t i = 0; i < 5000; ++i) {
            ASSERT_EQ(encoder.encode("job " + std::to_string(i)), i);
        }
    }
    EXPECT_EQ(encoder.finish()->size(), 5000U);
}

TEST(Column, RefusesACodeBeyondItsWordsWithTheRow)
{
    const auto words = std::make_shared<const WordList>(std::vector<std::string>{"bore"});
    EXPECT_NO_THROW(Column::of_words(hold(std::vector<std::int32_t>{0, -1}), 2, words));
    for (const std::int32_t wrong : {1, -2, 2147483647}) {
        const auto said = refusal(
            [&] { (void)Column::of_words(hold(std::vector<std::int32_t>{0, wrong}), 2, words); });
        EXPECT_NE(said.find("(row 1)"), std::string::npos) << said;
    }
}

TEST(Column, SliceSharesTheMemoryAndTakeCopiesIt)
{
    const auto column = numbers_column({1, none, 3, 4, 5});
    const auto part = column.slice(1, 3);
    EXPECT_EQ(part.numbers().values.data(), column.numbers().values.data() + 1);
    EXPECT_FALSE(part.present(0));
    EXPECT_EQ(part.numbers().values[1], 3);
    const std::vector<std::int64_t> rows{2, 0, 0};
    const auto taken = part.take(rows);
    EXPECT_EQ(taken.numbers().values[0], 4);
    EXPECT_EQ(taken.missing_count(), 2U);
    EXPECT_TRUE(taken == numbers_column({4, none, none}));
    EXPECT_THROW((void)column.slice(4, 2), std::invalid_argument);
    EXPECT_THROW((void)part.take(std::vector<std::int64_t>{3}), std::invalid_argument);
}

TEST(Column, OutlivesTheTableItCameFrom)
{
    Column kept;
    {
        kept = readings(bores({86.0}, {1})).slice(0, 1).column("feature");
    }
    EXPECT_EQ(kept.words().text(0), "bore");
}

TEST(Column, IsEqualByWordsAndNotByCodes)
{
    const auto one = words_column({"top", "middle", "top"});
    const auto other = words_column({"bottom", "middle", "top", "middle", "top"}).slice(2, 3);
    EXPECT_TRUE(one == other);
    EXPECT_FALSE(one == words_column({"top", "middle", ""}));
    EXPECT_TRUE(words_column({"", ""}) == Column::absent(Kind::word, 2));
    EXPECT_FALSE(numbers_column({0.0}) == numbers_column({-0.0}));
}

TEST(Column, TextsMustBeUtf8AndCutBetweenCharacters)
{
    const auto made = [](const std::string& bytes, std::vector<std::int64_t> offsets) {
        const auto rows = offsets.size() - 1;
        return Column::of_texts(hold(std::move(offsets)),
                                hold(std::vector<char>(bytes.begin(), bytes.end())), rows);
    };
    EXPECT_EQ(made("0,05 \xC2\xB5m", {0, 4, 8}).texts().text(1), " \xC2\xB5m");
    EXPECT_THROW(made("\xC2\xB5", {0, 1, 2}), std::invalid_argument);
    EXPECT_THROW(made("\xFF", {0, 1}), std::invalid_argument);
    EXPECT_THROW(made("abc", {0, 2, 1}), std::invalid_argument);
}

// RFC 3629, section 3 and 4: well-formed and ill-formed sequences.
TEST(Utf8, KnowsWellFormedSequences)
{
    for (const std::string good : {"", "plain text that is long enough", "\xC2\xA2", "\xE2\x89\xA2",
                                   "\xED\x95\x9C", "\xF0\xA3\x8E\xB4", "\xF4\x8F\xBF\xBF"}) {
        EXPECT_TRUE(is_utf8(good)) << good;
    }
    for (const std::string bad :
         {"\x80", "\xC0\x80", "\xC1\xBF", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80",
          "\xF5\x80\x80\x80", "\xE2\x89", "1234567\xC2"}) {
        EXPECT_FALSE(is_utf8(bad));
    }
}

TEST(Mask, CountsBitsFromAnyOffset)
{
    std::vector<std::uint8_t> present(300);
    std::size_t expected = 0;
    for (std::size_t i = 0; i < present.size(); ++i) {
        present[i] = i % 3 == 0 ? 0 : 1;
    }
    const auto mask = mask_from_present(present);
    for (std::int64_t offset = 0; offset < 17; ++offset) {
        expected = 0;
        for (auto i = static_cast<std::size_t>(offset); i < 290; ++i) {
            expected += present[i];
        }
        EXPECT_EQ(count_bits({mask.bits.data, offset}, 290 - static_cast<std::size_t>(offset)),
                  expected);
    }
    EXPECT_EQ(mask_from_present(std::vector<std::uint8_t>(9, 1)).bits.data, nullptr);
}

TEST(Concatenate, MergesWordsByTheirText)
{
    const std::vector<Column> parts{words_column({"top", "bottom"}), words_column({"bottom", ""}),
                                    Column::absent(Kind::word, 1)};
    const auto all = concatenate(parts);
    EXPECT_TRUE(all == words_column({"top", "bottom", "bottom", "", ""}));
    EXPECT_EQ(all.word_list()->size(), 2U);
    const std::vector<Column> mixed{words_column({"top"}), numbers_column({1})};
    EXPECT_THROW(concatenate(mixed), std::invalid_argument);
}

TEST(Concatenate, KeepsWhatIsMissing)
{
    const std::vector<Column> parts{numbers_column({1, none}).slice(1, 1), numbers_column({2}),
                                    Column::absent(Kind::number, 1)};
    EXPECT_TRUE(concatenate(parts) == numbers_column({none, 2, none}));
}

TEST(Dates, GoThereAndBack)
{
    EXPECT_EQ(days_of(1970, 1, 1), 0);
    EXPECT_EQ(days_of(2000, 3, 1),
              11017);  // published: RFC 3339 example era; 30 years, 8 leap days
    EXPECT_EQ(days_of_text("due", "1969-12-31"), -1);
    for (const std::int32_t days : {-719162, -1, 0, 59, 11016, 20879, 2932896}) {
        EXPECT_EQ(days_of_text("due", date_text(days)), days);
    }
    EXPECT_EQ(refusal([] { (void)days_of_text("due", "2027-02-29"); }),
              "due must be a date like 2027-02-01, got '2027-02-29'");
    EXPECT_THROW((void)days_of_text("due", "1 Feb 2027"), std::invalid_argument);
}

TEST(CellName, CountsLettersAsSpreadsheetsDo)
{
    EXPECT_EQ(cell_name(14, 3), "C14");
    EXPECT_EQ(cell_name(1, 26), "Z1");
    EXPECT_EQ(cell_name(1, 27), "AA1");
    EXPECT_EQ(cell_name(1, 16384), "XFD1");  // the last column of a sheet
}

TEST(Nearest, FindsASlipAndNothingFarAway)
{
    const std::vector<std::string_view> known{"feature", "quantity", "lower", "upper"};
    EXPECT_EQ(nearest("lowr", known), "lower");
    EXPECT_EQ(nearest("Featuer", known), "feature");
    EXPECT_EQ(nearest("bananas", known), "");
}

TEST(Table, HoldsEveryColumnOfItsSchemaInItsOrder)
{
    auto columns = bores({86.0}, {1});
    columns.push_back({"shop remark", words_column({"blue box"})});
    const auto table = readings(std::move(columns));
    EXPECT_EQ(table.schema(), "enginewright.readings/1");
    EXPECT_EQ(table.columns().size(), readings_spec().columns.size() + 1);
    EXPECT_EQ(table.columns()[0].name, "job");
    EXPECT_TRUE(table.column("axis").is_absent());
    EXPECT_EQ(table.columns().back().name, "shop remark");
    EXPECT_EQ(refusal([&] { (void)table.column("feture"); }),
              "there is no column 'feture'; did you mean feature?");
}

TEST(Table, RefusesColumnsThatDoNotFit)
{
    auto short_one = bores({86.0, 86.1}, {1, 2});
    short_one.push_back({"axis", words_column({"x"})});
    EXPECT_EQ(refusal([&] { (void)readings(short_one); }), "column axis must have 2 rows, got 1");
    auto twice = bores({86.0}, {1});
    twice.push_back({"unit", words_column({"mm"})});
    EXPECT_EQ(refusal([&] { (void)readings(twice); }), "column unit must stand once, got it twice");
    auto without = bores({86.0}, {1});
    without.erase(without.begin() + 2);
    without.push_back({"featur", words_column({"bore"})});
    EXPECT_EQ(refusal([&] { (void)readings(without); }),
              "readings must hold the column feature; did you mean featur?");
    auto wrong = bores({86.0}, {1});
    wrong.push_back({"axis", numbers_column({1})});
    EXPECT_EQ(refusal([&] { (void)readings(wrong); }),
              "column axis of readings must hold words, got numbers");
}

TEST(Schema, RefusesANewerOneAndAnotherTable)
{
    EXPECT_NO_THROW(require_schema(readings_spec(), "enginewright.readings/1"));
    EXPECT_EQ(refusal([] { require_schema(readings_spec(), "enginewright.readings/2"); }),
              "schema must be enginewright.readings/1, got 'enginewright.readings/2': it was "
              "written by a newer version of this program");
    EXPECT_THROW(require_schema(readings_spec(), "enginewright.findings/1"), std::invalid_argument);
    EXPECT_THROW(require_schema(readings_spec(), "enginewright.readings/x"), std::invalid_argument);
    EXPECT_THROW(require_schema(readings_spec(), ""), std::invalid_argument);
}

TEST(Readings, AreRefusedWithTheRow)
{
    const auto said = [](std::vector<NamedColumn> columns) {
        return refusal([&] { check_readings(readings(std::move(columns))); });
    };
    EXPECT_EQ(said(bores({86.0, 86.1}, {1, 2})), "not refused");
    EXPECT_EQ(said(bores({86.0, none}, {1, 2})),
              "value or observation must be given, both are missing (row 1)");
    auto infinite = bores({86.0, 0.0}, {1, 2});
    infinite[5].column = Column::of_numbers(
        hold(std::vector<double>{86.0, std::numeric_limits<double>::infinity()}), 2);
    EXPECT_EQ(said(infinite), "value must be a finite number, got inf (row 1)");
    auto no_unit = bores({86.0}, {1});
    no_unit.pop_back();
    EXPECT_EQ(said(no_unit), "unit must be given with a value, it is missing (row 0)");
    auto no_stage = bores({86.0, 86.1}, {1, 2});
    no_stage[1].column = words_column({"as received", ""});
    EXPECT_EQ(said(no_stage), "stage must be given, it is missing (row 1)");
    EXPECT_EQ(said(bores({86.0, 86.0}, {1, -3})), "number must be at least 1, got -3 (row 1)");
    const auto grams = said(bores({86.0}, {1}, "g"));
    EXPECT_TRUE(grams.starts_with("unit must suit diameter, a length, got 'g'")) << grams;
    EXPECT_TRUE(grams.ends_with("(row 0)")) << grams;
}

TEST(Readings, MayHoldAWordInsteadOfAValue)
{
    auto columns = bores({86.0, none}, {1, 2});
    columns.push_back({"observation", words_column({"", "scored"})});
    EXPECT_NO_THROW(check_readings(readings(columns)));
    const auto rows = view(readings(columns));
    EXPECT_FALSE(rows.value.present(1));
    EXPECT_EQ(rows.observation.text(1), "scored");
}

TEST(Readings, MayHoldFeaturesAndQuantitiesOfTheShopsOwn)
{
    auto columns = bores({0.3}, {1});
    columns[2].column = words_column({"reed block"});
    columns[3].column = words_column({"petal gap"});
    EXPECT_NO_THROW(check_readings(readings(columns)));
    columns[6].column = words_column({"furlongs"});
    EXPECT_THROW(check_readings(readings(columns)), std::invalid_argument);
}

TEST(Readings, BecomeCanonicalAndStayExactWhereTheyAre)
{
    auto columns = bores({86.1, 2.5}, {1, 2});
    columns[6].column = words_column({"mm", "thou"});
    columns.push_back({"uncertainty", numbers_column({0.004, 0.1})});
    const auto table = in_canonical_units(readings(std::move(columns)));
    const auto rows = view(table);
    EXPECT_EQ(rows.value.values[0], 86.1);
    EXPECT_DOUBLE_EQ(rows.value.values[1], 0.0635);
    EXPECT_DOUBLE_EQ(rows.uncertainty.values[1], 0.00254);
    EXPECT_EQ(rows.unit.text(1), "mm");
    EXPECT_TRUE(table.is_checked());
}

TEST(Repeats, AreNumberedOnInTheirOrder)
{
    const auto found = number_repeats(readings(bores({86.0, 86.1, 86.2, 86.3}, {1, 2, 1, 1})));
    EXPECT_TRUE(found.repeat == counts_column({1, 0, 2, 3}));
    EXPECT_EQ(found.numbered, (std::vector<std::int64_t>{2, 3}));
}

TEST(Repeats, AreNumberedOnBehindThoseThatWereGiven)
{
    auto columns = bores({1, 2, 3, 4}, {1, 1, 1, 1});
    columns.push_back({"repeat", counts_column({0, 3, 0, 1})});
    // The first takes 2, because 1 is given further down; the third goes on behind 3.
    EXPECT_TRUE(number_repeats(readings(columns)).repeat == counts_column({2, 3, 4, 1}));
}

TEST(Repeats, GivenTwiceAreRefusedWithBothCells)
{
    auto columns = bores({1, 2}, {1, 1});
    columns.push_back({"repeat", counts_column({2, 2})});
    EXPECT_EQ(refusal([&] { (void)number_repeats(readings(columns)); }),
              "repeat must tell readings of the same thing apart, got 2 in both row 0 and row 1 "
              "(bore diameter)");
    columns.push_back({"sheet", same("Block", 2)});
    columns.push_back({"row", counts_column({6, 7})});
    columns.push_back({"column", counts_column({3, 3})});
    const auto said = refusal([&] { (void)number_repeats(readings(columns)); });
    EXPECT_NE(said.find("Block!C6 and Block!C7"), std::string::npos) << said;
}

TEST(Repeats, LookAtEachJobByItselfHoweverTheRowsLie)
{
    auto columns = bores({1, 2, 3, 4, 5}, {1, 1, 1, 1, 1});
    columns[0].column = words_column({"J1", "J2", "J1", "J3", "J2"});
    EXPECT_TRUE(number_repeats(readings(columns)).repeat == counts_column({1, 1, 2, 0, 2}));
}

TEST(Repeats, LeaveTheColumnAloneWhereNothingIsRepeated)
{
    auto columns = bores({1, 2}, {1, 2});
    columns.push_back({"position", numbers_column({0.0, -0.0})});
    const auto table = readings(columns);
    const auto found = number_repeats(table);
    EXPECT_TRUE(found.repeat.is_absent());
    EXPECT_TRUE(found.numbered.empty());
}

TEST(Repeats, TakeZeroAndMinusZeroForOnePosition)
{
    auto columns = bores({1, 2}, {1, 1});
    columns.push_back({"position", numbers_column({0.0, -0.0})});
    EXPECT_EQ(number_repeats(readings(columns)).numbered.size(), 1U);
}

Findings two_findings()
{
    Findings found;
    found.rows = 2;
    found.finding = {0, 1};
    found.job = {{0, 0}, {"J1"}};
    found.check = {{0, 0}, {"limits"}};
    found.verdict = {{1, 0}, {"within", "outside"}};
    found.value = {{86.12, none}};
    found.next.append("bore to 86.25 mm");
    found.next.append("");
    found.reason.append("");
    found.reason.append("");
    found.reading_offsets = {0, 2, 3};
    found.reading_rows = {0, 1, 1};
    return found;
}

TEST(Findings, MoveIntoATableWithoutCopying)
{
    auto found = two_findings();
    const auto* const values = found.value.values.data();
    Links links;
    const auto table = findings_table(std::move(found), links);
    EXPECT_EQ(table.column("value").numbers().values.data(), values);
    EXPECT_FALSE(table.column("value").present(1));
    EXPECT_EQ(table.column("verdict").words().text(0), "outside");
    EXPECT_EQ(table.column("verdict").words().words.size(), 4U);
    EXPECT_TRUE(table.column("axis").is_absent());
    EXPECT_EQ(links.of(0).size(), 2U);
}

TEST(Findings, ComeBackOutOfATable)
{
    Links links;
    const auto table = findings_table(two_findings(), links);
    Links again;
    const auto back = findings_table(table_findings(table, links, {{.job = "J1"}}), again);
    EXPECT_TRUE(back == table);
    EXPECT_EQ(again, links);
}

TEST(Findings, NameEveryCellTheyRestOn)
{
    auto columns = bores({86.0, 86.1}, {1, 2});
    columns.push_back({"sheet", same("Block", 2)});
    columns.push_back({"row", counts_column({6, 0})});
    columns.push_back({"column", counts_column({3, 0})});
    Links links;
    (void)findings_table(two_findings(), links);
    const auto cells = basis(links, readings(columns));
    EXPECT_EQ(cells.texts().text(0), "Block!C6, reading 2");
    EXPECT_EQ(cells.texts().text(1), "reading 2");
}

TEST(Findings, NameTheFileWhereSeveralCameTogether)
{
    auto columns = bores({86.0, 86.1}, {1, 2});
    columns.push_back({"file", words_column({"monday.csv", "friday.csv"})});
    columns.push_back({"sheet", same("Block", 2)});
    columns.push_back({"row", counts_column({6, 6})});
    columns.push_back({"column", counts_column({3, 4})});
    Links links;
    (void)findings_table(two_findings(), links);
    const auto cells = basis(links, readings(columns));
    EXPECT_EQ(cells.texts().text(0), "monday.csv:Block!C6, friday.csv:Block!D6");
    EXPECT_EQ(cells.texts().text(1), "Block!D6");
}

TEST(Vocabulary, NamesEachWordOnceAndUnitsOfQuantities)
{
    std::vector<std::string> quantities;
    for (const auto& each : vocabulary()) {
        EXPECT_EQ(each.unit.empty(), each.kind == "feature" || each.word == "spread") << each.word;
        if (each.kind != "feature") {
            quantities.push_back(each.word);
        }
    }
    std::sort(quantities.begin(), quantities.end());
    EXPECT_EQ(std::adjacent_find(quantities.begin(), quantities.end()), quantities.end());
    EXPECT_EQ(dimension_of("gap"), "length");
    EXPECT_EQ(dimension_of("bore"), "");
}

}  // namespace
}  // namespace enginewright::table
