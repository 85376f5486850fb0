#pragma once

#include <string>

namespace chockside::desk {

/// How every file of a job's export begins. Tail and job are what somebody typed or sent: neither leads out of a folder, and no file system
/// refuses what is left of them.
std::string export_stem(const std::string& tail, const std::string& job);

} // namespace chockside::desk
