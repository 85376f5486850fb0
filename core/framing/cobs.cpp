#include <core/framing/framer.h>

#include <cstring>

namespace chockside::framing {

namespace {

constexpr std::size_t stride = 64;

class CobsReader final : public Framer {
public:
    explicit CobsReader(std::size_t most) : most_(most), most_stuffed_(most + most / 254 + 2)
    {
        held_.reserve(most_stuffed_);
        plain_.resize(most_stuffed_ + stride);
    }

    void feed(ByteView chunk, FrameSink sink) override
    {
        while (!chunk.empty()) {
            const void* zero = std::memchr(chunk.data(), 0, chunk.size());
            const std::size_t n = zero ? static_cast<std::size_t>(static_cast<const std::byte*>(zero) - chunk.data()) : chunk.size();
            const ByteView part = chunk.first(n);
            if (!zero) return keep(part);
            if (held_.empty() && !bad_)
                unstuff(part, chunk.data() + chunk.size(), sink);
            else
                finish(part, sink);
            chunk = chunk.subspan(n + 1);
        }
    }

    void reset() override
    {
        held_.clear();
        bad_ = false;
    }

private:
    void keep(ByteView part)
    {
        if (bad_) return;
        if (part.size() > most_stuffed_ - held_.size()) {
            ++drops_.too_long;
            bad_ = true;
            held_.clear();
            return;
        }
        held_.insert(held_.end(), part.begin(), part.end());
    }

    void finish(ByteView part, FrameSink sink)
    {
        keep(part);
        if (!bad_) unstuff(held_, held_.data() + held_.size(), sink);
        reset();
    }

    // `limit`: memory behind the frame that may be read ends here.
    void unstuff(ByteView in, const std::byte* limit, FrameSink sink)
    {
        if (in.empty()) return;
        if (in.size() > most_stuffed_) {
            ++drops_.too_long;
            return;
        }
        std::byte* out = plain_.data();
        const std::byte* p = in.data();
        const std::byte* const e = p + in.size();
        while (p != e) {
            const auto code = std::to_integer<std::size_t>(*p++);
            if (code - 1 > static_cast<std::size_t>(e - p)) {
                ++drops_.bad_escape;
                return;
            }
            if (code - 1 <= stride && static_cast<std::size_t>(limit - p) >= stride)
                std::memcpy(out, p, stride); // short blocks are the rule: a move of fixed size without a call, the rest is overwritten
            else
                std::memcpy(out, p, code - 1);
            out += code - 1;
            p += code - 1;
            if (code < 255 && p != e) *out++ = std::byte{0};
        }
        deliver(static_cast<std::size_t>(out - plain_.data()), sink);
    }

    void deliver(std::size_t n, FrameSink sink)
    {
        if (n > most_)
            ++drops_.too_long;
        else if (n > 0)
            sink(ByteView(plain_.data(), n));
    }

    std::size_t most_, most_stuffed_;
    Bytes held_, plain_;
    bool bad_ = false;
};

} // namespace

std::unique_ptr<Framer> cobs_reader(std::size_t most)
{
    return std::make_unique<CobsReader>(most);
}

void cobs_write(ByteView frame, Bytes& out)
{
    std::size_t code_at = out.size();
    unsigned code = 1;
    const auto close_block = [&] {
        out[code_at] = static_cast<std::byte>(code);
        code_at = out.size();
        code = 1;
    };
    out.push_back(std::byte{0});
    for (std::size_t i = 0; i < frame.size(); ++i) {
        if (frame[i] != std::byte{0}) {
            out.push_back(frame[i]);
            ++code;
        }
        const bool full = code == 255;
        if (frame[i] == std::byte{0} || (full && i + 1 < frame.size())) {
            close_block();
            out.push_back(std::byte{0});
        }
    }
    out[code_at] = static_cast<std::byte>(code);
    out.push_back(std::byte{0});
}

} // namespace chockside::framing
