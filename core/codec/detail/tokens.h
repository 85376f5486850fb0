#pragma once

#include <core/base/bytes.h>

#include <bit>
#include <cstdint>
#include <string_view>
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace chockside::codec::detail {

inline std::string_view as_text(ByteView b)
{
    return {reinterpret_cast<const char*>(b.data()), b.size()};
}

/// Where separators are among the next `n` bytes, at most 64; bit 0 is the first. Nothing below `low` is read.
inline std::uint64_t marks_of(const std::byte* p, std::size_t n, const std::byte* low, std::byte split)
{
    std::uint64_t marks = 0;
    std::size_t i = 0;
#if defined(__SSE2__)
    const __m128i wanted = _mm_set1_epi8(std::to_integer<char>(split));
    const auto of_16 = [&](const std::byte* at) -> std::uint64_t {
        return static_cast<unsigned>(_mm_movemask_epi8(_mm_cmpeq_epi8(_mm_loadu_si128(reinterpret_cast<const __m128i*>(at)), wanted)));
    };
    if (n - 16 <= 16) return of_16(p) | of_16(p + n - 16) << (n - 16); // a usual line by both its ends
    for (; n - i >= 16; i += 16) marks |= of_16(p + i) << i;
    const std::size_t rest = n - i;
    if (rest != 0 && p + n - low >= 16) return marks | of_16(p + n - 16) >> (16 - rest) << i;
#else
    (void)low;
#endif
    for (; i < n; ++i) marks |= std::uint64_t{p[i] == split} << i;
    return marks;
}

/// The tokens of a line whose frame is below 64 bytes, in order. One look finds all separators: to search for each would cost a mispredicted
/// branch a token, as tokens differ in length. For the same reason the look takes in the whole frame, which has more than 16 bytes more
/// often than what lies in it.
class ShortTokens {
public:
    /// `frame` must live as long as its tokens are used; `line` lies in it.
    ShortTokens(ByteView line, std::string_view frame, std::byte split) : at_(line.data()), base_(reinterpret_cast<const std::byte*>(frame.data()))
    {
        const std::uint64_t from = std::uint64_t{1} << (at_ - base_), end = from << line.size();
        marks_ = (marks_of(base_, frame.size(), base_, split) & (end - from)) | end;
    }
    /// Whether there is one more; an empty line has one empty token.
    bool left() const { return marks_ != 0; }
    ByteView next()
    {
        const std::byte* const from = at_;
        const std::byte* const stop = base_ + std::countr_zero(marks_);
        marks_ &= marks_ - 1;
        at_ = stop + 1;
        return {from, stop};
    }

private:
    const std::byte *at_, *base_;
    std::uint64_t marks_; ///< separators that have not been reached, and the line's end; bit 0 is the frame's first byte
};

/// The same for lines of any length.
class Tokens {
public:
    Tokens() = default;
    /// `low`: memory before the line that may be read begins here. The line must live as long as its tokens are used.
    Tokens(ByteView line, const std::byte* low, std::byte split) : at_(line.data()), end_(at_ + line.size()), seen_(at_), low_(low), split_(split), left_(true) {}
    /// Whether there is one more; an empty line has one empty token.
    bool left() const { return left_; }
    ByteView next()
    {
        const std::byte* const from = at_;
        while (marks_ == 0 && seen_ != end_) look();
        if (marks_ == 0) {
            left_ = false;
            return {from, end_};
        }
        const std::byte* const stop = base_ + std::countr_zero(marks_);
        marks_ &= marks_ - 1;
        at_ = stop + 1;
        return {from, stop};
    }

private:
    void look()
    {
        base_ = seen_;
        const std::size_t left = static_cast<std::size_t>(end_ - base_), n = left < 64 ? left : 64;
        marks_ = marks_of(base_, n, low_, split_);
        seen_ = base_ + n;
    }

    const std::byte *at_ = nullptr, *end_ = nullptr;
    const std::byte *base_ = nullptr, *seen_ = nullptr; ///< marks_ tells of what lies between
    const std::byte* low_ = nullptr;
    std::uint64_t marks_ = 0; ///< separators that have not been reached; bit 0 is base_
    std::byte split_{};
    bool left_ = false;
};

} // namespace chockside::codec::detail
