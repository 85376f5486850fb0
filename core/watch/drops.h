#pragma once
// Interruptions of a unit's stream: frames and words that do not come when due, validity that goes, yes-or-no signals that change.

#include <core/codec/plan.h>
#include <core/watch/snapshot.h>

#include <cstdint>
#include <deque>
#include <map>
#include <string>
#include <vector>

namespace chockside::watch {

namespace detail {
struct Roles;
}

/// A gap counts from three periods, and never below `least_gap_ns` (what a tablet's scheduler may add).
class DropWatch {
public:
    DropWatch(const codec::Plan& plan, const detail::Roles& roles, std::int64_t least_gap_ns);

    /// `operating`: the unit's test is over and it is aligned; before that a missing validity is no interruption.
    void on_frame(const codec::FrameView& frame, bool operating);
    void tick(std::int64_t t_ns);
    /// The line is gone: nothing is due any more, running interruptions end.
    void pause(std::int64_t t_ns);
    void set_place(std::string place) { place_ = std::move(place); }

    const std::deque<DropOut>& latest() const { return latest_; }
    const std::map<std::string, int>& counts() const { return counts_; }
    /// When interruptions began and ended since the last call, for the flex test.
    struct Moment {
        std::int64_t t_ns = 0;
        bool begins = false;
    };
    std::vector<Moment> take_moments();

private:
    struct Due {
        std::string name;
        std::int64_t limit_ns = 0, last_ns = -1;
        std::uint64_t open = 0; ///< number of its running interruption, 0: none
    };
    struct Level {
        std::int64_t seen = -1;      ///< last raw of a yes-or-no, -1: none
        std::uint64_t open = 0;
        bool was_good = false;
        std::int64_t open_since = 0;
    };
    void arrived(Due& due, std::int64_t t_ns);
    void overdue(Due& due, std::int64_t t_ns);
    void follow(const codec::Observation& o, bool operating);
    std::uint64_t begin(const std::string& signal, DropKind kind, std::int64_t t_ns);
    void end(std::uint64_t& number, std::int64_t t_ns);

    const codec::Plan& plan_;
    const detail::Roles& roles_;
    std::vector<Due> frames_, words_;          ///< by index of the frame; by signal id for words (empty name: not due)
    std::vector<Level> levels_;
    std::deque<DropOut> latest_;
    std::map<std::string, int> counts_;
    std::vector<Moment> moments_;
    std::string place_;
    std::uint64_t made_ = 0; ///< number of the newest in latest_
};

} // namespace chockside::watch
