#pragma once

#include <core/base/bytes.h>

namespace chockside::practice {

/// What a receiver set to `read_rate` takes from bytes sent back to back at `sent_rate` (8 data bits, no parity, one stop bit): the
/// line is sampled in the middle of each of the receiver's own bits. Equal rates give the same bytes; a byte without a stop bit is
/// handed over as it was sampled, as a port does that ignores framing errors. Rates in bit/s, above 0.
Bytes heard(ByteView sent, double sent_rate, double read_rate);

} // namespace chockside::practice
