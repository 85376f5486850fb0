#include <core/codec/signal_name.h>
#include <core/job/detail/describe.h>
#include <core/job/open_items.h>

#include <map>

namespace chockside::job::detail {

namespace {

using json::Value;

std::string did_words(const profile::Profile& p, const Value& b)
{
    const std::string verb = b["verb"].as_text(), of = b["of"].as_text(), to = b["to"].as_text();
    const std::string label = label_of(p, verb, of);
    if (verb == "breaker") return label + " " + to;
    if (verb == "plug") return label + " " + to;
    if (verb == "panel") return label + " " + to;
    if (verb == "dead") return label + " proved dead, " + b["number"].as_text() + "\u00A0V";
    if (verb == "power") return "Ground power " + to;
    if (verb == "fit") {
        const auto* item = profile::find(p.installation.temporaries, of);
        if (item && item->kind == "switch") return to == "yes" ? label : label + ": back to normal";
        return to == "yes" ? label + " on" : label + " off";
    }
    if (verb == "inspect") return "Seen by a second person: " + label;
    if (verb == "link") return "Link " + to;
    if (verb == "session") return "Ground-test session " + to + ", " + label;
    if (const std::string words = b["words"].as_text(); !words.empty()) return words;
    const auto* step = profile::find(p.installation.steps, b["step"].as_text());
    std::string said = step ? step->say.in() : label;
    if (said.ends_with('.')) said.pop_back();
    return said;
}

std::string answer_words(const profile::Profile& p, const Value& b)
{
    const std::string id = b["check"].as_text();
    const auto* check = profile::find(p.installation.checks, id);
    const std::string title = check && !check->title.empty() ? check->title.in() : id;
    if (!b["number"].as_text().empty()) return title + ": " + b["number"].as_text() + "\u00A0" + (check ? check->unit : "");
    return title + ": " + outcome_words(p, id, b["outcome"].as_text());
}

/// The reason is the unit's own, as its profile says it, or that none came.
std::string session_words(const std::string& reason)
{
    if (reason == "no_answer") return "Session not opened: the unit does not answer";
    return reason.empty() ? "Session refused, no reason given" : "Session refused: " + reason;
}

std::string result_words(const std::string& result)
{
    static const std::map<std::string, std::string> words = {{"pass", "passes"}, {"fail", "fails"}, {"not_proven", "not proven"}, {"no_tolerance", "no tolerance given"}};
    const auto found = words.find(result);
    return found == words.end() ? result : found->second;
}

std::string live_words(const profile::Profile& p, const std::string& kind, const Value& b)
{
    if (kind == "self_test_ended") {
        if (b["passed"].as_bool()) return "Power-up test ended, passed";
        std::string words = "Power-up test ended, failed:";
        for (const Value& bit : b["failed"].as_array()) {
            const auto said = p.unit.self_test.find(bit.as_text());
            words += " " + (said == p.unit.self_test.end() ? bit.as_text() : said->second.says.in());
        }
        return words;
    }
    if (kind == "stored_faults") {
        const auto n = b["faults"].as_array().size();
        return "Stored faults saved, " + std::to_string(n);
    }
    if (kind == "session_opened") return "Ground-test session open, " + b["channel"].as_text();
    if (kind == "session_refused") return session_words(b["reason"].as_text());
    if (kind == "identity") return "Unit read: " + b["part"].as_text() + ", S/N " + b["serial"].as_text();
    if (kind == "dropouts") return "Drop-outs: " + codec::words_of(b["signal"].as_text()) + " \u00D7 " + std::to_string(b["count"].as_int());
    static const std::map<std::string, std::string> words = {
        {"link_opened", "Link open"}, {"link_closed", "Link closed"}, {"link_lost", "Link lost"}, {"link_restored", "Link back"}, {"self_test_started", "Power-up test began"},
        {"session_closed", "Ground-test session closed"}, {"session_lost", "Ground-test session lost"}, {"power_lost", "Unit came up anew: warm-up starts again"},
        {"motion", "Moved: alignment starts again"}, {"still", "Still"}, {"aligned", "Aligned"}, {"settled", "Settled"}, {"configuration", "Configuration read"},
        {"data_lost", "Capture lost data"}};
    const auto found = words.find(kind);
    return found == words.end() ? kind : found->second;
}

std::string amend_words(const Value& b)
{
    const Value& should = b["body"];
    const std::string says = should["text"].as_text().empty() ? should["number"].as_text() : should["text"].as_text();
    return says.empty() ? "Amended: " + b["reason"].as_text() : "Amended to \u201C" + says + "\u201D: " + b["reason"].as_text();
}

} // namespace

std::string label_of(const profile::Profile& p, const std::string& verb, const std::string& id)
{
    const auto& in = p.installation;
    if (verb == "breaker")
        if (const auto* b = profile::find(in.breakers, id)) return b->label;
    if (verb == "plug" || verb == "dead")
        if (const auto* b = profile::find(in.plugs, id)) return b->label;
    if (verb == "panel")
        if (const auto* b = profile::find(in.panels, id)) return b->label;
    if (verb == "fit")
        if (const auto* b = profile::find(in.temporaries, id)) return b->label;
    return id;
}

std::string cause_words(const profile::Profile& p, const std::string& cause)
{
    const auto* c = profile::find(p.installation.causes, cause);
    if (c && !c->says.empty()) return c->says.in();
    for (const auto& unlisted : p.installation.causes) // a companion of it has no words of its own (unlisted.h)
        if (unlisted.cause_class == profile::CauseClass::unlisted && cause.starts_with(unlisted.id + "_")) return unlisted.says.in();
    return cause;
}

std::string outcome_words(const profile::Profile& p, const std::string& check, const std::string& outcome)
{
    const auto* c = profile::find(p.installation.checks, check);
    if (!c) return outcome;
    const auto said = c->outcome_says.find(outcome);
    return said == c->outcome_says.end() ? outcome : said->second.in();
}

std::string describe(const profile::Profile& p, const journal::Entry& e)
{
    const Value& b = e.body;
    const std::string& kind = e.envelope.kind;
    if (kind == "opened") return "Write-up taken: " + b["complaint"].as_text();
    if (kind == "answer") return answer_words(p, b);
    if (kind == "did") return did_words(p, b);
    if (kind.rfind("live.", 0) == 0) return live_words(p, kind.substr(5), b);
    if (kind == "presence") return "Fault " + (b["is"].as_text() == "showing" ? std::string("showing now") : b["is"].as_text() == "absent" ? "not showing now" : "not known to show");
    if (kind == "cautions_read") return "Cautions read";
    if (kind == "finding") return b["advice"].as_text() == "not_proven" ? "Finding: not proven" : "Finding: " + cause_words(p, b["cause"].as_text());
    if (kind == "repair") return b["words"].as_text();
    if (kind == "reopened") return "Still fails: isolated again";
    if (kind == "part") return b.has("off") ? "Off: " + b["off"]["number"].as_text() + " S/N " + b["off"]["serial"].as_text() + "; on: S/N " + b["on"]["serial"].as_text() : "Part on";
    if (kind == "owed") return b["owed"].as_text().starts_with(tripped_owes) ? b["words"].as_text() + ": " + b["result"].as_text() : "Proved: " + b["words"].as_text();
    if (kind == "swing_point") return (b["point"].as_int() > 0 ? "Point " + std::to_string(b["point"].as_int()) + " again: " : "Point ") + b["reference"].as_text() + "\u00B0, reads " + b["indicated"].as_text() + "\u00B0";
    if (kind == "swing_result") return "Swing result: " + result_words(b["result"].as_text());
    if (kind == "photo") return "Photo: " + b["of"].as_text() + (b["sha"].as_text().empty() ? "" : ", picture " + b["sha"].as_text().substr(0, 8));
    if (kind == "note") return b["text"].as_text();
    if (kind == "sign") return "Signed: " + b["words"].as_text() + ", " + e.envelope.person;
    if (kind == "defer") return "Deferred: " + b["item"].as_text() + (b["expires"].as_text().empty() ? "" : ", until " + b["expires"].as_text());
    if (kind == "closed") return "Job closed";
    if (kind == "assigned") return "Given by the shop, " + e.envelope.person + ": " + b["title"].as_text();
    if (kind == "replied") return "The shop, " + e.envelope.person + ": " + b["text"].as_text();
    if (kind == "void") return "Voided: " + b["reason"].as_text();
    if (kind == "amend") return amend_words(b);
    return kind;
}

} // namespace chockside::job::detail
