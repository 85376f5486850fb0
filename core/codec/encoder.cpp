#include <core/codec/encoder.h>

#include <core/codec/detail/program.h>
#include <core/codec/detail/content.h>
#include <core/framing/framer.h>

#include <algorithm>

namespace chockside::codec {

using profile::Field;
using FramingKind = profile::Framing::Kind;

namespace {

void wrap(const profile::Framing& f, ByteView frame, Bytes& out)
{
    if (f.kind == FramingKind::slip) return framing::slip_write(frame, out);
    if (f.kind == FramingKind::cobs) return framing::cobs_write(frame, out);
    if (f.kind == FramingKind::lines) return framing::line_write(frame, out, f.end);
    out.insert(out.end(), frame.begin(), frame.end());
}

// Sync pattern, carried length and selector; the length is written before the check is computed, as the check covers it.
void head(const profile::Framing& f, std::uint32_t id, std::size_t check_bytes, Bytes& frame)
{
    std::copy(f.sync.begin(), f.sync.end(), frame.begin());
    const bool big = f.order == profile::Order::big;
    if (f.kind == FramingKind::length_prefixed) {
        const bool length_big = f.length_order.value_or(f.order) == profile::Order::big;
        const auto told = static_cast<std::uint64_t>(static_cast<long>(frame.size() + check_bytes) - f.length_adds);
        for (int i = 0; i < f.length_bytes; ++i)
            frame[f.length_at + static_cast<std::size_t>(length_big ? f.length_bytes - 1 - i : i)] = static_cast<std::byte>(told >> (8 * i) & 0xFFu);
    }
    const std::size_t at = detail::select_at(f);
    for (int i = 0; i < f.select_bytes; ++i)
        frame[at + static_cast<std::size_t>(big ? f.select_bytes - 1 - i : i)] = static_cast<std::byte>(id >> (8 * i) & 0xFFu);
}

Result<Bytes> close(const detail::Program& p, std::uint32_t id, Bytes frame)
{
    if (p.unit.framing.kind != FramingKind::lines) head(p.unit.framing, id, p.check.bytes(), frame);
    p.check.append(frame);
    if (frame.size() > p.unit.framing.max_bytes) return fail("frame_too_long", id ? "the frame " + std::to_string(id) : "the frame");
    Bytes out;
    wrap(p.unit.framing, frame, out);
    return out;
}

Result<Bytes> whole(const detail::Program& p, std::uint32_t id, const std::string& id_text, const std::vector<Field>& fields, const FieldValues& values)
{
    Result<Bytes> b = p.unit.framing.kind == FramingKind::lines ? detail::sentence(p, id_text, fields, values) : detail::body(p, fields, values);
    return b ? close(p, id, std::move(*b)) : b;
}

} // namespace

Encoder::Encoder(std::shared_ptr<const Plan> plan) : plan_(std::move(plan)) {}

Result<Bytes> Encoder::frame(const std::string& name, const FieldValues& values) const
{
    for (const profile::Frame& f : plan_->unit().frames)
        if (f.name == name) return whole(plan_->program(), f.id, f.id_text, f.fields, values);
    return fail("unknown_frame", name);
}

Result<Bytes> Encoder::request(const std::string& name, const std::map<std::string, std::int64_t>& args) const
{
    for (const profile::Request& r : plan_->unit().requests) {
        if (r.name != name) continue;
        std::vector<Field> fields = r.fields;
        FieldValues values;
        for (std::size_t i = 0; i < fields.size(); ++i) {
            Field& f = fields[i];
            if (f.constant) continue;
            const auto found = args.find(f.arg);
            if (found == args.end()) return fail("missing_argument", name, {{"argument", f.arg}});
            if (f.name.empty()) f.name = f.arg;
            values.insert_or_assign(f.name, FieldValue(static_cast<double>(found->second)));
        }
        return whole(plan_->program(), r.id, r.id_text, fields, values);
    }
    return fail("unknown_request", name);
}

std::uint32_t encode_word(const profile::Word& w, double value, arinc429::Ssm ssm, int sdi)
{
    using Coding = profile::Word::Coding;
    if (w.coding == Coding::bnr)
        return arinc429::make_word(w.label, sdi, arinc429::encode_bnr(value, {w.msb, w.lsb, w.full_scale}, w.wraps), arinc429::bnr_ssm(ssm));
    if (w.coding == Coding::discrete) {
        const double held = value >= 0 && value < 524288 ? value : 0;
        return arinc429::make_word(w.label, sdi, static_cast<std::uint32_t>(held), arinc429::discrete_ssm(ssm));
    }
    const auto data = arinc429::encode_bcd(value, w.digits, w.scale);
    const arinc429::Ssm said = data ? ssm : arinc429::Ssm::no_computed_data;
    return arinc429::make_word(w.label, sdi, data.value_or(0), arinc429::bcd_ssm(said, value < 0));
}

} // namespace chockside::codec
