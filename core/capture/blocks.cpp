#include <core/capture/writer.h>

#include <algorithm>

namespace chockside::capture {

namespace {

constexpr std::uint32_t section_block = 0x0A0D0D0A, interface_block = 1, packet_block = 6;
constexpr std::uint32_t byte_order_magic = 0x1A2B3C4D;
constexpr std::uint16_t link_type_rtac_serial = 250;
constexpr std::size_t serial_header = 12;
constexpr std::size_t most_option = 60'000; // an option's length is 16 bits

void put(Bytes& out, std::uint64_t value, int bytes)
{
    for (int i = 0; i < bytes; ++i) out.push_back(static_cast<std::byte>(value >> (8 * i) & 0xFFu));
}

void put_big(Bytes& out, std::uint32_t value)
{
    for (int shift = 24; shift >= 0; shift -= 8) out.push_back(static_cast<std::byte>(value >> shift & 0xFFu));
}

void pad(Bytes& out, std::size_t from)
{
    while ((out.size() - from) % 4 != 0) out.push_back(std::byte{0});
}

void option(Bytes& out, std::uint16_t code, ByteView value)
{
    const std::size_t n = std::min(value.size(), most_option);
    put(out, code, 2);
    put(out, n, 2);
    const std::size_t from = out.size();
    out.insert(out.end(), value.begin(), value.begin() + static_cast<std::ptrdiff_t>(n));
    pad(out, from);
}

void text_option(Bytes& out, std::uint16_t code, const std::string& text)
{
    if (!text.empty()) option(out, code, as_bytes(text));
}

/// Type, length, body, length again: the length is known once the body is there.
class Block {
public:
    Block(Bytes& out, std::uint32_t type) : out_(out), from_(out.size())
    {
        put(out_, type, 4);
        put(out_, 0, 4);
    }
    void end()
    {
        const auto length = static_cast<std::uint32_t>(out_.size() - from_ + 4);
        for (std::size_t i = 0; i < 4; ++i) out_[from_ + 4 + i] = static_cast<std::byte>(length >> (8 * i) & 0xFFu);
        put(out_, length, 4);
    }

private:
    Bytes& out_;
    std::size_t from_;
};

void interface_options(const About& about, Bytes& out)
{
    text_option(out, 2, about.port);
    text_option(out, 3, about.description);
    if (about.bit_rate > 0) {
        Bytes speed;
        put(speed, about.bit_rate, 8);
        option(out, 8, speed);
    }
    const Bytes nanoseconds{std::byte{9}};
    option(out, 9, nanoseconds);
    put(out, 0, 4);
}

std::uint32_t direction_bits(Direction d)
{
    return d == Direction::received ? 1u : d == Direction::sent ? 2u : 0u;
}

} // namespace

const char* name_of(Event e)
{
    switch (e) {
    case Event::status_change: return "status_change";
    case Event::sent_start: return "sent_start";
    case Event::received_start: return "received_start";
    case Event::sent_end: return "sent_end";
    case Event::received_end: return "received_end";
    case Event::data_lost: return "data_lost";
    case Event::complete: return "complete";
    case Event::framing_error: return "framing_error";
    case Event::parity_error: return "parity_error";
    case Event::line_break: return "line_break";
    case Event::overflow: return "overflow";
    }
    return "unknown";
}

void write_section(const About& about, Bytes& out)
{
    Block section(out, section_block);
    put(out, byte_order_magic, 4);
    put(out, 1, 2);
    put(out, 0, 2);
    put(out, ~std::uint64_t{0}, 8); // section length: not given
    text_option(out, 1, about.comment);
    text_option(out, 4, "Chockside");
    put(out, 0, 4);
    section.end();

    Block interface(out, interface_block);
    put(out, link_type_rtac_serial, 2);
    put(out, 0, 2);
    put(out, 0, 4); // no snapshot limit
    interface_options(about, out);
    interface.end();
}

void write_packet(const Packet& packet, Bytes& out)
{
    Block block(out, packet_block);
    const auto t = static_cast<std::uint64_t>(packet.t_ns);
    const auto length = static_cast<std::uint32_t>(serial_header + packet.bytes.size());
    put(out, 0, 4);
    put(out, t >> 32, 4);
    put(out, t & 0xFFFFFFFFu, 4);
    put(out, length, 4);
    put(out, length, 4);
    const std::size_t from = out.size();
    put_big(out, static_cast<std::uint32_t>(t / 1'000'000'000));
    put_big(out, static_cast<std::uint32_t>(t % 1'000'000'000 / 1000));
    out.push_back(static_cast<std::byte>(packet.event));
    out.push_back(static_cast<std::byte>(packet.lines));
    put(out, 0, 2);
    out.insert(out.end(), packet.bytes.begin(), packet.bytes.end());
    pad(out, from);
    text_option(out, 1, packet.comment);
    Bytes flags;
    put(flags, direction_bits(packet.direction), 4);
    option(out, 2, flags);
    put(out, 0, 4);
    block.end();
}

} // namespace chockside::capture
