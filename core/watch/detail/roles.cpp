#include <core/codec/signal_name.h>
#include <core/watch/detail/roles.h>

#include <algorithm>

namespace chockside::watch::detail {

namespace {

constexpr std::int64_t ms = 1'000'000;

std::string first_part(const std::string& name)
{
    return name.substr(0, name.find('.'));
}

int frame_index(const profile::Unit& unit, const std::string& name)
{
    const auto found = std::find_if(unit.frames.begin(), unit.frames.end(), [&](const auto& f) { return f.name == name; });
    return found == unit.frames.end() ? -1 : static_cast<int>(found - unit.frames.begin());
}

const profile::Field* field_by_role(const profile::Unit& unit, const std::string& role, std::string& frame)
{
    for (const auto& f : unit.frames)
        for (const auto& field : f.fields)
            if (field.role == role) {
                frame = f.name;
                return &field;
            }
    return nullptr;
}

/// Changes of these are no sign of a fault: they tell what the aircraft is doing.
bool tells_of_operation(const std::string& bit)
{
    return bit == "aligned" || bit == "moving" || bit == "on_ground";
}

SignalRole role_of(const codec::Signal& s, const profile::Unit& unit)
{
    SignalRole role;
    role.period_ns = s.period_ms * ms;
    const bool of_words = first_part(s.name) == "word";
    role.frame = of_words ? std::int16_t{-1} : static_cast<std::int16_t>(frame_index(unit, first_part(s.name)));
    role.word = of_words && std::count(s.name.begin(), s.name.end(), '.') == 1;
    role.edge = s.boolean && s.period_ms > 0 && !tells_of_operation(codec::field_of(s.name));
    return role;
}

std::uint64_t running_code(const profile::Unit& unit, const profile::Field& phase)
{
    const auto names = unit.enums.find(phase.enumeration);
    if (names == unit.enums.end()) return 0;
    for (const auto& [code, name] : names->second)
        if (name == "running") return code;
    return 0;
}

void find_self_test(const codec::Plan& plan, Roles& roles)
{
    const auto& unit = plan.unit();
    const auto* phase = field_by_role(unit, "self_test_phase", roles.phase_frame);
    if (!phase) return;
    roles.phase = plan.signals().id(roles.phase_frame + "." + phase->name);
    roles.phase_running = running_code(unit, *phase);
    const auto& all = plan.signals().all();
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i].boolean && first_part(all[i].name) == roles.phase_frame)
            roles.failed_bits.emplace_back(static_cast<codec::SignalId>(i), codec::field_of(all[i].name));
}

void find_pages(const profile::Unit& unit, Roles& roles)
{
    for (const auto& request : unit.requests) {
        const auto* frame = [&]() -> const profile::Frame* {
            for (const auto& f : unit.frames)
                if (f.name == request.reply) return &f;
            return nullptr;
        }();
        const bool page = frame && request.effect == profile::Effect::read && frame->period_ms == 0 && frame->name != roles.phase_frame
            && frame->name != unit.faults.frame && frame->name != unit.session.refused_by && frame->fields.size() > 1;
        if (page && std::find(roles.page_frames.begin(), roles.page_frames.end(), frame->name) == roles.page_frames.end())
            roles.page_frames.push_back(frame->name);
    }
}

} // namespace

Roles roles_of(const codec::Plan& plan)
{
    Roles roles;
    const auto& unit = plan.unit();
    const auto& all = plan.signals().all();
    for (std::size_t i = 0; i < all.size(); ++i) {
        roles.signals.push_back(role_of(all[i], unit));
        if (!all[i].boolean) continue;
        if (codec::field_of(all[i].name) == "aligned") roles.aligned = static_cast<codec::SignalId>(i);
        if (codec::field_of(all[i].name) == "moving") roles.moving = static_cast<codec::SignalId>(i);
    }
    std::string frame;
    if (const auto* uptime = field_by_role(unit, "uptime", frame)) roles.uptime = plan.signals().id(frame + "." + uptime->name);
    if (unit.timings.settle) {
        const std::string& word = unit.timings.settle->word;
        const std::string name = word.substr(0, 5) == "word:" ? word.substr(5) : word;
        roles.settle = plan.signals().id(name.find('.') == std::string::npos ? "word." + name : name);
    }
    find_self_test(plan, roles);
    find_pages(unit, roles);
    const auto& faults = unit.faults;
    if (!faults.frame.empty()) roles.fault_code = plan.signals().id(faults.frame + "." + (faults.group.empty() ? "" : faults.group + ".") + faults.code_field);
    return roles;
}

} // namespace chockside::watch::detail
