#pragma once
// Which entry may be voided or amended: what a person wrote, as long as nobody has signed over it. It stays shown either way.

#include <core/base/result.h>
#include <core/job/state.h>

namespace chockside::job {

/// Lines up to the last signature that stands; 0: none stands.
std::size_t signed_upto(const JobState&);
/// Codes: struck_already, entry_stands, signed_over (who), already_closed.
Status may_strike(const JobState&, std::size_t line, std::size_t signed_upto);
/// The signature that this line is, where it stands; null: another line.
const Sign* sign_of(const JobState&, const Line&);
/// What a withdrawn signature is signed as.
inline constexpr const char* withdrawn = "withdrawn";

} // namespace chockside::job
