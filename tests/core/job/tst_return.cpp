// On return a thing stands otherwise than it was left. What nobody knows counts as unsafe both ways: for work on the plug the breaker may be
// in, for the release it may be out (common practice, no source).
#include "small_work.h"

#include <core/job/condition.h>
#include <core/job/guard.h>
#include <core/job/open_items.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::tests;

class TestReturn : public QObject, SmallWork {
    Q_OBJECT

    std::string not_as_left(const char* thing) { return ask("did", json::Object{{"verb", "not_as_left"}, {"of", thing}}); }
    bool open(const std::string& id) const
    {
        const auto items = job::open_items(p_, s_);
        return std::any_of(items.begin(), items.end(), [&](const auto& i) { return i.id == id; });
    }

private slots:
    void init()
    {
        s_ = {};
        pen_ = {};
        job::apply(p_, s_, pen_.write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}})));
        QCOMPARE(did("breaker", "ref_1", "collared"), std::string("ok"));
        QCOMPARE(did("breaker", "ref_2", "collared"), std::string("ok"));
        QCOMPARE(ask("did", json::Object{{"verb", "dead"}, {"of", "j1"}, {"number", "0.0"}}), std::string("ok"));
    }

    void a_breaker_ends_the_proof_of_dead_and_stays_open()
    {
        QCOMPARE(not_as_left("breaker:ref_1"), std::string("ok"));
        QCOMPARE(did("plug", "j1", "disconnected"), std::string("plug_fed"));
        QVERIFY(open("breaker:ref_1"));
        // Put back as it was, the pins are proved dead once more before the plug comes off.
        QCOMPARE(did("breaker", "ref_1", "collared"), std::string("ok"));
        QCOMPARE(did("plug", "j1", "disconnected"), std::string("not_dead"));
    }

    void a_plug_counts_as_off_for_the_breaker_and_as_open_for_the_release()
    {
        QCOMPARE(did("plug", "j1", "disconnected"), std::string("ok"));
        QCOMPARE(not_as_left("plug:j1"), std::string("ok"));
        QVERIFY(open("plug:j1"));
        QCOMPARE(did("breaker", "ref_1", "in"), std::string("plug_open"));
        QVERIFY(!job::holds(p_, s_, now(), {profile::Condition::Kind::plug, "j1", "disconnected", {}}));
        QVERIFY(!job::holds(p_, s_, now(), {profile::Condition::Kind::plug, "j1", "connected", {}}));
        QCOMPARE(did("plug", "j1", "connected"), std::string("ok"));
        QVERIFY(!open("plug:j1"));
    }

    void a_panel_and_a_cover_stay_open_until_they_are_seen_to()
    {
        QCOMPARE(did("panel", "rack", "open"), std::string("ok"));
        QCOMPARE(did("fit", "probe_covers", "yes"), std::string("ok"));
        QCOMPARE(not_as_left("panel:rack"), std::string("ok"));
        QCOMPARE(not_as_left("fit:probe_covers"), std::string("ok"));
        QVERIFY(open("panel:rack") && open("fit:probe_covers"));
        QCOMPARE(did("breaker", "pitot_ht", "in"), std::string("cover_on"));
        QCOMPARE(did("panel", "rack", "closed"), std::string("ok"));
        QCOMPARE(did("fit", "probe_covers", "no"), std::string("ok"));
        QVERIFY(!open("panel:rack") && !open("fit:probe_covers"));
    }

    /// The line saw the session begin and not end: the app was killed, the unit was switched off.
    void a_session_is_closed_by_a_persons_word_where_the_line_has_none()
    {
        job::apply(p_, s_, pen_.write("live.session_opened", body({{"channel", "ch1"}})));
        QVERIFY(open("session:ch1"));
        QCOMPARE(not_as_left("session:ch1"), std::string("ok"));
        QVERIFY(open("session:ch1"));
        QCOMPARE(did("session", "any", "closed"), std::string("ok"));
        QVERIFY(!open("session:ch1"));
    }

    void the_last_look_takes_one_answer_only()
    {
        const auto seen = [](const char* outcome) { return json::Object{{"verb", "seen"}, {"of", "breakers"}, {"step", "close.breakers"}, {"outcome", outcome}}; };
        QCOMPARE(ask("did", seen("ref_1")), std::string("bad_command"));
        QVERIFY(!s_.done.contains("close.breakers"));
    }
};

CHOCKSIDE_TEST(TestReturn)
#include "tst_return.moc"
