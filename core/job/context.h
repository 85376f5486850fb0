#pragma once
// What the moment adds to the durable state: the clocks and what the line says just now. Never folded.

#include <core/base/time.h>
#include <core/job/state.h>

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace chockside::job {

struct LiveFacts {
    bool known = false;        ///< a status of the unit has been seen since the port was opened
    bool port_open = false;
    bool good = false;         ///< words arrive
    std::string word, detail;  ///< for the strip: "Link good", "50 words/s"
    std::optional<double> uptime_s;
    bool moving = false;
    bool aligned = false;      ///< or a unit that never says, whose wait only the clock ends
    bool self_test_running = false;
    std::string session;       ///< open channel or empty
    std::map<std::string, double> values;      ///< valid readings by signal name: "word.heading", "status.supply"
    std::map<std::string, bool> flags;         ///< booleans by short name: "heading_flag"
    std::map<std::string, bool> settled;       ///< by signal
    std::vector<LiveLine> lines;
};

/// What an earlier job on the same aircraft came to.
struct EarlierJob {
    std::string job, complaint, complaint_kind;
    std::int64_t opened_ms = 0;
    std::string finding_kind;  ///< isolated none_found not_proven, or empty
    std::string found;         ///< the cause in words; empty without one
    bool closed = false;
    std::vector<std::string> not_cured; ///< serials of units that came off and cured nothing
};

struct Context {
    Now now;
    LiveFacts live;
    bool resumed = false;      ///< the app was started after the running waits began and the unit has not been asked yet
    std::string person;
    std::string toward;        ///< check that the last prompt worked toward: it stays the next one until it is answered
    std::shared_ptr<const std::vector<EarlierJob>> earlier = {}; ///< newest first; null: not looked up
    std::string taken = {};    ///< check that the person took instead of the proposed one: the next until it is answered or left
};

/// The three waits at this moment. Job time runs at the practice scale; the wall clock never ends or shortens a wait.
/// A wait that cannot be vouched for (other boot, app restarted and the unit not heard) is State::unknown, never over. Where the unit says
/// its uptime, that and the clock must both cover a wait.
struct Waits {
    WaitView self_test, alignment, warm_up;
};
Waits waits(const profile::Profile&, const JobState&, const Context&);

} // namespace chockside::job
