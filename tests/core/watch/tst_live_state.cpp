// Frames of the bundled practice unit are made by the encoder and fed with hand-made times; expected figures are counted by hand.
#include "../link/small_unit.h"

#include <core/arinc429/word.h>
#include <core/base/random.h>
#include <core/watch/live_state.h>
#include <core/watch/pages.h>
#include <core/watch/recorder.h>
#include <tests/support/comma_locale.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::watch;

namespace {
constexpr std::int64_t ms = 1'000'000, second = 1000 * ms;
}

class TestLiveState : public QObject {
    Q_OBJECT
    std::shared_ptr<const codec::Plan> plan_;
    std::unique_ptr<codec::Decoder> decoder_;
    std::unique_ptr<LiveState> live_;
    std::int64_t t_ = 0;

    void frame(const char* name, const codec::FieldValues& values)
    {
        tests::deliver(plan_, *decoder_, name, values, t_, [&](const codec::FrameView& f) { live_->on_frame(f); });
    }

    void status(double uptime, bool flag = false, bool aligned = true, bool moving = false)
    {
        frame("status", {{"uptime", uptime}, {"supply", 27.43}, {"heading_flag", flag}, {"attitude_flag", false}, {"sensor_on", true}, {"on_ground", true}, {"aligned", aligned}, {"moving", moving}});
    }

    void words(double heading, arinc429::Ssm ssm = arinc429::Ssm::normal)
    {
        std::vector<std::uint32_t> all;
        for (const auto& w : plan_->unit().words)
            if (w.name == "heading") all.push_back(codec::encode_word(w, heading, ssm, 1));
        frame("words", {{"word", all}});
    }

    /// Status each 200 ms, words each 40 ms, for this long.
    void run(std::int64_t length, double uptime, double heading)
    {
        for (const std::int64_t end = t_ + length; t_ < end; t_ += 40 * ms) {
            if (t_ / (40 * ms) % 5 == 0) status(uptime + static_cast<double>(t_) * 1e-9);
            words(heading);
            live_->tick(t_);
        }
    }

private slots:
    void init()
    {
        plan_ = tests::unit_plan();
        QVERIFY(plan_);
        decoder_ = std::make_unique<codec::Decoder>(plan_);
        live_ = std::make_unique<LiveState>(plan_);
        t_ = 0;
        live_->port_opened("ttyUSB0", 0);
    }

    void the_link_goes_from_silent_to_good_to_silent()
    {
        QCOMPARE(live_->link(), LinkState::silent);
        run(2 * second, 100, 90);
        QCOMPARE(live_->link(), LinkState::good);
        const auto s = live_->snapshot(t_);
        QVERIFY(qAbs(s.words_per_s - 25) <= 1);
        QVERIFY(qAbs(*s.value("status.supply") - 27.43) < 0.006);
        live_->tick(t_ + 499 * ms - 40 * ms);
        QCOMPARE(live_->link(), LinkState::good);
        live_->tick(t_ + 501 * ms);
        QCOMPARE(live_->link(), LinkState::silent); // silence_ms of the profile is 500
        QVERIFY(!live_->snapshot(t_ + 501 * ms).value("status.supply"));
    }

    void a_restart_is_uptime_going_back_within_the_gap()
    {
        run(second, 2400, 90);
        t_ += 3 * second;
        status(1.5);
        auto s = live_->snapshot(t_);
        QCOMPARE(s.power_losses, 1);
        QVERIFY(qAbs(s.uptime_before_s - 2400.8) < 0.2);
        // The cable on another channel: a smaller uptime, but longer than the gap: no restart.
        run(second, 2000, 90);
        t_ += 3 * second;
        status(700);
        QCOMPARE(live_->snapshot(t_).power_losses, 1);
    }

    void words_that_stay_away_are_one_drop_out()
    {
        run(2 * second, 100, 90);
        const std::int64_t from = t_ - 40 * ms;
        for (int i = 0; i < 10; ++i, t_ += 40 * ms) { // 0.4 s of status alone
            if (i % 5 == 0) status(103);
            live_->tick(t_);
        }
        run(second, 100, 90);
        const auto s = live_->snapshot(t_);
        QCOMPARE(s.drops.size(), 1u);
        QCOMPARE(s.drops[0].signal, std::string("words"));
        QCOMPARE(s.drops[0].from_ns, from);
        QCOMPARE(s.drops[0].to_ns - s.drops[0].from_ns, 440 * ms);
    }

    void drop_outs_stand_at_a_place_only_while_its_test_runs()
    {
        run(second, 100, 90);
        live_->start_flex(t_);
        live_->mark("w7", t_);
        run(second, 101, 90);
        live_->stop_flex(t_);
        const auto flag = [&](double uptime, bool in_view) { status(uptime, in_view), t_ += 200 * ms; };
        flag(103, true), flag(103, false);
        QCOMPARE(live_->snapshot(t_).drops.back().place, std::string());
        live_->mark("p9", t_);
        live_->start_flex(t_);
        flag(104, true), flag(104, false);
        QCOMPARE(live_->snapshot(t_).drops.back().place, std::string());
        QCOMPARE(live_->snapshot(t_).flex.place, std::string());
    }

    void validity_and_flags_count_only_in_operation()
    {
        status(10, false, false);
        words(90);
        t_ += 40 * ms;
        status(10, true, false);
        words(90, arinc429::Ssm::no_computed_data);
        QVERIFY(live_->snapshot(t_).drops.empty());
        run(second, 100, 90);
        status(101, true);
        words(90, arinc429::Ssm::failure_warning);
        t_ += 40 * ms;
        status(101, false);
        words(90);
        const auto s = live_->snapshot(t_);
        QCOMPARE(s.drop_counts.at("word.heading"), 1);
        QCOMPARE(s.drop_counts.at("status.pins.heading_flag"), 2); // in and out of view
    }

    /// The link was closed, the unit exchanged, and the new one has not spoken of its test: the old one's is not shown as its own.
    void what_a_unit_said_of_its_self_test_ends_with_the_link()
    {
        frame("self_test", {{"phase", 1}, {"st_supply", true}});
        QCOMPARE(live_->snapshot(t_).self_test.phase, SelfTestPhase::ended);
        live_->port_lost(t_); // a cable that was touched: the same unit
        live_->port_opened("ttyUSB0", t_);
        QCOMPARE(live_->snapshot(t_).self_test.phase, SelfTestPhase::ended);
        live_->port_closed(t_);
        live_->port_opened("ttyUSB0", t_);
        const auto s = live_->snapshot(t_);
        QCOMPARE(s.self_test.phase, SelfTestPhase::unknown);
        QVERIFY(s.self_test.failed.empty());
    }

    void self_test_faults_and_pages_reach_the_journal()
    {
        run(second, 100, 90);
        const auto before = live_->snapshot(t_);
        frame("self_test", {{"phase", 1}, {"st_supply", true}});
        frame("identity", {{"part", "PRU2-100-3"}, {"serial", "0417"}, {"crc", double(0x1C2D3E4F)}});
        frame("config", {{"tail", "Q4-TLN"}, {"strap", 1}, {"cal_b", -1.25}, {"cal_c", 0.5}, {"slaved", 1}});
        live_->set_faults({{"0x0204", "f_sensor_lost", 14, 512, 7, std::nullopt, true}});
        const auto notes = recorder(before, live_->snapshot(t_), t_);
        std::map<std::string, std::string> bodies;
        for (const auto& n : notes) bodies[n.kind] = json::write(n.body);
        QCOMPARE(bodies.at("self_test_ended"), std::string(R"({"failed":["st_supply"],"passed":false})"));
        QCOMPARE(bodies.at("identity"), std::string(R"({"crc":"0x1C2D3E4F","part":"PRU2-100-3","serial":"0417"})"));
        QCOMPARE(bodies.at("configuration"), std::string(R"({"cal_b":"-1.25","cal_c":"0.50","slaved":"slaved","strap":"side_1","tail":"Q4-TLN"})"));
        QVERIFY(bodies.at("stored_faults").find(R"("code":"0x0204","count":14,"id":"f_sensor_lost")") != std::string::npos);
    }

    // What is signed reads the same on every machine.
    void entries_carry_a_decimal_point_in_every_language()
    {
        const tests::CommaLocale comma;
        QVERIFY(comma.holds());
        run(second, 100, 90);
        const auto before = live_->snapshot(t_);
        frame("config", {{"tail", "Q4-TLN"}, {"strap", 1}, {"cal_b", -1.25}, {"cal_c", 0.5}, {"slaved", 1}});
        auto after = live_->snapshot(t_);
        after.settled = {{SettleView::Word::settled, "heading", -1.13, 0.0125, 0, 1}};
        std::map<std::string, std::string> bodies;
        for (const auto& n : recorder(before, after, t_)) bodies[n.kind] = json::write(n.body);
        QCOMPARE(bodies.at("configuration"), std::string(R"({"cal_b":"-1.25","cal_c":"0.50","slaved":"slaved","strap":"side_1","tail":"Q4-TLN"})"));
        QCOMPARE(bodies.at("settled"), std::string(R"({"slope":"0.0125","value":"-1.13","word":"heading"})"));
    }

    void a_fault_page_is_taken_apart()
    {
        std::vector<StoredFault> faults;
        const std::vector<codec::FieldValues> rows{{{"code", 0x0301}, {"power_up", 9}, {"at", 77}, {"count", 42}, {"active", true}}, {{"code", 0x0999}, {"power_up", 8}, {"at", 5}, {"count", 1}, {"active", false}}};
        tests::deliver(plan_, *decoder_, "fault_page", {{"page", 0}, {"pages", 1}, {"fault", rows}}, t_, [&](const codec::FrameView& f) { faults = faults_of(*plan_, f.observations); });
        QCOMPARE(faults.size(), 2u);
        QVERIFY((faults[0] == StoredFault{"0x0301", "f_supply_low", 42, 77, 9, std::nullopt, true}));
        QVERIFY((faults[1] == StoredFault{"0x0999", "", 1, 5, 8, std::nullopt, false}));
    }

    void a_still_heading_across_north_settles()
    {
        for (int i = 0; i < 600; ++i, t_ += 40 * ms) words(i % 2 ? 359.98 : 0.02);
        const auto s = live_->snapshot(t_ - 40 * ms);
        QCOMPARE(s.settled.at(0).word, SettleView::Word::settled);
        QVERIFY(s.settled[0].mean < 0.01 || s.settled[0].mean > 359.99);
    }

    void a_drifting_heading_does_not_settle()
    {
        for (int i = 0; i < 600; ++i, t_ += 40 * ms) words(90 + 0.03 * static_cast<double>(t_) * 1e-9); // limit 0.02 deg/s
        QCOMPARE(live_->snapshot(t_ - 40 * ms).settled.at(0).word, SettleView::Word::not_settled);
    }

    void what_has_settled_is_taken_back_by_a_drift_and_said_once()
    {
        // Noise at the edge of certainty: its bound crosses the limit again and again, its estimate stays within.
        int said = 0;
        auto was = SettleView::Word::not_enough;
        const auto step = [&](double value) {
            words(value);
            const auto now = live_->snapshot(t_).settled.at(0).word;
            said += now == SettleView::Word::settled && was != SettleView::Word::settled;
            was = now;
            t_ += 40 * ms;
        };
        constexpr double edge_deg = 0.10 * 0.722; // limit 0.10; chi-squared, 18 degrees of freedom, 5 %: 9.390 (NIST handbook, table 1.3.6.7.4)
        SeededRandom random(7);
        for (int i = 0; i < 600; ++i) step(90 + random.normal(0, 0.01));
        for (int i = 0; i < 9000; ++i) step(90 + random.normal(0, edge_deg));
        QCOMPARE(said, 1);
        QCOMPARE(was, SettleView::Word::settled);
        for (int i = 0; i < 900; ++i) step(90 + 0.03 * i * 0.04 + random.normal(0, 0.01));
        QCOMPARE(was, SettleView::Word::not_settled);
    }

    void half_a_window_is_not_enough()
    {
        for (int i = 0; i < 250; ++i, t_ += 40 * ms) words(90);
        QCOMPARE(live_->snapshot(t_ - 40 * ms).settled.at(0).word, SettleView::Word::not_enough);
    }

    void notes_keep_to_five_a_second()
    {
        Pace pace;
        std::vector<Noted> many;
        for (int i = 0; i < 20; ++i) many.push_back({"note_" + std::to_string(i), json::Object{}, 0});
        pace.take(many);
        QCOMPARE(pace.due(0).size(), 5u);
        QCOMPARE(pace.due(900 * ms).size(), 0u);
        QCOMPARE(pace.due(1000 * ms).size(), 5u);
        QCOMPARE(pace.drain(1001 * ms).size(), 10u);
    }
};

CHOCKSIDE_TEST(TestLiveState)
#include "tst_live_state.moc"
