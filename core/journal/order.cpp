#include <core/journal/entry.h>

#include <algorithm>
#include <queue>

namespace chockside::journal {

bool knew(const Entry& later, const Entry& earlier)
{
    const auto& a = later.envelope;
    const auto& b = earlier.envelope;
    if (a.author == b.author) return a.seq > b.seq;
    const auto seen = a.seen.find(b.author);
    return seen != a.seen.end() && seen->second >= b.seq;
}

namespace {

struct Lane {
    std::vector<const Entry*> entries; ///< of one author, by sequence
    std::size_t next = 0;
};

bool ready(const std::map<std::string, Lane>& lanes, const Entry& e)
{
    for (const auto& [author, seq] : e.envelope.seen) {
        const auto lane = lanes.find(author);
        if (author == e.envelope.author || lane == lanes.end()) continue;
        const auto& l = lane->second;
        if (l.next < l.entries.size() && l.entries[l.next]->envelope.seq <= seq) return false;
    }
    return true;
}

} // namespace

std::vector<const Entry*> causal_order(const std::vector<Entry>& entries)
{
    std::map<std::string, Lane> lanes;
    for (const Entry& e : entries) lanes[e.envelope.author].entries.push_back(&e);
    for (auto& [author, lane] : lanes)
        std::sort(lane.entries.begin(), lane.entries.end(), [](const Entry* a, const Entry* b) {
            return a->envelope.seq != b->envelope.seq ? a->envelope.seq < b->envelope.seq : a->hash < b->hash;
        });
    std::vector<const Entry*> order;
    order.reserve(entries.size());
    while (order.size() < entries.size()) {
        Lane* take = nullptr;
        Lane* first = nullptr; // a circle can only be damage: break it at the smallest author
        for (auto& [author, lane] : lanes) {
            if (lane.next >= lane.entries.size()) continue;
            if (!first) first = &lane;
            if (ready(lanes, *lane.entries[lane.next])) {
                take = &lane;
                break;
            }
        }
        if (!take) take = first;
        order.push_back(take->entries[take->next++]);
    }
    return order;
}

} // namespace chockside::journal
