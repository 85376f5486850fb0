#include <core/framing/framer.h>

#include <algorithm>

namespace chockside::framing {

namespace {

class SyncReader final : public Framer {
public:
    SyncReader(std::size_t most, SyncShape shape) : most_(most), shape_(std::move(shape)) {}

    void feed(ByteView chunk, FrameSink sink) override
    {
        held_.insert(held_.end(), chunk.begin(), chunk.end());
        std::size_t at = 0;
        while (step(at, sink)) {
        }
        held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(at));
    }

    void reset() override { held_.clear(); }

private:
    // One frame or one search; false where more bytes are needed. `at` moves over what is settled.
    bool step(std::size_t& at, FrameSink sink)
    {
        const auto from = held_.begin() + static_cast<std::ptrdiff_t>(at);
        const auto found = std::search(from, held_.end(), shape_.sync.begin(), shape_.sync.end());
        if (found == held_.end()) {
            const std::size_t keep = std::min(shape_.sync.size() - 1, held_.size() - at);
            skip(at, held_.size() - at - keep);
            return false;
        }
        skip(at, static_cast<std::size_t>(found - from));
        const std::size_t left = held_.size() - at;
        const std::size_t header = shape_.fixed_bytes ? shape_.sync.size() : shape_.length_at + static_cast<std::size_t>(shape_.length_bytes);
        if (left < header) return false;
        const std::size_t whole = length(at);
        if (whole > most_ || whole < header) {
            ++drops_.too_long;
            skip(at, 1);
            return true;
        }
        if (left < whole) return false;
        if (sink(ByteView(held_).subspan(at, whole)))
            at += whole;
        else
            skip(at, 1);
        return true;
    }

    void skip(std::size_t& at, std::size_t n)
    {
        drops_.noise_bytes += n;
        at += n;
    }

    std::size_t length(std::size_t at) const
    {
        if (shape_.fixed_bytes) return shape_.fixed_bytes;
        std::int64_t n = 0;
        for (int i = 0; i < shape_.length_bytes; ++i) {
            const int place = shape_.length_big ? i : shape_.length_bytes - 1 - i;
            n = n << 8 | std::to_integer<std::int64_t>(held_[at + shape_.length_at + static_cast<std::size_t>(place)]);
        }
        return static_cast<std::size_t>(std::max<std::int64_t>(0, n + shape_.length_adds));
    }

    std::size_t most_;
    SyncShape shape_;
    Bytes held_;
};

} // namespace

std::unique_ptr<Framer> sync_reader(std::size_t most, SyncShape shape)
{
    return std::make_unique<SyncReader>(most, std::move(shape));
}

} // namespace chockside::framing
