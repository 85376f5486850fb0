#include <core/framing/framer.h>

namespace chockside::framing {

namespace {

class GapReader final : public Framer {
public:
    GapReader(std::size_t most, std::int64_t gap_ns) : most_(most), gap_ns_(gap_ns) { held_.reserve(most); }

    void feed(ByteView chunk, FrameSink) override
    {
        if (bad_) return;
        if (chunk.size() > most_ - held_.size()) {
            ++drops_.too_long;
            bad_ = true;
            held_.clear();
            return;
        }
        held_.insert(held_.end(), chunk.begin(), chunk.end());
    }

    void quiet(std::int64_t ns, FrameSink sink) override
    {
        if (ns < gap_ns_) return;
        if (!held_.empty()) sink(held_);
        reset();
    }

    void reset() override
    {
        held_.clear();
        bad_ = false;
    }

private:
    std::size_t most_;
    std::int64_t gap_ns_;
    Bytes held_;
    bool bad_ = false;
};

} // namespace

std::unique_ptr<Framer> gap_reader(std::size_t most, std::int64_t gap_ns)
{
    return std::make_unique<GapReader>(most, gap_ns);
}

} // namespace chockside::framing
