#include <core/link/replay_channel.h>

#include <limits>

namespace chockside::link {

class ReplayChannel::Held final : public Lease {
public:
    explicit Held(ReplayChannel& owner) : owner_(owner) {}
    ~Held() override { owner_.leased_ = nullptr; }
    Result<std::size_t> write(ByteView bytes) override { return bytes.size(); }

private:
    ReplayChannel& owner_;
};

Status ReplayChannel::open(const profile::Line&, ByteSink& sink)
{
    sink_ = &sink;
    at_ = 0;
    sink.event({LineEvent::Kind::opened, "replay"}, next_ns().value_or(0));
    return {};
}

void ReplayChannel::close()
{
    if (ByteSink* sink = std::exchange(sink_, nullptr)) sink->event({LineEvent::Kind::closed, ""}, at_ == 0 ? 0 : pieces_[at_ - 1].t_ns);
}

Result<std::size_t> ReplayChannel::write(ByteView bytes)
{
    if (!sink_) return fail("port_closed");
    if (leased_) return fail("channel_leased");
    return bytes.size();
}

Result<std::unique_ptr<Lease>> ReplayChannel::lease(ByteSink& sink)
{
    if (leased_) return fail("channel_leased");
    leased_ = &sink;
    return std::unique_ptr<Lease>(std::make_unique<Held>(*this));
}

std::optional<std::int64_t> ReplayChannel::next_ns() const
{
    return at_ < pieces_.size() ? std::optional(pieces_[at_].t_ns) : std::nullopt;
}

bool ReplayChannel::play_until(std::int64_t t_ns)
{
    while (sink_ && at_ < pieces_.size() && pieces_[at_].t_ns <= t_ns) {
        const ReplayPiece& piece = pieces_[at_++];
        ByteSink& to = leased_ ? *leased_ : *sink_;
        if (!piece.bytes.empty()) to.bytes(piece.bytes, piece.t_ns);
        if (piece.event) to.event(*piece.event, piece.t_ns);
    }
    return sink_ && at_ < pieces_.size();
}

bool ReplayChannel::play_all()
{
    return play_until(std::numeric_limits<std::int64_t>::max());
}

} // namespace chockside::link
