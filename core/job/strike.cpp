#include <core/job/strike.h>

#include <algorithm>
#include <set>

namespace chockside::job {

namespace {

/// What the line said, what the shop wrote and what holds the job together stands as it came.
bool of_a_person(const std::string& kind)
{
    static const std::set<std::string> kinds{"answer", "did", "presence", "finding", "repair", "part", "owed", "swing_point", "swing_result", "photo", "note", "sign", "defer"};
    return kinds.contains(kind);
}

} // namespace

const Sign* sign_of(const JobState& s, const Line& line)
{
    for (const auto& [meaning, sign] : s.signs)
        if (line.kind == "sign" && sign.stamp.hash == line.stamp.hash) return &sign;
    return nullptr;
}

std::size_t signed_upto(const JobState& s)
{
    const auto last = std::find_if(s.lines.rbegin(), s.lines.rend(), [&](const Line& line) { return sign_of(s, line); });
    return static_cast<std::size_t>(s.lines.rend() - last);
}

Status may_strike(const JobState& s, std::size_t at, std::size_t upto)
{
    const Line& line = s.lines[at];
    if (s.closed) return fail("already_closed", s.job);
    if (line.amended) return fail("struck_already", line.stamp.hash);
    if (!of_a_person(line.kind) || (line.kind == "sign" && !sign_of(s, line))) return fail("entry_stands", line.stamp.hash);
    if (at + 1 < upto) return fail("signed_over", line.stamp.hash, {{"who", s.lines[upto - 1].stamp.person}});
    return {};
}

} // namespace chockside::job
