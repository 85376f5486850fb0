#pragma once
// A person who answers anything, and a line that does what is done to it: a job is walked prompt by prompt through guard and fold. What the
// hands did is kept apart from the journal, so that the end can be compared with it.

#include "bundled.h"


#include <map>
#include <set>

namespace chockside::tests {

struct WalkOptions {
    std::uint64_t seed = 1;
    double wild = 0.15;     ///< share of answers that nobody would give who knew the truth
    double aside = 0.1;     ///< share of steps that take another prompt than the proposed one
    double strays = 0.03;   ///< share of steps before which something happens by itself
    bool silent = false;    ///< nothing ever comes from the unit
    int wild_steps = 160;   ///< from then on it is a careful person who wants to end
    int most_steps = 700;
};

/// What a walk met that nobody should meet.
struct WalkFlaw {
    std::string what;       ///< refused, no_effect, again, stuck, not_ready, not_closed, not_as_left, fold
    std::string prompt, detail;
};

class Walk : protected BundledWork {
public:
    Walk(profile::Profile profile, WalkOptions options);
    /// To the close of the job, or as far as it came.
    void run();

    const std::vector<WalkFlaw>& flaws() const { return flaws_; }
    const std::set<std::string>& prompts() const { return met_; } ///< ids of prompts that were answered, without the thing they are about
    bool closed() const { return s_.closed; }
    int steps() const { return steps_; }
    std::string finding() const { return s_.finding_kind; }
    const std::string& cause() const { return cause_; }
    bool deferred() const { return s_.deferral.has_value(); }
    std::string told() const; ///< the last prompts and answers, a line each

private:
    struct Reply {
        std::string answer;
        json::Value extra{json::Object{}};
        std::string words;
    };

    job::Context now() const;
    const job::JobView& view();
    void step();
    void stray();
    void dip();
    void pull_cable();
    void restart();
    void trip();
    std::optional<std::string> tripped() const;
    void take_back();
    void other_tablet();
    bool attempt(const job::Prompt& q);
    void wait(const job::Prompt& q);
    bool by_line(const job::Prompt& q);
    Reply reply_to(const job::Prompt& q);
    Reply outcome_of(const profile::Check& check);
    Reply number_for(const job::Prompt& q);
    job::Command command_for(const job::Prompt& q, const Reply& reply);
    bool ask(const job::Command& command, const std::string& prompt);
    void hands(const json::Value& did);
    void pass(double seconds);
    void settle();
    void self_test_told();
    void answer_by_line();
    void note(const std::string& kind, json::Value what = json::Value(json::Object{}));
    void page_read(const std::string& request);
    json::Value expected_page(const std::string& page);
    void power_comes();
    void power_goes();
    bool powered() const;
    bool careful() const { return steps_ > options_.wild_steps; }
    bool chance(double p) { return random_.uniform() < p; }
    std::size_t any(std::size_t n) { return static_cast<std::size_t>(random_.uniform() * static_cast<double>(n)); }
    std::string seen(const job::JobView& v) const;
    void flaw(const char* what, const std::string& prompt, const std::string& detail);
    void judge_end();

    WalkOptions options_;
    SeededRandom random_;
    Pen other_;
    std::string cause_;
    std::vector<journal::Entry> entries_;
    std::map<std::string, std::string> world_; ///< "breaker:ref_1" -> in ..., as the hands left it
    bool port_ = false, up_ = false, testing_ = false, aligned_ = false, resumed_ = false, gate_waits_ = false;
    std::int64_t up_since_ = 0, still_since_ = 0;
    std::string session_, toward_;
    double heading_ = 0;
    job::JobView view_;
    job::Reasoning reasoning_;
    std::int64_t reasoned_at_ = -1;
    int steps_ = 0, in_a_row_ = 0;
    std::string last_;
    std::vector<std::string> told_;
    std::vector<WalkFlaw> flaws_;
    std::set<std::string> met_;
};

} // namespace chockside::tests
