#include <core/framing/framer.h>

#include <bit>
#include <cstring>
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace chockside::framing {

namespace {

const std::byte* seek(const std::byte* p, const std::byte* e, std::byte wanted)
{
    const void* found = p == e ? nullptr : std::memchr(p, std::to_integer<int>(wanted), static_cast<std::size_t>(e - p));
    return found ? static_cast<const std::byte*>(found) : e;
}

const std::byte* last_of(const std::byte* p, const std::byte* e, std::byte wanted, const std::byte* before)
{
    for (; (p = seek(p, e, wanted)) != e; ++p) before = p;
    return before;
}

/// Both characters at once, as lines are short.
class Scan {
public:
    Scan(std::byte end, std::byte start) : end_(end), start_(start) {}
    /// The first end, or `e`; `last`: the last start before it, where there is one.
    const std::byte* operator()(const std::byte* p, const std::byte* e, const std::byte*& last) const
    {
#if defined(__SSE2__)
        for (; e - p >= 32; p += 32) {
            const __m128i low = _mm_loadu_si128(reinterpret_cast<const __m128i*>(p)), high = _mm_loadu_si128(reinterpret_cast<const __m128i*>(p + 16));
            const std::uint32_t stop = where(low, high, ends_), begun = where(low, high, starts_) & ((stop & (0u - stop)) - 1); // before the end, or all
            if (begun) last = p + 31 - std::countl_zero(begun);
            if (stop) return p + std::countr_zero(stop);
        }
#endif
        const std::byte* const stop = seek(p, e, end_);
        last = last_of(p, stop, start_, last);
        return stop;
    }

private:
    std::byte end_, start_;
#if defined(__SSE2__)
    static std::uint32_t where(__m128i low, __m128i high, __m128i wanted)
    {
        const auto of = [&](__m128i v) { return static_cast<std::uint32_t>(_mm_movemask_epi8(_mm_cmpeq_epi8(v, wanted))); };
        return of(low) | of(high) << 16;
    }
    __m128i ends_ = _mm_set1_epi8(std::to_integer<char>(end_)), starts_ = _mm_set1_epi8(std::to_integer<char>(start_));
#endif
};

class LineReader final : public Framer {
public:
    LineReader(std::size_t most, char start, char end) : most_(most), start_(static_cast<std::byte>(start)), end_(static_cast<std::byte>(end)) { held_.reserve(most + 3); }

    void feed(ByteView chunk, FrameSink sink) override
    {
        const std::byte* p = chunk.data();
        const std::byte* const e = p + chunk.size();
        const Scan scan(end_, start_);
        while (p != e) {
            const std::byte* last = nullptr;
            const std::byte* const stop = scan(p, e, last);
            if (stop == e) return keep({p, e});
            if (held_.empty() && !bad_)
                deliver({p, stop}, last, sink);
            else
                finish({p, stop}, sink);
            p = stop + 1;
        }
    }

    void reset() override
    {
        held_.clear();
        bad_ = false;
    }

private:
    // More than `most` may wait here: CR and LF of the line before, CR of this one.
    void keep(ByteView part)
    {
        if (bad_) return;
        if (part.size() > most_ + 3 - held_.size()) {
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
        if (!bad_) deliver(held_, last_of(held_.data(), held_.data() + held_.size(), start_, nullptr), sink);
        reset();
    }

    // At most CR LF in front and CR behind, so that the buffer's bound holds.
    ByteView bare(ByteView line) const
    {
        if (end_ != std::byte{'\n'} && !line.empty() && line.front() == std::byte{'\r'}) line = line.subspan(1);
        if (end_ != std::byte{'\n'} && !line.empty() && line.front() == std::byte{'\n'}) line = line.subspan(1);
        if (!line.empty() && line.back() == std::byte{'\r'}) line = line.first(line.size() - 1);
        return line;
    }

    // `last`: the last start character of the line, if any.
    void deliver(ByteView line, const std::byte* last, FrameSink sink)
    {
        if (last && end_ == std::byte{'\n'}) [[likely]] { // nothing is cut in front of it
            const std::byte* const behind = line.data() + line.size() - (line.back() == std::byte{'\r'});
            if (last != behind && static_cast<std::size_t>(behind - line.data()) <= most_) {
                drops_.noise_bytes += static_cast<std::size_t>(last - line.data());
                sink({last, behind});
                return;
            }
        }
        line = bare(line);
        if (line.empty()) return;
        if (line.size() > most_) {
            ++drops_.too_long;
            return;
        }
        if (start_ != std::byte{0}) {
            const std::byte* const behind = line.data() + line.size();
            if (last && (last < line.data() || last >= behind)) last = last_of(line.data(), behind, start_, nullptr); // a CR or LF that was cut
            const std::size_t before = last ? static_cast<std::size_t>(last - line.data()) : line.size();
            drops_.noise_bytes += before;
            if (!last) return;
            line = line.subspan(before);
        }
        sink(line);
    }

    std::size_t most_;
    std::byte start_;
    std::byte end_;
    Bytes held_;
    bool bad_ = false;
};

} // namespace

std::unique_ptr<Framer> line_reader(std::size_t most, char start, char end)
{
    return std::make_unique<LineReader>(most, start, end);
}

void line_write(ByteView text, Bytes& out, std::string_view end)
{
    out.insert(out.end(), text.begin(), text.end());
    for (char c : end) out.push_back(static_cast<std::byte>(c));
}

} // namespace chockside::framing
