#include <core/profile/detail/node.h>

#include <charconv>
#include <cmath>

namespace chockside::profile::detail {

const Node* Node::member(std::string_view key) const
{
    for (const Member& m : members)
        if (m.key == key) return &m.value;
    return nullptr;
}

std::string below(const std::string& pointer, std::string_view part)
{
    std::string out = pointer + "/";
    for (char c : part) {
        if (c == '~')
            out += "~0";
        else if (c == '/')
            out += "~1";
        else
            out += c;
    }
    return out;
}

namespace {

std::string unescape(std::string_view part)
{
    std::string out;
    for (std::size_t i = 0; i < part.size(); ++i) {
        const bool escaped = part[i] == '~' && i + 1 < part.size();
        out += !escaped ? part[i] : part[i + 1] == '1' ? '/' : '~';
        if (escaped) ++i;
    }
    return out;
}

const Node* child(const Node& n, const std::string& part)
{
    if (n.kind == Node::Kind::object) return n.member(part);
    std::size_t index = 0;
    const auto [stop, error] = std::from_chars(part.data(), part.data() + part.size(), index);
    if (n.kind != Node::Kind::list || error != std::errc{} || stop != part.data() + part.size()) return nullptr;
    return index < n.items.size() ? &n.items[index] : nullptr;
}

} // namespace

const Node& locate(const Node& root, std::string_view pointer)
{
    const Node* at = &root;
    while (!pointer.empty()) {
        pointer.remove_prefix(1);
        const std::string_view part = pointer.substr(0, pointer.find('/'));
        pointer.remove_prefix(part.size());
        const Node* next = child(*at, unescape(part));
        if (!next) break;
        at = next;
    }
    return *at;
}

} // namespace chockside::profile::detail
