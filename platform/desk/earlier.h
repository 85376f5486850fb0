#pragma once
// What the same aircraft had before, out of the jobs that this device holds.

#include <core/job/context.h>
#include <core/journal/store.h>
#include <core/profile/model.h>

#include <functional>
#include <memory>

namespace chockside::desk {

using LoadProfile = std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string& sha)>;

/// Newest first, at most `most`; practice jobs only beside practice jobs. A job that can't be read (locked, profile missing) is left out.
std::vector<job::EarlierJob> earlier_jobs(journal::Store&, const std::string& job, const std::string& tail, bool practice, const LoadProfile&, std::size_t most = 8);

} // namespace chockside::desk
