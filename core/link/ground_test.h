#pragma once
// The ground-test session: entered by leave of the job, kept alive, lost when the unit no longer answers, left by its own request.
// Pure: asks go out by take_asks(), outcomes of those asks come back by on_outcome().

#include <core/link/exchange.h>
#include <core/link/permission.h>

#include <optional>
#include <string>
#include <vector>

namespace chockside::link {

class GroundTest {
public:
    enum class State : std::uint8_t { closed, opening, open, refused, lost, closing };

    /// Tag of its own asks: outcomes with it belong here.
    static constexpr const char* tag = "ground_test";

    GroundTest(const profile::Unit& unit, double time_scale = 1);

    /// Codes: no_session (the profile has none), unknown_channel, session_busy, and those of may_send().
    Status enter(const std::string& channel, const Permission& permission, std::int64_t t_ns);
    void leave(std::int64_t t_ns);
    void on_outcome(const Outcome& outcome, std::int64_t t_ns);
    void tick(std::int64_t t_ns);
    /// Port closed or unplugged, or the unit restarted: the session is gone without a word.
    void cut(std::int64_t t_ns);
    std::vector<Ask> take_asks();
    std::optional<std::int64_t> next_due() const;

    State state() const { return state_; }
    const std::string& channel() const { return channel_; }
    const std::string& reason() const { return reason_; } ///< of the last refusal
    const std::string& mend() const { return mend_; }
    int refusals() const { return refusals_; }

private:
    const profile::Request* request(const std::string& name) const;
    void opened(std::int64_t t_ns);
    void refuse(std::string reason, std::string mend);
    std::int64_t after(double seconds, std::int64_t t_ns) const;

    const profile::Unit& unit_;
    double time_scale_;
    State state_ = State::closed;
    std::string channel_, reason_, mend_;
    int refusals_ = 0;
    bool holding_ = false;              ///< a keep-alive is in flight
    std::int64_t next_hold_ns_ = 0, answered_ns_ = 0;
    std::vector<Ask> asks_;
};

} // namespace chockside::link
