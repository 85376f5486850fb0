// Fields of one frame: that each can be read, that none lies on another, and that no byte is passed over in silence.
#include <core/profile/detail/node.h>
#include <core/profile/lint.h>
#include <core/profile/measure.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace chockside::profile {

namespace {

using detail::below;

class FieldLint {
public:
    explicit FieldLint(const Unit& unit) : unit_(unit) {}

    Complaints run(const std::vector<Field>& list, const std::string& at)
    {
        std::set<std::string> names;
        fields(list, at, lines() ? 0 : lead_bytes(unit_.framing), names);
        return std::move(out_);
    }

private:
    bool lines() const { return unit_.framing.kind == Framing::Kind::lines; }

    void complain(std::string pointer, const char* code, Problem::Args args, Severity severity = Severity::error)
    {
        out_.push_back({{}, std::move(pointer), 0, 0, severity, code, std::move(args), {}});
    }

    // `above`: fields of the groups around this one, which may count and decide too.
    void fields(const std::vector<Field>& list, const std::string& at, std::size_t lead, std::set<std::string> above)
    {
        std::set<std::string> here;
        Taken taken{std::vector<const Field*>(lead * 8), lead};
        for (std::size_t i = 0; i < list.size(); ++i) {
            const Field& f = list[i];
            const std::string place = at + "/" + std::to_string(i);
            if (!f.name.empty() && !here.insert(f.name).second) complain(place + "/name", "duplicate_id", {{"id", f.name}, {"kind", "field"}});
            field(f, place);
            counters(f, place, above);
            if (!lines()) lies(f, place, taken);
            if (is_whole(f.type) || lines()) above.insert(f.name);
            fields(f.fields, place + "/fields", 0, above);
        }
        if (!lines()) gaps(list, at, lead, taken);
    }

    void counters(const Field& f, const std::string& at, const std::set<std::string>& known)
    {
        const auto must = [&](const std::string& name, const char* key) {
            if (!name.empty() && !known.contains(name)) complain(at + key, "unknown_count", {{"field", f.name}, {"count", name}});
        };
        must(f.repeat_count, "/repeat");
        must(f.length_field, "/length");
        if (!f.when) return;
        must(f.when->field, "/when");
        const int told = (f.when->is.empty() ? 0 : 1) + (f.when->bit ? 1 : 0) + (f.when->clear ? 1 : 0);
        if (told != 1) complain(at + "/when", "one_condition", {{"field", f.name}});
    }

    void field(const Field& f, const std::string& at)
    {
        const bool written = f.type == FieldType::number_text || f.type == FieldType::hex_text;
        const bool sized = f.type == FieldType::text && f.length_field.empty() && f.ends.empty();
        if ((sized || written) && f.bytes == 0 && !lines()) complain(at, "missing_key", {{"key", "bytes"}, {"of", "text field"}});
        if (f.type == FieldType::bcd && f.digits == 0) complain(at, "missing_key", {{"key", "digits"}, {"of", "bcd field"}});
        if (f.type == FieldType::group && !repeats(f) && !f.when) complain(at, "missing_key", {{"key", "repeat"}, {"of", "group"}});
        if (f.scale == 0) complain(at + "/scale", "scale_zero", {{"field", f.name}});
        if (f.pad.size() > 1) complain(at + "/pad", "one_character", {{"field", f.name}});
        if (f.type == FieldType::arinc429 && unit_.words.empty()) complain(at, "no_words", {{"field", f.name}});
        if (f.range) range(f, at);
        names_once(f, at);
    }

    // No code of the field lies within its range: a scale or a unit is wrong.
    void range(const Field& f, const std::string& at)
    {
        if (f.range->first > f.range->second) return complain(at + "/range", "range_backwards", {{"field", f.name}});
        if (!is_whole(f.type) || bits_of(f) < 1) return;
        const double half = std::ldexp(1.0, bits_of(f) - 1);
        const Scaling s = scaling_of(f);
        const double a = (is_signed(f) ? -half : 0) * s.factor + s.offset, b = ((is_signed(f) ? half : 2 * half) - 1) * s.factor + s.offset;
        if (std::max(a, b) < f.range->first || std::min(a, b) > f.range->second) complain(at + "/range", "range_impossible", {{"field", f.name}});
    }

    void names_once(const Field& f, const std::string& at)
    {
        std::set<std::string> seen;
        for (const auto& [code, name] : f.codes)
            if (!seen.insert(name).second) complain(at + "/enum", "duplicate_name", {{"name", name}});
        seen.clear();
        for (const auto& [bit, name] : f.bits)
            if (!seen.insert(name).second) complain(at + "/bits", "duplicate_name", {{"name", name}});
    }

    struct Taken {
        std::vector<const Field*> bits; ///< by byte * 8 + bit; the bytes in front of the first field belong to nobody
        std::size_t cursor = 0;
        bool fixed = true;              ///< nothing of changing length came yet
    };

    void lies(const Field& f, const std::string& at, Taken& t)
    {
        if (f.when || repeats(f) || is_free_text(f)) t.fixed = false; // what follows is placed anew
        const std::size_t bytes = width_of(f);
        if (!t.fixed || bytes == 0) return;
        const std::size_t from = f.at_byte ? static_cast<std::size_t>(*f.at_byte) : t.cursor;
        t.cursor = from + bytes;
        if (t.cursor > 60000) return;
        if (t.bits.size() < t.cursor * 8) t.bits.resize(t.cursor * 8);
        const Field* other = nullptr;
        for (std::size_t bit : bits_taken(f, from, bytes)) {
            if (t.bits[bit] && t.bits[bit] != &f) other = t.bits[bit];
            t.bits[bit] = &f;
        }
        if (other) complain(at, "overlap", {{"field", f.name}, {"other", other->name}});
    }

    std::vector<std::size_t> bits_taken(const Field& f, std::size_t from, std::size_t bytes) const
    {
        std::vector<std::size_t> out;
        const bool big = f.order.value_or(unit_.framing.order) == Order::big;
        const std::size_t first = is_whole(f.type) ? static_cast<std::size_t>(f.at_bit.value_or(0)) : 0;
        const std::size_t count = is_whole(f.type) ? static_cast<std::size_t>(std::max(0, bits_of(f))) : bytes * 8;
        for (std::size_t k = first; k < first + count && k < bytes * 8; ++k)
            out.push_back((from + (big ? bytes - 1 - k / 8 : k / 8)) * 8 + k % 8);
        return out;
    }

    void gaps(const std::vector<Field>& list, const std::string& at, std::size_t lead, const Taken& t)
    {
        for (std::size_t byte = lead; byte < t.bits.size() / 8; ++byte) {
            const auto first = t.bits.begin() + static_cast<std::ptrdiff_t>(byte * 8);
            if (std::any_of(first, first + 8, [](const Field* f) { return f != nullptr; })) continue;
            const auto behind = std::find_if(first, t.bits.end(), [](const Field* f) { return f != nullptr; });
            if (behind == t.bits.end()) return; // what the last field's own bytes leave free
            const auto index = static_cast<std::size_t>(*behind - list.data());
            return complain(at + "/" + std::to_string(index), "gap", {{"field", (*behind)->name}, {"byte", std::to_string(byte)}}, Severity::warning);
        }
    }

    const Unit& unit_;
    Complaints out_;
};

} // namespace

Complaints lint_fields(const Unit& unit, const std::vector<Field>& list, const std::string& at)
{
    return FieldLint(unit).run(list, at);
}

} // namespace chockside::profile
