#pragma once
// The way to the other end. Platform's network, the simulated wire and a test's script implement it; the engine is told by
// Tablet::answered(). Nothing here blocks.

#include <core/sync/http.h>

#include <cstdint>
#include <optional>

namespace chockside::sync {

/// What became of a request that has no whole answer. `unknown` outcomes all: the other end may have done it.
enum class WireFault {
    no_route,  ///< no network, no address, refused
    stalled,   ///< 20 s without a byte
    cut,       ///< the connection ended within the answer, or before it
    not_shop,  ///< TLS with another key than the pinned one, or an older TLS
    too_long,  ///< more bytes than the request allows
};
const char* name_of(WireFault);

struct WireAnswer {
    std::optional<WireFault> fault; ///< with it `answer` says nothing
    Answer answer;
};

class Wire {
public:
    virtual ~Wire() = default;
    /// `id` names the request in the answer, and is never used twice. `most` bounds the body of the answer, in bytes.
    virtual void send(std::uint64_t id, Request, std::size_t most) = 0;
    /// No answer to that request will be told any more.
    virtual void cancel(std::uint64_t id) = 0;
};

} // namespace chockside::sync
