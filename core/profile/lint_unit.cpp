#include <core/profile/lint.h>

#include <core/profile/detail/node.h>

#include <algorithm>
#include <set>

namespace chockside::profile {

namespace {

using detail::below;

class UnitLint {
public:
    explicit UnitLint(const Profile& p) : unit_(p.unit) {}

    Complaints run()
    {
        for (const Frame& f : unit_.frames) frame(f);
        for (const Word& w : unit_.words) word(w);
        for (const Request& r : unit_.requests) request(r);
        framing();
        add(lint_word_units(unit_));
        session();
        stored_codes();
        for (const Discrete& d : unit_.discretes) discrete(d);
        for (const auto& [bit, said] : unit_.self_test)
            if (!bit_exists(bit)) complain(below("/self_test", bit), "no_such_bit", {{"bit", bit}});
        return std::move(out_);
    }

private:
    void complain(std::string pointer, const char* code, Problem::Args args, Severity severity = Severity::error)
    {
        out_.push_back({{}, std::move(pointer), 0, 0, severity, code, std::move(args), {}});
    }

    bool lines() const { return unit_.framing.kind == Framing::Kind::lines; }

    void frame(const Frame& f)
    {
        const std::string at = below("/frames", f.name);
        for (const Frame& other : unit_.frames) {
            if (&other == &f) break;
            if (unit_.framing.select_none || (lines() ? other.id_text == f.id_text : other.id == f.id))
                complain(at + "/id", "duplicate_frame_id", {{"frame", f.name}, {"other", other.name}});
        }
        if (!lines() && unit_.framing.select_bytes > 0 && unit_.framing.select_bytes < 4 && f.id >> (8 * unit_.framing.select_bytes))
            complain(at + "/id", "id_too_wide", {{"frame", f.name}});
        add(lint_fields(unit_, f.fields, at + "/fields"));
    }

    void framing()
    {
        const Framing& f = unit_.framing;
        using K = Framing::Kind;
        const auto lacks = [&](const char* key) { complain("/framing", "missing_key", {{"key", key}, {"of", "framing"}}); };
        if (f.kind == K::fixed && f.fixed_bytes == 0) lacks("fixed_bytes");
        if (f.kind == K::gap && f.gap_ms <= 0) lacks("gap_ms");
        if (f.kind == K::lines && f.end.empty()) lacks("end");
        const bool searches = f.kind == K::fixed || f.kind == K::length_prefixed;
        if (searches && f.sync.empty() && f.checksum.kind == Checksum::Kind::none) complain("/framing", "nothing_to_lock_on", {}, Severity::warning);
        if (f.checksum.kind == Checksum::Kind::crc && !framing::is_crc(f.checksum.crc)) complain("/framing/checksum/crc", "crc_too_wide", {});
        if (lines() ? f.select_bytes > 0 : f.select_bytes == 0 && !f.select_none) complain("/framing/select", "select_of_other_framing", {});
    }

    void add(Complaints more)
    {
        for (Objection& c : more) out_.push_back(std::move(c));
    }

    void word(const Word& w)
    {
        const std::string at = below("/words", w.name);
        if (w.label < 0) complain(at + "/label", "bad_label", {{"word", w.name}});
        for (const Word& other : unit_.words) {
            if (&other == &w) break;
            if (other.label == w.label) complain(at + "/label", "duplicate_label", {{"word", w.name}, {"other", other.name}});
        }
        if (w.coding == Word::Coding::bnr && w.full_scale <= 0) complain(at, "missing_key", {{"key", "bnr"}, {"of", "word"}});
        if (w.coding == Word::Coding::bnr && w.lsb > w.msb) complain(at + "/bnr", "bits_backwards", {{"word", w.name}});
        for (const auto& [bit, name] : w.bits)
            if (bit < 11 || bit > 29) complain(at + "/bits", "bit_outside", {{"bit", std::to_string(bit)}});
    }

    const Frame* frame_named(const std::string& name) const
    {
        const auto found = std::find_if(unit_.frames.begin(), unit_.frames.end(), [&](const Frame& f) { return f.name == name; });
        return found == unit_.frames.end() ? nullptr : &*found;
    }

    static const Field* field_named(const std::vector<Field>& fields, const std::string& name)
    {
        const auto found = std::find_if(fields.begin(), fields.end(), [&](const Field& f) { return f.name == name; });
        return found == fields.end() ? nullptr : &*found;
    }

    void field_must_be(const Frame* f, const std::string& name, const std::string& at)
    {
        if (f && !field_named(f->fields, name)) complain(at, "no_such_field", {{"field", name}, {"frame", f->name}});
    }

    void request(const Request& r)
    {
        const std::string at = below("/requests", r.name);
        add(lint_fields(unit_, r.fields, at + "/send/fields"));
        for (std::size_t i = 0; i < r.fields.size(); ++i) {
            const Field& f = r.fields[i];
            if (f.constant.has_value() == !f.arg.empty())
                complain(at + "/send/fields/" + std::to_string(i), "value_or_arg", {{"request", r.name}});
        }
        if (!r.paging) return;
        const Frame* reply = frame_named(r.reply);
        field_must_be(reply, r.paging->page, at + "/paging/page");
        field_must_be(reply, r.paging->total, at + "/paging/total");
        field_must_be(reply, r.paging->items, at + "/paging/items");
        if (std::none_of(r.fields.begin(), r.fields.end(), [&](const Field& f) { return f.arg == r.paging->arg; }))
            complain(at + "/paging/arg", "no_such_argument", {{"argument", r.paging->arg}});
    }

    void session()
    {
        const Session& s = unit_.session;
        if (s.enter.empty()) return;
        if (s.every_s >= s.lost_after_s) complain("/session/keep_alive", "keep_alive_too_slow", {});
        field_must_be(frame_named(s.refused_by), s.refused_why, "/session/refused/why");
        for (const std::string& name : {s.enter, s.keep_alive, s.leave})
            for (const Request& r : unit_.requests)
                if (r.name == name && r.effect == Effect::write) complain("/session", "session_writes", {{"request", name}});
    }

    void stored_codes()
    {
        const StoredFaults& s = unit_.faults;
        const Frame* f = frame_named(s.frame);
        if (!f) return;
        const Field* group = field_named(f->fields, s.group);
        if (!group) return complain("/faults/from", "no_such_field", {{"field", s.group}, {"frame", f->name}});
        if (!field_named(group->fields, s.code_field)) complain("/faults/code", "no_such_field", {{"field", s.code_field}, {"frame", f->name}});
        std::set<std::string> ids;
        for (const auto& [code, said] : s.table)
            if (!ids.insert(said.id).second) complain("/faults/table", "duplicate_id", {{"id", said.id}, {"kind", "stored fault"}});
    }

    void discrete(const Discrete& d)
    {
        const std::string at = below("/discretes", d.name);
        const Frame* f = frame_named(d.from_frame);
        if (!f) return;
        const Field* field = field_named(f->fields, d.from_field);
        if (!field) return complain(at + "/from", "no_such_field", {{"field", d.from_field}, {"frame", f->name}});
        const std::string& bit = d.signal.empty() ? d.name : d.signal;
        if (std::none_of(field->bits.begin(), field->bits.end(), [&](const auto& b) { return b.second == bit; }))
            complain(at, "no_such_bit", {{"bit", bit}});
    }

    bool bit_exists(const std::string& bit) const
    {
        for (const Frame& f : unit_.frames)
            for (const Field& field : f.fields)
                for (const auto& [number, name] : field.bits)
                    if (name == bit) return true;
        return false;
    }

    const Unit& unit_;
    Complaints out_;
};

} // namespace

Complaints lint_unit(const Profile& p)
{
    return UnitLint(p).run();
}

} // namespace chockside::profile
