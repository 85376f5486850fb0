#include <core/profile/explain.h>

#include <core/base/json.h>
#include <core/profile/detail/fill.h>
#include <core/profile/measure.h>

#include <algorithm>
#include <cstdio>

namespace chockside::profile {

namespace {

using Row = std::vector<std::string>;

class Page {
public:
    void title(const std::string& text) { out_ += (out_.empty() ? "" : "\n") + text + "\n" + std::string(text.size(), '-') + "\n"; }
    void line(const std::string& text) { out_ += text + "\n"; }

    // Columns as wide as their widest cell, the last one free.
    void table(const std::vector<Row>& rows)
    {
        std::vector<std::size_t> width;
        for (const Row& r : rows)
            for (std::size_t i = 0; i + 1 < r.size(); ++i) {
                width.resize(std::max(width.size(), i + 1));
                width[i] = std::max(width[i], r[i].size());
            }
        for (const Row& r : rows) {
            std::string text = "  ";
            for (std::size_t i = 0; i < r.size(); ++i) text += i + 1 < r.size() ? r[i] + std::string(width[i] - r[i].size() + 2, ' ') : r[i];
            text.erase(text.find_last_not_of(' ') + 1);
            out_ += text + "\n";
        }
    }
    std::string done() { return std::move(out_); }

private:
    std::string out_;
};

std::string hex(std::uint64_t v, int digits)
{
    char text[32];
    std::snprintf(text, sizeof text, "0x%0*llX", digits, static_cast<unsigned long long>(v));
    return text;
}

std::string wide_hex(framing::CrcValue v, int digits)
{
    if (digits <= 16) return hex(static_cast<std::uint64_t>(v), digits);
    return hex(static_cast<std::uint64_t>(v >> 64), digits - 16) + hex(static_cast<std::uint64_t>(v), 16).substr(2);
}

std::string joined(const std::vector<std::string>& list, const char* between = ", ")
{
    std::string out;
    for (const std::string& s : list) out += (out.empty() ? "" : between) + s;
    return out;
}

std::string num(double v)
{
    return json::number_text(v);
}

std::string word_of(FieldType type)
{
    for (const auto& [word, value] : detail::words_of<FieldType>())
        if (value == type) return word;
    return {};
}

std::string codes_text(const std::vector<std::uint64_t>& codes)
{
    Row out;
    for (std::uint64_t c : codes) out.push_back(hex(c, 2));
    return joined(out, " or ");
}

std::string condition(const When& w)
{
    if (w.bit) return "only where bit " + std::to_string(*w.bit) + " of " + w.field + " is set";
    if (w.clear) return "only where bit " + std::to_string(*w.clear) + " of " + w.field + " is clear";
    return "only where " + w.field + " is " + codes_text(w.is);
}

// How its bits become a number.
void coding(const Unit& unit, const Field& f, Row& parts)
{
    if (f.order && *f.order != unit.framing.order) parts.push_back(*f.order == Order::big ? "high byte first" : "low byte first");
    if (f.at_bit || f.bit_width)
        parts.push_back("bits " + std::to_string(f.at_bit.value_or(0)) + "-" + std::to_string(f.at_bit.value_or(0) + bits_of(f) - 1));
    if (f.sign == Sign::two) parts.push_back("two's complement");
    if (f.sign == Sign::magnitude) parts.push_back("top bit is the sign");
    if (f.sign == Sign::nibble) parts.push_back("last nibble is the sign");
    if (f.type == FieldType::bcd) parts.push_back(std::to_string(f.digits) + " digits");
    if (f.full_scale) parts.push_back("full scale " + num(*f.full_scale));
    if (f.scale != 1) parts.push_back("x " + num(f.scale));
    if (f.offset != 0) parts.push_back("plus " + num(f.offset));
    if (!f.unit.empty()) parts.push_back(f.unit);
    if (f.type == FieldType::arinc429) parts.push_back(f.label_reversed ? "label as a number" : "label as on the bus");
}

std::string notes(const Unit& unit, const Field& f)
{
    Row parts;
    if (f.when) parts.push_back(condition(*f.when));
    if (!f.repeat_count.empty()) parts.push_back("as often as " + f.repeat_count);
    if (f.repeat_to_end) parts.push_back("to the end of the frame");
    if (!f.length_field.empty()) parts.push_back("as long as " + f.length_field);
    if (f.ends == "zero") parts.push_back("to a zero byte");
    if (f.ends == "frame") parts.push_back("to the end of the frame");
    coding(unit, f, parts);
    if (f.range) parts.push_back(num(f.range->first) + " to " + num(f.range->second));
    for (std::uint64_t v : f.invalid) parts.push_back(hex(v, 2) + " no value");
    for (const auto& [bit, name] : f.bits) parts.push_back("bit " + std::to_string(bit) + " " + name);
    if (const auto codes = unit.enums.find(f.enumeration); codes != unit.enums.end())
        for (const auto& [code, name] : codes->second) parts.push_back((code < 10 ? std::to_string(code) : hex(code, 2)) + " " + name);
    if (f.constant) parts.push_back("always " + hex(*f.constant, 2));
    if (!f.arg.empty()) parts.push_back("argument " + f.arg);
    return joined(parts);
}

/// Where fields lie: bytes from the start of the frame or the group, until something comes whose length only the frame tells.
class Places {
public:
    Places(const Unit& unit, std::size_t lead) : lines_(unit.framing.kind == Framing::Kind::lines), cursor_(lead) {}
    std::string next(const Field& f)
    {
        if (lines_) return "token";
        if (f.when || repeats(f) || is_free_text(f) || width_of(f) == 0) {
            known_ = false;
            return "then";
        }
        if (!known_) return "then";
        const std::size_t at = f.at_byte ? static_cast<std::size_t>(*f.at_byte) : cursor_;
        cursor_ = at + width_of(f);
        return width_of(f) == 1 ? std::to_string(at) : std::to_string(at) + "-" + std::to_string(cursor_ - 1);
    }

private:
    bool lines_, known_ = true;
    std::size_t cursor_;
};

void fields(const Unit& unit, const std::vector<Field>& list, const std::string& indent, std::size_t lead, std::vector<Row>& rows)
{
    if (indent.empty() && !list.empty()) rows.push_back({"byte", "field", "type", ""});
    Places places(unit, lead);
    for (const Field& f : list) {
        std::string type = word_of(f.type);
        if (f.type == FieldType::text && f.bytes > 0) type += " " + std::to_string(f.bytes);
        rows.push_back({indent + places.next(f), f.name.empty() ? "-" : f.name, type, notes(unit, f)});
        fields(unit, f.fields, indent + "  ", 0, rows);
    }
}

std::string check_text(const Checksum& c)
{
    using K = Checksum::Kind;
    const std::string from = c.from ? ", from byte " + std::to_string(c.from) : "";
    switch (c.kind) {
    case K::none: return "none";
    case K::xor8: return "exclusive-or" + from;
    case K::sum8: return "sum modulo 256" + from;
    case K::sum8_zero: return "what makes the sum 0" + from;
    case K::sum16: return "sum modulo 65536" + from;
    case K::crc: break;
    }
    const framing::CrcParameters& p = c.crc;
    const int digits = (p.width + 3) / 4;
    return p.name + " (width " + std::to_string(p.width) + ", poly " + wide_hex(p.poly, digits) + ", init " + wide_hex(p.init, digits) + ", refin "
        + (p.reflect_in ? "true" : "false") + ", refout " + (p.reflect_out ? "true" : "false") + ", xorout " + wide_hex(p.xor_out, digits) + ")"
        + (c.order == Order::big ? ", high byte first" : ", low byte first") + from;
}

std::string framing_text(const Framing& f)
{
    std::string out;
    for (const auto& [word, kind] : detail::words_of<Framing::Kind>())
        if (kind == f.kind) out = word;
    out += ", at most " + std::to_string(f.max_bytes) + " bytes, numbers " + (f.order == Order::big ? "high" : "low") + " byte first";
    if (!f.sync.empty()) out += ", starts with " + to_hex(f.sync);
    if (f.fixed_bytes) out += ", " + std::to_string(f.fixed_bytes) + " bytes";
    if (f.kind == Framing::Kind::length_prefixed)
        out += ", length at byte " + std::to_string(f.length_at) + " (" + std::to_string(f.length_bytes) + " bytes), frame = length + " + std::to_string(f.length_adds);
    if (f.select_bytes) out += ", id at byte " + std::to_string(select_at(f)) + " (" + std::to_string(f.select_bytes) + " bytes)";
    return out;
}

void unit_pages(Page& page, const Unit& u)
{
    page.title("Unit " + u.id);
    page.line("  line " + std::to_string(u.line.rate) + " bit/s, " + std::to_string(u.line.data_bits) + " data bits, parity " + u.line.parity + ", "
        + num(u.line.stop_bits) + " stop bits");
    page.line("  test " + num(u.timings.self_test_min_s) + " to " + num(u.timings.self_test_max_s) + " s, alignment " + num(u.timings.alignment_s)
        + " s, warm-up " + num(u.timings.warm_up_s) + " s");
    page.line("  framing " + framing_text(u.framing));
    page.line("  check " + check_text(u.framing.checksum));
    for (const Frame& f : u.frames) {
        page.title("Frame " + f.name + "  " + (f.id_text.empty() || u.framing.select_bytes ? hex(f.id, 2 * u.framing.select_bytes) : f.id_text)
            + (f.period_ms ? ", every " + std::to_string(f.period_ms) + " ms" : ", on request"));
        std::vector<Row> rows;
        fields(u, f.fields, "", lead_bytes(u.framing), rows);
        page.table(rows);
    }
    std::vector<Row> rows;
    for (const Word& w : u.words) {
        char label[8];
        std::snprintf(label, sizeof label, "%03o", static_cast<unsigned>(w.label));
        std::string coding = "bits";
        if (w.coding == Word::Coding::bnr) coding = "BNR " + std::to_string(w.msb) + "-" + std::to_string(w.lsb) + " full scale " + num(w.full_scale);
        if (w.coding == Word::Coding::bcd) coding = "BCD " + std::to_string(w.digits) + " digits x " + num(w.scale);
        Row bits;
        for (const auto& [bit, name] : w.bits) bits.push_back(std::to_string(bit) + " " + name);
        rows.push_back({label, w.name, coding, w.unit, std::to_string(w.period_ms) + " ms", joined(bits)});
    }
    if (!rows.empty()) page.title("Words");
    page.table(rows);
    for (const Request& r : u.requests) {
        static const char* const effects[] = {"read", "session", "write"};
        page.title("Request " + r.name + "  " + hex(r.id, 2) + ", " + effects[static_cast<int>(r.effect)] + ", answered by " + r.reply);
        rows.clear();
        fields(u, r.fields, "", lead_bytes(u.framing), rows);
        page.table(rows);
    }
    rows.clear();
    for (const auto& [bit, said] : u.self_test) rows.push_back({bit, said.says.in(), joined(said.points_at), said.ref.source + " " + said.ref.at});
    for (const auto& [code, said] : u.faults.table) rows.push_back({hex(code, 4) + " " + said.id, said.says.in(), joined(said.points_at), said.ref.source + " " + said.ref.at});
    if (!rows.empty()) page.title("Self-test bits and stored codes");
    page.table(rows);
}

void installation_pages(Page& page, const Installation& in)
{
    page.title("Installation " + in.id + ", " + in.aircraft_type);
    std::vector<Row> rows;
    for (const Breaker& b : in.breakers) rows.push_back({b.label, b.panel, b.bus, joined(b.feeds), b.also_feeds.empty() ? "" : "also: " + b.also_feeds.in()});
    for (const Plug& p : in.plugs) rows.push_back({p.label, p.where, p.panel, joined(p.fed_by), "dead at " + p.dead_points});
    page.table(rows);
    rows.clear();
    for (const Step& s : in.steps) rows.push_back({s.stage, s.id, s.of, s.say.in()});
    page.title("Steps");
    page.table(rows);
    rows.clear();
    for (const Cause& c : in.causes) rows.push_back({c.id, name_of(c.cause_class), c.at, num(c.weight), c.mode, c.says.in()});
    page.title("Causes");
    page.table(rows);
    rows.clear();
    for (const WiringCause& w : in.wiring_causes) rows.push_back({w.id, name_of(w.cause_class), joined(w.at), num(w.weight), w.mode, w.says.in()});
    if (!rows.empty()) page.title("Wiring causes, one at each place (in the table above too)");
    page.table(rows);
    page.title("Checks");
    for (const Check& c : in.checks) {
        page.line(c.id + ": " + c.title.in() + " (" + num(c.minutes) + " min" + (c.unit.empty() ? "" : ", " + c.unit) + ")");
        rows.clear();
        if (!c.outcomes.empty()) {
            Row head{""};
            head.insert(head.end(), c.outcomes.begin(), c.outcomes.end());
            rows.push_back(head);
        }
        for (const CheckRow& r : c.given) {
            Row row{r.of};
            for (double v : r.outcomes) row.push_back(num(v));
            if (r.number) row.push_back((r.number->kind == Density::Kind::normal ? "normal " : "lognormal ") + num(r.number->a) + ", " + num(r.number->b));
            rows.push_back(row);
        }
        page.table(rows);
    }
}

} // namespace

std::string explain(const Profile& p)
{
    Page page;
    if (!p.id.empty()) page.title(p.title.empty() ? p.id : p.title.in());
    for (const auto& [id, source] : p.sources) page.line("  " + id + ": " + source.document + ", revision " + source.revision);
    if (!p.unit.id.empty()) unit_pages(page, p.unit);
    if (!p.installation.id.empty()) installation_pages(page, p.installation);
    return page.done();
}

} // namespace chockside::profile
