#pragma once

#include <core/base/json.h>
#include <core/practice/aircraft.h>

namespace chockside::practice {

/// One request of the hands-and-eyes protocol, one answer object. Hands: {"is": "done" | no_such_thing | no_access | not_possible}.
/// Eyes: what is seen, or {"is": reason}. {"finding": text} seals the technician's finding; {"reveal": true} before it gives
/// {"is": "sealed"}. An unknown verb gives {"error": "unknown_verb"}. Time runs elsewhere: {"set": ...} is the server's.
json::Value answer(Aircraft& aircraft, const json::Value& request);

} // namespace chockside::practice
