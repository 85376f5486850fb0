#include <core/framing/framer.h>

#include <bit>
#include <cstring>
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace chockside::framing {

namespace {

// RFC 1055, "characters": octal 300, 333, 334, 335.
constexpr std::byte end{0xC0}, escape{0xDB}, escaped_end{0xDC}, escaped_escape{0xDD};

const std::byte* seek(const std::byte* p, const std::byte* e, std::byte wanted)
{
    const void* found = p == e ? nullptr : std::memchr(p, std::to_integer<int>(wanted), static_cast<std::size_t>(e - p));
    return found ? static_cast<const std::byte*>(found) : e;
}

constexpr std::ptrdiff_t stride = 64;

// The first END or ESC, or `e`. With `out`, what lies before it is copied there; a stride beyond may be written as well. A whole stride makes
// one number before anything is decided: a usual frame then ends within the first, and no loop count has to be foreseen.
template <bool copy>
const std::byte* scan(const std::byte* p, const std::byte* e, std::byte* out = nullptr)
{
#if defined(__SSE2__)
    const __m128i ends = _mm_set1_epi8(static_cast<char>(0xC0)), escapes = _mm_set1_epi8(static_cast<char>(0xDB));
    const auto hits_at = [&](int k) {
        const __m128i v = _mm_loadu_si128(reinterpret_cast<const __m128i*>(p + k));
        if constexpr (copy) _mm_storeu_si128(reinterpret_cast<__m128i*>(out + k), v);
        return static_cast<std::uint64_t>(_mm_movemask_epi8(_mm_or_si128(_mm_cmpeq_epi8(v, ends), _mm_cmpeq_epi8(v, escapes))));
    };
    for (; e - p >= stride; p += stride) {
        const std::uint64_t hits = hits_at(0) | hits_at(16) << 16 | hits_at(32) << 32 | hits_at(48) << 48;
        if (hits) return p + std::countr_zero(hits);
        if constexpr (copy) out += stride;
    }
    for (; e - p >= 16; p += 16) {
        if (const std::uint64_t hits = hits_at(0)) return p + std::countr_zero(hits);
        if constexpr (copy) out += 16;
    }
#endif
    for (; p != e && *p != end && *p != escape; ++p)
        if constexpr (copy) *out++ = *p;
    return p;
}

class SlipReader final : public Framer {
public:
    explicit SlipReader(std::size_t most) : most_(most) { held_.resize(2 * most + 2 * stride); }

    void feed(ByteView chunk, FrameSink sink) override
    {
        const std::byte* p = chunk.data();
        const std::byte* const e = p + chunk.size();
        while (p != e) {
            if (untouched()) p = complete(p, e, sink);
            const std::byte* stop = seek(p, e, end);
            take(p, stop);
            if (stop != e) finish(sink);
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

    // Frames that lie whole in this piece; without escapes they are handed on where they are. Stops before one that is cut or wrong.
    const std::byte* complete(const std::byte* p, const std::byte* e, FrameSink sink)
    {
        for (;;) {
            const std::byte* stop = scan<false>(p, e);
            if (stop == e) return p;
            ByteView frame(p, stop);
            if (*stop == escape) {
                stop = copied(p, stop, e, frame);
                if (!stop) return p;
            }
            if (frame.size() > most_)
                ++drops_.too_long;
            else if (!frame.empty())
                sink(frame);
            p = stop + 1;
            if (p == e) return p;
        }
    }

    // The same with escapes taken out; nothing where its END is not here, an escape is wrong, or it is too long for the buffer.
    const std::byte* copied(const std::byte* p, const std::byte* stop, const std::byte* e, ByteView& frame)
    {
        std::byte* out = held_.data();
        const std::byte* const last = out + 2 * most_;
        if (static_cast<std::size_t>(stop - p) > most_) return nullptr;
        if (stop - p <= stride && e - p >= stride) std::memcpy(out, p, stride); // of a size that is known, so without a call
        else std::memcpy(out, p, static_cast<std::size_t>(stop - p));
        out += stop - p;
        while (*stop != end) {
            if (e - stop < 3 || (stop[1] != escaped_end && stop[1] != escaped_escape) || out >= last) return nullptr;
            *out++ = stop[1] == escaped_end ? end : escape;
            p = stop + 2;
            const std::byte* room = e - p > last - out ? p + (last - out) : e;
            stop = scan<true>(p, room, out);
            if (stop == room) return nullptr;
            out += stop - p;
        }
        frame = ByteView(held_.data(), out);
        return stop;
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
