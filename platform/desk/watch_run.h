#pragma once
// A check that the line answers: watched for its minutes in unit time, then judged. Only time in which the line was heard counts. Pure
// over snapshots.

#include <core/profile/model.h>
#include <core/watch/snapshot.h>

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace chockside::desk {

class WatchRun {
public:
    WatchRun(const profile::Check& check, const watch::LiveSnapshot& begin);

    void see(const watch::LiveSnapshot& now);
    bool over() const;
    double left_s() const;
    const std::string& check() const { return check_.id; }

    struct Result {
        std::string outcome; ///< empty for a number
        std::string number;  ///< decimal text
        std::string note;    ///< what was counted, for the record
    };
    /// Nothing where too little was seen to judge.
    std::optional<Result> judge(const watch::LiveSnapshot& now) const;

private:
    int drops(const watch::LiveSnapshot& now) const;

    profile::Check check_;
    std::int64_t last_ns_;
    bool hearing_;              ///< as of the last snapshot
    std::int64_t heard_ns_ = 0;
    int counted_;               ///< by the line, as of the last snapshot
    int dropped_ = 0;
    double sum_ = 0;
    int samples_ = 0;
    bool stood_ = false; ///< a flag was in view
};

} // namespace chockside::desk
