#include <core/codec/encoder.h>

#include <core/codec/detail/program.h>
#include <core/codec/detail/writer.h>
#include <core/framing/framer.h>

#include <algorithm>

namespace chockside::codec {

using detail::Part;
using detail::Scope;
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

std::string counter_of(const Field& f)
{
    return f.repeat_count.empty() ? f.length_field : f.repeat_count;
}

std::size_t counted(const FieldValue& v)
{
    const std::string* text = std::get_if<std::string>(&v.content);
    return text ? text->size() : repetitions(v);
}

// Counting fields that the caller left out.
Status add_counts(const std::vector<Field>& fields, FieldValues& values)
{
    for (const Field& f : fields) {
        const auto found = values.find(f.name);
        if (counter_of(f).empty() || found == values.end()) continue;
        const auto n = static_cast<double>(counted(found->second));
        const bool here = std::any_of(fields.begin(), fields.end(), [&](const Field& other) { return other.name == counter_of(f); });
        if (!here) continue;
        const auto [counter, made] = values.emplace(counter_of(f), FieldValue(n));
        const double* told = std::get_if<double>(&counter->second.content);
        if (!told || *told != n) return fail("count_mismatch", f.name);
    }
    return {};
}

// Walks the parts of a frame and appends what they take.
class BodyWriter {
public:
    BodyWriter(const profile::Unit& unit, Bytes& out) : w_(unit), out_(out) {}

    Status parts(const std::vector<Part>& list, const Scope& scope) const
    {
        for (const Part& p : list)
            if (Status s = part(p, scope); !s) return s;
        return {};
    }

private:
    Status part(const Part& p, const Scope& scope) const
    {
        switch (p.kind) {
        case Part::Kind::fixed: return fixed(p, *scope.values);
        case Part::Kind::repeat: return repeat(p, scope);
        case Part::Kind::optional: return optional(p, scope);
        case Part::Kind::text: return text(p, scope);
        }
        return {};
    }

    Status fixed(const Part& p, const FieldValues& values) const
    {
        const std::size_t at = out_.size();
        out_.resize(at + p.bytes);
        for (const Slot& s : p.slots)
            if (Status done = w_.field(*s.field, values, out_, at + s.offset); !done) return done;
        return {};
    }

    Status group(const Part& p, const FieldValues& given, const Scope& outer) const
    {
        FieldValues values = given;
        if (Status s = add_counts(p.field->fields, values); !s) return s;
        return parts(p.body, {&values, &outer});
    }

    Status repeat(const Part& p, const Scope& scope) const
    {
        const FieldValue* v = scope.find(p.field->name);
        if (!v) return fail("missing_value", p.field->name);
        if (repetitions(*v) > p.most) return fail("frame_too_long", p.field->name);
        if (p.source && !p.source->constant) {
            const FieldValue* n = scope.find(p.source->name);
            const double* told = n ? std::get_if<double>(&n->content) : nullptr;
            if (!told || *told != static_cast<double>(repetitions(*v))) return fail("count_mismatch", p.field->name);
        }
        if (const auto* words = std::get_if<std::vector<std::uint32_t>>(&v->content)) return repeated_words(p, *words);
        const auto* groups = std::get_if<std::vector<FieldValues>>(&v->content);
        if (!groups) return fail("wrong_kind", p.field->name);
        for (const FieldValues& one : *groups)
            if (Status s = group(p, one, scope); !s) return s;
        return {};
    }

    Status repeated_words(const Part& p, const std::vector<std::uint32_t>& words) const
    {
        if (p.field->type != FieldType::arinc429) return fail("wrong_kind", p.field->name);
        for (std::uint32_t word : words) {
            out_.resize(out_.size() + 4);
            w_.arinc(*p.field, word, out_, out_.size() - 4);
        }
        return {};
    }

    Status optional(const Part& p, const Scope& scope) const
    {
        const Result<bool> there = w_.holds(*p.field->when, *p.source, scope);
        if (!there) return Unexpected{there.error()};
        const FieldValue* given = scope.find(p.field->name);
        if (!*there) return given ? Status(fail("not_in_this_frame", p.field->name)) : Status{};
        if (p.field->type != FieldType::group || detail::repeats(*p.field)) return parts(p.body, scope);
        const auto* one = given ? std::get_if<std::vector<FieldValues>>(&given->content) : nullptr;
        if (!one || one->size() != 1) return fail(given ? "wrong_kind" : "missing_value", p.field->name);
        return group(p, one->front(), scope);
    }

    Status text(const Part& p, const Scope& scope) const
    {
        const FieldValue* v = scope.find(p.field->name);
        const std::string* words = v ? std::get_if<std::string>(&v->content) : nullptr;
        if (!words) return fail(v ? "wrong_kind" : "missing_value", p.field->name);
        const bool zero = p.field->ends == "zero";
        if (words->size() > p.most) return fail("text_too_long", p.field->name);
        if (zero && words->find('\0') != std::string::npos) return fail("wrong_kind", p.field->name);
        for (char c : *words) out_.push_back(static_cast<std::byte>(c));
        if (zero) out_.push_back(std::byte{0});
        return {};
    }

    Writer w_;
    Bytes& out_;
};

Result<Bytes> body(const detail::Program& p, const std::vector<Field>& fields, const FieldValues& given)
{
    FieldValues values = given;
    if (Status s = add_counts(fields, values); !s) return Unexpected{s.error()};
    const auto parts = detail::layout(fields, detail::lead_bytes(p.unit.framing), p.unit.framing.max_bytes);
    if (!parts) return Unexpected{parts.error()};
    Bytes out;
    if (Status s = BodyWriter(p.unit, out).parts(*parts, {&values, nullptr}); !s) return Unexpected{s.error()};
    return out;
}

// The same for a text line: tokens, each behind a split character.
class LineWriter {
public:
    LineWriter(const profile::Unit& unit, std::string& out) : unit_(unit), w_(unit), out_(out) {}

    Status fields(const std::vector<Field>& list, const FieldValues& given, const Scope* outer)
    {
        FieldValues values = given;
        if (Status s = add_counts(list, values); !s) return s;
        const Scope scope{&values, outer};
        for (const Field& f : list)
            if (Status s = field(f, list, scope); !s) return s;
        return {};
    }

private:
    Status field(const Field& f, const std::vector<Field>& list, const Scope& scope)
    {
        const FieldValue* v = scope.find(f.name);
        if (f.when) {
            const Field* source = source_of(f.when->field, list);
            if (!source) return fail("unknown_count", f.name);
            const Result<bool> there = w_.holds(*f.when, *source, scope);
            if (!there) return Unexpected{there.error()};
            if (!*there) return v ? Status(fail("not_in_this_frame", f.name)) : Status{};
        }
        if (f.constant) return append(f, w_.token(f, *f.constant));
        if (const auto bits = v ? std::nullopt : Writer::by_bits(f, *scope.values)) return one(f, FieldValue(*bits));
        if (!v) return fail("missing_value", f.name);
        if (f.type == FieldType::group || detail::repeats(f)) return several(f, *v, scope);
        return one(f, *v);
    }

    Status several(const Field& f, const FieldValue& v, const Scope& scope)
    {
        if (const auto* words = std::get_if<std::vector<std::uint32_t>>(&v.content)) {
            for (std::uint32_t word : *words)
                if (Status s = one(f, FieldValue(word)); !s) return s;
            return {};
        }
        const auto* groups = std::get_if<std::vector<FieldValues>>(&v.content);
        if (!groups) return fail("wrong_kind", f.name);
        const std::vector<Field>* list = f.type == FieldType::group ? &f.fields : nullptr;
        for (const FieldValues& values : *groups) {
            const auto single = values.find(f.name);
            if (!list && single == values.end()) return fail("missing_value", f.name);
            if (Status s = list ? fields(*list, values, &scope) : one(f, single->second); !s) return s;
        }
        return {};
    }

    Status one(const Field& f, const FieldValue& v)
    {
        if (f.type != FieldType::text) return append(f, w_.token(f, v));
        const std::string* words = std::get_if<std::string>(&v.content);
        if (!words) return fail("wrong_kind", f.name);
        return append(f, *words);
    }

    Status append(const Field& f, const Result<std::string>& token)
    {
        if (!token) return Unexpected{token.error()};
        const profile::Framing& framing = unit_.framing;
        const std::string forbidden = std::string("\r\n") + framing.split + framing.checksum.mark + framing.end;
        if (token->find_first_of(forbidden) != std::string::npos || (framing.start && token->find(framing.start) != std::string::npos))
            return fail("wrong_kind", f.name);
        if (!empty_) out_.push_back(framing.split);
        empty_ = false;
        out_ += *token;
        return {};
    }

    static const Field* source_of(const std::string& name, const std::vector<Field>& list)
    {
        const auto found = std::find_if(list.begin(), list.end(), [&](const Field& f) { return f.name == name; });
        return found == list.end() ? nullptr : &*found;
    }

    const profile::Unit& unit_;
    Writer w_;
    std::string& out_;
    bool empty_ = false;

public:
    /// The first token of a line without a selector stands behind no split character.
    void starts_line() { empty_ = true; }
};

Result<Bytes> sentence(const detail::Program& p, const std::string& id, const std::vector<Field>& fields, const FieldValues& values)
{
    std::string line;
    if (p.unit.framing.start != 0) line.push_back(p.unit.framing.start);
    LineWriter w(p.unit, line);
    if (p.unit.framing.select_none)
        w.starts_line();
    else
        line += id;
    if (Status s = w.fields(fields, values, nullptr); !s) return Unexpected{s.error()};
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
