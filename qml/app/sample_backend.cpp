#include "sample_backend.h"

#include <cmath>

namespace chockside::app {

namespace {

models::HomeRow row(const char* job, const char* tail, const char* note, const char* complaint, const char* state, job::Mark mark, const char* where, const job::JobView& shape, bool mine)
{
    return {job, tail, note, complaint, state, mark, where, shape.rail, shape.entries, mine};
}

json::Value move(const char* hand, const char* label, const char* to)
{
    return json::Value(json::Object{{"hand", hand}, {"label", label}, {"to", to}});
}

} // namespace

void SampleBackend::start()
{
    auto closed = sample_view("14-acts");
    for (auto& cell : closed.rail) { cell.line = job::StageCell::Line::solid; cell.here = false; }
    emit stationChanged("Northmoor Survey", "Tablet 4, LK signed in", 9);
    emit fromShopChanged({{true, "shop-1", "Q4-WHM", "Attitude 1 flag on taxi", "Crew saw it twice after rain. Aircraft is on stand 4 until 18:00.", "MB", 1'781'706'600'000},
        {false, "08-put-right", "Q4-RMP", {}, "Send the old unit with its card. A loan unit is on the way.", "MB", 1'781'704'800'000}});
    emit homeChanged({row("05-isolate", "Q4-TLN", "leaves 20:00 Z, in 5 h 05", "HDG 2 flags after rain", "6 open, two of them breakers", job::Mark::open, "in Isolate, left 23 min ago", sample_view("05-isolate"), true),
                      row("08-put-right", "Q4-RMP", "JR, tablet 2", "HDG 1 flag most of the flight", "unit on test, heard 13:59 Z", job::Mark::run, "in Put right", sample_view("08-put-right"), false),
                      row("13-close", "Q4-WHM", "MB", "Attitude 1 slow to erect", "DISP 2 deferred to 27 June", job::Mark::deferred, "released with 1 open", sample_view("13-close"), false),
                      row("14-acts", "Q4-RMP", "LK", "Swing after RMS-1 change", "Shop has all 58 entries", job::Mark::good, "closed 15 June", closed, false)});
}

void SampleBackend::submit(const job::Command& command)
{
    submitted.push_back(command);
    if (refuses) return emit refused("The tablet is full.");
    QMetaObject::invokeMethod(this, [this, id = QString::fromStdString(command.id)] { emit written(id); }, Qt::QueuedConnection);
}

void SampleBackend::start_practice(std::uint64_t, double)
{
    opened_ = "practice-" + std::to_string(++practices_);
    serve("02-write-up");
}

void SampleBackend::open_new(const models::NewJob& job)
{
    opened.push_back(job);
    opened_ = "new-" + std::to_string(opened.size());
    serve("02-write-up");
}

void SampleBackend::open_job(const QString& job)
{
    if (refuses) return emit refused("This job is not here.");
    opened_ = job.toStdString();
    serve(job);
}

void SampleBackend::hand(const json::Value& move) { moved.push_back(move); }

void SampleBackend::eyes()
{
    emit handsChanged({move("breaker", "REF 1", "pulled"), move("breaker", "AP SERVO", "collared"), move("power", "GROUND POWER", "off"), move("plug", "P9", "disconnected"), move("panel", "Nose rack door", "open"),
                       move("flex", "W7", "20 s"), move("repair", "dry P9", "done"), move("cable", "J5A", "on")}, false);
    emit seenChanged(json::Value(json::Object{{"lamp GROUND", "on"}, {"DISP 1", json::Object{{"heading", 231.4}, {"flag", true}}}, {"DISP 2", json::Object{{"heading", 231.1}, {"flag", true}}},
                                             {"standby", 232}, {"REF 1", "in"}, {"AP SERVO", "in"}, {"P9", json::Object{{"seated", true}, {"wet", true}}}}));
}

void SampleBackend::serve(const QString& name)
{
    auto view = sample_view(name);
    view.job = opened_;
    emit viewChanged(view);
    if (name.startsWith("06")) feed_live();
}

void SampleBackend::check_port()
{
    models::PortSeen seen{port, {}, 2880, 0, {}};
    for (const char* id : {"port", "rights", "free", "open", "bytes", "echo"}) seen.steps.push_back({id, job::Mark::good, {}, {}, 0});
    seen.steps.push_back({"rate", job::Mark::attention, "2880 bytes came and none fit 115 200 bits a second.", "Set 38 400: frames are whole there. Else swap A and B at the adapter.", 1});
    for (const char* id : {"frames", "reply", "unit"}) seen.steps.push_back({id, job::Mark::none, {}, {}, 0});
    emit portChecked(seen);
}

void SampleBackend::list_new()
{
    const std::vector<std::pair<std::string, std::string>> written{{"heading_flag", "Heading flag"}, {"heading_error", "Heading wrong, no flag"}, {"attitude_flag", "Attitude flag"}};
    emit profilesChanged({{"own/sandgrouse_20", "Sandgrouse 20, heading and attitude", "Sandgrouse 20", "pru_2", "", 3, false, false, written}, {"own/bad", "bad", "", "", "overlap, line 41", 0, false, false, {}},
        {"sandgrouse_12_pru_2", "Sandgrouse 12, whole installation", "Sandgrouse 12", "pru_2", "", 2, true, false, written}});
    emit portsChanged({{"/dev/ttyUSB0", "ttyUSB0, SB-3 bridge"}, {"/dev/ttyS0", "ttyS0"}});
}

/// Forty minutes of a line: the heading goes round, its words are lost in bursts, and from the thirtieth minute on nothing comes for 40 s.
void SampleBackend::ask_history(const trend::Ask& ask)
{
    if (!viewer_) {
        auto made = trend::Trend::open(":memory:", {{"word.heading", "deg", 50, false, {}}, {"status.supply", "V", 200, false, {}}, {"status.wire_sense", "", 200, true, {}}, {"word.heading_flag", "", 200, true, {}}, {"word.pitch", "deg", 50, false, {}}, {"word.roll", "deg", 50, false, {}}});
        if (!made) return emit refused("no room");
        readings_ = std::move(*made);
        constexpr std::int64_t begin = 1'781'706'000'000'000'000, step = 50'000'000;
        for (int k = 0; k < 48'000; ++k) {
            const double t = k * 0.05;
            const bool shaken = (t > 400 && t < 700) || (t > 1300 && t < 1500), drop = shaken && std::fmod(t, 17) < 1.2;
            if (t > 1800 && t < 1840) continue;
            const std::int64_t at = begin + k * step;
            const auto add = [&](trend::SeriesId id, double v, bool good = true) { (void)readings_->add(id, {at, static_cast<std::uint64_t>(std::llround(v * 1000)), v, good ? codec::Validity::good : codec::Validity::no_computed_data}); };
            add(0, std::fmod(231.4 + (t > 900 ? (t - 900) * 0.2 : 0) + 0.4 * std::sin(t / 5), 360), !drop);
            add(4, 1.5 * std::sin(t / 60));
            add(5, 2 * std::sin(t / 47));
            if (k % 4 != 0) continue;
            add(1, 27.6 - (t > 1200 ? 0.9 : 0) + 0.05 * std::sin(t / 3));
            add(2, drop ? 0 : 1);
            add(3, drop ? 1 : 0);
        }
        viewer_ = std::make_unique<trend::Viewer>(*readings_);
        viewer_->grew();
    }
    emit historyChanged(std::make_shared<const trend::Seen>(viewer_->answer(ask)));
}

/// Two minutes of traces: one channel drops out in bursts, the other stays quiet.
void SampleBackend::feed_live()
{
    for (int k = 0; k < 3600; ++k) {
        const double t = k / 30.0;
        const bool shaken = (t > 46 && t < 72) || t > 97, drop = shaken && std::fmod(t, 4.3) < 0.35;
        models::LiveFrame frame;
        frame.mono_ms = k * 34;
        frame.values = {{"Sensor wire", "", 0, !drop, true}, {"HDG 1 valid", "", 0, !drop, true}, {"Heading 1", "deg", 231.4 + 0.4 * std::sin(t / 5), !drop, false}, {"Sensor on", "", 0, true, true}};
        emit liveChanged(frame);
    }
}

} // namespace chockside::app
