#include <core/trend/detail/block.h>

#include <core/trend/detail/column.h>

#include <bit>

namespace chockside::trend::detail {

namespace {

constexpr std::size_t most_plain = 1u << 20;

std::uint64_t bits(double v) { return std::bit_cast<std::uint64_t>(v); }
std::uint64_t bits(std::int64_t v) { return static_cast<std::uint64_t>(v); }

/// The block's place is part of every checksum, so that one that stands in another's place is seen.
std::uint32_t check_of(std::uint64_t id, char part, ByteView bytes)
{
    Bytes place;
    put_u64(id, 8, place);
    place.push_back(static_cast<std::byte>(part));
    return crc32(bytes) ^ std::rotl(crc32(place), 7);
}

Bytes with_check(std::uint64_t id, char part, Bytes bytes)
{
    put_u64(check_of(id, part, bytes), 4, bytes);
    return bytes;
}

bool checked(std::uint64_t id, char part, ByteView& bytes)
{
    if (bytes.size() < 4) return false;
    ByteView tail = bytes.last(4);
    bytes = bytes.first(bytes.size() - 4);
    std::uint64_t sum = 0;
    return take_u64(tail, 4, sum) && sum == check_of(id, part, bytes);
}

template <class Rows, class Get>
void column(const Rows& rows, Bytes& out, Get get)
{
    Whole numbers;
    numbers.reserve(rows.size());
    for (const auto& row : rows) numbers.push_back(get(row));
    put_column(numbers, out);
}

void put_line(const codec::Line& l, Bytes& out)
{
    put_u64(l.left, 1, out);
    put_u64(l.right, 1, out);
    put_u64(l.is_signed, 1, out);
    for (const double v : {l.factor, l.offset, l.turn}) put_u64(bits(v), 8, out);
}

bool take_line(ByteView& in, codec::Line& l)
{
    std::uint64_t left = 0, right = 0, is_signed = 0, v[3] = {};
    if (!take_u64(in, 1, left) || !take_u64(in, 1, right) || !take_u64(in, 1, is_signed) || left > 63 || right > 63) return false;
    for (std::uint64_t& one : v)
        if (!take_u64(in, 8, one)) return false;
    l = {static_cast<std::uint8_t>(left), static_cast<std::uint8_t>(right), is_signed != 0, std::bit_cast<double>(v[0]), std::bit_cast<double>(v[1]), std::bit_cast<double>(v[2])};
    return true;
}

char part_of(int level) { return static_cast<char>('A' + level); }

/// The line holds only where every value lies on it to the last bit.
bool on_line(std::span<const Sample> samples, const codec::Line& line)
{
    for (const Sample& s : samples)
        if (bits(codec::value_on(line, s.raw)) != bits(s.value)) return false;
    return true;
}

Bytes encode_data(std::span<const Sample> samples, const std::optional<codec::Line>& line)
{
    Bytes plain;
    plain.reserve(samples.size() * 12);
    put_u64(samples.size(), 4, plain);
    column(samples, plain, [](const Sample& s) { return bits(s.t_ns); });
    column(samples, plain, [](const Sample& s) { return s.raw; });
    column(samples, plain, [](const Sample& s) { return static_cast<std::uint64_t>(s.validity); });
    const bool follows = line && on_line(samples, *line);
    plain.push_back(static_cast<std::byte>(follows));
    if (follows) put_line(*line, plain);
    else column(samples, plain, [](const Sample& s) { return bits(s.value); });
    return pack(plain);
}

Bytes encode_pyramid(std::span<const Span> spans)
{
    Bytes plain;
    put_u64(spans.size(), 4, plain);
    column(spans, plain, [](const Span& s) { return bits(s.number); });
    column(spans, plain, [](const Span& s) { return s.extent.count; });
    column(spans, plain, [](const Span& s) { return s.extent.bad; });
    for (double Extent::* const part : {&Extent::min, &Extent::max, &Extent::first, &Extent::last})
        column(spans, plain, [part](const Span& s) { return bits(s.extent.*part); });
    return pack(plain);
}

Bytes encode_head(const Head& h)
{
    Bytes out;
    for (const std::uint64_t v : {h.all.count, h.all.bad, bits(h.first_t), bits(h.last_t), bits(h.all.min), bits(h.all.max), bits(h.all.first),
             bits(h.all.last), bits(h.min_t), bits(h.max_t), bits(h.longest)})
        put_u64(v, 8, out);
    put_u64(static_cast<std::uint8_t>(h.level), 1, out);
    put_u64(static_cast<std::uint8_t>(h.top), 1, out);
    return out;
}

} // namespace

Encoded encode(std::uint64_t id, std::span<const Sample> samples, const std::optional<codec::Line>& line)
{
    Head head = head_of(samples);
    Encoded out{{}, {}, with_check(id, 'd', encode_data(samples, line)), {}};
    std::vector<Span> spans;
    if (head.level >= 0)
        for (const Sample& s : samples) add_to_spans(spans, s, head.level);
    for (int level = head.level; spans.size() >= 8; spans = coarser(spans, level, level + 1), ++level) {
        out.pyramid.push_back({level, with_check(id, part_of(level), encode_pyramid(spans))});
        head.top = static_cast<std::int8_t>(level);
        if (level + 1 == levels) break;
    }
    if (head.top < 0) head.level = -1;
    out.head = with_check(id, 'h', encode_head(head));
    out.summary = head;
    return out;
}

bool decode_head(std::uint64_t id, ByteView in, Head& h)
{
    std::uint64_t v[11] = {}, level = 0, top = 0;
    if (!checked(id, 'h', in)) return false;
    for (std::uint64_t& one : v)
        if (!take_u64(in, 8, one)) return false;
    if (!take_u64(in, 1, level) || !take_u64(in, 1, top) || !in.empty() || v[0] == 0 || v[0] > block_samples || v[1] > v[0]) return false;
    const auto d = [&](int i) { return std::bit_cast<double>(v[i]); };
    const auto t = [&](int i) { return static_cast<std::int64_t>(v[i]); };
    h = {{v[0], v[1], d(4), d(5), d(6), d(7)}, t(2), t(3), t(8), t(9), t(10), static_cast<std::int8_t>(level), static_cast<std::int8_t>(top)};
    return h.level < levels && h.top < levels;
}

bool decode_pyramid(std::uint64_t id, int level, ByteView in, std::vector<Span>& spans)
{
    spans.clear();
    Bytes plain;
    std::uint64_t n = 0;
    if (!checked(id, part_of(level), in) || !unpack(in, most_plain, plain)) return false;
    in = plain;
    if (!take_u64(in, 4, n) || n > block_samples) return false;
    Whole columns[7];
    for (Whole& c : columns)
        if (!take_column(in, n, c)) return false;
    for (std::size_t i = 0; i < n; ++i) {
        const auto d = [&](int c) { return std::bit_cast<double>(columns[c][i]); };
        const auto t = [&](int c) { return static_cast<std::int64_t>(columns[c][i]); };
        spans.push_back({t(0), {columns[1][i], columns[2][i], d(3), d(4), d(5), d(6)}});
    }
    return true;
}

bool decode_data(std::uint64_t id, ByteView in, std::vector<Sample>& samples)
{
    samples.clear();
    Bytes plain;
    std::uint64_t n = 0, follows = 0;
    if (!checked(id, 'd', in) || !unpack(in, most_plain, plain)) return false;
    in = plain;
    Whole t, raw, validity, value;
    if (!take_u64(in, 4, n) || n > block_samples || !take_column(in, n, t) || !take_column(in, n, raw) || !take_column(in, n, validity) || !take_u64(in, 1, follows)) return false;
    codec::Line line;
    if (follows ? !take_line(in, line) : !take_column(in, n, value)) return false;
    samples.reserve(n);
    for (std::size_t i = 0; i < n; ++i) {
        if (validity[i] > static_cast<std::uint64_t>(codec::Validity::invalid_code)) return samples.clear(), false;
        samples.push_back({static_cast<std::int64_t>(t[i]), raw[i], follows ? codec::value_on(line, raw[i]) : std::bit_cast<double>(value[i]), static_cast<codec::Validity>(validity[i])});
    }
    return true;
}

} // namespace chockside::trend::detail
