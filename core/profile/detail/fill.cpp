#include <core/profile/detail/fill.h>

#include <algorithm>
#include <charconv>

namespace chockside::profile {

const Key* Shape::key(const std::string& wanted) const
{
    for (const Key& k : keys)
        if (k.name == wanted) return &k;
    return nullptr;
}

const std::string& Text::in(const std::string& language) const
{
    static const std::string none;
    auto found = by_language.find(language);
    if (found == by_language.end()) found = by_language.find("en");
    return found == by_language.end() ? none : found->second;
}

} // namespace chockside::profile

namespace chockside::profile::detail {

std::optional<std::uint64_t> code_of(const std::string& text)
{
    const bool hex = text.size() > 2 && text[0] == '0' && (text[1] == 'x' || text[1] == 'X');
    const char* first = text.data() + (hex ? 2 : 0);
    const char* last = text.data() + text.size();
    std::uint64_t v = 0;
    const auto read = std::from_chars(first, last, v, hex ? 16 : 10);
    return read.ec == std::errc{} && read.ptr == last ? std::optional(v) : std::nullopt;
}

std::optional<std::uint64_t> code_of(const Node& n)
{
    if (n.kind == Node::Kind::text) return code_of(n.text);
    if (n.kind == Node::Kind::whole && n.integer >= 0) return static_cast<std::uint64_t>(n.integer);
    return std::nullopt;
}

std::optional<framing::CrcValue> wide_code_of(const Node& n)
{
    const std::string& text = n.text;
    if (n.kind != Node::Kind::text || text.size() <= 18 || text.size() > 34 || text[0] != '0' || (text[1] != 'x' && text[1] != 'X')) return code_of(n);
    const std::size_t high = text.size() - 18;
    const auto top = code_of("0x" + text.substr(2, high)), low = code_of("0x" + text.substr(2 + high));
    if (!top || !low) return std::nullopt;
    return framing::CrcValue{*top} << 64 | *low;
}

std::string bare(const std::string& reference)
{
    const std::size_t colon = reference.find(':');
    return colon == std::string::npos ? reference : reference.substr(colon + 1);
}

namespace {

/// A number outside of its limits was complained of and is not believed: whoever counts with it needs not ask again.
bool believed(const Type& type, const Node& n)
{
    if (type.kind == Type::Kind::either) return std::any_of(type.any.begin(), type.any.end(), [&](const Type& t) { return believed(t, n); });
    if (type.kind != Type::Kind::whole && type.kind != Type::Kind::real) return type.kind != Type::Kind::object || n.kind == Node::Kind::object;
    return n.is_number() && ((type.low == 0 && type.high == 0) || (n.number >= type.low && n.number <= type.high));
}

} // namespace

void fill_object(const Shape& shape, void* object, const Node& n)
{
    for (const Member& m : n.members)
        if (const Key* key = shape.key(m.key); key && key->put && believed(key->type, m.value)) key->put(object, m.value);
}

void read(std::string& out, const Node& n)
{
    if (n.kind == Node::Kind::text) out = n.text;
}

void read(double& out, const Node& n)
{
    if (n.is_number()) out = n.number;
}

void read(int& out, const Node& n)
{
    if (const auto v = code_of(n)) out = static_cast<int>(*v);
    else if (n.kind == Node::Kind::whole) out = static_cast<int>(n.integer);
}

void read(std::uint64_t& out, const Node& n)
{
    if (const auto v = code_of(n)) out = *v;
}

void read(framing::CrcValue& out, const Node& n)
{
    if (const auto v = wide_code_of(n)) out = *v;
}

void read(std::uint32_t& out, const Node& n)
{
    if (const auto v = code_of(n)) out = static_cast<std::uint32_t>(*v);
}

void read(bool& out, const Node& n)
{
    if (n.kind == Node::Kind::boolean) out = n.truth;
    if (n.kind == Node::Kind::text) out = n.text == "on";
}

void read(Text& out, const Node& n)
{
    if (n.kind == Node::Kind::text) out.by_language["en"] = n.text;
    for (const Member& m : n.members)
        if (m.value.kind == Node::Kind::text) out.by_language[m.key] = m.value.text;
}

void read(Bytes& out, const Node& n)
{
    if (n.kind == Node::Kind::text) out = from_hex(n.text).value_or(Bytes{});
}

void read(std::pair<double, double>& out, const Node& n)
{
    if (n.items.size() != 2) return;
    read(out.first, n.items[0]);
    read(out.second, n.items[1]);
}

// ---- types --------------------------------------------------------------------------------------------------------------------

namespace {

Type of_kind(Type::Kind kind)
{
    Type t;
    t.kind = kind;
    return t;
}

} // namespace

Type text_type() { return of_kind(Type::Kind::text); }
Type boolean_type() { return of_kind(Type::Kind::boolean); }
Type code_type() { return of_kind(Type::Kind::code); }
Type wide_code_type() { return of_kind(Type::Kind::wide_code); }
Type says_type() { return of_kind(Type::Kind::says); }
Type any_real() { return of_kind(Type::Kind::real); }

Type words_type(std::vector<std::string> words)
{
    Type t = of_kind(Type::Kind::text);
    t.words = std::move(words);
    return t;
}

Type whole_type(double low, double high)
{
    Type t = of_kind(Type::Kind::whole);
    t.low = low;
    t.high = high;
    return t;
}

Type real_type(double low, double high)
{
    Type t = of_kind(Type::Kind::real);
    t.low = low;
    t.high = high;
    return t;
}

Type reference_type(std::vector<std::string> kinds)
{
    Type t = of_kind(Type::Kind::reference);
    t.kinds = std::move(kinds);
    return t;
}

Type list_type(Type item, double least, double most)
{
    Type t = of_kind(Type::Kind::list);
    t.declares = item.declares;
    t.item = std::make_shared<Type>(std::move(item));
    t.low = least;
    t.high = most;
    return t;
}

Type map_type(Type item, std::string declares)
{
    Type t = of_kind(Type::Kind::map);
    t.item = std::make_shared<Type>(std::move(item));
    t.declares = std::move(declares);
    return t;
}

Type numbered_map(Type item)
{
    Type t = map_type(std::move(item));
    t.numbered_keys = true;
    return t;
}

Type object_type(const Shape& (*shape)(), std::string declares)
{
    Type t = of_kind(Type::Kind::object);
    t.shape = shape;
    t.declares = std::move(declares);
    return t;
}

Type either_type(std::vector<Type> any)
{
    Type t = of_kind(Type::Kind::either);
    t.any = std::move(any);
    return t;
}

Type range_type()
{
    return list_type(any_real(), 2, 2);
}

} // namespace chockside::profile::detail
