#pragma once

#include <core/isolate/explain.h>
#include <core/isolate/unexplained.h>
#include <core/job/context.h>

namespace chockside::job {

/// The plain model of one installation for one kind of complaint: rows by pattern become one row per cause.
isolate::Model isolate_model(const profile::Profile&, const std::string& complaint_kind);
/// Those that stand for this kind of complaint.
std::vector<isolate::Gate> isolate_gates(const profile::Profile&, const std::string& complaint_kind);
/// One answer; nothing where it was not done, or is a text that is no number.
std::optional<isolate::Evidence> evidence_of(const Answer&, std::size_t index);
/// Answers given before the repair, as evidence, without what a repair in vain has outdated. `from`: of earlier answers history alone.
std::vector<isolate::Evidence> isolate_evidence(const profile::Profile&, const JobState&, std::size_t from = 0);
isolate::Situation situation(const profile::Profile&, const JobState&, const Context&);
isolate::Costs costs(const profile::Profile&, const JobState&);
isolate::Presence presence_of(const JobState&);

/// Advice, likelihoods and the next checks at this moment; heavy enough to be kept between entries.
struct Reasoning {
    isolate::Posterior posterior;
    isolate::Advice advice;
    std::vector<isolate::NextCheck> next;
    isolate::Explanation why;
    std::vector<isolate::Unexplained> unexplained;
    std::size_t gates_from = 0; ///< answers before this one meet no gate of the advice: its repair was done since, in vain
    bool known = false;
};
Reasoning reason(const profile::Profile&, const JobState&, const Context&);

} // namespace chockside::job
