#include <core/watch/snapshot.h>

#include <algorithm>

namespace chockside::watch {

const char* name_of(LinkState s)
{
    static const char* names[] = {"closed", "silent", "good", "lost"};
    return names[static_cast<int>(s)];
}

const char* name_of(SessionState s)
{
    static const char* names[] = {"closed", "opening", "open", "refused", "lost", "closing"};
    return names[static_cast<int>(s)];
}

const char* name_of(DropKind k)
{
    static const char* names[] = {"missing", "validity", "edge"};
    return names[static_cast<int>(k)];
}

const char* name_of(SettleView::Word w)
{
    static const char* names[] = {"not_enough", "not_settled", "settled"};
    return names[static_cast<int>(w)];
}

const Row* LiveSnapshot::row(std::string_view name) const
{
    const auto found = std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.name == name; });
    return found == rows.end() ? nullptr : &*found;
}

std::optional<double> LiveSnapshot::value(std::string_view name) const
{
    const Row* found = row(name);
    return found && found->good() ? std::optional(found->value) : std::nullopt;
}

} // namespace chockside::watch
