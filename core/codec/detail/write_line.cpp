#include <core/codec/detail/content.h>

#include <algorithm>
#include <optional>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

namespace {

// The fields of a text line: tokens, each behind a split character.
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
        if (f.type == FieldType::group || repeats(f)) return several(f, *v, scope);
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

} // namespace

Result<Bytes> sentence(const Program& p, const std::string& id, const std::vector<Field>& fields, const FieldValues& values)
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

} // namespace chockside::codec::detail
