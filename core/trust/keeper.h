#pragma once

#include <core/base/bytes.h>
#include <core/base/result.h>

#include <string>

namespace chockside::trust {

/// How long to wait for a keeper: a moment, or as long as a person needs who has to open it first.
enum class Patience { brief, for_a_person };

/// A place of the system's that keeps small secrets better than a file does: a keyring.
class KeyKeeper {
public:
    virtual ~KeyKeeper() = default;
    /// Codes: not_found (it answers, and holds nothing of that name), silent (it does not answer: none, shut, or too late).
    virtual Result<Bytes> read(const std::string& name, Patience) = 0;
    /// Code: silent.
    virtual Status keep(const std::string& name, ByteView secret) = 0;
};

} // namespace chockside::trust
