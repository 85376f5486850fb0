// A swing that is owed: each heading sighted at rest, a slip sighted again, and no turn asked for that can prove nothing.
#include "bundled.h"

#include <core/job/number.h>
#include <core/job/swing_result.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <cmath>

using namespace chockside;
using namespace chockside::tests;

class TestSwing : public QObject, BundledWork {
    Q_OBJECT

    job::Context rested() const
    {
        job::Context c = now();
        c.live.settled["word.heading"] = true;
        return c;
    }
    job::Prompt asked() const { return job::next_prompt(p_, s_, rested(), {}); }
    std::vector<std::string> others() const
    {
        std::vector<std::string> ids;
        for (const auto& q : job::other_prompts(p_, s_, rested(), {})) ids.push_back(q.id);
        return ids;
    }
    bool offered(const std::string& id) const
    {
        const auto ids = others();
        return std::find(ids.begin(), ids.end(), id) != ids.end();
    }
    std::string sight(const job::Prompt& q, double off)
    {
        const double to = job::number_of(q.to).value_or(0);
        const double reads = std::fmod(to - off + 360, 360);
        const auto command = job::command_of(q, {}, body({{"reference", fixed_text(to, 2)}, {"indicated", fixed_text(reads, 2)}}));
        const auto drafts = job::guard(p_, s_, rested(), command);
        if (!drafts) return drafts.error().code;
        for (const auto& draft : *drafts) write(draft.kind, draft.body);
        return "ok";
    }
    std::string work_out()
    {
        const auto fit = job::swing_result_command(p_, s_);
        if (!fit) return fit.error().code;
        write("swing_result", fit->args);
        return s_.swing_result.at("result");
    }
    static double wobble(int i) { return 0.3 + (i % 2 ? 0.05 : -0.05); }
    /// Sights all headings; `slip` is added at one of them.
    void sight_all(int bad, double slip)
    {
        for (int i = 0; asked().command == "swing_point" && i < 12; ++i) QCOMPARE(sight(asked(), wobble(i) + (i == bad ? slip : 0)), std::string("ok"));
    }

private slots:
    void init()
    {
        ready(bundled("sandgrouse_12_ramp"));
        const auto& causes = p_.installation.causes;
        find(std::find_if(causes.begin(), causes.end(), [](const auto& c) { return c.repair == "load_calibration"; })->id);
        write("repair", body({{"repair", "load_calibration"}, {"act", "data_loaded"}}));
        write("owed", body({{"owed", "data_loaded.readback"}, {"result", "seen"}}));
        lit();
        while (asked().kind == job::Prompt::Kind::act) {
            QVERIFY(asked().verb == "fit" || asked().verb == "breaker");
            QCOMPARE(press(asked()), std::string("ok"));
        }
        QCOMPARE(asked().id, std::string("swing:1"));
    }

    void a_point_waits_for_rest()
    {
        QVERIFY(asked().ready && asked().limits->second == 360.0);
        job::Context c = rested();
        c.live.moving = true;
        QVERIFY(!job::next_prompt(p_, s_, c, {}).ready);
        QCOMPARE(job::next_prompt(p_, s_, c, {}).id, std::string("swing:1")); // the step stays the same, its key waits
        c = rested();
        c.live.settled["word.heading"] = false;
        QVERIFY(!job::next_prompt(p_, s_, c, {}).ready);
        QCOMPARE(job::next_prompt(p_, s_, c, {}).missing, std::string("heading settled"));
    }

    void a_heading_that_stands_out_is_sighted_again_first()
    {
        sight_all(4, 6.0);
        QCOMPARE(asked().id, std::string("swing:result"));
        QVERIFY(offered("swing:retake:1") && offered("swing:retake:12"));
        QVERIFY(work_out() != "pass");
        const job::Prompt again = asked();
        QCOMPARE(again.id, std::string("swing:retake:5"));
        QCOMPARE(again.to, std::string("120"));
        QVERIFY(offered("swing:again"));
        QCOMPARE(sight(again, wobble(4)), std::string("ok"));
        QCOMPARE(s_.swing.size(), std::size_t(12));
        QCOMPARE(s_.swing[4].taken, 2);
        QCOMPARE(work_out(), std::string("pass"));
        QCOMPARE(asked().id, std::string("owed:data_loaded.swing"));
        QVERIFY(asked().ready);
    }

    void what_stands_out_twice_is_corrected_without_more_turns()
    {
        sight_all(4, 6.0);
        work_out();
        QCOMPARE(sight(asked(), 6.3), std::string("ok"));
        QCOMPARE(asked().id, std::string("swing:result"));
        QVERIFY(work_out() != "pass");
        QCOMPARE(asked().id, std::string("swing:again")); // no further heading could make it pass
        QVERIFY(offered("swing:retake:5")); // and it may still be sighted once more
    }

    void a_point_that_is_no_heading_is_sighted_again()
    {
        // As an older journal may hold it: it could not be worked out, nor taken back.
        for (int i = 0; i < 12; ++i)
            write("swing_point", body({{"reference", i == 7 ? "1500" : fixed_text(30.0 * i, 2)}, {"indicated", fixed_text(std::fmod(30.0 * i - wobble(i) + 360, 360), 2)}}));
        QCOMPARE(work_out(), std::string("heading_out_of_range"));
        QCOMPARE(asked().id, std::string("swing:retake:8"));
        QCOMPARE(asked().to, std::string("210"));
        QCOMPARE(sight(asked(), wobble(7)), std::string("ok"));
        QCOMPARE(work_out(), std::string("pass"));
    }

    void a_second_sighting_of_no_point_is_refused()
    {
        auto command = job::command_of(asked(), {}, body({{"reference", "0"}, {"indicated", "0"}}));
        command.args.at("point") = std::int64_t{3};
        const auto drafts = job::guard(p_, s_, rested(), command);
        QVERIFY(!drafts);
        QCOMPARE(drafts.error().code, std::string("bad_command"));
    }
};

CHOCKSIDE_TEST(TestSwing)
#include "tst_swing.moc"
