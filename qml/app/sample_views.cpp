#include "sample_backend.h"

#include <core/base/time.h>
#include <core/job/deferral.h>

#include <cmath>
#include <functional>
#include <map>

namespace chockside::app {

namespace {

using namespace job;
using Line = StageCell::Line;

std::int64_t at(const char* clock) { return from_rfc3339(std::string("2026-06-17T") + clock + ".000Z").value_or(0); }

/// `done` stages are whole; `gaps` says where open items came from.
std::vector<StageCell> rail(Stage here, const std::string& word, double filled, std::map<int, int> gaps)
{
    std::vector<StageCell> cells;
    for (int i = 0; i < stage_count; ++i) {
        StageCell c;
        c.stage = static_cast<Stage>(i);
        c.open = gaps.contains(i) ? gaps[i] : 0;
        c.here = i == static_cast<int>(here);
        c.line = i < static_cast<int>(here) ? Line::solid : Line::hollow;
        c.filled = c.here ? filled : i < static_cast<int>(here) ? 1 : 0;
        c.word = c.here ? word : c.open ? std::to_string(c.open) + " open" : i < static_cast<int>(here) ? "done" : "not yet";
        cells.push_back(c);
    }
    return cells;
}

JobView base(const char* clock, Stage stage)
{
    JobView v;
    v.job = "sample";
    v.tail = "Q4-RMP";
    v.aircraft_type = "Sandgrouse 12";
    v.unit_title = "PRU-2";
    v.complaint = "HDG 1 and HDG 2 flag after rain";
    v.complaint_kind = "heading_flag";
    v.practice = true;
    v.now_utc_ms = at(clock);
    v.departure_utc_ms = at("20:00:00");
    v.decide_utc_ms = at("18:30:00");
    v.stage = stage;
    v.link_word = "Link good";
    v.link_detail = "50 words/s";
    v.link_mark = Mark::good;
    v.link_good = true;
    v.presence = "showing";
    return v;
}

void journal(JobView& v, std::vector<std::pair<const char*, const char*>> lines, int entries, int unsent)
{
    for (std::size_t i = 0; i < lines.size(); ++i) v.journal.push_back({at(lines[i].first), lines[i].second, "", false, int(lines.size() - i) > unsent, "did"});
    v.entries = entries;
    v.unsent = unsent;
}

std::vector<WaitView> waits(bool running)
{
    using State = WaitView::State;
    return {{"self_test", "Power-up test", State::over, 20, 0, 0, "12 of 12 at 14:12:40", 0},
            {"alignment", "Alignment", State::over, 60, 0, 0, "Moved 14:13, begun again", 1},
            {"warm_up", "Warm-up", running ? State::running : State::over, 120, running ? 74.0 : 0.0, running ? at("14:27:40") : 0, "Starts again if power dips", 0}};
}

std::vector<BreakerView> breakers()
{
    const auto in = [](const char* id, const char* label, const char* panel, const char* bus) { return BreakerView{id, label, panel, bus, "in", "", 0, "", false}; };
    auto list = std::vector{in("ref_1", "REF 1", "P2 C4", "essential"), in("pitot_ht", "PITOT HT", "P2 C7", "essential"), in("disp_1", "DISP 1", "P2 D4", "essential"),
                            in("ref_2", "REF 2", "P2 C5", "main"), in("ap_servo", "AP SERVO", "P2 C8", "main"), in("disp_2", "DISP 2", "P2 D5", "main"), in("xpdr", "XPDR", "P2 D6", "main")};
    for (auto& b : list) {
        if (b.id == "pitot_ht") b.tag = "113";
        if (b.id == "ap_servo") b.tag = "112";
        if (!b.tag.empty()) { b.state = "collared"; b.since_utc_ms = at("13:58:00"); }
    }
    return list;
}

std::vector<OpenItem> open_items()
{
    const auto item = [](const char* id, const char* icon, const char* name, const char* title, const char* detail, const char* word, Mark mark, Stage stage) {
        return OpenItem{id, icon, title, detail, word, mark, stage, at("14:02:00"), name};
    };
    return {item("fit:probe_covers", "cover", "Probe covers", "Probe covers off, 2", "on since 14:02, heads cold", "open", Mark::open, Stage::make_ready),
            item("breaker:pitot_ht", "collar", "PITOT HT", "PITOT HT in, collar 113 off", "P2 C7, after the covers", "collared", Mark::collared, Stage::make_ready),
            item("breaker:ap_servo", "collar", "AP SERVO", "AP SERVO in, collar 112 off", "P2 C8, surfaces clear", "collared", Mark::collared, Stage::make_ready),
            item("fit:xpdr", "switch", "Transponder", "Transponder back to normal", "standby since 13:56", "open", Mark::open, Stage::make_ready),
            item("fit:test_cable", "cable", "Test cable", "Test cable off, cap on", "J5A, since 13:41", "open", Mark::open, Stage::as_found)};
}

Prompt prompt(const char* id, Prompt::Kind kind, const char* say, const char* small, const char* large)
{
    Prompt q;
    q.id = id;
    q.kind = kind;
    q.say = say;
    q.key_small = small;
    q.key_large = large;
    q.command = "did";
    return q;
}

void isolate(JobView& v)
{
    auto& i = v.isolate;
    i.places = {{"rms_1", "RMS-1", "wing tip", "sensor", 0.07, Mark::none}, {"p9", "P9", "wing tip", "connector", 0.80, Mark::attention}, {"w7", "W7", "wing", "segment", 0.04, Mark::none},
                {"d3", "D3", "wing root", "connector", 0.06, Mark::none}, {"w8", "W8", "floor", "segment", 0.01, Mark::none}, {"j1", "J1", "nose rack", "connector", 0.02, Mark::none},
                {"pru_2", "PRU-2", "nose rack", "unit", 0.004, Mark::none}};
    i.leading = "P9";
    i.leading_class = "contact";
    i.leading_p = 0.8;
    i.advice = "gather";
    i.evidence = {{"Flex test: 9 of 11 drop-outs at P9", 13}, {"Crew: only after rain", 2.2}, {"Stored faults: sensor lost, 14 times", 1.5}, {"Both channels flag together", 1.1},
                  {"Supply word 27.4 V, no dip", 1}, {"Boot of P9 dry outside", 1 / 1.5}};
    i.next = {{"loop", "loop J1-7 to J1-8", "Not first: opening P9 spoils its evidence.", 21, 6, 10, 5, 23, 1}};
    i.gates = {{"label", "Label and side", "seen", true}, {"supply", "Supply at J1", "not yet", false}, {"aiding", "Aiding, place", "fit", true}, {"harness", "Harness", "not proved", false}};
}

void swing(JobView& v, int have, int wanted)
{
    v.swing.owed = true;
    v.swing.wanted = wanted;
    v.swing.tolerance_deg = 2.0;
    const auto deviation = [](double h) { return 0.36 - 0.60 * std::sin(h * 0.0174533) + 0.41 * std::cos(h * 0.0174533); };
    for (int k = 0; k < have; ++k) {
        const double h = 360.0 * k / wanted + 0.4;
        v.swing.points.push_back({h, h - deviation(h), deviation(h) + (k % 2 ? 0.08 : -0.07), false});
    }
    for (int h = 0; h <= 360; h += 6) {
        const double wide = 0.42 + (have < wanted ? 0.35 * (1 + std::cos((h - 280) * 0.0174533)) : 0);
        v.swing.band.push_back({double(h), deviation(h), deviation(h) - wide, deviation(h) + wide});
    }
}

void owed(JobView& v, int closed)
{
    v.owed = {{"circuits", "Nine circuits of P9 measured", "Installation data 6-3", "LK 16:06", "0.09 to 0.14 Ω, all over 20 MΩ", Mark::none, 20},
              {"correction", "Old heading correction cleared", "Installation data 6-4", "LK 16:31", "read back, all terms zero", Mark::none, 2},
              {"failing", "Failing check in its condition", "Shop rule", "LK, MB", "moved and wet: none in 60 s", Mark::none, 25},
              {"locked", "P9 locked, boot, clamp: looked at", "Required list", "not LK", "by another person", Mark::none, 5},
              {"swing", "Swing with loads, standby read", "AC 43.13-1B 12-37", "three", "", Mark::none, 75},
              {"standby", "Standby check, both cards", "AC 43.13-1B 12-37", "LK", "", Mark::none, 15}};
    for (int k = 0; k < closed; ++k) v.owed[std::size_t(k)].mark = Mark::good;
    if (closed < 6) v.owed[std::size_t(closed)].mark = closed ? Mark::run : Mark::none;
    v.not_owed = {"Not owed: level, static lines, autopilot. PRU-2 was not touched."};
}

#include "sample_stages.inc"

} // namespace

job::JobView sample_view(const QString& name)
{
    const auto it = makers().find(name.toStdString());
    return it == makers().end() ? base("13:38:00", Stage::write_up) : it->second();
}

QStringList sample_names()
{
    QStringList names;
    for (const auto& [name, make] : makers()) names.append(QString::fromStdString(name));
    return names;
}

} // namespace chockside::app
