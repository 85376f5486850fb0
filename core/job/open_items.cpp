#include <core/job/open_items.h>

#include <algorithm>

namespace chockside::job {

namespace {

struct Found {
    int rank;
    OpenItem item;
};

Stamp when(const JobState& s, const std::string& key)
{
    const auto found = s.changed.find(key);
    return found == s.changed.end() ? Stamp{} : found->second;
}

OpenItem item(const JobState& s, std::string id, std::string icon, std::string name, std::string closed_by, std::string detail, std::string word, Mark mark)
{
    const Stamp since = when(s, id);
    return {std::move(id), std::move(icon), name + closed_by, std::move(detail), std::move(word), mark, since.stage, since.wall, name};
}

std::string state_word(const Register& r)
{
    for (const char* worst : {"tripped", "collared", "pulled", "disconnected", "open", "yes", "off"})
        if (r.perhaps(worst)) return worst;
    return r.agreed().value_or("unknown");
}

void sessions(const JobState& s, std::vector<Found>& out)
{
    for (const auto& [channel, reg] : s.sessions)
        if (reg.perhaps("open") || reg.unknown()) out.push_back({0, item(s, "session:" + channel, "session", "Session", " closed, " + channel, "unit back in normal operation", "open", Mark::open)});
}

void temporaries(const profile::Profile& p, const JobState& s, std::vector<Found>& out)
{
    for (const auto& t : p.installation.temporaries) {
        const auto reg = s.fitted.find(t.id);
        if (reg == s.fitted.end() || !(reg->second.perhaps("yes") || reg->second.unknown())) continue;
        const int rank = t.kind == "breakout" || t.kind == "jumper" ? 1 : t.kind == "cover" ? 4 : t.kind == "cable" ? 7 : 6;
        out.push_back({rank, item(s, "fit:" + t.id, t.kind, t.label, t.kind == "switch" ? ": back to normal" : " off", at_words(p, t.at), "open", Mark::open)});
    }
}

void plugs(const profile::Profile& p, const JobState& s, std::vector<Found>& out)
{
    for (const auto& plug : p.installation.plugs)
        if (const auto reg = s.plugs.find(plug.id); reg != s.plugs.end() && (reg->second.perhaps("disconnected") || reg->second.unknown()))
            out.push_back({2, item(s, "plug:" + plug.id, "plug", plug.label, " connected, locked", plug.where, "open", Mark::open)});
}

void panels(const profile::Profile& p, const JobState& s, std::vector<Found>& out)
{
    for (const auto& panel : p.installation.panels)
        if (const auto reg = s.panels.find(panel.id); reg != s.panels.end() && (reg->second.perhaps("open") || reg->second.unknown()))
            out.push_back({3, item(s, "panel:" + panel.id, "panel", panel.label, " closed", "all fasteners", "open", Mark::open)});
}

void breakers(const profile::Profile& p, const JobState& s, std::vector<Found>& out)
{
    for (const auto& b : p.installation.breakers) {
        const auto reg = s.breakers.find(b.id);
        if (reg == s.breakers.end() || reg->second.certainly(b.normal)) continue;
        const std::string word = state_word(reg->second);
        const Mark mark = word == "collared" ? Mark::collared : word == "tripped" ? Mark::tripped : Mark::open;
        out.push_back({5, item(s, "breaker:" + b.id, "collar", b.label, word == "collared" ? " in, collar off" : " in", b.panel, word, mark)});
    }
}

} // namespace

std::string at_words(const profile::Profile& p, const std::string& at)
{
    const auto* place = profile::find(p.installation.places, at);
    return at.rfind("breaker:", 0) == 0 ? "" : place ? place->where : at;
}

std::vector<OpenItem> open_items(const profile::Profile& p, const JobState& s)
{
    std::vector<Found> found;
    sessions(s, found);
    temporaries(p, s, found);
    plugs(p, s, found);
    panels(p, s, found);
    breakers(p, s, found);
    std::stable_sort(found.begin(), found.end(), [](const Found& a, const Found& b) {
        return a.rank != b.rank ? a.rank < b.rank : a.item.since_utc_ms > b.item.since_utc_ms;
    });
    std::vector<OpenItem> items;
    for (Found& f : found) items.push_back(std::move(f.item));
    return items;
}

const profile::Temporary* in_circuit(const profile::Profile& p, const JobState& s)
{
    for (const auto& t : p.installation.temporaries) {
        const auto on = s.fitted.find(t.id);
        if ((t.kind == "breakout" || t.kind == "jumper") && on != s.fitted.end() && (on->second.perhaps("yes") || on->second.unknown())) return &t;
    }
    return nullptr;
}

const profile::Breaker* tripped_breaker(const profile::Profile& p, const OwedState& o)
{
    const std::string_view id = o.id;
    return id.starts_with(tripped_owes) ? profile::find(p.installation.breakers, std::string(id.substr(std::string_view(tripped_owes).size()))) : nullptr;
}

bool trip_unexplained(const JobState& s, const std::string& breaker)
{
    return std::any_of(s.owed.begin(), s.owed.end(), [&](const OwedState& o) { return !o.closed && o.id == tripped_owes + breaker; });
}

std::vector<std::string> owed_open(const profile::Profile& p, const JobState& s)
{
    std::vector<std::string> open;
    for (const OwedState& o : s.owed) {
        if (o.closed) continue;
        if (const auto* b = tripped_breaker(p, o)) {
            open.push_back("why " + b->label + " tripped");
            continue;
        }
        const auto row = std::find_if(p.installation.owed.begin(), p.installation.owed.end(), [&](const auto& r) { return r.id == o.id; });
        open.push_back(row == p.installation.owed.end() ? o.id : row->says.in());
    }
    return open;
}

} // namespace chockside::job
