#pragma once
// What crosses from the live line into the job's journal, decided by comparing two moments. Pure; bodies hold whole numbers and text only.

#include <core/base/json.h>
#include <core/watch/snapshot.h>

#include <deque>
#include <string>
#include <vector>

namespace chockside::watch {

/// `kind`: link_opened link_lost link_restored link_closed self_test_started self_test_ended{failed, passed}
/// stored_faults{faults:[{code,id,count,active,at_s,power_up,age_s?}]} identity{...} configuration{...}
/// session_opened{channel} session_refused{reason,mend} session_closed session_lost power_lost{uptime_before_s} motion still
/// aligned settled{word,value,slope} dropouts{signal,count,from_ms,to_ms} data_lost{reason,bytes}
struct Noted {
    std::string kind;
    json::Value body;
    std::int64_t t_ns = 0;
    bool operator==(const Noted&) const = default;
};

/// What happened between the two moments, oldest cause first. Drop-outs are not here: they are joined by Pace.
std::vector<Noted> recorder(const LiveSnapshot& before, const LiveSnapshot& after, std::int64_t t_ns);

/// At most five notes a second. Notes that describe the same thing are joined while they wait; drop-outs are summed by signal over
/// `drop_window_ns`. Nothing is thrown away.
class Pace {
public:
    static constexpr std::int64_t second_ns = 1'000'000'000;
    static constexpr std::int64_t drop_window_ns = 5 * second_ns;
    static constexpr std::size_t most_a_second = 5;

    void take(std::vector<Noted> notes);
    /// The drop-outs that began or ended between the two moments.
    void take_drops(const LiveSnapshot& before, const LiveSnapshot& after);
    /// Notes that may go out now.
    std::vector<Noted> due(std::int64_t t_ns);
    /// Everything that waits, whatever the rate (the line is being closed).
    std::vector<Noted> drain(std::int64_t t_ns);

private:
    struct Drops {
        std::string signal;
        int count = 0;
        std::int64_t from_ns = 0, to_ns = 0;
    };
    void close_drops(std::int64_t t_ns, bool all);
    std::deque<Noted> waiting_;
    std::vector<Drops> drops_;
    std::deque<std::int64_t> sent_;
};

} // namespace chockside::watch
