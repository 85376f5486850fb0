#include <core/link/byte_channel.h>
#include <core/link/outcome.h>

namespace chockside::link {

const char* name_of(LineEvent::Kind k)
{
    static const char* names[] = {"opened", "closed", "lost", "framing_error", "parity_error", "overrun", "break", "info"};
    return names[static_cast<int>(k)];
}

const char* name_of(Outcome::Kind k)
{
    static const char* names[] = {"ok", "refused", "timed_out", "not_allowed", "failed"};
    return names[static_cast<int>(k)];
}

} // namespace chockside::link
