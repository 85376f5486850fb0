#pragma once

#include <core/base/bytes.h>
#include <core/profile/model.h>

#include <optional>

namespace chockside::codec::detail {

/// The check behind a frame's bytes (or behind the mark of a text line) and the fixed tail behind it, as the profile's framing states them.
class Check {
public:
    explicit Check(const profile::Framing&);
    /// Takes the frame's check and tail off; false where they are wrong or cut.
    bool strip(ByteView& frame) const;
    /// Takes a text line's start character, mark and check off; false where they are wrong or cut.
    bool strip_line(ByteView& line) const { return usual_line_ && line.size() - 16 <= 16 ? strip_usual_line(line) : strip_other_line(line); }
    void append(Bytes& frame) const;
    std::size_t bytes() const { return bytes_ + tail_.size(); }

private:
    bool strip_usual_line(ByteView& line) const;
    bool strip_other_line(ByteView& line) const;
    std::uint64_t of(ByteView) const; ///< a check of up to eight bytes
    framing::CrcValue value_of(ByteView) const;
    bool agrees(ByteView body, ByteView told) const;
    ByteView covered(ByteView) const;

    profile::Checksum::Kind kind_;
    bool big_, line_, started_;
    char mark_;
    bool usual_line_;
    std::size_t from_;
    std::size_t bytes_ = 0;
    Bytes tail_;
    std::optional<framing::Crc> crc_;
};

} // namespace chockside::codec::detail
