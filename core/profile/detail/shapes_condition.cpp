// Conditions: one-key objects, joined by all, any and not. {"breaker": "ref_1", "is": "pulled"}
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_installation.h>

namespace chockside::profile::detail {

namespace {

using Kind = Condition::Kind;

struct Leaf {
    const char* key;
    Kind kind;
    std::vector<std::string> refers; ///< kinds of the id; empty: the value is the state itself
    std::vector<std::string> states; ///< of "is", or of the value
    const char* says;
};

const std::vector<Leaf>& leaves()
{
    static const std::vector<Leaf> list{
        {"breaker", Kind::breaker, {"breaker"}, {"in", "pulled", "collared", "tripped", "out"}, "A breaker's state; out is pulled or collared."},
        {"plug", Kind::plug, {"plug"}, {"connected", "disconnected"}, "A plug's state."},
        {"fitted", Kind::fitted, {"temporary"}, {"yes", "no"}, "Whether a temporary item is fitted."},
        {"dead", Kind::dead, {"plug"}, {}, "A plug proved dead since its feeds were pulled."},
        {"power", Kind::power, {}, {"on", "off"}, "Aircraft power."},
        {"self_test", Kind::self_test, {}, {"ended"}, "The unit's test."},
        {"aligned", Kind::aligned, {}, {"over"}, "The alignment."},
        {"warm_up", Kind::warm_up, {}, {"over"}, "The warm-up."},
        {"settled", Kind::settled, {"word"}, {}, "A word is steady."},
        {"session", Kind::session, {"channel"}, {}, "The ground-test session is open on a channel, or \"any\"."},
        {"link", Kind::link, {}, {"good"}, "The line is good."},
        {"done", Kind::done, {"step"}, {}, "A step is done."},
        {"answered", Kind::answered, {"check"}, {}, "A check has an answer."},
        {"opened", Kind::opened, {"panel"}, {}, "A panel is open."},
    };
    return list;
}

void read_leaf(Condition& c, const Leaf& leaf, const Node& n)
{
    c.kind = leaf.kind;
    if (leaf.refers.empty())
        read(c.is, n);
    else
        c.of = bare(n.text);
}

void read_parts(Condition& c, Kind kind, const Node& n)
{
    c.kind = kind;
    if (n.kind == Node::Kind::object) {
        c.parts.emplace_back();
        read(c.parts.back(), n);
    }
    for (const Node& item : n.items) {
        c.parts.emplace_back();
        read(c.parts.back(), item);
    }
}

Shape build()
{
    Table<Condition> table("condition", "One of the keys; \"is\" beside it where it has states.");
    const auto put = [](Kind kind) { return [kind](Condition& c, const Node& n) { read_parts(c, kind, n); }; };
    table.with("all", list_type(object_type(condition_shape), 1, 32), "All of these.", put(Kind::all));
    table.with("any", list_type(object_type(condition_shape), 1, 32), "At least one of these.", put(Kind::any));
    table.with("not", object_type(condition_shape), "Not this.", put(Kind::not_));
    std::vector<std::string> states;
    for (const Leaf& leaf : leaves()) {
        const Type type = leaf.refers.empty() ? words_type(leaf.states) : reference_type(leaf.refers);
        table.with(leaf.key, type, leaf.says, [leaf](Condition& c, const Node& n) { read_leaf(c, leaf, n); });
        if (!leaf.refers.empty()) states.insert(states.end(), leaf.states.begin(), leaf.states.end());
    }
    table.with("is", words_type(states), "The state asked for.", [](Condition& c, const Node& n) { read(c.is, n); });
    Shape shape = table.done();
    shape.one_leaf = true;
    return shape;
}

} // namespace

const Shape& condition_shape()
{
    static const Shape shape = build();
    return shape;
}

std::vector<std::string> states_of(const std::string& key)
{
    for (const Leaf& leaf : leaves())
        if (leaf.key == key && !leaf.refers.empty()) return leaf.states;
    return {};
}

void read(Condition& out, const Node& n)
{
    fill_object(condition_shape(), &out, n);
}

} // namespace chockside::profile::detail
