#include <core/codec/detail/reader.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <limits>

namespace chockside::codec::detail {

using profile::FieldType;

namespace {

std::string_view view(ByteView b)
{
    return {reinterpret_cast<const char*>(b.data()), b.size()};
}

} // namespace

Reader::Outcome Reader::run_line(const FrameProgram& f, ByteView line, char split, std::int64_t t_ns, std::uint32_t frame_no)
{
    begin(f, t_ns, frame_no);
    const Op* op = p_.ops.data() + f.first_op;
    auto rest = std::find(line.begin(), line.end(), static_cast<std::byte>(split));
    for (std::size_t i = 0; i < f.op_count; ++i) {
        if (rest == line.end()) return Outcome::short_frame;
        const auto next = std::find(rest + 1, line.end(), static_cast<std::byte>(split));
        token(op[i], f.token_types[i], ByteView(rest + 1, next));
        rest = next;
    }
    if (!f.texts.empty()) texts_[frame_].resize(text_index_);
    return rest == line.end() ? Outcome::good : Outcome::too_long;
}

// An empty field is data not available, as in NMEA 0183 sentences; what is no number is an invalid code.
void Reader::token(const Op& op, FieldType type, ByteView bytes)
{
    if (op.kind == OpKind::text) return text(op, bytes);
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    const std::string_view t = view(bytes);
    if (t.empty()) return emit(op.signal, 0, nan, Validity::no_computed_data);
    if (type <= FieldType::i32) {
        std::int64_t whole = 0;
        const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), whole);
        if (error != std::errc{} || stop != t.data() + t.size()) return emit(op.signal, 0, nan, Validity::invalid_code);
        return number(op, static_cast<std::uint64_t>(whole), whole);
    }
    double value = 0;
    const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), value);
    if (error != std::errc{} || stop != t.data() + t.size() || !std::isfinite(value)) return emit(op.signal, 0, nan, Validity::invalid_code);
    const double told = scaled(op, value);
    emit(op.signal, std::bit_cast<std::uint64_t>(value), told, judge(op, told));
}

} // namespace chockside::codec::detail
