#include <core/codec/encoder.h>

#include <core/codec/detail/program.h>
#include <core/codec/detail/writer.h>
#include <core/framing/framer.h>

#include <charconv>
#include <cmath>

namespace chockside::codec {

using detail::Run;
using detail::Slot;
using detail::Writer;
using profile::Field;
using profile::FieldType;
using FramingKind = profile::Framing::Kind;

namespace {

void wrap(const profile::Framing& f, ByteView frame, Bytes& out)
{
    if (f.kind == FramingKind::slip) return framing::slip_write(frame, out);
    if (f.kind == FramingKind::cobs) return framing::cobs_write(frame, out);
    if (f.kind == FramingKind::lines) return framing::line_write(frame, out);
    out.insert(out.end(), frame.begin(), frame.end());
}

// Sync pattern, carried length and selector; the length is written before the check is computed, as the check covers it.
void head(const profile::Framing& f, std::uint32_t id, std::size_t check_bytes, Bytes& frame)
{
    std::copy(f.sync.begin(), f.sync.end(), frame.begin());
    const bool big = f.order == profile::Order::big;
    if (f.kind == FramingKind::length_prefixed) {
        const auto told = static_cast<std::uint64_t>(static_cast<long>(frame.size() + check_bytes) - f.length_adds);
        for (int i = 0; i < f.length_bytes; ++i)
            frame[f.length_at + static_cast<std::size_t>(big ? f.length_bytes - 1 - i : i)] = static_cast<std::byte>(told >> (8 * i) & 0xFFu);
    }
    const std::size_t at = detail::select_at(f);
    for (int i = 0; i < f.select_bytes; ++i)
        frame[at + static_cast<std::size_t>(big ? f.select_bytes - 1 - i : i)] = static_cast<std::byte>(id >> (8 * i) & 0xFFu);
}

Result<Bytes> close(const detail::Program& p, std::uint32_t id, Bytes frame)
{
    if (p.unit.framing.kind != FramingKind::lines) head(p.unit.framing, id, p.check.bytes(), frame);
    p.check.append(frame);
    if (frame.size() > p.unit.framing.max_bytes) return fail("frame_too_long");
    Bytes out;
    wrap(p.unit.framing, frame, out);
    return out;
}

std::size_t repetitions(const FieldValue& v)
{
    if (const auto* groups = std::get_if<std::vector<FieldValues>>(&v.content)) return groups->size();
    if (const auto* words = std::get_if<std::vector<std::uint32_t>>(&v.content)) return words->size();
    return 1;
}

// Counting fields that the caller left out.
Status add_counts(const std::vector<Field>& fields, FieldValues& values)
{
    for (const Field& f : fields) {
        if (f.repeat_count.empty()) continue;
        const auto found = values.find(f.name);
        if (found == values.end()) return fail("missing_value", f.name);
        const auto n = static_cast<double>(repetitions(found->second));
        const auto [counter, made] = values.emplace(f.repeat_count, FieldValue(n));
        const double* told = std::get_if<double>(&counter->second.content);
        if (!told || *told != n) return fail("count_mismatch", f.name);
    }
    return {};
}

Status repeat(const Writer& w, const Run& run, const FieldValue& v, Bytes& out)
{
    const std::size_t n = repetitions(v);
    if (n > run.most) return fail("frame_too_long", run.repeated->name);
    std::size_t at = out.size();
    out.resize(at + n * run.body_bytes);
    if (const auto* words = std::get_if<std::vector<std::uint32_t>>(&v.content)) {
        if (run.repeated->type != FieldType::arinc429) return fail("wrong_kind", run.repeated->name);
        for (std::uint32_t word : *words) {
            w.arinc(*run.repeated, word, out, at);
            at += run.body_bytes;
        }
        return {};
    }
    const auto* groups = std::get_if<std::vector<FieldValues>>(&v.content);
    if (!groups) return fail("wrong_kind", run.repeated->name);
    const std::vector<Slot> single{{run.repeated, 0, run.body_bytes}};
    for (const FieldValues& group : *groups) {
        for (const Slot& s : run.repeated->type == FieldType::group ? run.body : single)
            if (Status done = w.field(*s.field, group, out, at + s.offset); !done) return done;
        at += run.body_bytes;
    }
    return {};
}

Result<Bytes> body(const detail::Program& p, const std::vector<Field>& fields, const FieldValues& given)
{
    const Writer w(p.unit);
    FieldValues values = given;
    if (Status s = add_counts(fields, values); !s) return Unexpected{s.error()};
    const auto runs = detail::layout(fields, detail::lead_bytes(p.unit.framing), p.unit.framing.max_bytes);
    if (!runs) return Unexpected{runs.error()};
    Bytes out;
    for (const Run& run : *runs) {
        const std::size_t at = out.size();
        out.resize(at + run.bytes);
        for (const Slot& s : run.slots)
            if (Status done = w.field(*s.field, values, out, at + s.offset); !done) return Unexpected{done.error()};
        if (run.repeated)
            if (Status done = repeat(w, run, values.at(run.repeated->name), out); !done) return Unexpected{done.error()};
    }
    return out;
}

std::string number_text(double v, const Field& f)
{
    char buffer[48];
    const auto end = f.type <= FieldType::i32 ? std::to_chars(buffer, buffer + sizeof buffer, static_cast<std::int64_t>(std::llround(v)))
                                              : std::to_chars(buffer, buffer + sizeof buffer, v, std::chars_format::fixed, f.digits);
    return {buffer, end.ptr};
}

Result<Bytes> sentence(const detail::Program& p, const std::string& id, const std::vector<Field>& fields, const FieldValues& values)
{
    std::string line;
    if (p.unit.framing.start != 0) line.push_back(p.unit.framing.start);
    line += id;
    const Writer w(p.unit);
    for (const Field& f : fields) {
        line.push_back(p.unit.framing.split);
        const auto found = values.find(f.name);
        if (f.constant) {
            line += std::to_string(*f.constant);
        } else if (found == values.end()) {
            return fail("missing_value", f.name);
        } else if (f.type == FieldType::text) {
            const std::string* words = std::get_if<std::string>(&found->second.content);
            if (!words || words->find_first_of(std::string("*\r\n") + p.unit.framing.split) != std::string::npos) return fail("wrong_kind", f.name);
            line += *words;
        } else {
            const Result<double> n = w.number(f, found->second);
            if (!n) return Unexpected{n.error()};
            if (std::isfinite(*n)) line += number_text((*n - f.offset) / f.scale, f);
        }
    }
    return to_bytes(line);
}

Result<Bytes> whole(const detail::Program& p, std::uint32_t id, const std::string& id_text, const std::vector<Field>& fields, const FieldValues& values)
{
    Result<Bytes> b = p.unit.framing.kind == FramingKind::lines ? sentence(p, id_text, fields, values) : body(p, fields, values);
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
