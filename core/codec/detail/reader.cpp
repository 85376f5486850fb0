#include <core/codec/detail/reader.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <limits>

namespace chockside::codec::detail {

namespace {

std::uint64_t integer(const std::byte* p, std::size_t n, bool big)
{
    std::uint64_t v = 0;
    for (std::size_t i = 0; i < n; ++i) v = v << 8 | std::to_integer<std::uint64_t>(p[big ? i : n - 1 - i]);
    return v;
}

} // namespace

Reader::Reader(const Program& program) : p_(program)
{
    out_.resize(p_.worst_observations);
    for (const FrameProgram& f : p_.frames) {
        texts_.emplace_back();
        for (const TextField& t : f.texts) texts_.back().emplace_back(t.name, std::string());
    }
}

void Reader::begin(const FrameProgram& f, std::int64_t t_ns, std::uint32_t frame_no)
{
    count_ = 0;
    text_index_ = 0;
    frame_ = index_of(f);
    t_ns_ = t_ns;
    frame_no_ = frame_no;
    cursor_ = 0;
}

Reader::Outcome Reader::run(const FrameProgram& f, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no)
{
    begin(f, t_ns, frame_no);
    bytes_ = frame;
    const Op* first = p_.ops.data() + f.first_op;
    const Outcome outcome = runs(first, first + f.op_count);
    if (!f.texts.empty()) texts_[frame_].resize(text_index_);
    if (outcome != Outcome::good) return outcome;
    return cursor_ == bytes_.size() ? Outcome::good : Outcome::too_long;
}

Reader::Outcome Reader::runs(const Op* op, const Op* end)
{
    for (; op != end; ++op) {
        switch (op->kind) {
        case OpKind::need:
            if (bytes_.size() - cursor_ < op->bytes16) return Outcome::short_frame;
            break;
        case OpKind::advance: cursor_ += op->bytes16; break;
        case OpKind::words:
            if (op->reg != 0xFF) {
                const std::uint64_t n = registers_[op->reg];
                if (n > op->most) return Outcome::out_of_range;
                if (bytes_.size() - cursor_ < n * 4) return Outcome::short_frame;
                words(*op, bytes_.data() + cursor_, n);
                cursor_ += n * 4;
            } else {
                words(*op, bytes_.data() + cursor_ + op->offset, 1);
            }
            break;
        case OpKind::loop: {
            const std::uint64_t n = registers_[op->reg];
            if (n > op->most) return Outcome::out_of_range;
            if (bytes_.size() - cursor_ < n * op->bytes16) return Outcome::short_frame;
            for (std::uint64_t i = 0; i < n; ++i, cursor_ += op->bytes16)
                for (const Op* body = op + 1; body != op + 1 + op->body_ops; ++body) slot(*body, bytes_.data() + cursor_ + body->offset);
            op += op->body_ops;
            break;
        }
        default: slot(*op, bytes_.data() + cursor_ + op->offset); break;
        }
    }
    return Outcome::good;
}

void Reader::slot(const Op& op, const std::byte* p)
{
    switch (op.kind) {
    case OpKind::load: return load(op, p);
    case OpKind::real: return real(op, p);
    case OpKind::bcd: return bcd(op, p);
    case OpKind::text: return text(op, ByteView(p, op.bytes16));
    case OpKind::words: return words(op, p, 1);
    default: return;
    }
}

void Reader::emit(SignalId signal, std::uint64_t raw, double value, Validity validity)
{
    out_[count_++] = {signal, t_ns_, raw, value, validity, frame_no_};
}

double Reader::scaled(const Op& op, double v) const
{
    return op.scale == none ? v : v * p_.scales[op.scale].factor + p_.scales[op.scale].offset;
}

Validity Reader::judge(const Op& op, double value)
{
    if (op.limit == none) return Validity::good;
    const Limit& l = p_.limits[op.limit];
    if (value >= l.low && value <= l.high) return Validity::good;
    ++out_of_range;
    return Validity::out_of_range;
}

void Reader::load(const Op& op, const std::byte* p)
{
    std::uint64_t raw = integer(p, op.bytes, (op.flags & big_endian) != 0) >> op.shift;
    raw &= (std::uint64_t{1} << op.width) - 1;
    const auto top = 64u - op.width;
    const bool negative = (op.flags & is_signed_value) != 0;
    number(op, raw, negative ? static_cast<std::int64_t>(raw << top) >> top : static_cast<std::int64_t>(raw));
}

void Reader::number(const Op& op, std::uint64_t raw, std::int64_t whole)
{
    if (op.reg != 0xFF) registers_[op.reg] = raw;
    const double value = scaled(op, static_cast<double>(whole));
    Validity validity = Validity::good;
    if (op.invalid != none) {
        const auto& codes = p_.invalids[op.invalid];
        const bool listed = std::binary_search(codes.begin(), codes.end(), raw);
        if (listed != ((op.flags & has_enum) != 0)) validity = Validity::invalid_code;
    }
    if (validity == Validity::good) validity = judge(op, value);
    emit(op.signal, raw, value, validity);
    for (std::uint8_t i = 0; i < op.bit_count; ++i) {
        const BitSignal& b = p_.bits[op.first_bit + i];
        const std::uint64_t bit = raw >> b.bit & 1u;
        emit(b.signal, bit, static_cast<double>(bit), Validity::good);
    }
}

void Reader::real(const Op& op, const std::byte* p)
{
    const std::uint64_t raw = integer(p, op.bytes, (op.flags & big_endian) != 0);
    const double v = op.bytes == 4 ? static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(raw))) : std::bit_cast<double>(raw);
    const double value = scaled(op, v);
    emit(op.signal, raw, value, std::isfinite(value) ? judge(op, value) : Validity::invalid_code);
}

// Packed decimal, two digits a byte, the most significant nibble first; an odd count leaves the first nibble empty.
void Reader::bcd(const Op& op, const std::byte* p)
{
    const std::uint64_t raw = integer(p, op.bytes, (op.flags & big_endian) != 0);
    double value = 0;
    for (int nibble = op.bytes * 2 - 1; nibble >= 0; --nibble) {
        const auto digit = static_cast<unsigned>(raw >> (4 * nibble) & 0xFu);
        if (digit > 9 || (nibble >= op.width && digit != 0))
            return emit(op.signal, raw, std::numeric_limits<double>::quiet_NaN(), Validity::invalid_code);
        value = value * 10 + digit;
    }
    value = scaled(op, value);
    emit(op.signal, raw, value, judge(op, value));
}

void Reader::text(const Op& op, ByteView bytes)
{
    auto& list = texts_[frame_];
    const TextField& field = p_.frames[frame_].texts[op.signal];
    if (list.size() <= text_index_) list.emplace_back();
    auto& [name, out] = list[text_index_++];
    name = field.name;
    out.assign(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    const std::size_t last = out.find_last_not_of(field.pad.empty() ? std::string_view("\0", 1) : std::string_view(field.pad));
    out.resize(last == std::string::npos ? 0 : last + 1);
}

} // namespace chockside::codec::detail
