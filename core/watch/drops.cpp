#include <core/watch/drops.h>

#include <core/watch/detail/roles.h>

#include <algorithm>

namespace chockside::watch {

namespace {

constexpr std::size_t most_kept = 200;
constexpr std::int64_t periods = 3;

/// The unit says so of itself: a warning, or data that cannot be right.
bool lost_validity(codec::Validity v)
{
    return v != codec::Validity::good && v != codec::Validity::functional_test;
}

} // namespace

DropWatch::DropWatch(const codec::Plan& plan, const detail::Roles& roles, std::int64_t least_gap_ns) : plan_(plan), roles_(roles)
{
    for (const auto& frame : plan.unit().frames) {
        const std::int64_t period = std::int64_t{frame.period_ms} * 1'000'000;
        frames_.push_back({period > 0 ? frame.name : "", std::max(periods * period, least_gap_ns), -1, 0});
    }
    const auto& all = plan.signals().all();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const bool due = roles.signals[i].word && roles.signals[i].period_ns > 0;
        words_.push_back({due ? all[i].name : "", std::max(periods * roles.signals[i].period_ns, least_gap_ns), -1, 0});
    }
    levels_.resize(all.size());
}

std::uint64_t DropWatch::begin(const std::string& signal, DropKind kind, std::int64_t t_ns)
{
    latest_.push_back({signal, kind, t_ns, t_ns, false, place_});
    if (latest_.size() > most_kept) latest_.pop_front();
    ++counts_[signal];
    moments_.push_back({t_ns, true});
    return ++made_;
}

void DropWatch::end(std::uint64_t& number, std::int64_t t_ns)
{
    const std::uint64_t back = made_ - number;
    if (number > 0 && back < latest_.size()) {
        DropOut& drop = latest_[latest_.size() - 1 - back];
        drop.to_ns = t_ns;
        drop.ended = true;
    }
    if (number > 0) moments_.push_back({t_ns, false});
    number = 0;
}

void DropWatch::arrived(Due& due, std::int64_t t_ns)
{
    if (due.open) end(due.open, t_ns);
    due.last_ns = t_ns;
}

void DropWatch::overdue(Due& due, std::int64_t t_ns)
{
    if (due.name.empty() || due.open || due.last_ns < 0 || t_ns - due.last_ns <= due.limit_ns) return;
    due.open = begin(due.name, DropKind::missing, due.last_ns);
}

void DropWatch::follow(const codec::Observation& o, bool operating)
{
    Level& level = levels_[o.signal];
    const auto& role = roles_.signals[o.signal];
    if (role.period_ns == 0) return;
    const std::string& name = plan_.signals()[o.signal].name;
    const bool lost = lost_validity(o.validity);
    if (!lost && level.open) end(level.open, o.t_ns);
    if (lost && operating && level.was_good && !level.open && !role.edge) level.open = begin(name, DropKind::validity, o.t_ns);
    level.was_good = !lost && operating;
    if (!role.edge || lost) return;
    const auto now = static_cast<std::int64_t>(o.value != 0);
    if (operating && level.seen >= 0 && now != level.seen) {
        std::uint64_t number = begin(name, DropKind::edge, o.t_ns);
        end(number, o.t_ns);
    }
    level.seen = operating ? now : -1;
}

void DropWatch::on_frame(const codec::FrameView& frame, bool operating)
{
    const auto& all = plan_.unit().frames;
    const auto found = std::find_if(all.begin(), all.end(), [&](const auto& f) { return f.name == frame.name; });
    if (found == all.end()) return;
    Due& due = frames_[static_cast<std::size_t>(found - all.begin())];
    // What was overdue is seen before the arrival ends it, however late the next tick is.
    overdue(due, frame.t_ns);
    arrived(due, frame.t_ns);
    for (const auto& o : frame.observations) {
        if (Due& word = words_[o.signal]; !word.name.empty()) arrived(word, o.t_ns);
        follow(o, operating);
    }
}

void DropWatch::tick(std::int64_t t_ns)
{
    bool frames_come = true;
    for (Due& due : frames_) {
        overdue(due, t_ns);
        if (due.open) frames_come = false;
    }
    // A word is missed by itself only while the frames that carry words do come; else the frame says it all.
    if (!frames_come) {
        for (Due& word : words_)
            if (word.last_ns >= 0 && !word.open) word.last_ns = t_ns;
        return;
    }
    for (Due& word : words_) overdue(word, t_ns);
}

void DropWatch::pause(std::int64_t t_ns)
{
    for (auto* list : {&frames_, &words_})
        for (Due& due : *list) {
            if (due.open) end(due.open, t_ns);
            due.last_ns = -1;
        }
    for (Level& level : levels_) {
        if (level.open) end(level.open, t_ns);
        level = {};
    }
}

std::vector<DropWatch::Moment> DropWatch::take_moments()
{
    return std::exchange(moments_, {});
}

} // namespace chockside::watch
