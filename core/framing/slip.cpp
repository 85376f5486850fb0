#include <core/framing/framer.h>

#include <cstring>

namespace chockside::framing {

namespace {

// RFC 1055, "characters": octal 300, 333, 334, 335.
constexpr std::byte end{0xC0}, escape{0xDB}, escaped_end{0xDC}, escaped_escape{0xDD};

const std::byte* seek(const std::byte* p, const std::byte* e, std::byte wanted)
{
    const void* found = p == e ? nullptr : std::memchr(p, std::to_integer<int>(wanted), static_cast<std::size_t>(e - p));
    return found ? static_cast<const std::byte*>(found) : e;
}

class SlipReader final : public Framer {
public:
    explicit SlipReader(std::size_t most) : most_(most) { held_.resize(most); }

    void feed(ByteView chunk, FrameSink sink) override
    {
        const std::byte* p = chunk.data();
        const std::byte* const e = p + chunk.size();
        while (p != e) {
            const std::byte* stop = seek(p, e, end);
            if (untouched() && stop != e && seek(p, stop, escape) == stop)
                whole(p, stop, sink);
            else {
                take(p, stop);
                if (stop != e) finish(sink);
            }
            p = stop == e ? e : stop + 1;
        }
    }

    void reset() override
    {
        size_ = 0;
        bad_ = false;
        escaping_ = false;
    }

private:
    bool untouched() const { return size_ == 0 && !escaping_ && !bad_; }

    // A frame that lies in one piece without escapes is handed on where it is.
    void whole(const std::byte* p, const std::byte* stop, FrameSink sink)
    {
        const auto n = static_cast<std::size_t>(stop - p);
        if (n > most_)
            ++drops_.too_long;
        else if (n > 0)
            sink(ByteView(p, n));
    }

    void take(const std::byte* p, const std::byte* stop)
    {
        while (p != stop && !bad_) {
            if (escaping_) {
                unescape(*p++);
                continue;
            }
            const std::byte* next = seek(p, stop, escape);
            append(p, next);
            p = next;
            if (p != stop) {
                escaping_ = true;
                ++p;
            }
        }
    }

    void unescape(std::byte code)
    {
        escaping_ = false;
        const std::byte plain = code == escaped_end ? end : escape;
        if (code == escaped_end || code == escaped_escape)
            append(&plain, &plain + 1);
        else
            refuse(drops_.bad_escape);
    }

    void append(const std::byte* p, const std::byte* stop)
    {
        const auto n = static_cast<std::size_t>(stop - p);
        if (n > most_ - size_) return refuse(drops_.too_long);
        if (n) std::memcpy(held_.data() + size_, p, n);
        size_ += n;
    }

    void refuse(std::uint64_t& counter)
    {
        ++counter;
        bad_ = true;
    }

    void finish(FrameSink sink)
    {
        if (escaping_ && !bad_) refuse(drops_.bad_escape);
        if (!bad_ && size_ > 0) sink(ByteView(held_.data(), size_));
        reset();
    }

    std::size_t most_;
    Bytes held_;
    std::size_t size_ = 0;
    bool escaping_ = false;
    bool bad_ = false;
};

} // namespace

std::unique_ptr<Framer> slip_reader(std::size_t most)
{
    return std::make_unique<SlipReader>(most);
}

void slip_write(ByteView frame, Bytes& out, bool flush)
{
    if (flush) out.push_back(end);
    for (std::byte b : frame) {
        if (b == end || b == escape) {
            out.push_back(escape);
            b = b == end ? escaped_end : escaped_escape;
        }
        out.push_back(b);
    }
    out.push_back(end);
}

} // namespace chockside::framing
