#include <core/base/time.h>
#include <core/job/number.h>
#include <core/record/report.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace chockside::record {

namespace {

std::string percent(double p)
{
    return p < 0.005 ? "<1\u00A0%" : p >= 0.995 ? ">99\u00A0%" : fixed_text(100 * p, 0) + "\u00A0%"; // nothing is certain
}

std::vector<std::string> lines_of(const std::string& text)
{
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = text.find('\n', at);
        lines.push_back(text.substr(at, end - at));
        at = end == std::string::npos ? text.size() : end + 1;
    }
    return lines;
}

Section aircraft_entry(const job::JobState& s, const job::JobView& v)
{
    Section section{"Aircraft entry", false, {}};
    // A profile's title mostly names the aircraft's type as well.
    const bool named = v.unit_title.find(v.aircraft_type) != std::string::npos;
    section.blocks.push_back(Paragraph{"Aircraft " + v.tail + ", " + (named ? std::string() : v.aircraft_type + ", ") + v.unit_title + ".", Paragraph::Kind::plain});
    for (const auto& line : lines_of(v.entry_text)) section.blocks.push_back(Paragraph{line, Paragraph::Kind::fact});
    if (!s.closed) section.blocks.push_back(Paragraph{"The job is not closed. This is a copy of its present state.", Paragraph::Kind::caution});
    section.blocks.push_back(Paragraph{"A signature is the approval for return to service only for the work performed. The approved data of the aircraft rule. Chockside records; it does not approve.",
        Paragraph::Kind::caution});
    return section;
}

std::string zulu(std::int64_t wall)
{
    return to_hms(wall) + "\u00A0Z";
}

/// Times down a column, with the date where the day is another than in the line above: a night's work is read back by days.
class Days {
public:
    std::string before(std::int64_t wall, const std::string& time)
    {
        const std::string day = to_date(wall);
        return day == std::exchange(day_, day) ? time : day + " " + time;
    }

private:
    std::string day_;
};

/// A signature stands for itself, so each carries its date.
std::string signed_at(const job::JobState& s, const job::ActLine& act)
{
    const auto sign = s.signs.find(act.id);
    return sign == s.signs.end() ? act.word : to_date(sign->second.stamp.wall) + " " + zulu(sign->second.stamp.wall);
}

Section acts(const job::JobState& s, const job::JobView& v)
{
    Section section{"Acts", false, {}};
    Table table{{"Act", "Person", "Certificate", "When"}, {}, {0.22, 0.22, 0.34, 0.22}};
    for (const auto& act : v.acts) table.rows.push_back({act.title, act.person, act.certificate, signed_at(s, act)});
    section.blocks.push_back(table);
    return section;
}

Section parts(const job::JobView& v)
{
    Section section{"Part off, part on", false, {}};
    Table table{{"", "P/N", "S/N", "Paper"}, {}, {0.12, 0.3, 0.28, 0.3}};
    const auto row = [&](const job::PartPaper& paper) { table.rows.push_back({paper.title, paper.part, paper.serial, paper.tag.empty() ? paper.certificate : paper.tag}); };
    for (const auto& paper : v.parts_before) row(paper);
    for (const auto* paper : {&v.part_off, &v.part_on})
        if (paper->filled) row(*paper);
    section.blocks.push_back(table);
    return section;
}

Section owed(const job::JobView& v)
{
    Section section{"Work owed by this act", false, {}};
    Table table{{"What", "Rule or data", "Who", "Result"}, {}, {0.38, 0.22, 0.18, 0.22}};
    for (const auto& o : v.owed) table.rows.push_back({o.title, o.rule, o.who, o.word});
    section.blocks.push_back(table);
    return section;
}

Section ledger(const job::JobState& s, const job::JobView& v)
{
    Section section{"Ledger of breakers and open items", false, {}};
    Table table{{"What", "Done at", "By", "Now"}, {}, {0.46, 0.18, 0.12, 0.24}};
    Days days;
    for (const auto& line : s.lines) {
        if (line.kind != "did" || line.text.empty()) continue;
        table.rows.push_back({line.text, days.before(line.stamp.wall, zulu(line.stamp.wall)), line.stamp.person, ""});
    }
    for (const auto& b : v.breakers) table.rows.push_back({b.label + ", " + b.panel, "", "", b.state});
    for (const auto& item : v.open) table.rows.push_back({item.title, "", "", "STILL OPEN"});
    section.blocks.push_back(table);
    return section;
}

Section swing(const job::JobView& v)
{
    Section section{"Swing and card", true, {}};
    section.blocks.push_back(Paragraph{v.swing.sentence, Paragraph::Kind::fact});
    section.blocks.push_back(SwingPicture{v.swing});
    Table terms{{"Term", "Degrees", "Standard error"}, {}, {0.2, 0.4, 0.4}};
    for (const auto& [name, value] : v.swing.terms) terms.rows.push_back({name, fixed_text(value.first, 2), fixed_text(value.second, 2)});
    section.blocks.push_back(terms);
    section.blocks.push_back(Paragraph{"Deviation = reference \u2212 indicated = A + B sin + C cos + D sin 2 + E cos 2 of the heading. The band holds everywhere at once with 95 % confidence.", Paragraph::Kind::plain});
    return section;
}

/// The likelihood is the one that was recorded with the finding: what is answered since moves it no more. What is not proven has none.
std::string finding_line(const job::JobState& s, const job::JobView& v)
{
    if (v.finding.empty()) return "No finding yet.";
    const auto p = s.finding_kind == "not_proven" ? std::nullopt : job::number_of(s.finding_p);
    return "Finding: " + v.finding + (p ? " (" + percent(*p) + ")." : ".");
}

Section troubleshooting(const job::JobState& s, const job::JobView& v)
{
    Section section{"Troubleshooting sheet", true, {}};
    section.blocks.push_back(Paragraph{"For the shop. Likelihoods are advice, not findings, and have no place in the aircraft entry.", Paragraph::Kind::caution});
    section.blocks.push_back(Paragraph{finding_line(s, v), Paragraph::Kind::fact});
    Table classes{{"Class", "Likelihood"}, {}, {0.6, 0.4}};
    for (const auto& [name, p] : v.isolate.classes)
        if (p >= 0.005) classes.rows.push_back({name, percent(p)});
    section.blocks.push_back(classes);
    Table evidence{{"Evidence", "Times likelier"}, {}, {0.76, 0.24}};
    for (const auto& e : v.isolate.evidence) evidence.rows.push_back({e.text, e.factor >= 1 ? "\u00D7\u00A0" + fixed_text(e.factor, 1) : "\u00F7\u00A0" + fixed_text(1 / e.factor, 1)});
    section.blocks.push_back(evidence);
    Table gates{{"Gate", "What it needs", "State"}, {}, {0.1, 0.66, 0.24}};
    for (const auto& g : v.isolate.gates) gates.rows.push_back({g.id, g.says, g.met ? "met" : "not met"});
    if (!gates.rows.empty()) section.blocks.push_back(gates);
    if (!v.stored_faults.empty()) {
        Table faults{{"Code", "Stored fault, as found", "Count", "Age"}, {}, {0.14, 0.5, 0.16, 0.2}};
        for (const auto& f : v.stored_faults) faults.rows.push_back({f.code, f.says, f.count > 0 ? std::to_string(f.count) : "not told", f.age.empty() ? "not told" : f.age});
        section.blocks.push_back(faults);
    }
    return section;
}

Section journal(const job::JobState& s)
{
    Section section{"Journal", true, {}};
    Table table{{"UTC", "Entry", "By", "Digest"}, {}, {0.14, 0.58, 0.1, 0.18}};
    Days days;
    for (const auto& line : s.lines)
        table.rows.push_back({days.before(line.stamp.wall, to_hms(line.stamp.wall)), (line.corrected ? "(amended) " : line.amended ? "(voided) " : "") + line.text, line.stamp.person, line.stamp.hash.substr(0, 12)});
    section.blocks.push_back(table);
    return section;
}

} // namespace

Report make_report(const profile::Profile&, const job::JobState& s, const job::JobView& v, const std::string& head_hash)
{
    Report r;
    r.job = v.job;
    r.tail = v.tail;
    r.head_hash = head_hash;
    r.practice = v.practice;
    r.sections.push_back(aircraft_entry(s, v));
    r.sections.push_back(acts(s, v));
    if (v.part_off.filled || !v.parts_before.empty()) r.sections.push_back(parts(v));
    if (!v.owed.empty()) r.sections.push_back(owed(v));
    r.sections.push_back(ledger(s, v));
    if (v.swing.points.size() >= 5) r.sections.push_back(swing(v));
    r.sections.push_back(troubleshooting(s, v));
    r.sections.push_back(journal(s));
    return r;
}

} // namespace chockside::record
