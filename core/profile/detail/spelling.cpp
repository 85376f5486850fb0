#include <core/profile/detail/check.h>

#include <core/profile/detail/fill.h>

#include <algorithm>
#include <numeric>

namespace chockside::profile::detail {

using Kind = Type::Kind;

namespace {

std::size_t distance(const std::string& a, const std::string& b)
{
    // Levenshtein, one row; two letters exchanged count two, which is near enough.
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t changed = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, changed});
        }
    }
    return row.back();
}

} // namespace

std::string nearest(const std::string& word, const std::vector<std::string>& list)
{
    std::string best;
    std::size_t least = std::max<std::size_t>(2, word.size() / 3) + 1;
    for (const std::string& candidate : list) {
        const std::size_t d = distance(word, candidate);
        if (d < least && d < candidate.size()) {
            least = d;
            best = candidate;
        }
    }
    return best;
}

std::string name_of(const Type& t)
{
    switch (t.kind) {
    case Kind::text: return "text";
    case Kind::whole: return "whole_number";
    case Kind::real: return "number";
    case Kind::boolean: return "true_or_false";
    case Kind::code:
    case Kind::wide_code: return "code";
    case Kind::says: return "words";
    case Kind::reference: return "reference";
    case Kind::list: return "list";
    case Kind::map:
    case Kind::object: return "object";
    case Kind::nothing_more: return "anything";
    case Kind::either: break;
    }
    std::string all;
    for (const Type& any : t.any) all += (all.empty() ? "" : "_or_") + name_of(any);
    return all;
}

bool fits(const Type& t, const Node& n)
{
    using N = Node::Kind;
    switch (t.kind) {
    case Kind::text:
    case Kind::reference: return n.kind == N::text;
    case Kind::whole: return n.kind == N::whole;
    case Kind::real: return n.is_number();
    case Kind::boolean: return n.kind == N::boolean;
    case Kind::code: return code_of(n).has_value();
    case Kind::wide_code: return wide_code_of(n).has_value();
    case Kind::says:
        return n.kind == N::text
            || (n.kind == N::object && !n.members.empty()
                && std::all_of(n.members.begin(), n.members.end(), [](const Member& m) { return m.value.kind == N::text; }));
    case Kind::list: return n.kind == N::list;
    case Kind::map:
    case Kind::object: return n.kind == N::object;
    case Kind::either: return std::any_of(t.any.begin(), t.any.end(), [&](const Type& any) { return fits(any, n); });
    case Kind::nothing_more: return true;
    }
    return false;
}

} // namespace chockside::profile::detail
