#include <core/codec/detail/short_line.h>

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

Reader::Reader(const Program& program, bool newer) : p_(program), short_line_(newer ? read_short_line_newer : read_short_line), registers_(program.registers)
{
    out_.resize(p_.worst_observations);
    for (const FrameProgram& f : p_.frames) {
        texts_.emplace_back();
        for (const TextField& t : f.texts) texts_.back().emplace_back(t.name, std::string());
    }
}

Reader::Outcome Reader::run(const FrameProgram& f, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no)
{
    begin(f, t_ns, frame_no);
    line_ = false;
    bytes_ = frame;
    around_ = as_text(frame);
    const Op* first = p_.ops.data() + f.first_op;
    const Outcome outcome = runs(first, first + f.op_count);
    if (!f.texts.empty()) end_texts();
    if (outcome != Outcome::good) return outcome;
    return cursor_ == bytes_.size() ? Outcome::good : Outcome::too_long;
}

Reader::Outcome Reader::runs(const Op* op, const Op* end)
{
    Outcome outcome = Outcome::good;
    for (; op != end && outcome == Outcome::good; ++op) {
        switch (op->kind) {
        case OpKind::need:
            if (bytes_.size() - cursor_ < op->bytes16) return Outcome::short_frame;
            break;
        case OpKind::advance: cursor_ += op->bytes16; break;
        case OpKind::guard:
            if (!holds(*op)) op += op->body_ops;
            break;
        case OpKind::loop:
            outcome = loop(*op);
            op += op->body_ops;
            break;
        case OpKind::free_text: outcome = free_text(*op); break;
        case OpKind::words:
            if (!line_ && (op->reg != none || op->flags & to_end)) {
                outcome = loop_words(*op);
                break;
            }
            [[fallthrough]];
        default:
            if (line_)
                outcome = tokens_.left() ? token(*op, tokens_.next()) : Outcome::short_frame;
            else
                slot(*op, bytes_.data() + cursor_ + op->offset);
        }
    }
    return outcome;
}

Reader::Outcome Reader::loop(const Op& op)
{
    const bool open = (op.flags & to_end) != 0;
    const std::uint64_t n = open ? op.most : registers_[op.reg];
    if (n > op.most) return Outcome::out_of_range;
    for (std::uint64_t i = 0; i < n; ++i) {
        if (open && !left()) return Outcome::good;
        if (const Outcome o = runs(&op + 1, &op + 1 + op.body_ops); o != Outcome::good) return o;
    }
    return open && left() ? Outcome::too_long : Outcome::good;
}

Reader::Outcome Reader::loop_words(const Op& op)
{
    const std::size_t left = bytes_.size() - cursor_;
    const std::uint64_t n = op.flags & to_end ? (left + 3) / 4 : registers_[op.reg];
    if (n > op.most) return Outcome::out_of_range;
    if (left < n * 4) return Outcome::short_frame;
    words(op, bytes_.data() + cursor_, n);
    cursor_ += n * 4;
    return Outcome::good;
}

bool Reader::holds(const Op& op) const
{
    const std::uint64_t value = registers_[op.reg];
    if (op.invalid == none) return ((value >> op.shift & 1u) != 0) != ((op.flags & wants_clear) != 0);
    const auto& right = p_.codes[op.invalid];
    return std::binary_search(right.begin(), right.end(), value);
}

Reader::Outcome Reader::free_text(const Op& op)
{
    const ByteView left = bytes_.subspan(cursor_);
    std::size_t n = left.size(), behind = 0;
    if (op.reg != none) {
        if (registers_[op.reg] > op.most) return Outcome::out_of_range;
        n = registers_[op.reg];
    } else if (!(op.flags & to_end)) {
        n = static_cast<std::size_t>(std::find(left.begin(), left.end(), std::byte{0}) - left.begin());
        behind = 1;
    }
    if (n > op.most) return Outcome::too_long;
    if (n + behind > left.size()) return Outcome::short_frame;
    text(op, left.first(n));
    cursor_ += n + behind;
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
    default: return written(op, ByteView(p, op.bytes16));
    }
}

void Reader::load(const Op& op, const std::byte* p)
{
    const std::uint64_t mask = ~std::uint64_t{0} >> (64 - op.width);
    const std::uint64_t raw = integer(p, op.bytes, (op.flags & big_endian) != 0) >> op.shift & mask;
    if (op.flags & magnitude) {
        const std::uint64_t size = raw & mask >> 1;
        return number(op, raw, raw == size ? static_cast<std::int64_t>(size) : -static_cast<std::int64_t>(size));
    }
    const auto top = 64u - op.width;
    number(op, raw, op.flags & twos ? static_cast<std::int64_t>(raw << top) >> top : static_cast<std::int64_t>(raw));
}

void Reader::number(const Op& op, std::uint64_t raw, std::int64_t whole)
{
    if (op.reg != none) registers_[op.reg] = raw;
    const bool wide = op.kind == OpKind::load && op.width == 64 && !(op.flags & (twos | magnitude)); // above what `whole` holds
    const double value = scaled(op, wide ? static_cast<double>(raw) : static_cast<double>(whole));
    Validity validity = Validity::good;
    if (op.invalid != none) {
        const auto& codes = p_.codes[op.invalid];
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

// Packed decimal, two digits a byte, the most significant nibble first; an odd count leaves the first nibble empty. The sign is the top
// bit, or a last nibble: C and F plus, D minus (and what decimal machines also wrote: A and E plus, B minus).
void Reader::bcd(const Op& op, const std::byte* p)
{
    const std::uint64_t raw = integer(p, op.bytes, (op.flags & big_endian) != 0);
    std::uint64_t rest = raw;
    bool minus = false, right = true;
    if (op.flags & magnitude) {
        const std::uint64_t top = std::uint64_t{1} << (8 * op.bytes - 1);
        minus = (rest & top) != 0;
        rest &= ~top;
    }
    if (op.flags & last_nibble) {
        const unsigned sign = rest & 0xFu;
        right = sign > 9;
        minus = sign == 0xB || sign == 0xD;
        rest >>= 4;
    }
    double value = 0;
    for (int nibble = 15; nibble >= 0; --nibble) {
        const auto digit = static_cast<unsigned>(rest >> (4 * nibble) & 0xFu);
        right = right && digit <= 9 && (nibble < op.width || digit == 0);
        value = value * 10 + digit;
    }
    if (!right) return emit(op.signal, raw, std::numeric_limits<double>::quiet_NaN(), Validity::invalid_code);
    value = scaled(op, minus ? -value : value);
    emit(op.signal, raw, value, judge(op, value));
}

void Reader::text(const Op& op, ByteView bytes)
{
    auto& list = texts_[frame_];
    const TextField& field = p_.frames[frame_].texts[op.signal];
    if (list.size() <= text_index_) {
        if (spare_.empty()) spare_.emplace_back();
        list.push_back(std::move(spare_.back()));
        spare_.pop_back();
    }
    auto& [name, out] = list[text_index_++];
    name = field.name;
    out.assign(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    const std::size_t last = out.find_last_not_of(field.pad.empty() ? std::string_view("\0", 1) : std::string_view(field.pad));
    out.resize(last == std::string::npos ? 0 : last + 1);
}

void Reader::end_texts()
{
    auto& list = texts_[frame_];
    while (list.size() > text_index_) {
        spare_.push_back(std::move(list.back()));
        list.pop_back();
    }
}

} // namespace chockside::codec::detail
