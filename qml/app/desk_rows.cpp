#include "desk_rows.h"

#include "history_model.h"

#include <core/codec/signal_name.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace chockside::app {

namespace {

AwayNote::Line wait_line(const job::WaitView& w)
{
    using State = job::WaitView::State;
    if (w.state == State::unknown) return {job::Mark::attention, w.title + ": not known until the unit is heard."};
    if (w.state == State::running) return {job::Mark::run, w.title + " counts on: the unit says how long it had power."};
    return {job::Mark::good, w.title + " is over."};
}

} // namespace

models::LiveFrame frame_of(const watch::LiveSnapshot& s)
{
    models::LiveFrame frame;
    frame.mono_ms = s.t_ns / 1'000'000;
    if (s.flex.running) frame.hands = s.flex.place;
    for (const auto& row : s.rows) {
        if (!row.periodic || row.name.ends_with(".uptime")) continue;
        // What has neither unit nor yes and no counts or masks: of the frame, not of the aircraft.
        if (row.unit.empty() && !row.boolean && !row.name.starts_with("word.")) continue;
        const std::string name = codec::field_of(row.name);
        const bool flag = name.find("flag") != std::string::npos;
        const bool good = row.good() && (!row.boolean || (row.value != 0) != flag);
        models::LiveValue value{models::HistoryModel::label_of(name).toStdString(), row.unit, std::isfinite(row.value) ? row.value : 0, good, row.boolean};
        if (row.boolean ? models::HistoryModel::tells_of_drops(name) : row.name == s.plot_signal || row.unit == "V") frame.values.push_back(std::move(value));
        else if (!row.boolean) frame.figures.push_back(std::move(value));
    }
    return frame;
}

models::FlexSeen flex_of(const watch::FlexView& flex)
{
    models::FlexSeen seen;
    seen.running = flex.running;
    seen.moved = flex.place;
    seen.hits = flex.hits;
    seen.seconds = flex.exposure_s;
    for (const auto& p : flex.places) seen.places.push_back({p.place, p.hits, p.exposure_s, p.p});
    return seen;
}

std::vector<job::EntryLine> last_steps(const job::JobView& view)
{
    static const std::set<std::string> own{"opened", "answer", "did", "presence", "cautions_read", "finding", "repair", "part", "owed", "swing_point", "swing_result", "photo", "sign", "defer", "note"};
    std::vector<job::EntryLine> steps;
    for (auto at = view.journal.rbegin(); at != view.journal.rend() && steps.size() < 3; ++at)
        if (own.contains(at->kind)) steps.insert(steps.begin(), *at);
    return steps;
}

AwayNote away_note(const job::JobView& view)
{
    AwayNote note;
    if (!view.journal.empty()) note.minutes = static_cast<int>(std::max<std::int64_t>(0, view.now_utc_ms - view.journal.back().utc_ms) / 60'000);
    for (const auto& w : view.waits)
        if (w.state != job::WaitView::State::not_begun) note.meanwhile.push_back(wait_line(w));
    if (!view.link_good) note.meanwhile.push_back({job::Mark::attention, "The line is not heard yet: the port is tried again."});
    return note;
}

models::QueueSeen queue_seen(const sync::QueueView& q, const QString& shop)
{
    models::QueueSeen seen;
    seen.shop = shop;
    seen.enrolled = q.enrolled;
    seen.busy = q.busy;
    seen.went_back = q.went_back;
    seen.entries = q.entries;
    seen.sent = q.sent;
    seen.at_shop = q.at_shop;
    seen.archived = q.archived;
    seen.lacking = q.lacking;
    seen.files = static_cast<int>(q.files.size());
    seen.refused = static_cast<int>(q.refused);
    seen.refused_reason = QString::fromStdString(q.refused_reason);
    for (const auto& file : q.files) {
        seen.file_bytes += file.bytes;
        seen.file_done += file.done;
    }
    seen.doing = QString::fromStdString(q.doing);
    seen.reason = QString::fromStdString(q.reason);
    seen.stopped = QString::fromStdString(q.stopped);
    seen.next_try_s = q.next_try_ms < 0 ? -1 : (q.next_try_ms + 999) / 1000;
    return seen;
}

} // namespace chockside::app
