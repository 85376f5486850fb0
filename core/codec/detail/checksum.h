#pragma once

#include <core/base/bytes.h>
#include <core/profile/model.h>

#include <optional>

namespace chockside::codec::detail {

/// The check behind a frame's bytes (or behind the star of a text line), as the profile's framing states it.
class Check {
public:
    explicit Check(const profile::Framing&);
    /// The frame without its check, or nothing where it is wrong or cut.
    std::optional<ByteView> strip(ByteView frame) const;
    void append(Bytes& frame) const;
    std::size_t bytes() const { return bytes_; }

private:
    std::optional<ByteView> strip_line(ByteView line) const;
    std::uint32_t of(ByteView) const;

    profile::Checksum::Kind kind_;
    bool big_, line_, started_;
    std::size_t bytes_ = 0;
    std::optional<framing::Crc> crc_;
};

} // namespace chockside::codec::detail
