#pragma once
// What a check costs in the state that the aircraft is in, and the state it leaves behind.

#include <core/isolate/isolate.h>

namespace chockside::isolate::detail {

NextCheck priced(const Check&, const Situation&);
/// What a disturbance is priced at, in minutes.
double disturbance(const Check&);
/// Power, warmth and panels as they are after the check.
Situation left_by(const Check&, Situation);
/// Hands, tools and question still open.
bool can_be_done(const Check&, const Situation&);

} // namespace chockside::isolate::detail
