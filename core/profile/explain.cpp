#include <core/profile/explain.h>

#include <core/base/json.h>
#include <core/profile/detail/fill.h>

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

std::string notes(const Unit& unit, const Field& f)
{
    Row parts;
    if (f.scale != 1) parts.push_back("x " + num(f.scale));
    if (!f.unit.empty()) parts.push_back(f.unit);
    if (f.range) parts.push_back(num(f.range->first) + " to " + num(f.range->second));
    for (std::uint64_t v : f.invalid) parts.push_back(hex(v, 2) + " no value");
    if (!f.repeat_count.empty()) parts.push_back("as often as " + f.repeat_count);
    for (const auto& [bit, name] : f.bits) parts.push_back("bit " + std::to_string(bit) + " " + name);
    if (const auto codes = unit.enums.find(f.enumeration); codes != unit.enums.end())
        for (const auto& [code, name] : codes->second) parts.push_back(std::to_string(code) + " " + name);
    if (f.constant) parts.push_back("always " + hex(*f.constant, 2));
    if (!f.arg.empty()) parts.push_back("argument " + f.arg);
    return joined(parts);
}

void fields(const Unit& unit, const std::vector<Field>& list, const std::string& indent, std::vector<Row>& rows)
{
    for (const Field& f : list) {
        std::string type = word_of(f.type);
        if (f.type == FieldType::text) type += " " + std::to_string(f.bytes);
        rows.push_back({indent + (f.name.empty() ? "-" : f.name), type, notes(unit, f)});
        fields(unit, f.fields, indent + "  ", rows);
    }
}

void unit_pages(Page& page, const Unit& u)
{
    page.title("Unit " + u.id);
    page.line("  line " + std::to_string(u.line.rate) + " bit/s, " + std::to_string(u.line.data_bits) + " data bits, parity " + u.line.parity + ", "
        + num(u.line.stop_bits) + " stop bits");
    page.line("  test " + num(u.timings.self_test_min_s) + " to " + num(u.timings.self_test_max_s) + " s, alignment " + num(u.timings.alignment_s)
        + " s, warm-up " + num(u.timings.warm_up_s) + " s");
    if (u.framing.checksum.kind == Checksum::Kind::crc) page.line("  check " + u.framing.checksum.crc.name);
    for (const Frame& f : u.frames) {
        page.title("Frame " + f.name + "  " + (f.id_text.empty() || u.framing.select_bytes ? hex(f.id, 2 * u.framing.select_bytes) : f.id_text)
            + (f.period_ms ? ", every " + std::to_string(f.period_ms) + " ms" : ", on request"));
        std::vector<Row> rows;
        fields(u, f.fields, "", rows);
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
        fields(u, r.fields, "", rows);
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
