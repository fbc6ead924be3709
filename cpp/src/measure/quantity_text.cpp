#include "enginewright/measure/quantity_text.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace enginewright::measure {

namespace {

using Json = nlohmann::ordered_json;
using Shape = QuantityColumn::Shape;

Json freedom_json(double freedom)
{
    return freedom == infinite_freedom ? Json(nullptr) : Json(freedom);
}

Json source_json(const std::string& name, Json contribution, double freedom, Kind kind, bool common)
{
    return {{"source", name},
            {"contribution", std::move(contribution)},
            {"degrees_of_freedom", freedom_json(freedom)},
            {"kind", std::string(word(kind))},
            {"common", common}};
}

/// Nested lists of a shape from values that are counted row by row.
template <class Value>
Json nested(const Shape& shape, std::size_t axis, std::size_t& next, const Value& value)
{
    if (axis == shape.size()) {
        return value(next++);
    }
    Json list = Json::array();
    for (std::ptrdiff_t i = 0; i < shape[axis]; ++i) {
        list.push_back(nested(shape, axis + 1, next, value));
    }
    return list;
}

template <class Value>
Json nested(const Shape& shape, const Value& value)
{
    std::size_t next = 0;
    return nested(shape, 0, next, value);
}

/// Own sources that are members i of one family, in order: the short form.
bool is_family(const OwnSources& own) { return !own.each && own.first == 0; }

Json own_json(const OwnSources& own, const Shape& shape, const Sources& sources)
{
    const auto amounts = nested(shape, [&](std::size_t i) { return Json(own.amount[i]); });
    if (is_family(own)) {
        return source_json(sources.name(own.family), amounts,
                           sources.degrees_of_freedom(own.family), Sources::kind(own.family),
                           false);
    }
    const auto listed = [&](const auto& value) {
        return nested(shape, [&](std::size_t i) {
            return own.amount[i] == 0 ? Json(nullptr) : value(own.source(i));
        });
    };
    return {{"source", listed([&](std::uint64_t s) { return Json(sources.name(s)); })},
            {"contribution", amounts},
            {"degrees_of_freedom",
             listed([&](std::uint64_t s) { return freedom_json(sources.degrees_of_freedom(s)); })},
            {"kind",
             listed([&](std::uint64_t s) { return Json(std::string(word(Sources::kind(s)))); })},
            {"common", false}};
}

[[noreturn]] void refuse_text(const std::string& rule) { refuse_all("quantity", rule); }

/// A member of an object, refused by name when it is missing.
const Json& member_of(const Json& object, const char* name)
{
    if (!object.is_object() || !object.contains(name)) {
        refuse_text(std::string("have an entry '") + name + "', got none");
    }
    return object.at(name);
}

double number_in(const Json& json, const char* name)
{
    if (!json.is_number()) {
        refuse_text(std::string("have numbers in '") + name + "', got " + json.dump());
    }
    const auto value = json.get<double>();
    require_finite(name, value);
    return value;
}

double freedom_in(const Json& json)
{
    return json.is_null() ? infinite_freedom : number_in(json, "degrees_of_freedom");
}

Kind kind_in(const Json& json)
{
    if (!json.is_string()) {
        refuse_text("have words in 'kind', got " + json.dump());
    }
    return from_word<Kind>("kind", json.get_ref<const std::string&>());
}

/// Shape of nested lists; their lengths must agree.
Shape shape_of(const Json& json)
{
    Shape shape;
    for (const Json* at = &json; at->is_array(); at = &at->front()) {
        shape.push_back(static_cast<std::ptrdiff_t>(at->size()));
        if (at->empty()) {
            break;
        }
    }
    return shape;
}

void flatten(const Json& json, const Shape& shape, std::size_t axis, std::vector<const Json*>& out)
{
    if (axis == shape.size()) {
        out.push_back(&json);
        return;
    }
    if (!json.is_array() || static_cast<std::ptrdiff_t>(json.size()) != shape[axis]) {
        refuse_text("have lists of one shape");
    }
    for (const auto& each : json) {
        flatten(each, shape, axis + 1, out);
    }
}

std::vector<const Json*> flat(const Json& json, const Shape& shape)
{
    std::vector<const Json*> out;
    flatten(json, shape, 0, out);
    return out;
}

Eigen::ArrayXd numbers_in(const Json& json, const Shape& shape, const char* name)
{
    const auto all = flat(json, shape);
    Eigen::ArrayXd out(static_cast<Eigen::Index>(all.size()));
    for (std::size_t i = 0; i < all.size(); ++i) {
        out[static_cast<Eigen::Index>(i)] = number_in(*all[i], name);
    }
    return out;
}

/// Reads the sources of one document.
struct Reader {
    Document& document;
    Sources& sources;

    std::uint64_t source(const Json& json, double freedom, Kind kind) const
    {
        if (!json.is_string()) {
            refuse_text("have names in 'source', got " + json.dump());
        }
        const auto& name = json.get_ref<const std::string&>();
        if (!name.starts_with('#')) {
            return sources.named(name, freedom, kind);
        }
        const auto open = name.find('[');
        const std::string family = name.substr(0, open);
        const auto known = document.find(family);
        const std::uint64_t found =
            known != document.end() ? known->second : sources.unnamed(freedom, kind);
        sources.require_same(found, freedom, kind);
        document.insert_or_assign(family, found);
        return open == std::string::npos ? found : Sources::member(found, index_in(name, open + 1));
    }

    static std::size_t index_in(const std::string& name, std::size_t from)
    {
        std::size_t index = 0;
        std::size_t at = from;
        for (; at < name.size() && name[at] >= '0' && name[at] <= '9' && at < from + 8; ++at) {
            index = index * 10 + static_cast<std::size_t>(name[at] - '0');
        }
        if (at == from || at + 1 != name.size() || name[at] != ']') {
            refuse_text("name unnamed sources '#1' or '#1[2]', got '" + name + "'");
        }
        return index;
    }

    Quantity scalar(const Json& json) const
    {
        std::vector<Contribution> all;
        for (const auto& each : member_of(json, "sources")) {
            const double freedom = freedom_in(member_of(each, "degrees_of_freedom"));
            const Kind kind = kind_in(member_of(each, "kind"));
            all.push_back({source(member_of(each, "source"), freedom, kind),
                           number_in(member_of(each, "contribution"), "contribution")});
        }
        return {number_in(member_of(json, "value"), "value"), all};
    }

    QuantityColumn listed(const Json& json, const Shape& shape, Eigen::ArrayXd amounts) const
    {
        const auto names = flat(member_of(json, "source"), shape);
        const auto freedoms = flat(member_of(json, "degrees_of_freedom"), shape);
        const auto kinds = flat(member_of(json, "kind"), shape);
        std::vector<std::uint64_t> ids(names.size(), 0);
        OwnSources own{.least = ~std::uint64_t{0}};
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (names[i]->is_null()) {
                amounts[static_cast<Eigen::Index>(i)] = 0;
                continue;
            }
            ids[i] = source(*names[i], freedom_in(*freedoms[i]), kind_in(*kinds[i]));
            own.least = std::min(own.least, ids[i]);
            own.greatest = std::max(own.greatest, ids[i]);
        }
        own.each = std::make_shared<const std::vector<std::uint64_t>>(std::move(ids));
        own.amount = Series(std::move(amounts));
        const auto size = static_cast<Eigen::Index>(names.size());
        return {Eigen::ArrayXd::Zero(size), shape, {}, {own}};
    }

    QuantityColumn one_source(const Json& json, const Shape& shape, Eigen::Index size) const
    {
        const Json& common = member_of(json, "common");
        if (!common.is_boolean()) {
            refuse_text("have true or false in 'common', got " + common.dump());
        }
        Eigen::ArrayXd amounts = numbers_in(member_of(json, "contribution"), shape, "contribution");
        if (member_of(json, "source").is_array()) {
            return listed(json, shape, std::move(amounts));
        }
        const auto id = source(json.at("source"), freedom_in(member_of(json, "degrees_of_freedom")),
                               kind_in(member_of(json, "kind")));
        return {Eigen::ArrayXd::Zero(size), shape, Series(std::move(amounts)), id,
                common.get<bool>()};
    }

    QuantityColumn column(const Json& json, const Shape& shape) const
    {
        const Json& values = member_of(json, "value");
        QuantityColumn out(numbers_in(values, shape, "value"), shape);
        for (const auto& each : member_of(json, "sources")) {
            const QuantityColumn next = one_source(each, shape, out.values().size());
            out = combine(out.values(), 1.0, out, 1.0, next);
        }
        return out;
    }
};

}  // namespace

std::string quantity_to_json(const Quantity& quantity, const Sources& sources)
{
    Json list = Json::array();
    for (const auto& each : quantity.contributions()) {
        list.push_back(source_json(sources.name(each.source), each.amount,
                                   sources.degrees_of_freedom(each.source),
                                   Sources::kind(each.source), true));
    }
    return Json{{"value", quantity.value()}, {"sources", std::move(list)}}.dump();
}

std::string column_to_json(const QuantityColumn& column, const Sources& sources)
{
    const auto& shape = column.shape();
    const auto lists = [&](const auto& series) {
        return nested(shape, [&](std::size_t i) { return Json(series[i]); });
    };
    Json list = Json::array();
    for (const auto& each : column.common()) {
        list.push_back(source_json(sources.name(each.source), lists(each.amount),
                                   sources.degrees_of_freedom(each.source),
                                   Sources::kind(each.source), true));
    }
    for (const auto& each : column.own()) {
        list.push_back(own_json(each, shape, sources));
    }
    return Json{{"value", lists(Series(column.values()))}, {"sources", std::move(list)}}.dump();
}

std::variant<Quantity, QuantityColumn> quantity_from_json(std::string_view text, Document& document,
                                                          Sources& sources)
{
    const Json json = Json::parse(text, nullptr, false);
    if (json.is_discarded()) {
        refuse_text("be written as JSON");
    }
    if (!member_of(json, "sources").is_array()) {
        refuse_text("have a list in 'sources'");
    }
    const Reader reader{document, sources};
    const Shape shape = shape_of(member_of(json, "value"));
    if (shape.empty()) {
        return reader.scalar(json);
    }
    return reader.column(json, shape);
}

}  // namespace enginewright::measure
