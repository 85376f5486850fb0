#include <core/job/detail/describe.h>
#include <core/job/disputes.h>

namespace chockside::job {

namespace {

/// "pulled, says LK; in, says JR"
std::string accounts(const Register& told, const auto& words)
{
    std::string all;
    for (const auto& w : told.writes) all += (all.empty() ? "" : "; ") + words(w.value) + ", says " + (w.stamp.person.empty() ? "somebody" : w.stamp.person);
    return all;
}

std::string plain(const std::string& value)
{
    return value.empty() ? "not told" : value;
}

DisputeLine of_a_thing(const profile::Profile& p, const std::string& id, const std::string& verb, const std::string& thing, const std::map<std::string, Register>& all)
{
    const auto told = all.find(thing);
    const std::string counts = verb == "breaker" ? "Until then it counts as in for who works behind it, and as out for the release." : "Until then it counts as open.";
    return {id, detail::label_of(p, verb, thing), told == all.end() ? "" : accounts(told->second, plain), "Look at it and record how it stands. " + counts};
}

constexpr const char* void_wrong = "Void the wrong one in the journal.";

DisputeLine line_of(const profile::Profile& p, const JobState& s, const std::string& id)
{
    const auto colon = id.find(':');
    const std::string kind = id.substr(0, colon), of = colon == std::string::npos ? "" : id.substr(colon + 1);
    if (kind == "breaker") return of_a_thing(p, id, "breaker", of, s.breakers);
    if (kind == "plug") return of_a_thing(p, id, "plug", of, s.plugs);
    if (kind == "finding") return {id, "The finding", accounts(s.finding, plain), void_wrong};
    if (kind == "part") return {id, "The part that was changed", accounts(s.part_told, plain), void_wrong};
    if (kind == "sign") return {id, "Signed twice", "Two people signed the same, each without the other's.", "One of them withdraws the signature in the journal."};
    return {id, "Signature of " + of, "One person signed with two keys, or two with one.", "The shop looks at who signed; one signature is withdrawn."};
}

} // namespace

std::vector<DisputeLine> disputes(const profile::Profile& p, const JobState& s)
{
    std::vector<DisputeLine> lines;
    for (const std::string& id : s.contradictions) lines.push_back(line_of(p, s, id));
    return lines;
}

} // namespace chockside::job
