#include <core/codec/detail/checksum.h>

#include <core/framing/framer.h>

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
    : kind_(f.checksum.kind), big_(f.checksum.order == profile::Order::big), line_(f.kind == profile::Framing::Kind::lines), started_(f.start != 0)
{
    if (kind_ == Kind::crc) {
        crc_.emplace(f.checksum.crc);
        bytes_ = static_cast<std::size_t>(crc_->bytes());
    } else if (kind_ != Kind::none) {
        bytes_ = 1;
    }
}

std::uint32_t Check::of(ByteView bytes) const
{
    if (kind_ == Kind::crc) return crc_->of(bytes);
    return kind_ == Kind::xor8 ? framing::xor_of(bytes) : framing::sum_of(bytes);
}

// Text: start character, sentence, '*', two hexadecimal digits a byte.
std::optional<ByteView> Check::strip_line(ByteView line) const
{
    if (started_) {
        if (line.empty()) return std::nullopt;
        line = line.subspan(1);
    }
    if (kind_ == Kind::none) return line;
    if (line.size() < 2 * bytes_ + 1 || line[line.size() - 2 * bytes_ - 1] != std::byte{'*'}) return std::nullopt;
    std::uint32_t told = 0;
    for (std::byte digit : line.last(2 * bytes_)) {
        const int d = hex_digit(digit);
        if (d < 0) return std::nullopt;
        told = told << 4 | static_cast<std::uint32_t>(d);
    }
    const ByteView body = line.first(line.size() - 2 * bytes_ - 1);
    return of(body) == told ? std::optional(body) : std::nullopt;
}

std::optional<ByteView> Check::strip(ByteView frame) const
{
    if (line_) return strip_line(frame);
    if (kind_ == Kind::none) return frame;
    if (frame.size() <= bytes_) return std::nullopt;
    const ByteView body = frame.first(frame.size() - bytes_);
    std::uint32_t told = 0;
    for (std::size_t i = 0; i < bytes_; ++i)
        told = told << 8 | std::to_integer<std::uint32_t>(frame[body.size() + (big_ ? i : bytes_ - 1 - i)]);
    return of(body) == told ? std::optional(body) : std::nullopt;
}

void Check::append(Bytes& frame) const
{
    if (kind_ == Kind::none) return;
    const std::uint32_t value = of(line_ && started_ ? ByteView(frame).subspan(1) : ByteView(frame));
    if (line_) frame.push_back(std::byte{'*'});
    const std::size_t places = line_ ? 2 * bytes_ : bytes_;
    for (std::size_t i = 0; i < places; ++i) {
        const std::size_t at = line_ || big_ ? places - 1 - i : i;
        if (line_)
            frame.push_back(static_cast<std::byte>("0123456789ABCDEF"[value >> (4 * at) & 0xFu]));
        else
            frame.push_back(static_cast<std::byte>(value >> (8 * at) & 0xFFu));
    }
}

} // namespace chockside::codec::detail
