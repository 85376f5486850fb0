#include <core/codec/detail/content.h>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

namespace {

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
        if (p.field->type != FieldType::group || repeats(*p.field)) return parts(p.body, scope);
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

} // namespace

Result<Bytes> body(const Program& p, const std::vector<Field>& fields, const FieldValues& given)
{
    FieldValues values = given;
    if (Status s = add_counts(fields, values); !s) return Unexpected{s.error()};
    const auto parts = layout(fields, lead_bytes(p.unit.framing), p.unit.framing.max_bytes);
    if (!parts) return Unexpected{parts.error()};
    Bytes out;
    if (Status s = BodyWriter(p.unit, out).parts(*parts, {&values, nullptr}); !s) return Unexpected{s.error()};
    return out;
}

} // namespace chockside::codec::detail
