#pragma once

#include <core/base/bytes.h>
#include <core/profile/model.h>

#include <optional>

namespace chockside::codec::detail {

/// The check behind a frame's bytes (or behind the mark of a text line) and the fixed tail behind it, as the profile's framing states them.
class Check {
public:
    explicit Check(const profile::Framing&);
    /// The frame without its check and tail, or nothing where they are wrong or cut.
    std::optional<ByteView> strip(ByteView frame) const;
    void append(Bytes& frame) const;
    std::size_t bytes() const { return bytes_ + tail_.size(); }

private:
    std::optional<ByteView> strip_line(ByteView line) const;
    std::uint64_t of(ByteView) const;
    ByteView covered(ByteView) const;

    profile::Checksum::Kind kind_;
    bool big_, line_, started_;
    char mark_;
    std::size_t from_;
    std::size_t bytes_ = 0;
    Bytes tail_;
    std::optional<framing::Crc> crc_;
};

} // namespace chockside::codec::detail
