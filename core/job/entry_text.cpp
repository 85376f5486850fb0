#include <core/job/build_view.h>
#include <core/job/detail/describe.h>

#include <algorithm>

namespace chockside::job {

namespace {

std::string answered(const profile::Profile& p, const profile::Check& check, const Answer& a)
{
    return a.number.empty() ? detail::outcome_words(p, a.check, a.outcome) : a.number + "\u00A0" + check.unit;
}

std::string found(const profile::Profile& p, const JobState& s)
{
    if (!s.found) return {};
    std::string text = "Found: ";
    if (s.finding_kind == "not_proven") return text + "cause not proven. See troubleshooting sheet.\n";
    text += detail::cause_words(p, s.finding_cause) + ".";
    for (const auto* check : fix_checks(p, s)) {
        const auto bad = std::find_if(s.answers.begin(), s.answers.end(), [&](const Answer& a) { return a.check == check->id && !a.after_repair && a.outcome != not_done && !is_good(*check, a); });
        if (bad != s.answers.end()) text += " " + check->title.in() + ": " + answered(p, *check, *bad) + ".";
    }
    return text + "\n";
}

std::string one_done(const profile::Profile& p, const PastRepair& r)
{
    const auto* repair = profile::find(p.installation.repairs, r.repair);
    std::string text = "Done: " + (repair ? repair->say.in() : r.repair) + "\n";
    if (!r.off) return text;
    text += "Removed P/N " + r.off->number + " S/N " + r.off->serial;
    if (r.on) text += ", installed P/N " + r.on->number + " S/N " + r.on->serial + ", release certificate " + r.on->certificate;
    return text + ".\n";
}

/// Every repair that was done, those too that cured nothing.
std::string done(const profile::Profile& p, const JobState& s)
{
    std::string text;
    for (const PastRepair& r : s.past) text += one_done(p, r);
    return s.repair ? text + one_done(p, {*s.repair, s.off, s.on, 0}) : text;
}

std::string tested(const profile::Profile& p, const JobState& s)
{
    std::string text;
    for (const auto* check : fix_checks(p, s))
        if (const Answer* a = s.answer_after_repair(check->id)) text += check->title.in() + " repeated: " + answered(p, *check, *a) + ". ";
    for (const OwedState& o : s.owed) {
        const auto row = std::find_if(p.installation.owed.begin(), p.installation.owed.end(), [&](const auto& r) { return r.id == o.id; });
        if (o.closed && row != p.installation.owed.end()) text += row->says.in() + ": " + o.result + ". ";
    }
    return text.empty() ? text : "Tested: " + text + "\n";
}

std::string deferred(const Deferral& d)
{
    std::string text = "Deferred: " + d.item;
    for (const auto& [title, said] : {std::pair{"category", d.category}, {"until", d.expires}, {"placard", d.placard}, {"authority", d.authority}})
        if (!said.empty()) text += std::string(", ") + title + " " + said;
    return text + ".\n";
}

std::string data(const profile::Profile& p)
{
    std::string text = "Data: ";
    bool first = true;
    for (const auto& [id, doc] : p.sources) {
        text += (first ? "" : "; ") + doc.document + ", revision " + doc.revision;
        first = false;
    }
    return first ? std::string{} : text + ".\n";
}

} // namespace

std::string entry_text(const profile::Profile& p, const JobState& s)
{
    std::string text = "Complaint: " + s.complaint + "\n";
    text += found(p, s) + done(p, s) + tested(p, s) + data(p);
    if (s.deferral) text += deferred(*s.deferral);
    for (const char* meaning : {"worked", "inspected", "released"}) {
        const auto sign = s.signs.find(meaning);
        if (sign == s.signs.end()) continue;
        const auto& x = sign->second;
        text += std::string(meaning == std::string("worked") ? "Performed by " : meaning == std::string("inspected") ? "Inspected by " : "Approved for return to service by ");
        text += (x.name.empty() ? x.person : x.name + " (" + x.person + ")") + ", " + x.certificate_kind + " " + x.certificate_number + ", " + to_date(x.stamp.wall) + ".\n";
    }
    return text;
}

} // namespace chockside::job
