// A check that a person takes instead of the proposed one is worked toward, act by act, until it is answered or left.
#include "small_work.h"

#include <core/job/build_view.h>
#include <core/job/isolate_model.h>
#include <core/job/plan.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::tests;

class TestTaken : public QObject, SmallWork {
    Q_OBJECT

    job::JobView view(const std::string& taken) const
    {
        job::Context c = heard();
        c.taken = taken;
        return job::build_view(p_, s_, c, job::reason(p_, s_, c));
    }
    static bool offers(const job::JobView& v, const std::string& check)
    {
        return std::any_of(v.others.begin(), v.others.end(), [&](const auto& q) { return q.toward == check; });
    }

private slots:
    void init()
    {
        p_ = small_profile();
        using profile::Density;
        p_.installation.checks[1].given = {{"unit_ch1", {}, Density{Density::Kind::normal, 22.0, 0.5}}, {"*", {}, Density{Density::Kind::normal, 27.6, 0.5}}};
        s_ = {};
        pen_ = {};
        write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}, {"complaint_kind", "heading_flag"}}));
        write("live.self_test_started");
        pen_.mono += 30'000;
        write("live.self_test_ended", body({{"passed", true}}));
        pen_.mono += 600'000;
        write("live.aligned");
        write("presence", body({{"is", "showing"}}));
        write("cautions_read");
    }

    void it_is_the_next_one_until_it_is_answered()
    {
        const std::string proposed = view({}).next.toward, other = proposed == "flag_watch" ? "volts_j1" : "flag_watch";
        QVERIFY(!proposed.empty());
        QVERIFY(offers(view({}), other));
        QCOMPARE(view(other).taken, other);
        QCOMPARE(view(other).next.toward, other);
        QVERIFY(offers(view(other), proposed)); // the proposed one can be gone back to
        QVERIFY(!offers(view(other), other));
        write("live.dropouts", body({{"signal", "word.heading"}, {"count", 3}})); // what the line writes changes nothing of it
        QCOMPARE(view(other).next.toward, other);
        write("answer", body({{"check", other}, {"outcome", "flag"}, {"number", other == "volts_j1" ? "27.5" : ""}, {"presence", "showing"}}));
        QVERIFY(view(other).taken.empty());
        QVERIFY(view(other).next.toward != other);
    }

    void its_acts_come_one_after_the_other()
    {
        // The panel, the feeds, the proof of dead, the breakout: each act leads on to the next, and none back to what was proposed.
        std::set<std::string> acts;
        for (int i = 0; i < 20 && view("volts_j1").next.id != "check:volts_j1"; ++i) {
            const job::Prompt q = view("volts_j1").next;
            QCOMPARE(q.toward, std::string("volts_j1"));
            acts.insert(q.id);
            auto command = job::command_of(q, q.kind == job::Prompt::Kind::number ? "0.01" : "", {});
            QCOMPARE(ask(command.kind, command.args), std::string("ok"));
            write("live.dropouts", body({{"signal", "word.heading"}, {"count", 1}}));
        }
        QCOMPARE(view("volts_j1").next.id, std::string("check:volts_j1"));
        QVERIFY(acts.size() >= 4);
    }

    void one_that_is_not_possible_or_not_known_is_not_taken()
    {
        for (const char* none : {"", "not_a_check"}) {
            QVERIFY(view(none).taken.empty());
            QCOMPARE(view(none).next.id, view({}).next.id);
        }
    }
};

CHOCKSIDE_TEST(TestTaken)
#include "tst_taken.moc"
