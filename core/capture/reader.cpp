#include <core/capture/reader.h>

#include <bit>
#include <limits>

namespace chockside::capture {

namespace {

constexpr std::uint32_t section_block = 0x0A0D0D0A, interface_block = 1, packet_block = 6;
constexpr std::size_t serial_header = 12;

Packet from_payload(ByteView data)
{
    Packet p;
    p.event = static_cast<Event>(data[8]);
    p.lines = std::to_integer<std::uint8_t>(data[9]);
    p.bytes.assign(data.begin() + serial_header, data.end());
    return p;
}

/// Where no flags tell it, the event does.
Direction by_event(Event e)
{
    if (e == Event::sent_start || e == Event::sent_end) return Direction::sent;
    if (e == Event::received_start || e == Event::received_end) return Direction::received;
    return Direction::none;
}

/// if_tsresol: seven bits of exponent, base 2 when the top bit is set, else 10.
std::uint64_t ticks_of(std::uint8_t resolution)
{
    const int exponent = resolution & 0x7F;
    if (resolution & 0x80) return exponent < 63 ? std::uint64_t{1} << exponent : 0;
    std::uint64_t ticks = 1;
    for (int i = 0; i < exponent; ++i) {
        if (ticks > std::numeric_limits<std::uint64_t>::max() / 10) return 0;
        ticks *= 10;
    }
    return ticks;
}

std::int64_t to_ns(std::uint64_t ticks, std::uint64_t per_s, std::int64_t offset_s)
{
    if (per_s == 0) return 0;
    const std::uint64_t seconds = ticks / per_s, rest = ticks % per_s;
    const auto fraction = static_cast<std::int64_t>(static_cast<long double>(rest) * 1e9L / static_cast<long double>(per_s) + 0.5L);
    return static_cast<std::int64_t>((static_cast<std::uint64_t>(offset_s) + seconds) * 1'000'000'000u + static_cast<std::uint64_t>(fraction)); // times that no clock shows wrap
}

} // namespace

std::uint32_t Reader::u32(ByteView b, std::size_t at) const
{
    std::uint32_t v = 0;
    for (std::size_t i = 0; i < 4; ++i) v |= std::to_integer<std::uint32_t>(b[at + i]) << (8 * (big_ ? 3 - i : i));
    return v;
}

std::uint16_t Reader::u16(ByteView b, std::size_t at) const
{
    const auto low = std::to_integer<unsigned>(b[at + (big_ ? 1 : 0)]), high = std::to_integer<unsigned>(b[at + (big_ ? 0 : 1)]);
    return static_cast<std::uint16_t>(high << 8 | low);
}

void Reader::stop(const char* code)
{
    damage_ = code;
    done_ = true;
}

template <class F>
void Reader::options(ByteView b, F each) const
{
    for (std::size_t at = 0; at + 4 <= b.size();) {
        const std::uint16_t code = u16(b, at);
        const std::size_t length = u16(b, at + 2);
        if (code == 0 || at + 4 + length > b.size()) return;
        each(code, b.subspan(at + 4, length));
        at += 4 + (length + 3) / 4 * 4;
    }
}

bool Reader::begin_section(ByteView body)
{
    big_ = false;
    const std::uint32_t magic = u32(body, 0);
    if (magic != 0x1A2B3C4D && magic != 0x4D3C2B1A) return false;
    big_ = magic == 0x4D3C2B1A;
    interfaces_.clear();
    if (body.size() > 16)
        options(body.subspan(16), [&](std::uint16_t code, ByteView v) {
            if (code == 1) section_comment_ = to_text(v);
        });
    return true;
}

void Reader::begin_interface(ByteView body)
{
    Interface one;
    if (body.size() >= 8) {
        one.link_type = u16(body, 0);
        options(body.subspan(8), [&](std::uint16_t code, ByteView v) {
            if (code == 2) one.name = to_text(v);
            if (code == 3) one.description = to_text(v);
            if (code == 9 && v.size() == 1) one.ticks_per_s = ticks_of(std::to_integer<std::uint8_t>(v[0]));
            if (code == 14 && v.size() == 8) {
                const std::uint64_t first = u32(v, 0), second = u32(v, 4);
                one.offset_s = static_cast<std::int64_t>(big_ ? first << 32 | second : second << 32 | first);
            }
        });
    }
    interfaces_.push_back(one);
}

std::optional<Reader::Block> Reader::next_block()
{
    const std::size_t left = file_.size() - at_;
    if (left == 0) return std::nullopt;
    const auto cut = [&] {
        cut_tail_ = left;
        done_ = true;
        return std::nullopt;
    };
    if (left < 12) return cut();
    const ByteView rest = file_.subspan(at_);
    const std::uint32_t type = u32(rest, 0); // the section's type reads the same in both byte orders
    if (type == section_block) {
        const std::uint32_t magic = (big_ = false, u32(rest, 8));
        if (magic != 0x1A2B3C4D && magic != 0x4D3C2B1A) return stop("section_byte_order"), std::nullopt;
        big_ = magic == 0x4D3C2B1A;
    }
    const std::uint32_t length = u32(rest, 4);
    if (length < 12 || length % 4 != 0) return stop("block_length"), std::nullopt;
    if (length > left) return cut();
    if (u32(rest, length - 4) != length) return stop("block_length"), std::nullopt;
    at_ += length;
    return Block{type, rest.subspan(8, length - 12)};
}

std::optional<Packet> Reader::enhanced(ByteView body)
{
    if (body.size() < 20) return stop("packet_length"), std::nullopt;
    const std::uint32_t interface = u32(body, 0), captured = u32(body, 12);
    if (captured > body.size() - 20) return stop("packet_length"), std::nullopt;
    if (interface >= interfaces_.size() || interfaces_[interface].link_type != 250 || captured < serial_header) return ++other_, std::nullopt;
    const Interface& on = interfaces_[interface];
    Packet p = from_payload(body.subspan(20, captured));
    p.t_ns = to_ns(std::uint64_t{u32(body, 4)} << 32 | u32(body, 8), on.ticks_per_s, on.offset_s);
    p.direction = by_event(p.event);
    const std::size_t behind = 20 + (std::size_t{captured} + 3) / 4 * 4;
    if (behind >= body.size()) return p;
    options(body.subspan(behind), [&](std::uint16_t code, ByteView v) {
        if (code == 1) p.comment += (p.comment.empty() ? "" : "\n") + to_text(v);
        if (code == 2 && v.size() == 4 && (u32(v, 0) & 3u) != 0) p.direction = (u32(v, 0) & 3u) == 1 ? Direction::received : Direction::sent;
    });
    return p;
}

std::optional<Packet> Reader::next_classic()
{
    while (!done_ && at_ < file_.size()) {
        const ByteView rest = file_.subspan(at_);
        const std::uint32_t captured = rest.size() >= 16 ? u32(rest, 8) : 0;
        if (rest.size() < 16 || captured > rest.size() - 16) {
            cut_tail_ = rest.size();
            done_ = true;
            return std::nullopt;
        }
        at_ += 16 + captured;
        if (interfaces_.front().link_type != 250 || captured < serial_header) {
            ++other_;
            continue;
        }
        Packet p = from_payload(rest.subspan(16, captured));
        const std::int64_t unit = interfaces_.front().ticks_per_s == 1'000'000 ? 1000 : 1;
        p.t_ns = std::int64_t{u32(rest, 0)} * 1'000'000'000 + std::int64_t{u32(rest, 4)} * unit;
        p.direction = by_event(p.event);
        return p;
    }
    return std::nullopt;
}

std::optional<Packet> Reader::next()
{
    if (classic_) return next_classic();
    while (!done_) {
        const auto block = next_block();
        if (!block) return std::nullopt;
        if (block->type == section_block && (block->body.size() < 16 || !begin_section(block->body))) return stop("section_byte_order"), std::nullopt;
        if (block->type == interface_block) begin_interface(block->body);
        if (block->type != packet_block) continue;
        if (auto packet = enhanced(block->body)) return packet;
    }
    return std::nullopt;
}

Result<Reader> Reader::open(ByteView file)
{
    if (file.empty()) return fail("capture_empty");
    Reader r(file);
    if (file.size() < 24) return fail("capture_not_recognised");
    const std::uint32_t first = r.u32(file, 0);
    if (first == section_block) return r;
    r.classic_ = true;
    r.big_ = first == 0xD4C3B2A1 || first == 0x4D3CB2A1;
    const std::uint32_t magic = r.u32(file, 0);
    if (magic != 0xA1B2C3D4 && magic != 0xA1B23C4D) return fail("capture_not_recognised");
    Interface one;
    one.link_type = static_cast<int>(r.u32(file, 20) & 0xFFFFu);
    one.ticks_per_s = magic == 0xA1B23C4D ? 1'000'000'000 : 1'000'000;
    r.interfaces_.push_back(one);
    r.at_ = 24;
    return r;
}

void Reader::go_on(ByteView rest)
{
    file_ = rest;
    at_ = 0;
    if (damage_.empty()) done_ = false;
    cut_tail_ = 0;
}

Result<Read> read_all(ByteView file)
{
    auto reader = Reader::open(file);
    if (!reader) return Unexpected{reader.error()};
    Read all;
    while (auto packet = reader->next()) all.packets.push_back(std::move(*packet));
    all.cut_tail = reader->cut_tail();
    all.damage = reader->damage();
    return all;
}

} // namespace chockside::capture
