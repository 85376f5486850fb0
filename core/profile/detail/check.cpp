#include <core/profile/detail/check.h>

#include <core/base/json.h>
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_installation.h>

#include <algorithm>

namespace chockside::profile::detail {

using Kind = Type::Kind;

void ShapeCheck::document(const Shape& shape, const Node& root, const std::string& file, const std::string& pointer)
{
    file_ = file;
    if (root.kind != Node::Kind::object) {
        complain("wrong_kind", root.line, root.column, pointer, {{"wanted", "object"}});
        return;
    }
    object(shape, root, pointer);
}

bool ShapeCheck::declared(const std::string& kind, const std::string& id) const
{
    const auto found = ids_.find(kind);
    return found != ids_.end() && found->second.contains(id);
}

void ShapeCheck::complain(const char* code, int line, int column, const std::string& pointer, Problem::Args args, std::string mend)
{
    out_.push_back({file_, pointer, line, column, Severity::error, code, std::move(args), std::move(mend)});
}

void ShapeCheck::object(const Shape& shape, const Node& n, const std::string& pointer)
{
    for (const Member& m : n.members) {
        if (m.key.starts_with("x_")) continue;
        const std::string at = below(pointer, m.key);
        if (const Key* key = shape.key(m.key)) {
            value(key->type, m.value, at);
            continue;
        }
        std::vector<std::string> known;
        for (const Key& k : shape.keys) known.push_back(k.name);
        complain("unknown_key", m.line, m.column, at, {{"key", m.key}, {"of", shape.name}}, nearest(m.key, known));
    }
    for (const Key& k : shape.keys)
        if (k.needed && !n.member(k.name)) complain("missing_key", n.line, n.column, pointer, {{"key", k.name}, {"of", shape.name}, {"says", k.says}});
    if (shape.one_leaf) one_leaf(shape, n, pointer);
}

void ShapeCheck::one_leaf(const Shape& shape, const Node& n, const std::string& pointer)
{
    std::string leaf;
    int leaves = 0;
    for (const Member& m : n.members)
        if (m.key != "is" && shape.key(m.key)) {
            leaf = m.key;
            ++leaves;
        }
    if (leaves != 1) return complain("one_key", n.line, n.column, pointer, {{"of", shape.name}});
    const std::vector<std::string> states = states_of(leaf);
    const Node* is = n.member("is");
    const bool right = states.empty() ? !is : is && std::find(states.begin(), states.end(), is->text) != states.end();
    if (right) return;
    std::string list;
    for (const std::string& s : states) list += (list.empty() ? "" : " ") + s;
    complain("wrong_state", n.line, n.column, pointer, {{"key", leaf}, {"states", list}}, is ? nearest(is->text, states) : std::string());
}

void ShapeCheck::value(const Type& type, const Node& n, const std::string& pointer)
{
    if (type.kind == Kind::either) return either(type, n, pointer);
    if (!fits(type, n)) return wrong_kind(type, n, pointer);
    switch (type.kind) {
    case Kind::text: return text(type, n, pointer);
    case Kind::whole:
    case Kind::real: return number(type, n, pointer);
    case Kind::list: return list(type, n, pointer);
    case Kind::map: return map(type, n, pointer);
    case Kind::object: return object(type.shape(), n, pointer);
    case Kind::reference: references_.push_back({type.kinds, n.text, file_, pointer, n.line, n.column}); return;
    default: return;
    }
}

void ShapeCheck::wrong_kind(const Type& type, const Node& n, const std::string& pointer)
{
    complain("wrong_kind", n.line, n.column, pointer, {{"wanted", name_of(type)}});
}

void ShapeCheck::number(const Type& type, const Node& n, const std::string& pointer)
{
    if ((type.low == 0 && type.high == 0) || (n.number >= type.low && n.number <= type.high)) return;
    complain("number_range", n.line, n.column, pointer,
        {{"low", json::number_text(type.low)}, {"high", json::number_text(type.high)}, {"value", json::number_text(n.number)}});
}

void ShapeCheck::text(const Type& type, const Node& n, const std::string& pointer)
{
    if (type.words.empty() || std::find(type.words.begin(), type.words.end(), n.text) != type.words.end()) return;
    std::string list;
    for (const std::string& w : type.words) list += (list.empty() ? "" : " ") + w;
    complain("unknown_word", n.line, n.column, pointer, {{"word", n.text}, {"words", list}}, nearest(n.text, type.words));
}

void ShapeCheck::list(const Type& type, const Node& n, const std::string& pointer)
{
    const auto size = static_cast<double>(n.items.size());
    if (size < type.low || size > type.high)
        complain("list_length", n.line, n.column, pointer, {{"low", json::number_text(type.low)}, {"high", json::number_text(type.high)}});
    std::set<std::string> seen;
    for (std::size_t i = 0; i < n.items.size(); ++i) {
        const std::string at = below(pointer, std::to_string(i));
        const Node& item = n.items[i];
        value(*type.item, item, at);
        const Node* id = type.declares.empty() ? nullptr : item.member("id");
        if (!id) continue;
        if (!seen.insert(id->text).second) complain("duplicate_id", id->line, id->column, at, {{"id", id->text}, {"kind", type.declares}});
        declare(type.declares, id->text);
    }
}

void ShapeCheck::map(const Type& type, const Node& n, const std::string& pointer)
{
    std::set<std::uint64_t> codes;
    for (const Member& m : n.members) {
        const std::string at = below(pointer, m.key);
        if (const auto code = type.numbered_keys ? code_of(m.key) : std::nullopt; code && !codes.insert(*code).second)
            complain("duplicate_code", m.line, m.column, at, {{"key", m.key}});
        if (type.numbered_keys && !code_of(m.key)) complain("number_key", m.line, m.column, at, {{"key", m.key}});
        if (!type.declares.empty()) declare(type.declares, m.key);
        value(*type.item, m.value, at);
    }
}

// The alternative of the right kind speaks; among objects, the one whose needed keys are there.
void ShapeCheck::either(const Type& type, const Node& n, const std::string& pointer)
{
    const Type* chosen = nullptr;
    for (const Type& t : type.any) {
        if (!fits(t, n)) continue;
        chosen = &t;
        if (t.kind != Kind::object) break;
        const auto& keys = t.shape().keys;
        if (std::all_of(keys.begin(), keys.end(), [&](const Key& k) { return !k.needed || n.member(k.name); })) break;
    }
    if (chosen)
        value(*chosen, n, pointer);
    else
        wrong_kind(type, n, pointer);
}

bool ShapeCheck::resolves(const Reference& r) const
{
    const std::size_t colon = r.text.find(':');
    const std::string kind = colon == std::string::npos ? std::string() : r.text.substr(0, colon);
    std::string id = colon == std::string::npos ? r.text : r.text.substr(colon + 1);
    if (!kind.empty() && std::find(r.kinds.begin(), r.kinds.end(), kind) == r.kinds.end()) return false;
    for (const std::string& k : r.kinds) {
        if (!kind.empty() && k != kind) continue;
        if (k == "channel" && id == "any") return true;
        const std::string named = k == "frame" ? id.substr(0, id.find('.')) : id;
        if (declared(k, named)) return true;
    }
    return false;
}

void ShapeCheck::finish()
{
    for (const Reference& r : references_) {
        if (resolves(r)) continue;
        std::string kinds;
        std::vector<std::string> known;
        for (const std::string& k : r.kinds) {
            kinds += (kinds.empty() ? "" : " ") + k;
            if (const auto found = ids_.find(k); found != ids_.end()) known.insert(known.end(), found->second.begin(), found->second.end());
        }
        file_ = r.file;
        complain("dangling_reference", r.line, r.column, r.pointer, {{"reference", r.text}, {"kinds", kinds}}, nearest(bare(r.text), known));
    }
    references_.clear();
}

} // namespace chockside::profile::detail
