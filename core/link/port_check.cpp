#include <core/link/port_check.h>

#include <algorithm>

namespace chockside::link {

namespace {

using State = PortStep::State;

struct Rung {
    const char* id;
    bool tried, good;
    Problem gap;
    double minutes;
};

std::string joined(const std::vector<std::string>& items)
{
    std::string all;
    for (const auto& item : items) all += (all.empty() ? "" : ", ") + item;
    return all;
}

std::string breaker_label(const profile::Installation& in, const std::string& id)
{
    const auto* b = profile::find(in.breakers, id.rfind("breaker:", 0) == 0 ? id.substr(8) : id);
    return b ? b->label : id;
}

/// Where the cable may be, and what feeds the channel behind it.
Problem::Args plug_args(const profile::Installation& in)
{
    std::vector<std::string> plugs, breakers;
    for (const auto& [channel, plug] : in.test_plugs) {
        plugs.push_back(plug.first);
        for (const auto& id : plug.second) breakers.push_back(breaker_label(in, id));
    }
    return {{"plugs", joined(plugs)}, {"breakers", joined(breakers)}};
}

bool opened(const PortFacts& f) { return f.open_code.empty(); }
bool stopped_by(const PortFacts& f, const char* code) { return f.open_code == code; }

std::vector<std::string> expected_parts(const profile::Installation& in)
{
    for (const auto& [key, parts] : in.expected) {
        const auto ends = [&](const std::string& tail) { return key.size() >= tail.size() && key.compare(key.size() - tail.size(), tail.size(), tail) == 0; };
        if (ends("identity.part")) return parts;
    }
    return {};
}

Problem rate_gap(const PortFacts& f, const profile::Line& line)
{
    Problem p{"line_rate", f.port, {{"rate", std::to_string(line.rate)}, {"bytes", std::to_string(f.bytes)}}};
    if (f.rate_that_fits) p.args.emplace_back("fits", std::to_string(*f.rate_that_fits));
    return p;
}

std::vector<Rung> ladder(const PortFacts& f, const profile::Profile& profile)
{
    const auto& line = profile.unit.line;
    const auto parts = expected_parts(profile.installation);
    const bool heard = f.bytes > 0, listened = opened(f) && f.listened_s > 0;
    const bool silent_echo = f.echoed.value_or(false) && f.good_frames == 0;
    // Frames end where the framing says, but none is whole: the bits are right and the content is another unit's.
    const bool framed = f.counters.bad_checksum + f.counters.unknown_id + f.counters.short_frame > 0 && f.line_errors == 0
        && f.rate_that_fits.value_or(line.rate) == line.rate;
    const bool clean = f.good_frames > 0 || framed;
    const bool right = parts.empty() || std::find(parts.begin(), parts.end(), f.part) != parts.end();
    return {
        {"port", true, !stopped_by(f, "port_not_found"), {"port_not_found", f.port, {}}, 1},
        {"rights", true, !stopped_by(f, "port_no_permission"), {"port_no_permission", f.port, {}}, 5},
        {"free", true, !stopped_by(f, "port_busy"), {"port_busy", f.port, {}}, 1},
        {"open", true, opened(f), {f.open_code, f.port, f.open_args}, 2},
        {"bytes", listened, heard, {"line_silent", f.port, plug_args(profile.installation)}, 3},
        {"echo", listened && f.echoed.has_value(), !silent_echo, {"line_echo", f.port, {}}, 2},
        {"rate", listened, clean, rate_gap(f, line), 1},
        {"frames", listened, f.good_frames > 0, {"line_no_frames", f.port, {{"bad", std::to_string(f.counters.bad_checksum)}, {"unknown", std::to_string(f.counters.unknown_id)}}}, 5},
        {"reply", f.answered.has_value(), f.answered.value_or(false), {"line_one_way", f.port, {}}, 5},
        {"unit", !f.part.empty(), right, {"line_other_unit", f.port, {{"part", f.part}, {"expected", joined(parts)}}}, 3},
    };
}

} // namespace

const char* name_of(PortStep::State s)
{
    static const char* names[] = {"good", "gap", "not_tried"};
    return names[static_cast<int>(s)];
}

std::vector<PortStep> check_port(const PortFacts& facts, const profile::Profile& profile)
{
    std::vector<PortStep> steps;
    bool gap = false;
    for (Rung& rung : ladder(facts, profile)) {
        PortStep step{rung.id, State::not_tried, {}, 0};
        if (rung.tried && !gap) step.state = rung.good ? State::good : State::gap;
        if (step.state == State::gap) {
            step.seen = std::move(rung.gap);
            step.minutes = rung.minutes;
            gap = true;
        }
        steps.push_back(std::move(step));
    }
    return steps;
}

const PortStep* first_gap(const std::vector<PortStep>& steps)
{
    const auto found = std::find_if(steps.begin(), steps.end(), [](const PortStep& s) { return s.state == State::gap; });
    return found == steps.end() ? nullptr : &*found;
}

} // namespace chockside::link
