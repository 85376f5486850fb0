#include <core/job/detail/describe.h>
#include <core/job/detail/stage_views.h>

#include <algorithm>
#include <cmath>

namespace chockside::job::detail {

namespace {

std::pair<int, int> asked(const Scene& x, const std::string& stage)
{
    int all = 0, done = 0;
    for (const auto& step : x.p.installation.steps)
        if (step.stage == stage) ++all, done += x.s.done.contains(step.id) ? 1 : 0;
    for (const auto& check : x.p.installation.checks)
        if (check.stage == stage && stage != "isolate") ++all, done += x.s.answer(check.id) ? 1 : 0;
    return {done, all};
}

double share(const Scene& x, Stage stage)
{
    const auto [done, all] = asked(x, name_of(stage));
    switch (stage) {
    case Stage::isolate: return x.s.found ? 1.0 : std::min(0.9, x.r.known ? x.r.advice.p : 0.0);
    case Stage::put_right: return x.s.repaired ? 1.0 : 0.2;
    case Stage::prove: {
        const auto closed = std::count_if(x.s.owed.begin(), x.s.owed.end(), [](const auto& o) { return o.closed.has_value(); });
        return x.s.owed.empty() ? 0.5 : static_cast<double>(closed) / static_cast<double>(x.s.owed.size());
    }
    case Stage::close: return x.s.closed ? 1.0 : static_cast<double>(x.s.signs.size()) / 4.0;
    default: return all ? static_cast<double>(done) / all : 0.0;
    }
}

std::string word(const Scene& x, const StageCell& cell, Stage now)
{
    if (x.s.closed) return "done";
    if (cell.open > 0) return std::to_string(cell.open) + " open";
    if (cell.stage > now) return "not yet";
    if (cell.stage < now) return "done";
    switch (cell.stage) {
    case Stage::write_up: return "asking";
    case Stage::prove: {
        const auto closed = std::count_if(x.s.owed.begin(), x.s.owed.end(), [](const auto& o) { return o.closed.has_value(); });
        return std::to_string(closed) + " of " + std::to_string(x.s.owed.size());
    }
    case Stage::close: return "here";
    default: return "here";
    }
}

std::string wait_sentence(const JobView& v)
{
    for (const auto& w : v.waits)
        if (w.state == WaitView::State::running && w.ends_utc_ms > 0) return w.title + " runs. Leave power on until " + to_hms(w.ends_utc_ms) + "\u00A0Z.";
    return "Leave power on. Keep the aircraft still.";
}

std::string isolate_sentence(const Scene& x, const JobView& v)
{
    if (v.isolate.fits_nothing) return "It fits nothing well. Do not change a part.";
    if (!x.r.known || v.isolate.leading.empty()) return "Nothing known yet. Begin with the next check.";
    if (v.isolate.advice == "none_found") return "Nothing found at fault. Leave every part in.";
    const std::string lead = v.isolate.advice == "isolated" ? "Isolated to " : "Most likely ";
    const std::string then = v.isolate.removal_offered ? " The gates are met." : v.isolate.leading_class == "unit" ? " Gates come first." : " Leave the unit in.";
    std::string name = v.isolate.leading;
    if (!name.empty() && name.back() == '.') name.pop_back();
    // A plain word stands small within the sentence; a label such as RMS-1 keeps its capitals.
    if (name.size() > 1 && name[0] >= 'A' && name[0] <= 'Z' && name[1] >= 'a' && name[1] <= 'z') name[0] = static_cast<char>(name[0] - 'A' + 'a');
    return lead + name + "." + then;
}

} // namespace

void fill_rail(const Scene& x, JobView& v)
{
    for (int i = 0; i < stage_count; ++i) {
        StageCell cell;
        cell.stage = static_cast<Stage>(i);
        cell.here = cell.stage == v.stage && !x.s.closed;
        cell.open = static_cast<int>(std::count_if(v.open.begin(), v.open.end(), [&](const auto& item) { return item.opened_in == cell.stage; }));
        cell.filled = x.s.closed || cell.stage < v.stage ? 1.0 : cell.here ? share(x, cell.stage) : 0.0;
        cell.line = cell.open ? StageCell::Line::gap : cell.here ? StageCell::Line::here : cell.filled >= 1 ? StageCell::Line::solid : StageCell::Line::hollow;
        cell.word = word(x, cell, v.stage);
        v.rail.push_back(cell);
    }
}

std::string sentence(const Scene& x, const JobView& v)
{
    if (x.s.closed) return "Closed. The line is whole.";
    const Prompt& q = v.next;
    if (q.kind == Prompt::Kind::wait) return wait_sentence(v);
    switch (v.stage) {
    case Stage::write_up: return q.id == "presence" ? "Crew answered. Is the fault showing now?" : q.id == "cautions" ? "Read the warnings, then go to the aircraft." : q.say;
    case Stage::as_found: return "Save what it arrived with. Disturb nothing.";
    case Stage::isolate: return isolate_sentence(x, v);
    case Stage::put_right: return q.say.empty() ? "Put it right." : q.say;
    case Stage::prove: {
        const auto open = std::count_if(x.s.owed.begin(), x.s.owed.end(), [](const auto& o) { return !o.closed; });
        if (v.swing.owed && !v.swing.sentence.empty()) return v.swing.sentence;
        return open ? "This act owes " + std::to_string(open) + (open == 1 ? " thing more." : " things more.") : "Repeat the check that failed.";
    }
    case Stage::close:
        if (!v.open.empty()) return std::to_string(v.open.size()) + " open. " + v.open.front().title + " first.";
        return q.verb == "sign" ? "All put back. Sign what you did." : "All put back. Look once more.";
    default: return q.say;
    }
}

} // namespace chockside::job::detail
