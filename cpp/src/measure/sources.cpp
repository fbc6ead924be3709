#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <shared_mutex>
#include <unordered_map>

#include "enginewright/measure/quantity.hpp"

namespace enginewright::measure {

namespace {

constexpr unsigned member_bits = 26;
constexpr std::uint64_t member_mask = (std::uint64_t{1} << member_bits) - 1;
constexpr std::uint64_t number_mask = (std::uint64_t{1} << 33U) - 1;
constexpr std::uint64_t kind_bit = std::uint64_t{1} << 63U;

std::uint64_t number_of(std::uint64_t source) { return (source >> member_bits) & number_mask; }

struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const
    {
        return std::hash<std::string_view>{}(text);
    }
};

/// `bores[3]` taken apart: family `bores`, member code 4. Anything else is its own family, code 0.
struct Parts {
    std::string_view family;
    std::uint64_t member;
};

Parts parts_of(std::string_view name)
{
    const auto open = name.rfind('[');
    if (!name.ends_with(']') || open == std::string_view::npos || open == 0) {
        return {name, 0};
    }
    const auto digits = name.substr(open + 1, name.size() - open - 2);
    const bool written_plainly =
        !digits.empty() && digits.size() <= 8 && (digits == "0" || digits.front() != '0') &&
        std::ranges::all_of(digits, [](char c) { return c >= '0' && c <= '9'; });
    if (!written_plainly) {
        return {name, 0};
    }
    std::size_t index = 0;
    for (const char digit : digits) {
        index = index * 10 + static_cast<std::size_t>(digit - '0');
    }
    return index < Sources::most_members ? Parts{name.substr(0, open), index + 1} : Parts{name, 0};
}

}  // namespace

struct Sources::Table {
    struct Card {
        std::string name{};
        double freedom = infinite_freedom;
    };
    mutable std::shared_mutex door{};
    // From 1: a source that is 0 as a number is no source.
    std::atomic<std::uint64_t> next{1};
    std::unordered_map<std::string, std::uint64_t, TextHash, std::equal_to<>> by_name{};
    std::unordered_map<std::uint64_t, Card> by_number{};

    std::uint64_t new_number()
    {
        const auto number = next.fetch_add(1, std::memory_order_relaxed);
        if (number > number_mask) {
            refuse_all("sources", "be at most 8589934592 in one table, which is full");
        }
        return number;
    }
};

namespace {

std::uint64_t freedom_code(double freedom, std::uint64_t in_table)
{
    if (std::isinf(freedom)) {
        return 0;
    }
    const bool small = freedom == std::floor(freedom) && freedom < static_cast<double>(in_table);
    return small ? static_cast<std::uint64_t>(freedom) : in_table;
}

void require_freedom(double freedom)
{
    if (!(freedom >= least_freedom)) {
        refuse("degrees_of_freedom", "at least 0.1", freedom);
    }
}

}  // namespace

Sources::Sources() : table_(std::make_unique<Table>()) {}
Sources::~Sources() = default;

Sources& Sources::shared()
{
    // Never destroyed: quantities of a script's last lines may outlive every static object.
    static Sources* const table = new Sources;
    return *table;
}

std::uint64_t Sources::named(std::string_view name, double degrees_of_freedom, Kind kind)
{
    require_freedom(degrees_of_freedom);
    if (name.empty() || name.front() == '#') {
        refuse_all("source", "be a name that is not empty and does not begin with '#', got '" +
                                 std::string(name) + "'");
    }
    const Parts parts = parts_of(name);
    const auto known = [&]() -> std::optional<std::uint64_t> {
        const auto found = table_->by_name.find(parts.family);
        return found == table_->by_name.end() ? std::nullopt : std::optional(found->second);
    };
    std::optional<std::uint64_t> family;
    {
        const std::shared_lock reading(table_->door);
        family = known();
    }
    if (!family) {
        const std::unique_lock writing(table_->door);
        family = known();
        if (!family) {
            const auto number = table_->new_number();
            family = (kind == Kind::a ? kind_bit : 0) |
                     freedom_code(degrees_of_freedom, freedom_in_table) << freedom_shift |
                     number << member_bits;
            table_->by_name.emplace(parts.family, *family);
            table_->by_number.emplace(number,
                                      Table::Card{std::string(parts.family), degrees_of_freedom});
        }
    }
    require_same(*family, degrees_of_freedom, kind);
    return *family | parts.member;
}

void Sources::require_same(std::uint64_t source, double freedom, Kind kind) const
{
    const double known = degrees_of_freedom(source);
    if (known != freedom) {
        refuse("degrees_of_freedom",
               number_text(known) + ", as source '" + name(source) + "' has had so far", freedom);
    }
    if (Sources::kind(source) != kind) {
        refuse_all("kind", std::string("be ")
                               .append(word(Sources::kind(source)))
                               .append(", as source '")
                               .append(name(source))
                               .append("' has had so far, got ")
                               .append(word(kind)));
    }
}

std::uint64_t Sources::unnamed(double degrees_of_freedom, Kind kind)
{
    require_freedom(degrees_of_freedom);
    const auto number = table_->new_number();
    const auto code = freedom_code(degrees_of_freedom, freedom_in_table);
    if (code == freedom_in_table) {
        const std::unique_lock writing(table_->door);
        table_->by_number.emplace(number, Table::Card{{}, degrees_of_freedom});
    }
    return (kind == Kind::a ? kind_bit : 0) | code << freedom_shift | number << member_bits;
}

std::uint64_t Sources::member(std::uint64_t family, std::size_t index)
{
    if (index >= most_members) {
        refuse_all("value", "have at most " + std::to_string(most_members) +
                                " elements when each has a source of its own");
    }
    return (family & ~member_mask) | (index + 1);
}

std::uint64_t Sources::family(std::uint64_t source) { return source & ~member_mask; }

std::string Sources::name(std::uint64_t source) const
{
    const auto number = number_of(source);
    std::string text;
    {
        const std::shared_lock reading(table_->door);
        const auto card = table_->by_number.find(number);
        if (card != table_->by_number.end()) {
            text = card->second.name;
        }
    }
    if (text.empty()) {
        text = "#" + std::to_string(number);
    }
    const auto member = source & member_mask;
    return member == 0 ? text : element_name(text, static_cast<std::size_t>(member - 1));
}

bool Sources::is_unnamed(std::uint64_t source) const
{
    const std::shared_lock reading(table_->door);
    const auto card = table_->by_number.find(number_of(source));
    return card == table_->by_number.end() || card->second.name.empty();
}

std::uint64_t Sources::number(std::uint64_t source) { return number_of(source); }

std::uint64_t Sources::count() const { return table_->next.load(std::memory_order_relaxed); }

double Sources::freedom_from_table(std::uint64_t source) const
{
    const std::shared_lock reading(table_->door);
    const auto card = table_->by_number.find(number_of(source));
    if (card == table_->by_number.end()) {
        refuse_all("sources", "be the table that the quantity was made with");
    }
    return card->second.freedom;
}

}  // namespace enginewright::measure
