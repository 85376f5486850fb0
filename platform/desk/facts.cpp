#include <platform/desk/facts.h>

#include <core/codec/signal_name.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace chockside::desk {

namespace {

void link_words(const watch::LiveSnapshot& s, job::LiveFacts& f)
{
    char rate[48];
    std::snprintf(rate, sizeof rate, "%.0f words/s", s.words_per_s);
    switch (s.link) {
    case watch::LinkState::good: f.word = "Link good", f.detail = s.words_per_s < 0.5 ? "words begin" : rate; break;
    case watch::LinkState::silent: f.word = "Silent", f.detail = "no words"; break;
    case watch::LinkState::lost: f.word = "Link lost", f.detail = "trying again"; break;
    case watch::LinkState::closed: f.word = "No link", f.detail = "not begun"; break;
    }
    if (s.counters.bad_checksum > 0 && s.link == watch::LinkState::good) f.detail += ", " + std::to_string(s.counters.bad_checksum) + " bad";
}

bool names_bit(const std::vector<profile::Field>& fields, const std::string& bit)
{
    return std::any_of(fields.begin(), fields.end(), [&](const profile::Field& f) {
        return names_bit(f.fields, bit) || std::any_of(f.bits.begin(), f.bits.end(), [&](const auto& b) { return b.second == bit; });
    });
}

/// Some units show their heading and nothing else: the clock alone says that their alignment is over.
bool tells_alignment(const profile::Unit& unit)
{
    const auto of_word = [](const profile::Word& w) { return std::any_of(w.bits.begin(), w.bits.end(), [](const auto& b) { return b.second == "aligned"; }); };
    return std::any_of(unit.frames.begin(), unit.frames.end(), [](const profile::Frame& f) { return names_bit(f.fields, "aligned"); })
        || std::any_of(unit.words.begin(), unit.words.end(), of_word);
}

job::LiveLine line_of(const profile::Profile& p, const watch::Row& row)
{
    job::LiveLine line;
    line.label = codec::field_of(row.name);
    for (const auto& d : p.unit.discretes)
        if (row.boolean && codec::field_of(row.name) == d.name) line.word = (row.value != 0 ? d.when_1 : d.when_0).in();
    char value[32];
    if (row.boolean) std::snprintf(value, sizeof value, "%s", row.value != 0 ? "on" : "off");
    else std::snprintf(value, sizeof value, "%.*f", row.unit == "deg" || row.unit == "V" ? 2 : 0, row.value);
    line.value = row.good() ? value : "\u2013";
    line.unit = row.boolean ? "" : row.unit;
    if (!row.good()) line.word = codec::name_of(row.validity);
    line.mark = row.good() ? job::Mark::none : job::Mark::attention;
    return line;
}

} // namespace

std::string signal_of(const std::string& reference)
{
    const auto colon = reference.find(':');
    const std::string name = colon == std::string::npos ? reference : reference.substr(colon + 1);
    return reference.rfind("word:", 0) == 0 && name.find('.') == std::string::npos ? "word." + name : name;
}

job::LiveFacts facts_of(const profile::Profile& p, const watch::LiveSnapshot& s)
{
    job::LiveFacts f;
    f.port_open = s.link == watch::LinkState::silent || s.link == watch::LinkState::good;
    f.good = s.link == watch::LinkState::good;
    f.known = f.good && s.uptime_s.has_value();
    link_words(s, f);
    if (f.good) f.uptime_s = s.uptime_s;
    f.moving = s.moving.value_or(false);
    f.aligned = s.aligned.value_or(!tells_alignment(p.unit));
    f.self_test_running = s.self_test.phase == watch::SelfTestPhase::running;
    if (s.session.state == watch::SessionState::open) f.session = s.session.channel;
    for (const auto& row : s.rows) {
        if (row.good() && !row.boolean && std::isfinite(row.value)) f.values[row.name] = row.value;
        if (row.boolean) f.flags[codec::field_of(row.name)] = row.value != 0;
        if (row.name.rfind("word.", 0) == 0 || row.name.rfind("status.", 0) == 0) f.lines.push_back(line_of(p, row));
    }
    for (const auto& word : s.settled) f.settled[word.signal] = word.word == watch::SettleView::Word::settled;
    return f;
}

} // namespace chockside::desk
