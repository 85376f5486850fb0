#pragma once
// The replay twin of every channel: pieces of a capture come out again with their own times. What is written goes nowhere.

#include <core/link/byte_channel.h>

#include <optional>
#include <utility>
#include <vector>

namespace chockside::link {

struct ReplayPiece {
    std::int64_t t_ns = 0;
    Bytes bytes;                    ///< received bytes; empty where `event` is told
    std::optional<LineEvent> event;
};

class ReplayChannel final : public ByteChannel {
public:
    explicit ReplayChannel(std::vector<ReplayPiece> pieces) : pieces_(std::move(pieces)) {}

    Status open(const profile::Line& line, ByteSink& sink) override;
    void close() override;
    bool is_open() const override { return sink_ != nullptr; }
    Result<std::size_t> write(ByteView bytes) override;
    Status set_lines(bool, bool) override { return {}; }
    Result<std::unique_ptr<Lease>> lease(ByteSink& sink) override;

    /// Delivers everything up to and including `t_ns`; false once all is out.
    bool play_until(std::int64_t t_ns);
    bool play_all();
    std::optional<std::int64_t> next_ns() const;

private:
    class Held;
    std::vector<ReplayPiece> pieces_;
    std::size_t at_ = 0;
    ByteSink* sink_ = nullptr;
    ByteSink* leased_ = nullptr;
};

} // namespace chockside::link
