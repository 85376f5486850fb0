#include <core/codec/detail/checksum.h>

#include <core/framing/framer.h>

#include <algorithm>

namespace chockside::codec::detail {

using Kind = profile::Checksum::Kind;

namespace {

int hex_digit(std::byte b)
{
    const int c = std::to_integer<int>(b);
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

} // namespace

Check::Check(const profile::Framing& f)
    : kind_(f.checksum.kind), big_(f.checksum.order == profile::Order::big), line_(f.kind == profile::Framing::Kind::lines), started_(f.start != 0),
      mark_(f.checksum.mark), from_(f.checksum.from)
{
    if (!line_) tail_ = f.tail;
    if (kind_ == Kind::crc) {
        crc_.emplace(f.checksum.crc);
        bytes_ = static_cast<std::size_t>(crc_->bytes());
    } else if (kind_ != Kind::none) {
        bytes_ = kind_ == Kind::sum16 ? 2 : 1;
    }
}

std::uint64_t Check::of(ByteView bytes) const
{
    switch (kind_) {
    case Kind::crc: return crc_->of(bytes);
    case Kind::xor8: return framing::xor_of(bytes);
    case Kind::sum8_zero: return (0u - framing::sum_of(bytes)) & 0xFFu;
    case Kind::sum16: return framing::sum_of(bytes) & 0xFFFFu;
    default: return framing::sum_of(bytes) & 0xFFu;
    }
}

ByteView Check::covered(ByteView bytes) const
{
    return bytes.subspan(std::min(from_, bytes.size()));
}

// Text: start character, sentence, mark, two hexadecimal digits a byte.
std::optional<ByteView> Check::strip_line(ByteView line) const
{
    if (started_) {
        if (line.empty()) return std::nullopt;
        line = line.subspan(1);
    }
    if (kind_ == Kind::none) return line;
    const std::size_t behind = 2 * bytes_ + (mark_ ? 1 : 0);
    if (line.size() < behind || (mark_ && line[line.size() - behind] != static_cast<std::byte>(mark_))) return std::nullopt;
    std::uint64_t told = 0;
    for (std::byte digit : line.last(2 * bytes_)) {
        const int d = hex_digit(digit);
        if (d < 0) return std::nullopt;
        told = told << 4 | static_cast<std::uint64_t>(d);
    }
    const ByteView body = line.first(line.size() - behind);
    return of(covered(body)) == told ? std::optional(body) : std::nullopt;
}

std::optional<ByteView> Check::strip(ByteView frame) const
{
    if (line_) return strip_line(frame);
    if (!tail_.empty()) {
        if (frame.size() < tail_.size() || !std::equal(tail_.begin(), tail_.end(), frame.end() - static_cast<std::ptrdiff_t>(tail_.size()))) return std::nullopt;
        frame = frame.first(frame.size() - tail_.size());
    }
    if (kind_ == Kind::none) return frame;
    if (frame.size() <= bytes_) return std::nullopt;
    const ByteView body = frame.first(frame.size() - bytes_);
    std::uint64_t told = 0;
    for (std::size_t i = 0; i < bytes_; ++i)
        told = told << 8 | std::to_integer<std::uint64_t>(frame[body.size() + (big_ ? i : bytes_ - 1 - i)]);
    return of(covered(body)) == told ? std::optional(body) : std::nullopt;
}

void Check::append(Bytes& frame) const
{
    if (kind_ != Kind::none) {
        const std::uint64_t value = of(covered(line_ && started_ ? ByteView(frame).subspan(1) : ByteView(frame)));
        if (line_ && mark_) frame.push_back(static_cast<std::byte>(mark_));
        const std::size_t places = line_ ? 2 * bytes_ : bytes_;
        for (std::size_t i = 0; i < places; ++i) {
            const std::size_t at = line_ || big_ ? places - 1 - i : i;
            if (line_)
                frame.push_back(static_cast<std::byte>("0123456789ABCDEF"[value >> (4 * at) & 0xFu]));
            else
                frame.push_back(static_cast<std::byte>(value >> (8 * at) & 0xFFu));
        }
    }
    frame.insert(frame.end(), tail_.begin(), tail_.end());
}

} // namespace chockside::codec::detail
