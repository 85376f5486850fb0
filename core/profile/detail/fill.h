#pragma once
// From a checked node to a value of the model. A node of the wrong kind leaves the value alone: the check has complained already.

#include <core/profile/detail/node.h>
#include <core/profile/model.h>
#include <core/profile/shape.h>

#include <concepts>

namespace chockside::profile::detail {

/// The shape that describes T; one specialisation beside each table.
template <class T>
const Shape& shape_of();

template <> const Shape& shape_of<SourceRef>();
template <> const Shape& shape_of<SourceDocument>();
template <> const Shape& shape_of<Said>();
template <> const Shape& shape_of<SettleRule>();
template <> const Shape& shape_of<Timings>();
template <> const Shape& shape_of<Line>();
template <> const Shape& shape_of<Checksum>();
template <> const Shape& shape_of<Framing>();
template <> const Shape& shape_of<Field>();
template <> const Shape& shape_of<When>();
template <> const Shape& shape_of<Frame>();
template <> const Shape& shape_of<Word>();
template <> const Shape& shape_of<Request>();
template <> const Shape& shape_of<Paging>();
template <> const Shape& shape_of<Session>();
template <> const Shape& shape_of<StoredFaults>();
template <> const Shape& shape_of<Discrete>();
template <> const Shape& shape_of<Unit>();
template <> const Shape& shape_of<Hazard>();
template <> const Shape& shape_of<Breaker>();
template <> const Shape& shape_of<Plug>();
template <> const Shape& shape_of<Panel>();
template <> const Shape& shape_of<Temporary>();
template <> const Shape& shape_of<Place>();
template <> const Shape& shape_of<Wire>();
template <> const Shape& shape_of<Step>();
template <> const Shape& shape_of<Cause>();
template <> const Shape& shape_of<WiringCause>();
template <> const Shape& shape_of<Check>();
template <> const Shape& shape_of<Gate>();
template <> const Shape& shape_of<Repair>();
template <> const Shape& shape_of<Owed>();
template <> const Shape& shape_of<Swing>();
template <> const Shape& shape_of<profile::Complaint>();
template <> const Shape& shape_of<Decision>();
template <> const Shape& shape_of<Tolerance>();
template <> const Shape& shape_of<Installation>();

/// "0x1F", "31" or 31.
std::optional<std::uint64_t> code_of(const Node&);
std::optional<std::uint64_t> code_of(const std::string&);
/// The same, or up to 128 bits in hexadecimal.
std::optional<framing::CrcValue> wide_code_of(const Node&);
/// Without the kind in front.
std::string bare(const std::string& reference);

void fill_object(const Shape&, void* object, const Node&);

void read(std::string&, const Node&);
void read(double&, const Node&);
void read(int&, const Node&);
void read(std::uint32_t&, const Node&);
void read(bool&, const Node&);
void read(Text&, const Node&);
void read(Condition&, const Node&);
void read(Bytes&, const Node&); ///< hexadecimal text
void read(std::uint64_t&, const Node&);
void read(framing::CrcValue&, const Node&);
void read(std::pair<double, double>&, const Node&);
void read(std::pair<std::string, std::vector<std::string>>&, const Node&); ///< a test plug: where, fed_by
void read(std::vector<CheckRow>&, const Node&);

/// The closed list of words of an enumeration, in the order in which `explain` shows it.
template <class E>
const std::vector<std::pair<std::string, E>>& words_of();
template <> const std::vector<std::pair<std::string, FieldType>>& words_of<FieldType>();
template <> const std::vector<std::pair<std::string, Order>>& words_of<Order>();
template <> const std::vector<std::pair<std::string, Sign>>& words_of<Sign>();
template <> const std::vector<std::pair<std::string, Effect>>& words_of<Effect>();
template <> const std::vector<std::pair<std::string, Framing::Kind>>& words_of<Framing::Kind>();
template <> const std::vector<std::pair<std::string, StepKind>>& words_of<StepKind>();
template <> const std::vector<std::pair<std::string, CauseClass>>& words_of<CauseClass>();
template <> const std::vector<std::pair<std::string, Check::How>>& words_of<Check::How>();

template <class E>
    requires std::is_enum_v<E>
void read(E& out, const Node& n)
{
    for (const auto& [word, value] : words_of<E>())
        if (n.text == word) out = value;
}

template <class T>
    requires std::is_class_v<T>
void read(T& out, const Node& n);
template <class T>
void read(std::optional<T>& out, const Node& n);
template <class T>
void read(std::vector<T>& out, const Node& n);
template <class T>
void read(std::map<std::string, T>& out, const Node& n);
template <class K, class T>
    requires std::integral<K>
void read(std::map<K, T>& out, const Node& n);

template <class T>
    requires std::is_class_v<T>
void read(T& out, const Node& n)
{
    fill_object(shape_of<T>(), &out, n);
}

template <class T>
void read(std::optional<T>& out, const Node& n)
{
    T v{};
    read(v, n);
    out = std::move(v);
}

template <class T>
void name_it(T& item, const std::string& key)
{
    if constexpr (std::same_as<T, Frame> || std::same_as<T, Word> || std::same_as<T, Request> || std::same_as<T, Discrete>)
        item.name = key;
    else if constexpr (requires { { item.id } -> std::same_as<std::string&>; })
        item.id = key;
}

/// A list, or a map by id whose keys become the items' ids in file order.
template <class T>
void read(std::vector<T>& out, const Node& n)
{
    for (const Node& item : n.items) {
        out.emplace_back();
        read(out.back(), item);
    }
    for (const Member& m : n.members) {
        out.emplace_back();
        name_it(out.back(), m.key);
        read(out.back(), m.value);
    }
}

template <class T>
void read(std::map<std::string, T>& out, const Node& n)
{
    for (const Member& m : n.members) {
        T v{};
        name_it(v, m.key);
        read(v, m.value);
        out[m.key] = std::move(v);
    }
}

template <class K, class T>
    requires std::integral<K>
void read(std::map<K, T>& out, const Node& n)
{
    for (const Member& m : n.members) {
        const auto key = code_of(m.key);
        if (key) read(out[static_cast<K>(*key)], m.value);
    }
}

// ---- writing a table ----------------------------------------------------------------------------------------------------------

Type text_type();
Type words_type(std::vector<std::string>);
template <class E>
Type enum_type()
{
    std::vector<std::string> words;
    for (const auto& [word, value] : words_of<E>()) words.push_back(word);
    return words_type(std::move(words));
}
Type whole_type(double low, double high);
Type real_type(double low, double high);
Type any_real();
Type boolean_type();
Type code_type();
Type wide_code_type(); ///< up to 128 bits
Type says_type();
Type reference_type(std::vector<std::string> kinds);
Type list_type(Type item, double least = 0, double most = 10000);
Type map_type(Type item, std::string declares = {});
Type numbered_map(Type item);
Type object_type(const Shape& (*)(), std::string declares = {});
Type either_type(std::vector<Type>);
Type range_type(); ///< [low, high]

template <class T>
class Table {
public:
    Table(std::string name, std::string says)
    {
        shape_.name = std::move(name);
        shape_.says = std::move(says);
    }
    template <class M, class Owner>
    Table& key(const char* name, M Owner::*member, Type type, const char* says)
    {
        const bool strips = strips_kind(type);
        return with(name, std::move(type), says, [member, strips](T& object, const Node& n) {
            read(object.*member, n);
            if (strips) strip(object.*member);
        });
    }
    template <class F>
    Table& with(const char* name, Type type, const char* says, F put)
    {
        shape_.keys.push_back({name, std::move(type), false, says, [put](void* object, const Node& n) { put(*static_cast<T*>(object), n); }});
        return *this;
    }
    Table& needed()
    {
        shape_.keys.back().needed = true;
        return *this;
    }
    Shape done() { return std::move(shape_); }

private:
    static bool strips_kind(const Type& t)
    {
        const Type& inner = t.kind == Type::Kind::list ? *t.item : t;
        return inner.kind == Type::Kind::reference && inner.kinds.size() == 1;
    }
    template <class M>
    static void strip(M& value)
    {
        if constexpr (std::same_as<M, std::string>) value = bare(value);
        if constexpr (std::same_as<M, std::vector<std::string>>)
            for (std::string& v : value) v = bare(v);
    }
    Shape shape_;
};

} // namespace chockside::profile::detail
