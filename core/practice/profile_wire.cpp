#include <core/practice/profile_wire.h>

#include <algorithm>
#include <utility>

namespace chockside::practice {

namespace {

constexpr std::size_t most_pending = 1 << 16;

// The technician's side of the line, read as frames.
profile::Unit as_frames(const profile::Unit& unit)
{
    profile::Unit mirror = unit;
    mirror.frames.clear();
    mirror.words.clear();
    for (const profile::Request& r : unit.requests) {
        profile::Frame frame;
        frame.name = r.name;
        frame.id = r.id;
        frame.id_text = r.id_text;
        frame.fields = r.fields;
        for (std::size_t i = 0; i < frame.fields.size(); ++i) {
            frame.fields[i].name = frame.fields[i].arg.empty() ? "fixed_" + std::to_string(i) : frame.fields[i].arg;
            frame.fields[i].constant.reset();
        }
        mirror.frames.push_back(std::move(frame));
    }
    return mirror;
}

std::string name_of(Refusal why)
{
    switch (why) {
    case Refusal::none: return "";
    case Refusal::not_on_ground: return "not_on_ground";
    case Refusal::self_test_running: return "self_test_running";
    case Refusal::other_channel_in_session: return "other_channel_in_session";
    case Refusal::bad_key: return "bad_key";
    }
    return "";
}

const profile::Frame* frame_of(const profile::Unit& unit, const std::string& name)
{
    for (const profile::Frame& f : unit.frames)
        if (f.name == name) return &f;
    return nullptr;
}

} // namespace

Result<ProfileWire> ProfileWire::make(std::shared_ptr<const codec::Plan> plan)
{
    const auto requests = codec::Plan::compile(as_frames(plan->unit()));
    if (!requests) return Unexpected{requests.error()};
    return ProfileWire(std::move(plan), *requests);
}

ProfileWire::ProfileWire(std::shared_ptr<const codec::Plan> plan, std::shared_ptr<const codec::Plan> requests)
    : plan_(std::move(plan)), requests_(std::move(requests)), encoder_(plan_), decoder_(requests_)
{
    for (const profile::Frame& f : plan_->unit().frames)
        if (f.period_ms > 0) due_.push_back({&f, 0});
}

bool ProfileWire::speaks(const detail::UnitState& s) const
{
    return s.channel > 0 && s.channel <= static_cast<int>(plan_->unit().channels.size()) && s.speaking().talking();
}

void ProfileWire::feed(ByteView bytes, Unit& unit, const detail::UnitState& state)
{
    if (!speaks(state)) return;
    std::vector<Asked> all;
    decoder_.feed(bytes, 0, [&](const codec::FrameView& frame) {
        if (auto asked = understood(frame)) all.push_back(std::move(*asked));
    });
    for (const Asked& asked : all) answer(asked, unit, state);
}

std::optional<ProfileWire::Asked> ProfileWire::understood(const codec::FrameView& frame) const
{
    const auto& requests = plan_->unit().requests;
    const auto found = std::find_if(requests.begin(), requests.end(), [&](const profile::Request& r) { return r.name == frame.name; });
    if (found == requests.end() || frame.observations.size() != found->fields.size()) return std::nullopt;
    Asked asked{&*found, {}, true};
    for (std::size_t i = 0; i < found->fields.size(); ++i) {
        const profile::Field& f = found->fields[i];
        const std::uint64_t raw = frame.observations[i].raw;
        if (f.constant) asked.constants_right = asked.constants_right && raw == *f.constant;
        else asked.args[f.arg] = static_cast<std::int64_t>(raw);
    }
    return asked;
}

// The reason why not, by its name in the profile; empty: done.
std::string ProfileWire::act(const Asked& asked, Unit& unit, const detail::UnitState& s) const
{
    const profile::Session& session = plan_->unit().session;
    const std::string& name = asked.request->name;
    if (name == session.enter) {
        const auto told = asked.args.find("channel");
        const bool here = told == asked.args.end() || told->second == s.channel;
        return name_of(asked.constants_right && here ? unit.enter(s.channel, s.on_ground) : Refusal::bad_key);
    }
    if (!asked.constants_right) return "bad_key";
    if (name == session.keep_alive) return unit.hold(s.channel) ? "" : "bad_key";
    if (name == session.leave) unit.leave(s.channel);
    if (name == "run_test") return name_of(unit.run_test(s.channel));
    if (!asked.request->paging) return "";
    const std::int64_t page = asked.args.at(asked.request->paging->arg) - asked.request->paging->first;
    return page < 0 || page >= detail::fault_pages(plan_->unit(), s) ? "no_such_page" : "";
}

void ProfileWire::answer(const Asked& asked, Unit& unit, const detail::UnitState& state)
{
    const std::string why = act(asked, unit, state);
    if (why.empty()) reply(asked, state);
    else refuse(*asked.request, why, state);
}

void ProfileWire::reply(const Asked& asked, const detail::UnitState& state)
{
    const profile::Request& r = *asked.request;
    const profile::Frame* frame = frame_of(plan_->unit(), r.reply);
    if (!frame) return;
    detail::Reply with{r.id, r.id_text, {}, 0, 0};
    if (r.paging) {
        with.page = asked.args.at(r.paging->arg);
        with.first_page = r.paging->first;
    }
    send(*frame, state, with);
}

// A reason that the unit has no word for gets no answer, as a frame that it doesn't know.
void ProfileWire::refuse(const profile::Request& request, const std::string& reason, const detail::UnitState& state)
{
    if (const profile::Frame* frame = frame_of(plan_->unit(), plan_->unit().session.refused_by))
        send(*frame, state, {request.id, request.id_text, reason, 0, 0});
}

void ProfileWire::send(const profile::Frame& frame, const detail::UnitState& state, const detail::Reply& reply)
{
    const auto bytes = encoder_.frame(frame.name, detail::fill(plan_->unit(), frame, state, reply));
    if (!bytes) unspoken_[frame.name] = bytes.error().code + " " + bytes.error().place;
    else if (out_.size() + bytes->size() <= most_pending) out_.insert(out_.end(), bytes->begin(), bytes->end());
}

const profile::Frame* ProfileWire::self_test_frame() const
{
    for (const profile::Frame& f : plan_->unit().frames)
        for (const profile::Field& field : f.fields)
            if (field.role == "self_test_phase") return &f;
    return nullptr;
}

void ProfileWire::step(double dt_s, const detail::UnitState& state)
{
    if (!speaks(state)) return silence();
    const bool testing = state.speaking().phase() == Phase::self_test;
    const profile::Frame* test = self_test_frame();
    if (test && (seen_channel_ == state.channel ? testing != seen_testing_ : testing)) send(*test, state);
    seen_channel_ = state.channel;
    seen_testing_ = testing;
    for (Due& due : due_) {
        due.left_s -= dt_s;
        if (due.left_s > 1e-9) continue;
        send(*due.frame, state);
        due.left_s += due.frame->period_ms / 1000.0;
    }
}

void ProfileWire::silence()
{
    decoder_.reset();
    for (Due& due : due_) due.left_s = 0;
    seen_channel_ = 0;
}

Bytes ProfileWire::take()
{
    return std::exchange(out_, {});
}

} // namespace chockside::practice
