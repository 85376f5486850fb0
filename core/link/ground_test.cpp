#include <core/link/ground_test.h>

#include <algorithm>
#include <utility>

namespace chockside::link {

GroundTest::GroundTest(const profile::Unit& unit, double time_scale) : unit_(unit), time_scale_(std::max(1.0, time_scale)) {}

const profile::Request* GroundTest::request(const std::string& name) const
{
    for (const auto& r : unit_.requests)
        if (r.name == name) return &r;
    return nullptr;
}

/// Session times are the unit's: in practice they run as fast as its clock.
std::int64_t GroundTest::after(double seconds, std::int64_t t_ns) const
{
    return t_ns + static_cast<std::int64_t>(seconds * 1e9 / time_scale_);
}

Status GroundTest::enter(const std::string& channel, const Permission& permission, std::int64_t)
{
    const auto* enter = request(unit_.session.enter);
    if (!enter) return fail("no_session");
    if (state_ == State::opening || state_ == State::open || state_ == State::closing) return fail("session_busy", channel_);
    const auto found = std::find(unit_.channels.begin(), unit_.channels.end(), channel);
    if (found == unit_.channels.end()) return fail("unknown_channel", channel);
    if (const Status may = may_send(unit_, *enter, permission); !may) return may;
    channel_ = channel;
    state_ = State::opening;
    // Channels are numbered from 1 in the order of the profile.
    asks_.push_back({enter->name, {{"channel", found - unit_.channels.begin() + 1}}, tag});
    return {};
}

void GroundTest::leave(std::int64_t)
{
    if (state_ != State::open && state_ != State::opening) return;
    state_ = State::closing;
    if (request(unit_.session.leave)) asks_.push_back({unit_.session.leave, {}, tag});
    else state_ = State::closed;
}

void GroundTest::opened(std::int64_t t_ns)
{
    state_ = State::open;
    holding_ = false;
    answered_ns_ = t_ns;
    next_hold_ns_ = after(unit_.session.every_s, t_ns);
}

void GroundTest::refuse(std::string reason, std::string mend)
{
    state_ = State::refused;
    reason_ = std::move(reason);
    mend_ = std::move(mend);
    ++refusals_;
}

void GroundTest::on_outcome(const Outcome& o, std::int64_t t_ns)
{
    using Kind = Outcome::Kind;
    const auto& session = unit_.session;
    if (o.request == session.enter && state_ == State::opening) {
        if (o.kind == Kind::ok) return opened(t_ns);
        if (o.kind == Kind::refused) return refuse(o.reason, o.mend);
        return refuse("no_answer", "");
    }
    if (o.request == session.leave && state_ == State::closing) {
        state_ = o.kind == Kind::ok || o.kind == Kind::refused ? State::closed : State::lost;
        return;
    }
    if (o.request != session.keep_alive || state_ != State::open) return;
    holding_ = false;
    if (o.kind == Kind::refused) state_ = State::lost; // the unit no longer knows of it
    if (o.kind == Kind::ok) answered_ns_ = t_ns;
}

void GroundTest::tick(std::int64_t t_ns)
{
    if (state_ != State::open || unit_.session.keep_alive.empty()) return;
    if (t_ns >= after(unit_.session.lost_after_s, answered_ns_)) {
        state_ = State::lost;
        return;
    }
    if (holding_ || t_ns < next_hold_ns_) return;
    holding_ = true;
    next_hold_ns_ = after(unit_.session.every_s, t_ns);
    asks_.push_back({unit_.session.keep_alive, {}, tag});
}

void GroundTest::cut(std::int64_t)
{
    if (state_ == State::open || state_ == State::closing || state_ == State::opening) state_ = State::lost;
    holding_ = false;
    asks_.clear();
}

std::vector<Ask> GroundTest::take_asks()
{
    return std::exchange(asks_, {});
}

std::optional<std::int64_t> GroundTest::next_due() const
{
    if (state_ != State::open || unit_.session.keep_alive.empty()) return std::nullopt;
    const std::int64_t lost = after(unit_.session.lost_after_s, answered_ns_);
    return holding_ ? lost : std::min(lost, next_hold_ns_);
}

} // namespace chockside::link
