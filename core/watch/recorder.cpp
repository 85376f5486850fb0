#include <core/watch/recorder.h>

#include <core/units/decimal.h>

#include <algorithm>

namespace chockside::watch {

namespace {

using json::Array;
using json::Object;
using json::Value;

constexpr std::int64_t ms = 1'000'000;

Value texts(const std::vector<std::string>& items)
{
    Array out;
    for (const auto& item : items) out.emplace_back(item);
    return out;
}

struct Notes {
    std::int64_t t_ns;
    std::vector<Noted> list;
    void add(const char* kind, Object body = {}) { list.push_back({kind, Value(std::move(body)), t_ns}); }
};

void link(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    if (b.link == a.link) return;
    if (a.link == LinkState::good) return out.add(a.losses == 0 ? "link_opened" : "link_restored", {{"port", a.port}});
    if (a.link == LinkState::closed) return out.add("link_closed", {{"port", a.port}});
    if (b.link == LinkState::good) return out.add("link_lost", {{"reason", a.link == LinkState::lost ? "unplugged" : "silent"}});
}

void power(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    if (a.power_losses > b.power_losses) out.add("power_lost", {{"uptime_before_s", static_cast<std::int64_t>(a.uptime_before_s)}});
}

void self_test(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    const bool began = a.self_test.phase == SelfTestPhase::running && b.self_test.phase != SelfTestPhase::running;
    if (began) out.add("self_test_started");
    if (a.self_test.phase == SelfTestPhase::ended && a.self_test.ended_count > b.self_test.ended_count)
        out.add("self_test_ended", {{"passed", a.self_test.failed.empty()}, {"failed", texts(a.self_test.failed)}});
}

void attitude(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    if (a.moving.value_or(false) && !b.moving.value_or(false)) out.add("motion");
    if (b.moving.value_or(false) && !a.moving.value_or(false)) out.add("still");
    if (a.aligned.value_or(false) && !b.aligned.value_or(false)) out.add("aligned");
}

Value fault_row(const StoredFault& f)
{
    Object row{{"code", f.code}, {"id", f.id}, {"count", f.count}, {"active", f.active}, {"at_s", f.at_s}, {"power_up", f.power_up}};
    if (f.age_s) row["age_s"] = *f.age_s;
    return row;
}

void pages(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    for (const auto& [frame, fields] : a.pages) {
        const auto old = b.page_reads.find(frame);
        const auto now = a.page_reads.find(frame);
        if (now == a.page_reads.end() || (old != b.page_reads.end() && old->second == now->second)) continue;
        Object body;
        for (const auto& [field, text] : fields) body[field] = text;
        out.add(frame == "config" ? "configuration" : frame.c_str(), std::move(body));
    }
    if (a.fault_reads == b.fault_reads || !a.faults) return;
    Array rows;
    for (const auto& f : *a.faults) rows.push_back(fault_row(f));
    out.add("stored_faults", {{"faults", Value(std::move(rows))}});
}

void session(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    const SessionView &was = b.session, &now = a.session;
    if (now.refusals > was.refusals) out.add("session_refused", {{"reason", now.reason}, {"mend", now.mend}});
    if (was.state == now.state) return;
    const bool was_open = was.state == SessionState::open || was.state == SessionState::closing;
    if (now.state == SessionState::open && was.state != SessionState::closing) out.add("session_opened", {{"channel", now.channel}});
    if (was_open && now.state == SessionState::closed) out.add("session_closed");
    if (was_open && now.state == SessionState::lost) out.add("session_lost");
}

void settled(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    for (std::size_t i = 0; i < a.settled.size(); ++i) {
        const SettleView& now = a.settled[i];
        const bool was = i < b.settled.size() && b.settled[i].word == SettleView::Word::settled;
        if (now.word != SettleView::Word::settled || was) continue;
        out.add("settled", {{"word", now.signal}, {"value", fixed_text(now.mean, 2)}, {"slope", fixed_text(now.slope, 4)}});
    }
}

void capture(const LiveSnapshot& b, const LiveSnapshot& a, Notes& out)
{
    const bool stopped = !a.capture.stopped.empty() && b.capture.stopped.empty();
    const bool lost = b.capture.lost == 0 && a.capture.lost > 0;
    if (!stopped && !lost) return;
    out.add("data_lost", {{"reason", stopped ? a.capture.stopped : "too_fast"}, {"bytes", a.capture.lost}});
}

} // namespace

std::vector<Noted> recorder(const LiveSnapshot& before, const LiveSnapshot& after, std::int64_t t_ns)
{
    Notes out{t_ns, {}};
    link(before, after, out);
    power(before, after, out);
    self_test(before, after, out);
    attitude(before, after, out);
    pages(before, after, out);
    session(before, after, out);
    settled(before, after, out);
    capture(before, after, out);
    return std::move(out.list);
}

void Pace::take(std::vector<Noted> notes)
{
    for (Noted& note : notes) {
        // Saying the same again while the first still waits adds nothing but the later time.
        const auto same = std::find_if(waiting_.begin(), waiting_.end(), [&](const Noted& w) { return w.kind == note.kind && w.body == note.body; });
        if (same == waiting_.end() || same + 1 != waiting_.end()) waiting_.push_back(std::move(note));
    }
}

void Pace::take_drops(const LiveSnapshot& before, const LiveSnapshot& after)
{
    for (const auto& [signal, count] : after.drop_counts) {
        const auto old = before.drop_counts.find(signal);
        const int more = count - (old == before.drop_counts.end() ? 0 : old->second);
        if (more <= 0) continue;
        auto row = std::find_if(drops_.begin(), drops_.end(), [&](const Drops& d) { return d.signal == signal; });
        if (row == drops_.end()) row = drops_.insert(drops_.end(), Drops{signal, 0, after.t_ns, after.t_ns});
        row->count += more;
        int left = more;
        for (auto d = after.drops.rbegin(); d != after.drops.rend() && left > 0; ++d) {
            if (d->signal != signal) continue;
            row->from_ns = std::min(row->from_ns, d->from_ns);
            --left;
        }
        row->to_ns = after.t_ns;
    }
}

void Pace::close_drops(std::int64_t t_ns, bool all)
{
    for (auto d = drops_.begin(); d != drops_.end();) {
        if (!all && t_ns - d->from_ns < drop_window_ns) {
            ++d;
            continue;
        }
        Object body{{"signal", d->signal}, {"count", d->count}, {"from_ms", d->from_ns / ms}, {"to_ms", d->to_ns / ms}};
        waiting_.push_back({"dropouts", Value(std::move(body)), t_ns});
        d = drops_.erase(d);
    }
}

std::vector<Noted> Pace::due(std::int64_t t_ns)
{
    close_drops(t_ns, false);
    std::vector<Noted> out;
    while (!sent_.empty() && t_ns - sent_.front() >= second_ns) sent_.pop_front();
    while (!waiting_.empty() && sent_.size() < most_a_second) {
        out.push_back(std::move(waiting_.front()));
        waiting_.pop_front();
        sent_.push_back(t_ns);
    }
    return out;
}

std::vector<Noted> Pace::drain(std::int64_t t_ns)
{
    close_drops(t_ns, true);
    std::vector<Noted> out(std::make_move_iterator(waiting_.begin()), std::make_move_iterator(waiting_.end()));
    waiting_.clear();
    return out;
}

} // namespace chockside::watch
