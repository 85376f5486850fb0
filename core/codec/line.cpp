#include <core/codec/line.h>

#include <core/codec/detail/program.h>

#include <algorithm>

namespace chockside::codec {

namespace {

using namespace detail;

Line of_word(const WordProgram& w)
{
    return {static_cast<std::uint8_t>(32 + w.left), static_cast<std::uint8_t>(32 + w.right), true, w.step, 0, w.turn};
}

Line of_field(const Op& op, const Program& p)
{
    Line line{0, 0, (op.flags & twos) != 0, 1, 0, 0};
    line.left = line.right = static_cast<std::uint8_t>(64 - op.width);
    if (op.scale != none) line.factor = p.scales[op.scale].factor, line.offset = p.scales[op.scale].offset;
    return line;
}

} // namespace

double value_on(const Line& line, std::uint64_t raw)
{
    const std::uint64_t up = raw << line.left;
    if (!line.is_signed) return static_cast<double>(up >> line.right) * line.factor + line.offset;
    const std::int64_t whole = static_cast<std::int64_t>(up) >> line.right;
    const double value = static_cast<double>(whole) * line.factor + line.offset;
    return whole < 0 ? value + line.turn : value;
}

std::optional<Line> line_of(const Plan& plan, SignalId signal)
{
    const Program& p = plan.program();
    if (plan.signal_table()[signal].boolean) return Line{};
    for (const WordProgram& w : p.words)
        if (w.signal == signal && w.coding == profile::Word::Coding::bnr) return of_word(w);
    for (const Op& op : p.ops)
        if (op.kind == OpKind::load && op.signal == signal && !(op.flags & magnitude)) return of_field(op, p);
    return std::nullopt;
}

} // namespace chockside::codec
