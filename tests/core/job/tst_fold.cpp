// The fold is a function of the set: any order of arrival, same state; apply() agrees with fold(); a void takes its entry away.
#include "small_profile.h"

#include <core/base/random.h>
#include <core/job/disputes.h>
#include <core/job/state.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::tests;

namespace {

/// One of the things that people write at the same time without hearing of one another, mistakes taken back among them.
journal::Entry random_entry(SeededRandom& r, Pen& pen, const std::vector<journal::Entry>& all);

json::Value random_act(SeededRandom& r)
{
    static const char* breakers[] = {"ref_1", "ref_2", "pitot_ht"};
    static const char* states[] = {"in", "pulled", "collared", "tripped"};
    switch (r.below(3)) {
    case 0: return did_body("breaker", breakers[r.below(3)], states[r.below(4)]);
    case 1: return did_body("panel", "rack", r.below(2) ? "open" : "closed");
    default: return did_body("fit", "breakout_j1", r.below(2) ? "yes" : "no");
    }
}

journal::Entry random_entry(SeededRandom& r, Pen& pen, const std::vector<journal::Entry>& all)
{
    const std::string of = all[r.below(all.size())].hash;
    switch (r.below(13)) {
    case 0: return pen.write("void", body({{"of", of}, {"reason", "wrong breaker"}}));
    case 1: return pen.write("amend", body({{"of", of}, {"reason", "slip"}, {"body", random_act(r)}}));
    case 2: return pen.write("answer", body({{"check", "weather"}, {"outcome", r.below(2) ? "rain" : "dry"}, {"presence", "present"}}));
    case 3: return pen.write("finding", body({{"cause", r.below(2) ? "unit" : "wire"}, {"words", "found"}}));
    case 4: return pen.write("repair", body({{"repair", "replace_unit"}, {"act", "unit_changed"}}));
    case 5: return pen.write("sign", body({{"meaning", "worked"}, {"certificate_kind", "A&P"}, {"certificate_number", std::to_string(r.below(2))}}));
    case 6: return pen.write("replied", body({{"text", "look again"}, {"telling", std::to_string(r.below(3))}}));
    case 7: return pen.write("reopened", body({{"check", "flag_watch"}}));
    case 8: return pen.write("did", body({{"verb", "seen"}, {"of", "tools"}, {"step", "close.tools"}}));
    case 9: return pen.write(r.below(2) ? "live.self_test_ended" : "live.power_lost", body({{"passed", true}}));
    default: return pen.write("did", random_act(r));
    }
}

/// Three authors who sometimes hear of one another.
std::vector<journal::Entry> history(std::uint64_t seed, int length)
{
    SeededRandom r(seed);
    Pen pens[3];
    for (int i = 0; i < 3; ++i) pens[i].author = std::string(1, static_cast<char>('a' + i));
    std::vector<journal::Entry> all{pens[0].write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}}))};
    for (auto& pen : pens) pen.known["a"] = 1;
    for (int i = 0; i < length; ++i) {
        Pen& pen = pens[r.below(3)];
        if (r.below(3) == 0)
            for (const Pen& other : pens)
                for (const auto& [author, seq] : other.known) pen.known[author] = std::max(pen.known[author], seq);
        all.push_back(random_entry(r, pen, all));
    }
    return all;
}

} // namespace

class TestFold : public QObject {
    Q_OBJECT

    profile::Profile p_ = small_profile();

private slots:
    void what_the_shop_told_two_tablets_is_read_once()
    {
        Pen tablet, one, other;
        tablet.author = "a", one.author = "s1", other.author = "s2"; // the shop has a stream for each
        std::vector<journal::Entry> all{tablet.write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}}))};
        for (const char* telling : {"t1", "t2"})
            for (Pen* stream : {&one, &other}) all.push_back(stream->write("replied", body({{"text", "look at P31"}, {"telling", telling}})));
        all.push_back(one.write("replied", body({{"text", "to one alone"}})));
        const auto s = job::fold(p_, all);
        QCOMPARE(s.entries, 6);
        QCOMPARE(std::ranges::count_if(s.lines, [](const auto& l) { return l.text.ends_with("look at P31"); }), 2);
        QCOMPARE(std::ranges::count_if(s.lines, [](const auto& l) { return l.text.ends_with("to one alone"); }), 1);
    }

    void any_order_of_the_set_gives_the_same_state()
    {
        for (std::uint64_t seed = 1; seed <= 60; ++seed) {
            auto set = history(seed, 60);
            const job::JobState first = job::fold(p_, set);
            SeededRandom r(seed * 77);
            for (int turn = 0; turn < 5; ++turn) {
                for (std::size_t i = set.size(); i > 1; --i) std::swap(set[i - 1], set[r.below(i)]);
                QVERIFY(job::fold(p_, set) == first);
            }
        }
    }

    void apply_is_fold_for_one_author()
    {
        SeededRandom r(5);
        Pen pen;
        std::vector<journal::Entry> all;
        job::JobState by_apply;
        for (int i = 0; i < 200; ++i) {
            all.push_back(pen.write(i ? "did" : "opened", i ? random_act(r) : body({{"tail", "Q4-RMP"}})));
            job::apply(p_, by_apply, all.back());
        }
        QVERIFY(by_apply == job::fold(p_, all));
    }

    void a_disagreement_over_the_finding_ends_with_a_finding_that_knew_both()
    {
        Pen one, other;
        one.author = "a", other.author = "b";
        std::vector<journal::Entry> all{one.write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}}))};
        other.known = one.known;
        all.push_back(one.write("finding", body({{"class", "unit"}, {"cause", "unit_ch1"}})));
        all.push_back(other.write("finding", body({{"class", "none"}, {"cause", "none"}})));
        QVERIFY(job::fold(p_, all).contradictions.contains("finding"));
        one.known["b"] = other.seq;
        all.push_back(one.write("finding", body({{"class", "unit"}, {"cause", "unit_ch1"}})));
        QVERIFY(!job::fold(p_, all).contradictions.contains("finding"));
    }

    void who_signed_without_knowing_of_the_new_work_did_not_sign_for_it()
    {
        Pen one, other;
        one.author = "b", other.author = "c"; // the signature comes after the reopening in every order
        std::vector<journal::Entry> all{one.write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}})), one.write("finding", body({{"class", "unit"}, {"cause", "unit_ch1"}})),
            one.write("repair", body({{"repair", "replace_unit"}, {"act", "unit_changed"}}))};
        other.known = one.known;
        all.push_back(one.write("reopened", body({})));
        all.push_back(other.write("sign", body({{"meaning", "worked"}, {"certificate_kind", "A&P"}, {"certificate_number", "P-1"}})));
        all.push_back(other.write("did", body({{"verb", "seen"}, {"of", "tools"}, {"step", "close.tools"}})));
        auto s = job::fold(p_, all);
        QVERIFY(s.signs.empty());
        QVERIFY(!s.done.contains("close.tools"));
        QCOMPARE(std::ranges::count_if(s.lines, [](const auto& l) { return l.kind == "sign"; }), 1);
        other.known["b"] = one.seq;
        all.push_back(other.write("sign", body({{"meaning", "worked"}, {"certificate_kind", "A&P"}, {"certificate_number", "P-1"}})));
        s = job::fold(p_, all);
        QVERIFY(s.signs.contains("worked"));
    }

    void an_amendment_puts_what_should_stand_in_its_place_and_keeps_what_was_written()
    {
        Pen pen;
        std::vector<journal::Entry> all{pen.write("opened", body({{"tail", "Q4-RMP"}})), pen.write("answer", body({{"check", "volts_j1"}, {"number", "2.76"}, {"presence", "showing"}})), pen.write("note", body({{"text", "wet"}}))};
        all.push_back(pen.write("amend", body({{"of", all[1].hash}, {"reason", "point slipped"}, {"body", body({{"number", "27.6"}})}})));
        const job::JobState s = job::fold(p_, all);
        QCOMPARE(s.answers.size(), std::size_t(1));
        QCOMPARE(s.answers[0].number, std::string("27.6"));
        QCOMPARE(s.answers[0].presence, std::string("showing"));
        QVERIFY(s.lines[1].amended && s.lines[1].corrected && s.lines[1].text.find("2.76") != std::string::npos);
        QCOMPARE(s.lines[3].of, all[1].hash);
        QVERIFY(s.lines[3].text.find("27.6") != std::string::npos && s.lines[3].text.find("point slipped") != std::string::npos);
        all.push_back(pen.write("void", body({{"of", all[1].hash}, {"reason", "other aircraft"}})));
        QVERIFY(job::fold(p_, all).answers.empty());
        QVERIFY(!job::fold(p_, all).lines[1].corrected);
    }

    void two_accounts_of_one_part_are_a_disagreement_until_one_is_voided()
    {
        Pen one, other;
        one.author = "a", other.author = "b";
        const auto part = [](const char* serial) { return body({{"off", body({{"serial", "1"}})}, {"on", body({{"serial", serial}})}}); };
        std::vector<journal::Entry> all{one.write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}}))};
        other.known = one.known;
        all.push_back(one.write("part", part("2")));
        all.push_back(other.write("part", part("3")));
        QVERIFY(job::fold(p_, all).contradictions.contains("part"));
        const auto lines = job::disputes(p_, job::fold(p_, all));
        QCOMPARE(lines.size(), std::size_t(1));
        QVERIFY(lines[0].says.find("on 2") != std::string::npos && lines[0].says.find("on 3") != std::string::npos && !lines[0].ends.empty());
        all.push_back(one.write("void", body({{"of", all[2].hash}, {"reason", "misread"}})));
        QVERIFY(job::fold(p_, all).contradictions.empty());
        QCOMPARE(job::fold(p_, all).on->serial, std::string("2"));
    }

    void every_disagreement_has_words_and_an_end()
    {
        job::JobState s;
        s.contradictions = {"breaker:ref_1", "plug:j1", "finding", "part", "sign:worked", "key:LK"};
        for (const auto& line : job::disputes(p_, s)) QVERIFY2(!line.title.empty() && !line.ends.empty() && line.title.find(':') == std::string::npos, line.id.c_str());
        QCOMPARE(job::disputes(p_, s)[0].title, std::string("REF 1"));
    }

    void a_void_takes_its_entry_away_and_leaves_the_line()
    {
        Pen pen;
        std::vector<journal::Entry> all{pen.write("opened", body({{"tail", "Q4-RMP"}})), pen.write("did", did_body("breaker", "ref_1", "pulled"))};
        all.push_back(pen.write("void", body({{"of", all[1].hash}, {"reason", "wrong breaker"}})));
        const job::JobState s = job::fold(p_, all);
        QVERIFY(!s.breakers.contains("ref_1"));
        QCOMPARE(s.lines.size(), std::size_t(3));
        QVERIFY(s.lines[1].amended);
    }
};

CHOCKSIDE_TEST(TestFold)
#include "tst_fold.moc"
