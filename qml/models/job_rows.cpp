#include "job_rows.h"
#include "rows_of.h"
#include "words.h"

#include <platform/words/words.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace chockside::models {

namespace {

constexpr std::array stage_titles{"Write-up", "As found", "Make ready", "Isolate", "Put right", "Prove", "Close"};

QString why_words(const job::CheckLine& c)
{
    if (c.why.empty()) return {};
    return words(chockside::words::line(c.then.empty() ? Problem{c.why, {}, {}} : Problem{c.why, {}, {{"then", c.then}}}));
}

} // namespace

Rows rail_rows(const job::JobView& v)
{
    return rows_of(v.rail, [](const job::StageCell& c) {
        const auto index = static_cast<std::size_t>(c.stage);
        // A cell that only says "here" is drawn by how much of it is done; a gap stays while anything opened here stands open.
        const bool gap = c.open > 0 || c.line == job::StageCell::Line::gap;
        const QString state = gap ? QStringLiteral("gap") : c.line == job::StageCell::Line::solid ? QStringLiteral("solid") : QStringLiteral("hollow");
        const double filled = c.line == job::StageCell::Line::solid ? 1.0 : c.filled;
        return QVariantMap{{"stage", int(index)}, {"title", QLatin1String(stage_titles[index % stage_titles.size()])}, {"word", words(c.word)},
                           {"state", state}, {"filled", filled}, {"here", c.here}, {"open", c.open}};
    });
}

Rows journal_rows(const job::JobView& v)
{
    int n = int(v.entries) - int(v.journal.size());
    return rows_of(v.journal, [&](const job::EntryLine& e) {
        return QVariantMap{{"id", ++n}, {"at", clock_hms(e.utc_ms)}, {"text", prose(e.text)}, {"sent", e.sent}, {"amended", e.amended}, {"kind", words(e.kind)},
                           {"hash", words(e.hash)}, {"struck", !e.amended ? QString() : e.corrected ? QObject::tr("amended") : QObject::tr("voided")}, {"by", prose(e.by)}};
    });
}

Rows open_rows(const std::vector<job::OpenItem>& items)
{
    return rows_of(items, [](const job::OpenItem& o) {
        return QVariantMap{{"id", words(o.id)}, {"icon", words(o.icon)}, {"title", words(o.title)}, {"detail", words(o.detail)}, {"word", words(o.word)},
                           {"mark", mark_name(o.mark)}, {"since", clock_hm(o.since_utc_ms)}};
    });
}

Rows dispute_rows(const job::JobView& v)
{
    return rows_of(v.disputes, [](const job::DisputeLine& d) {
        return QVariantMap{{"id", words(d.id)}, {"title", words(d.title)}, {"says", prose(d.says)}, {"ends", prose(d.ends)}};
    });
}

Rows left_rows(const std::vector<job::OpenItem>& items)
{
    Rows rows;
    QVariantList rest;
    QStringList names;
    for (const auto& item : items) {
        const bool cover = item.icon == "cover", plain = !cover && item.id.rfind("breaker:", 0) != 0 && item.id.rfind("plug:", 0) != 0;
        const QString left = QObject::tr("left %1").arg(cover ? QObject::tr("on") : words(item.word));
        const QVariantMap row{{"id", words(item.id)}, {"title", words(item.name)}, {"detail", item.detail.empty() ? left : left + ", " + words(item.detail)}, {"parts", QVariantList()}};
        if (!plain) {
            rows.append(row);
            continue;
        }
        rest.append(row);
        names.append(words(item.name));
    }
    if (rest.size() == 1) rows.append(rest.front().toMap());
    else if (!rest.isEmpty()) rows.append({{"id", "rest"}, {"title", rows.isEmpty() ? QObject::tr("What is open") : QObject::tr("The rest")}, {"detail", names.join(", ")}, {"parts", rest}});
    return rows;
}

Rows wait_rows(const job::JobView& v)
{
    return rows_of(v.waits, [](const job::WaitView& w) {
        using State = job::WaitView::State;
        const double over = w.total_s > 0 ? std::clamp(1 - w.left_s / w.total_s, 0.0, 1.0) : 0.0;
        const QString mark = w.state == State::over ? "good" : w.state == State::running ? "run" : "none";
        const QString ends = w.state == State::running && w.ends_utc_ms ? "ends " + clock_hms(w.ends_utc_ms) : w.state == State::over ? countdown(w.total_s) : QString();
        return QVariantMap{{"id", words(w.id)}, {"title", words(w.title)}, {"says", words(w.says)}, {"mark", mark}, {"ends", ends},
                           {"running", w.state == State::running}, {"fraction", over}, {"left_text", countdown(w.left_s)}, {"total", countdown(w.total_s)}};
    });
}

Rows bus_rows(const job::JobView& v)
{
    Rows buses;
    for (const job::BreakerView& b : v.breakers) {
        const QString bus = words(b.bus);
        auto at = std::find_if(buses.begin(), buses.end(), [&](const QVariantMap& row) { return row["id"] == bus; });
        if (at == buses.end()) {
            QString title = bus;
            if (!title.isEmpty()) title[0] = title[0].toUpper();
            buses.append({{"id", bus}, {"title", title.contains("us") ? title : title + " bus"}, {"breakers", QVariantList{}}});
            at = buses.end() - 1;
        }
        const QString state = words(b.state);
        const QString word = state == "in" ? "In" : state.isEmpty() || state == "unknown" ? "Not looked at" : state.left(1).toUpper() + state.mid(1);
        QVariantList list = (*at)["breakers"].toList();
        list.append(QVariantMap{{"id", words(b.id)}, {"label", words(b.label)}, {"panel", words(b.panel)}, {"state", state.isEmpty() ? "unknown" : state}, {"word", word},
                                {"tag", words(b.tag)}, {"since", clock_hm(b.since_utc_ms)}, {"feeds", words(b.also_feeds)}, {"contested", b.contested}});
        (*at)["breakers"] = list;
    }
    return buses;
}

Rows place_rows(const job::JobView& v)
{
    const auto& places = v.isolate.places;
    const auto top = std::max_element(places.begin(), places.end(), [](const auto& a, const auto& b) { return a.p < b.p; });
    const bool known = top != places.end() && top->p > 0 && v.isolate.advice != "none_found" && !v.isolate.evidence.empty();
    return rows_of(places, [&](const job::PlaceView& p) {
        const bool leading = known && &p == &*top;
        return QVariantMap{{"id", words(p.id)}, {"label", words(p.label)}, {"where", words(p.where)}, {"kind", words(p.kind)}, {"leading", leading},
                           {"mark", p.mark == job::Mark::none && leading ? QString("attn") : mark_name(p.mark)}, {"p", p.p},
                           {"share", known ? likelihood(p.p, leading) : QString()}};
    });
}

Rows evidence_rows(const job::JobView& v)
{
    double longest = std::log(12.0);
    for (const auto& e : v.isolate.evidence)
        if (e.factor > 0) longest = std::max(longest, std::abs(std::log(e.factor)));
    return rows_of(v.isolate.evidence, [&](const job::EvidenceLine& e) {
        const double length = e.factor > 0 && std::isfinite(e.factor) ? std::log(e.factor) / longest : 0;
        return QVariantMap{{"text", prose(e.text)}, {"length", length}, {"factor", factor(e.factor)}};
    });
}

Rows earlier_rows(const job::JobView& v)
{
    return rows_of(v.earlier, [](const job::EarlierLine& e) {
        return QVariantMap{{"on", day_month(e.opened_ms)}, {"complaint", words(e.complaint)}, {"came_to", prose(e.came_to)}, {"same_kind", e.same_kind}};
    });
}

Rows unexplained_rows(const job::JobView& v)
{
    return rows_of(v.isolate.unexplained, [](const job::UnexplainedLine& u) { return QVariantMap{{"odd", prose(u.odd)}, {"would", prose(u.says)}}; });
}

Rows would_change_rows(const job::JobView& v)
{
    return rows_of(v.isolate.would_change, [](const std::string& text) { return QVariantMap{{"text", prose(text)}}; });
}

Rows check_rows(const job::JobView& v)
{
    return rows_of(v.isolate.next, [](const job::CheckLine& c) {
        return QVariantMap{{"id", words(c.id)}, {"title", words(c.title)}, {"why", why_words(c)}, {"minutes", c.minutes}, {"own", c.own}, {"access", c.access},
                           {"power", c.power}, {"warm", c.warm}};
    });
}

Rows gate_rows(const job::JobView& v)
{
    return rows_of(v.isolate.gates, [](const job::GateLine& g) {
        return QVariantMap{{"id", words(g.id)}, {"says", words(g.says)}, {"word", words(g.word)}, {"mark", QString(g.met ? "good" : "none")}};
    });
}

Rows saved_rows(const job::JobView& v)
{
    bool before = true;
    return rows_of(v.saved, [&](const job::SavedLine& s) {
        const bool done = s.mark == job::Mark::good;
        const bool here = before && !done;
        before = before && done;
        QString title = words(s.title);
        if (title.endsWith('.')) title.chop(1);
        return QVariantMap{{"title", title}, {"word", done ? words(s.word) : QString()}, {"mark", mark_name(s.mark)}, {"done", done}, {"here", here}, {"prompt", words(s.prompt)}};
    });
}

Rows fault_rows(const job::JobView& v)
{
    return rows_of(v.stored_faults, [](const job::StoredFaultLine& f) {
        return QVariantMap{{"code", words(f.code)}, {"says", words(f.says)}, {"count", f.count > 0 ? QStringLiteral("×\u00A0%1").arg(f.count) : QString()}, {"age", words(f.age)}, {"active", f.active}};
    });
}

Rows source_rows(const job::JobView& v)
{
    return rows_of(v.sources, [](const job::SourceLine& s) {
        const bool figures = !s.no1.empty() || !s.no2.empty() || !s.standby.empty();
        return QVariantMap{{"figures", figures}, {"what", words(s.what)}, {"no1", prose(s.no1)}, {"no2", prose(s.no2)}, {"standby", prose(s.standby)}, {"mark", mark_name(s.mark)}, {"word", words(s.word)}};
    });
}

Rows live_rows(const job::JobView& v)
{
    return rows_of(v.live, [](const job::LiveLine& l) {
        QString label = upper_first(words(l.label).replace('_', ' ')), value = prose(l.value);
        if (l.unit == "deg" && label.startsWith("Heading") && value.contains('.')) value = value.rightJustified(3 + value.size() - value.indexOf('.'), '0');
        return QVariantMap{{"label", label}, {"value", value}, {"unit", unit_sign(l.unit)}, {"word", words(l.word)}, {"mark", mark_name(l.mark)}};
    });
}

Rows reading_rows(const job::JobView& v)
{
    Rows angles, volts;
    for (const QVariantMap& row : live_rows(v)) {
        const bool angle = row["unit"] == unit_sign("deg");
        if ((angle || row["unit"] == "V") && !row["label"].toString().contains("raw")) (angle ? angles : volts).append(row);
    }
    return (angles + volts).mid(0, 4);
}

} // namespace chockside::models
