#pragma once
// Captures of any size through a window of bounded size: the same packets as Reader gives over the whole file.

#include <core/capture/reader.h>

#include <functional>
#include <memory>
#include <span>

namespace chockside::capture {

/// Fills as much of the room as there is and says how many bytes; 0: the end.
using Source = std::function<Result<std::size_t>(std::span<std::byte> room)>;
Source source_of(ByteView whole); ///< the bytes must outlive it

class Stream {
public:
    static constexpr std::size_t window_bytes = 1u << 20, longest_block = 16u << 20;

    explicit Stream(Source source) : source_(std::move(source)) {}
    Stream(const Stream&) = delete;
    Stream& operator=(const Stream&) = delete;

    /// The next packet; nothing at the end. Codes: capture_not_recognised, capture_empty and those of the source.
    Result<std::optional<Packet>> next();

    /// As Reader::cut_tail() and Reader::damage(), of what was read so far. A block longer than longest_block is block_length.
    std::uint64_t cut_tail() const { return cut_tail_; }
    const std::string& damage() const { return damage_; }
    std::uint64_t bytes() const { return bytes_; } ///< taken from the source

private:
    Status fill();

    Source source_;
    Bytes window_;
    std::size_t filled_ = 0;
    std::optional<Reader> reader_;
    bool ended_ = false, done_ = false;
    std::uint64_t cut_tail_ = 0, bytes_ = 0;
    std::string damage_;
};

} // namespace chockside::capture
