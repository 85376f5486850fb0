#include <platform/desk/link_run.h>

#include <core/watch/pages.h>

#include <algorithm>

namespace chockside::desk {

namespace {

constexpr std::int64_t second = 1'000'000'000;
const std::string own_tag = "own"; ///< asks that nobody outside waits for

json::Value page_value(const codec::Plan& plan, const link::ReplyFrame& reply)
{
    json::Object page;
    for (const auto& [field, text] : watch::page_of(plan, reply.name, reply.observations, reply.texts)) page[field] = text;
    return page;
}

capture::Event event_of(link::LineEvent::Kind kind)
{
    using Kind = link::LineEvent::Kind;
    switch (kind) {
    case Kind::framing_error: return capture::Event::framing_error;
    case Kind::parity_error: return capture::Event::parity_error;
    case Kind::overrun: return capture::Event::overflow;
    case Kind::break_: return capture::Event::line_break;
    default: return capture::Event::status_change;
    }
}

/// The driver of a USB adapter may hold bytes back for 16 ms, a full event loop a little longer: a pause below this need not be one of the line.
constexpr std::int64_t delivery_ns = 40'000'000;

} // namespace

LinkRun::LinkRun(std::shared_ptr<const codec::Plan> plan, double time_scale, std::int64_t boot_ns, LinkRunHooks hooks)
    : plan_(std::move(plan)), scale_(std::max(1.0, time_scale)), boot_ns_(boot_ns), hooks_(std::move(hooks)), decoder_(plan_), exchange_(plan_),
      ground_(plan_->unit(), scale_), live_(plan_, {scale_}), last_(std::make_shared<watch::LiveSnapshot>())
{
}

/// The unit's own time runs `scale_` times as fast as the wall; both agree when the run was made.
std::int64_t LinkRun::unit_time(std::int64_t t_ns) const
{
    return scale_ == 1 ? t_ns : boot_ns_ + static_cast<std::int64_t>(static_cast<double>(t_ns - boot_ns_) * scale_);
}

const profile::Request* LinkRun::find_request(const std::string& name) const
{
    for (const auto& r : plan_->unit().requests)
        if (r.name == name) return &r;
    return nullptr;
}

void LinkRun::bytes(ByteView bytes, std::int64_t t_ns)
{
    capture::Packet packet;
    packet.t_ns = t_ns;
    packet.direction = capture::Direction::received;
    packet.event = capture::Event::received_end;
    packet.bytes.assign(bytes.begin(), bytes.end());
    if (hooks_.keep) hooks_.keep(std::move(packet));
    bytes_ns_ = t_ns;
    decoder_.feed(bytes, unit_time(t_ns), [&](const codec::FrameView& f) { frame(f, t_ns); });
    pump(t_ns);
}

void LinkRun::frame(const codec::FrameView& f, std::int64_t t_ns)
{
    live_.on_frame(f);
    // Time-outs of replies are wall time, whatever the practice scale.
    exchange_.on_frame({f.name, f.frame_no, t_ns, f.observations, f.texts});
}

void LinkRun::event(const link::LineEvent& event, std::int64_t t_ns)
{
    using Kind = link::LineEvent::Kind;
    capture::Packet packet;
    packet.t_ns = t_ns;
    packet.event = event_of(event.kind);
    packet.comment = std::string(link::name_of(event.kind)) + (event.detail.empty() ? "" : ": " + event.detail);
    if (hooks_.keep) hooks_.keep(std::move(packet));
    if (event.kind == Kind::opened) live_.port_opened(port_.empty() ? event.detail : port_, unit_time(t_ns));
    if (event.kind != Kind::closed && event.kind != Kind::lost) return;
    decoder_.reset();
    exchange_.abandon(event.kind == Kind::lost ? "port_lost" : "port_closed", t_ns);
    ground_.cut(t_ns);
    if (event.kind == Kind::closed) live_.port_closed(unit_time(t_ns));
    else live_.port_lost(unit_time(t_ns));
    pump(t_ns);
}

void LinkRun::request(const std::string& name, std::map<std::string, std::int64_t> args, const std::string& tag, std::int64_t t_ns)
{
    link::Outcome refused;
    refused.request = name;
    refused.tag = tag;
    const auto* request = find_request(name);
    const Status may = request ? link::may_send(plan_->unit(), *request, permission_) : Status(fail("unknown_request", name));
    if (!may) {
        refused.kind = request ? link::Outcome::Kind::not_allowed : link::Outcome::Kind::failed;
        refused.reason = may.error().code;
        refused.args = may.error().args;
        return answer(tag, refused);
    }
    const bool open = live_.link() == watch::LinkState::good || live_.link() == watch::LinkState::silent;
    const Status asked = open ? exchange_.ask({name, std::move(args), tag}, t_ns) : Status(fail("port_closed", name));
    if (asked) return pump(t_ns);
    refused.reason = asked.error().code;
    refused.args = asked.error().args;
    answer(tag, refused);
}

void LinkRun::read_all(std::int64_t t_ns)
{
    for (const auto& r : plan_->unit().requests)
        if (r.effect == profile::Effect::read && r.name != plan_->unit().session.keep_alive && !r.reply.empty()) request(r.name, {}, own_tag, t_ns);
}

Status LinkRun::enter_session(const std::string& channel, std::int64_t t_ns)
{
    const Status may = ground_.enter(channel, permission_, t_ns);
    pump(t_ns);
    return may;
}

void LinkRun::leave_session(std::int64_t t_ns)
{
    ground_.leave(t_ns);
    pump(t_ns);
}

bool LinkRun::in_session() const
{
    using State = link::GroundTest::State;
    return ground_.state() == State::open || ground_.state() == State::opening || ground_.state() == State::closing;
}

void LinkRun::show_session()
{
    watch::SessionView v;
    v.state = static_cast<watch::SessionState>(ground_.state());
    static_assert(static_cast<int>(watch::SessionState::closing) == static_cast<int>(link::GroundTest::State::closing));
    v.channel = ground_.channel();
    v.reason = ground_.reason();
    v.mend = ground_.mend();
    v.refusals = ground_.refusals();
    live_.set_session(v);
}

/// Hands on until nothing moves: outcomes may ask again, asks give bytes.
void LinkRun::pump(std::int64_t t_ns)
{
    for (int turn = 0; turn < 64; ++turn) {
        for (auto& ask : ground_.take_asks()) {
            const Status asked = exchange_.ask(ask, t_ns);
            if (asked) continue;
            link::Outcome failed;
            failed.request = ask.request;
            failed.reason = asked.error().code;
            ground_.on_outcome(failed, t_ns);
        }
        for (const Bytes& bytes : exchange_.to_send()) {
            capture::Packet packet;
            packet.t_ns = t_ns;
            packet.direction = capture::Direction::sent;
            packet.event = capture::Event::sent_start;
            packet.bytes = bytes;
            if (hooks_.keep) hooks_.keep(std::move(packet));
            if (hooks_.send) hooks_.send(bytes);
        }
        const auto outcomes = exchange_.take_outcomes();
        if (outcomes.empty()) break;
        for (const auto& o : outcomes) outcome(o, t_ns);
    }
    show_session();
}

void LinkRun::take_faults(const link::Outcome& o)
{
    std::vector<watch::StoredFault> faults;
    for (const auto& reply : o.replies) {
        auto page = watch::faults_of(*plan_, reply.observations);
        faults.insert(faults.end(), page.begin(), page.end());
    }
    live_.set_faults(std::move(faults));
}

void LinkRun::outcome(const link::Outcome& o, std::int64_t t_ns)
{
    const auto* request = find_request(o.request);
    const bool ok = o.kind == link::Outcome::Kind::ok;
    if (ok && request && !plan_->unit().faults.frame.empty() && request->reply == plan_->unit().faults.frame) take_faults(o);
    if (o.tag == link::GroundTest::tag) return ground_.on_outcome(o, t_ns);
    if (o.tag == own_tag) return;
    // What was read is noted before its answer, so that the journal has the cause before the step that it completes.
    show_session();
    (void)publish(t_ns);
    answer(o.tag, o);
}

void LinkRun::answer(const std::string& tag, const link::Outcome& o)
{
    json::Object out{{"request", o.request}, {"result", link::name_of(o.kind)}, {"reason", o.reason}, {"mend", o.mend}, {"tries", o.tries}};
    json::Object args;
    for (const auto& [name, value] : o.args) args[name] = value;
    out["args"] = json::Value(std::move(args));
    json::Array pages;
    for (const auto& reply : o.replies) pages.push_back(page_value(*plan_, reply));
    out["pages"] = json::Value(std::move(pages));
    if (hooks_.answered) hooks_.answered(tag, json::Value(std::move(out)));
}

/// A unit that was powered before the port opened has ended its test unseen: it is asked until it says.
void LinkRun::ask_self_test(std::int64_t t_ns)
{
    if (live_.link() != watch::LinkState::good || last_->self_test.phase != watch::SelfTestPhase::unknown || exchange_.busy()) return;
    if (asked_self_ns_ >= 0 && t_ns - asked_self_ns_ < second) return;
    for (const auto& r : plan_->unit().requests) {
        if (r.effect != profile::Effect::read) continue;
        for (const auto& f : plan_->unit().frames)
            for (const auto& field : f.fields)
                if (f.name == r.reply && field.role == "self_test_phase") {
                    asked_self_ns_ = t_ns;
                    return request(r.name, {}, own_tag, t_ns);
                }
    }
}

void LinkRun::tick(std::int64_t t_ns)
{
    if (t_ns - bytes_ns_ >= delivery_ns) decoder_.quiet(unit_time(t_ns), [&](const codec::FrameView& f) { frame(f, t_ns); });
    live_.tick(unit_time(t_ns));
    exchange_.tick(t_ns);
    ground_.tick(t_ns);
    ask_self_test(t_ns);
    pump(t_ns);
}

void LinkRun::mark(const std::string& place, std::int64_t t_ns)
{
    live_.mark(place, unit_time(t_ns));
    comment(place.empty() ? "hands off" : "moving " + place, t_ns);
}

void LinkRun::start_flex(std::int64_t t_ns)
{
    live_.start_flex(unit_time(t_ns));
    comment("flex test begins", t_ns);
}

void LinkRun::stop_flex(std::int64_t t_ns)
{
    live_.stop_flex(unit_time(t_ns));
    comment("flex test ends", t_ns);
}

void LinkRun::comment(const std::string& text, std::int64_t t_ns)
{
    capture::Packet packet;
    packet.t_ns = t_ns;
    packet.comment = text;
    if (hooks_.keep) hooks_.keep(std::move(packet));
}

std::shared_ptr<const watch::LiveSnapshot> LinkRun::publish(std::int64_t t_ns)
{
    live_.set_counters(decoder_.counters());
    auto now = std::make_shared<watch::LiveSnapshot>(live_.snapshot(unit_time(t_ns)));
    if (now->power_losses > last_->power_losses && in_session()) {
        ground_.cut(t_ns);
        show_session();
        *now = live_.snapshot(unit_time(t_ns));
    }
    pace_.take(watch::recorder(*last_, *now, now->t_ns));
    pace_.take_drops(*last_, *now);
    last_ = std::move(now);
    if (hooks_.noted)
        for (auto& note : pace_.due(t_ns)) hooks_.noted(std::move(note));
    return last_;
}

void LinkRun::drain(std::int64_t t_ns)
{
    (void)publish(t_ns);
    if (!hooks_.noted) return;
    for (auto& note : pace_.drain(t_ns)) hooks_.noted(std::move(note));
}

} // namespace chockside::desk
