#pragma once
// Frames that were read on request, as text and rows: identity, configuration, stored faults.

#include <core/codec/plan.h>
#include <core/watch/snapshot.h>

#include <map>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace chockside::watch {

using Texts = std::vector<std::pair<std::string, std::string>>;

/// Field -> text: text fields as sent (trimmed by the codec), enumerations by name, hexadecimal where the profile shows it so, other
/// numbers with as many decimals as their scale has.
std::map<std::string, std::string> page_of(const codec::Plan& plan, std::string_view frame, std::span<const codec::Observation> observations, const Texts& texts);

/// The rows of one fault page, in wire order. Rows are told apart by the group's first field.
std::vector<StoredFault> faults_of(const codec::Plan& plan, std::span<const codec::Observation> observations);

} // namespace chockside::watch
