// What the practice technician does where one look is not enough: watch, compare, flex, turn.
#include <platform/desk/rehearsal.h>

#include <core/job/number.h>

#include <algorithm>
#include <cmath>

namespace chockside::desk {

namespace {

constexpr double off_deg = 2.5, standby_off_deg = 3.5, off_ft = 75;

json::Value object(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

double apart(double a, double b)
{
    return std::abs(std::remainder(a - b, 360.0));
}

} // namespace

double Rehearsal::error_of(const Sample& s, int side, double reference) const
{
    if (s.face[side].flag || s.face[side].cross || s.face[side].heading < 0) return 90;
    return apart(s.face[side].heading, reference);
}

void Rehearsal::last_look(std::size_t at)
{
    if (at >= view_->breakers.size()) return press("all_in");
    const job::BreakerView b = view_->breakers[at];
    eye({{"eye", "breaker"}, {"label", b.label}}, [this, at, b](const json::Value& seen) {
        if (seen["is"].as_text() == "in") return last_look(at + 1);
        result_.found_out = b.label;
        press(b.id);
    });
}

void Rehearsal::displays_normal()
{
    after(5, [this] {
        const Sample now = samples_.empty() ? Sample{} : samples_.back();
        for (int i = 0; i < 2; ++i)
            if (!now.face[i].lit || now.face[i].flag || now.face[i].cross) return after(30, [this] { ++display_looks_ > 40 ? finish("a display is not normal at the end") : displays_normal(); });
        press({});
    });
}

void Rehearsal::side_by_side()
{
    eye({{"eye", "reference_heading"}}, [this](const json::Value& seen) {
        const double reference = seen["heading"].as_double();
        int off[2] = {0, 0}, standby = 0;
        const auto looks = recent(60);
        for (const Sample& s : looks) {
            for (int i = 0; i < 2; ++i) off[i] += error_of(s, i, reference) > off_deg ? 1 : 0;
            standby += apart(s.standby, reference) > standby_off_deg ? 1 : 0;
        }
        const bool one = off[0] > 0, two = off[1] > 0, third = standby > static_cast<int>(looks.size()) / 2;
        press(maybe_slip(prompt_, one && two && third ? "all_differ" : one && two ? "both_off" : one ? "side_1_off" : "agree"));
    });
}

/// Three ways to be wrong: No. 1 by itself, both by the same line, or no altitude at all.
void Rehearsal::altimeters()
{
    int flags = 0, one = 0, both = 0;
    const auto looks = recent(60);
    for (const Sample& s : looks) {
        const bool off = !s.alt_flag && std::abs(s.alt_off_ft) > off_ft, standby_off = std::abs(s.standby_off_ft) > off_ft;
        flags += s.alt_flag ? 1 : 0;
        one += off && !standby_off ? 1 : 0;
        both += off && standby_off ? 1 : 0;
    }
    press(maybe_slip(prompt_, flags > 0 ? "flag" : both > 0 ? "both_off" : one > 0 ? "alt_1_off" : "agree"));
}

/// While one of the two is still to come, it is waited for.
void Rehearsal::cross_seconds(int patience)
{
    const bool late = dark_s_[0] > dark_s_[1] + 90;
    const bool one_dark = !samples_.empty() && samples_.back().face[0].dark() != samples_.back().face[1].dark();
    if (!late && one_dark && patience > 0) return after(15, [this, patience] { cross_seconds(patience - 1); });
    press(late ? "side_1_late" : "together");
}

void Rehearsal::heater_flag()
{
    hand(object({{"hand", "load"}, {"what", "PITOT HT"}, {"to", "on"}}), [this] {
        after(90, [this] {
            int flags[2] = {0, 0};
            for (const Sample& s : recent(80))
                for (int i = 0; i < 2; ++i) flags[i] += s.face[i].flag || s.face[i].cross ? 1 : 0;
            hand(object({{"hand", "load"}, {"what", "PITOT HT"}, {"to", "off"}}),
                [this, one = flags[0] > 0, two = flags[1] > 0] { press_after(20, one && two ? "both" : one ? "side_1" : "none"); });
        });
    });
}

void Rehearsal::windings()
{
    eye({{"eye", "ohms"}, {"points", "P9-3 to P9-4"}}, [this](const json::Value& x) {
        const double ohm_x = x["value"].as_double(-1);
        eye({{"eye", "ohms"}, {"points", "P9-5 to P9-6"}}, [this, ohm_x](const json::Value& y) {
            const double ohm_y = y["value"].as_double(-1);
            if (ohm_x < 0 || ohm_y < 0) return on_problem(Problem{"no_reading", prompt_.id, {{"what", "windings"}}});
            press(std::abs(ohm_x - ohm_y) > 0.1 * std::max(ohm_x, ohm_y) ? "unequal" : "equal");
        });
    });
}

void Rehearsal::move_50()
{
    eye({{"eye", "reference_heading"}}, [this](const json::Value& before) {
        if (samples_.empty() || samples_.back().face[1].heading < 0) return on_problem(Problem{"no_reading", prompt_.id, {{"what", "heading"}}});
        const double was = std::remainder(samples_.back().face[1].heading - before["heading"].as_double(), 360.0);
        hand(object({{"hand", "move"}, {"metres", 50}}), [this, was] {
            after(240, [this, was] {
                eye({{"eye", "reference_heading"}}, [this, was](const json::Value& now) {
                    const Sample& s = samples_.back();
                    if (s.face[1].heading < 0) return on_problem(Problem{"no_reading", prompt_.id, {{"what", "heading"}}});
                    const double is = std::remainder(s.face[1].heading - now["heading"].as_double(), 360.0);
                    press(std::abs(std::remainder(is - was, 360.0)) > 2.5 ? "changes" : "same");
                });
            });
        });
    });
}

void Rehearsal::flex(const job::Prompt& q)
{
    const std::string check = q.args["check"].as_text();
    std::vector<std::string> places = check == "flex_wing" ? std::vector<std::string>{"p9", "w7"} : check == "flex_root" ? std::vector<std::string>{"d3", "w8"} : std::vector<std::string>{"j1", "w8"};
    if (q.to != "running") press({}); // one that showed too little goes on
    after(90, [this, places] { flex_next(places, 0); }); // hands off first: the quiet stretch is the comparison
}

void Rehearsal::flex_next(std::vector<std::string> places, std::size_t at)
{
    if (at >= places.size() * 2) {
        presser_.flex_mark({});
        return after(5, [this] { press({}); });
    }
    std::string label = places[at % places.size()];
    std::transform(label.begin(), label.end(), label.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    presser_.flex_mark(places[at % places.size()]);
    hand(object({{"hand", "flex"}, {"place", label}, {"gain", 1.0}, {"seconds", 60}}), [this, places, at] {
        after(61, [this, places, at] {
            presser_.flex_mark({});
            hand(object({{"hand", "still"}}), [this, places, at] { after(20, [this, places, at] { flex_next(places, at + 1); }); });
        });
    });
}

void Rehearsal::turn(const job::Prompt& q)
{
    hand(object({{"hand", "turn"}, {"to_deg", job::number_of(q.to).value_or(0)}}), [this] { after(20, [this] { settle_and_sight(60); }); });
}

void Rehearsal::settle_and_sight(int patience)
{
    const auto last = recent(30);
    if (patience == 0) {
        const Sample now = last.empty() ? Sample{} : last.back();
        const std::string seen = std::string(now.moving ? "moving " : "") + (now.face[0].lit ? "" : "dark ") + (now.face[0].flag ? "flag " : "") + (now.face[0].cross ? "cross " : "");
        return on_problem(Problem{"no_reading", prompt_.id, {{"what", "heading does not settle"}, {"seen", seen}}});
    }
    const bool key = view_ && view_->next.id == prompt_.id && view_->next.ready; // at rest and settled, by the line
    const bool still = key && !last.empty() && std::all_of(last.begin(), last.end(), [](const Sample& s) { return !s.moving && s.face[0].heading >= 0; });
    if (!still) return after(15, [this, patience] { settle_and_sight(patience - 1); });
    eye({{"eye", "reference_heading"}}, [this](const json::Value& seen) {
        press({}, object({{"reference", fixed_text(seen["heading"].as_double(), 2)}}));
    });
}

} // namespace chockside::desk
