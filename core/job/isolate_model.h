#pragma once

#include <core/isolate/explain.h>
#include <core/isolate/unexplained.h>
#include <core/job/context.h>

namespace chockside::job {

/// The plain model of one installation for one kind of complaint: rows by pattern become one row per cause.
isolate::Model isolate_model(const profile::Profile&, const std::string& complaint_kind);
/// Those that stand for this kind of complaint.
std::vector<isolate::Gate> isolate_gates(const profile::Profile&, const std::string& complaint_kind);
/// Answers given before the repair, as evidence.
std::vector<isolate::Evidence> isolate_evidence(const JobState&);
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
    bool known = false;
};
Reasoning reason(const profile::Profile&, const JobState&, const Context&);

} // namespace chockside::job
