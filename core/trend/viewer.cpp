#include <core/trend/viewer.h>

#include <algorithm>

namespace chockside::trend {

using Do = Ask::Do;

Seen Viewer::answer(const Ask& ask)
{
    if (ask.columns > 0) columns_ = std::min(ask.columns, 100'000);
    if (!ask.lanes.empty()) {
        lanes_.clear();
        for (const std::string& name : ask.lanes)
            if (const auto id = trend_.id(name)) lanes_.push_back(*id);
    }
    move(ask);
    Seen searched;
    if (ask.what == Do::later || ask.what == Do::earlier) search(ask, searched);
    Seen seen = look(ask.what);
    seen.none = searched.none;
    seen.refused = std::move(searched.refused);
    seen.damaged |= searched.damaged;
    return seen;
}

void Viewer::grew()
{
    if (view_.window().frozen) return;
    whole_ ? view_.show_all() : view_.refresh();
}

void Viewer::move(const Ask& ask)
{
    switch (ask.what) {
    case Do::look: return;
    case Do::back: view_.scrub(-ask.share); break;
    case Do::forth: view_.scrub(ask.share); break;
    case Do::closer: view_.zoom(0.5, ask.share); break;
    case Do::wider: view_.zoom(2, ask.share); break;
    case Do::all: view_.show_all(); break;
    case Do::hold: return view_.freeze();
    case Do::follow: return view_.follow();
    case Do::go: view_.go(ask.share); break;
    case Do::later:
    case Do::earlier: break;
    }
    whole_ = ask.what == Do::all;
}

std::int64_t Viewer::search_from(bool earlier) const
{
    const auto& w = view_.window();
    if (match_ && match_->at.t_ns >= w.from_ns && match_->at.t_ns < w.to_ns) return match_->at.t_ns;
    return earlier ? w.to_ns : w.from_ns - 1;
}

void Viewer::search(const Ask& ask, Seen& seen)
{
    const bool earlier = ask.what == Do::earlier;
    // Another question begins at the window, not at the answer of the last one.
    if (match_ && (match_->name != ask.searched || wanted_ != ask.wanted)) match_.reset();
    wanted_ = ask.wanted;
    const auto wanted = read_wanted(ask.wanted);
    const auto id = trend_.id(ask.searched);
    if (!wanted) return void(seen.refused = wanted.error());
    if (!id) return void(seen.refused = Problem{"unknown_series", ask.searched, {}});
    const auto found = earlier ? view_.find_back(*id, *wanted, search_from(true)) : view_.find(*id, *wanted, search_from(false));
    if (!found) return void(seen.refused = found.error());
    seen.none = !found->found;
    seen.damaged = !found->damage.empty();
    const Series& s = trend_.series()[*id];
    if (found->found) match_ = Match{s.name, s.unit, found->found->at, found->found->until_ns, s.boolean};
}

Seen Viewer::look(Do what) const
{
    Seen seen;
    seen.answered = what;
    seen.window = view_.window();
    seen.frozen_at_ns = view_.frozen_at_ns();
    seen.all = trend_.range();
    seen.match = match_;
    for (std::size_t i = 0; i < trend_.series().size(); ++i) {
        const Series& s = trend_.series()[i];
        if (const auto n = trend_.count(static_cast<SeriesId>(i))) seen.known.push_back({s.name, s.unit, s.boolean, n});
    }
    if (!seen.all) return seen;
    for (const SeriesId id : lanes_) {
        auto plot = view_.plot(id, columns_);
        if (!plot) return seen.refused = plot.error(), seen;
        const Series& s = trend_.series()[id];
        seen.damaged |= !plot->whole();
        seen.lanes.push_back({s.name, s.unit, s.boolean, std::move(*plot)});
    }
    return seen;
}

} // namespace chockside::trend
