#pragma once

#include <core/job/build_view.h>

namespace chockside::job::detail {

struct Scene {
    const profile::Profile& p;
    const JobState& s;
    const Context& c;
    const Reasoning& r;
};

void fill_rail(const Scene&, JobView&);
void fill_make_ready(const Scene&, JobView&);   ///< waits, breakers
void fill_as_found(const Scene&, JobView&);     ///< saved things, stored faults, sources
void fill_earlier(const Scene&, JobView&);      ///< what this aircraft had before
void fill_isolate(const Scene&, JobView&);
void fill_put_right(const Scene&, JobView&);
void fill_prove(const Scene&, JobView&);        ///< owed rows, swing
void fill_close(const Scene&, JobView&);        ///< acts, entry text
std::string sentence(const Scene&, const JobView&);

} // namespace chockside::job::detail
