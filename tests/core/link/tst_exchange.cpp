// Expected bytes are written out by hand from the unit's wire note (invented) with CRC-16/IBM-3740 computed by Python's binascii.crc_hqx
// (initial value 0xFFFF). Behaviour on time-outs: common practice, no source.
#include "small_unit.h"

#include <core/link/exchange.h>
#include <core/link/ground_test.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::link;

namespace {
constexpr std::int64_t ms = 1'000'000;
}

class TestExchange : public QObject {
    Q_OBJECT
    std::shared_ptr<const codec::Plan> plan_;
    std::unique_ptr<codec::Decoder> decoder_;
    std::unique_ptr<Exchange> x_;

    void reply(const char* frame, const codec::FieldValues& values, std::int64_t t)
    {
        tests::deliver(plan_, *decoder_, frame, values, t, [&](const codec::FrameView& f) { x_->on_frame(f); });
    }

    codec::FieldValues page(int number, int pages, int rows)
    {
        std::vector<codec::FieldValues> faults;
        for (int i = 0; i < rows; ++i) faults.push_back({{"code", 0x0204}, {"power_up", 7}, {"at", 100 + i}, {"count", 3}, {"active", i == 0}});
        return {{"page", number}, {"pages", pages}, {"fault", faults}};
    }

private slots:
    void init()
    {
        plan_ = tests::unit_plan();
        QVERIFY(plan_);
        decoder_ = std::make_unique<codec::Decoder>(plan_);
        x_ = std::make_unique<Exchange>(plan_);
    }

    void a_request_goes_out_as_the_wire_note_says()
    {
        QVERIFY(x_->ask({"read_id", {}, "a"}, 0).has_value());
        const auto out = x_->to_send();
        QCOMPARE(out.size(), 1u);
        QCOMPARE(to_hex(out[0]), std::string("c023f5f1c0")); // 0x23, CRC 0xF5F1
    }

    void one_is_in_flight_at_a_time()
    {
        QVERIFY(x_->ask({"read_id", {}, "a"}, 0).has_value());
        QVERIFY(x_->ask({"read_config", {}, "b"}, 0).has_value());
        QCOMPARE(x_->to_send().size(), 1u);
        reply("identity", {{"part", "PRU2-100-3"}, {"serial", "0417"}, {"crc", 1.0}}, 20 * ms);
        QCOMPARE(x_->to_send().size(), 1u);
        const auto done = x_->take_outcomes();
        QCOMPARE(done.size(), 1u);
        QCOMPARE(done[0].kind, Outcome::Kind::ok);
        QCOMPARE(done[0].tag, std::string("a"));
        QCOMPARE(done[0].answered_ns, 20 * ms);
    }

    void an_acknowledgement_of_something_else_is_no_answer()
    {
        QVERIFY(x_->ask({"hold", {}, "a"}, 0).has_value());
        reply("ack", {{"of", 0x1F}}, ms);
        QVERIFY(x_->take_outcomes().empty());
        reply("ack", {{"of", 0x11}}, 2 * ms);
        QCOMPARE(x_->take_outcomes().size(), 1u);
    }

    void silence_is_asked_again_and_then_timed_out()
    {
        QVERIFY(x_->ask({"read_id", {}, "a"}, 0).has_value());
        int sent = static_cast<int>(x_->to_send().size());
        for (std::int64_t t = 0; t <= 2000 * ms; t += 10 * ms) {
            x_->tick(t);
            sent += static_cast<int>(x_->to_send().size());
        }
        QCOMPARE(sent, 3); // tries of the profile
        const auto done = x_->take_outcomes();
        QCOMPARE(done.size(), 1u);
        QCOMPARE(done[0].kind, Outcome::Kind::timed_out);
        QCOMPARE(done[0].answered_ns, 750 * ms); // three times reply_ms
        QVERIFY(!x_->next_due());
    }

    void a_refusal_gives_reason_and_mend()
    {
        QVERIFY(x_->ask({"enter", {{"channel", 1}}, "a"}, 0).has_value());
        reply("refused", {{"of", 0x10}, {"reason", 1}}, ms);
        const auto done = x_->take_outcomes();
        QCOMPARE(done[0].kind, Outcome::Kind::refused);
        QCOMPARE(done[0].reason, std::string("not_on_ground"));
        QCOMPARE(done[0].mend, std::string("step:ground_switch"));
    }

    void pages_are_collected_to_the_end()
    {
        QVERIFY(x_->ask({"read_fault", {}, "a"}, 0).has_value());
        QCOMPARE(x_->to_send().size(), 1u);
        reply("fault_page", page(0, 2, 16), ms);
        QCOMPARE(x_->to_send().size(), 1u);
        reply("fault_page", page(0, 2, 16), 2 * ms); // a late copy
        QVERIFY(x_->take_outcomes().empty());
        reply("fault_page", page(1, 2, 4), 3 * ms);
        const auto done = x_->take_outcomes();
        QCOMPARE(done.size(), 1u);
        QCOMPARE(done[0].replies.size(), 2u);
    }

    // The unit that counts its pages from 1. All bytes by Python's struct and binascii.crc_hqx (initial value 0: CRC-16/XMODEM).
    void pages_counted_from_one()
    {
        QFile file(QStringLiteral(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_9.unit.json"));
        QVERIFY(file.open(QIODevice::ReadOnly));
        const auto plan = codec::Plan::compile(profile::load_half(file.readAll().toStdString(), profile::Half::unit).profile.unit);
        QVERIFY(plan);
        codec::Decoder decoder(*plan);
        Exchange x(*plan);
        const auto comes = [&](const char* hex, std::int64_t t) { decoder.feed(*from_hex(hex), t, [&](const codec::FrameView& f) { x.on_frame(f); }); };
        QVERIFY(x.ask({"read_fault", {}, "a"}, 0).has_value());
        const auto first = x.to_send();
        QCOMPARE(first.size(), 1u);
        QCOMPARE(to_hex(first[0]), std::string("5aa50003910001c4f4"));
        comes("5aa5001c1100010002020301000000780101234c00030200015f900900005d01cd99", ms); // page 1 of 2, two faults
        const auto second = x.to_send();
        QCOMPARE(second.size(), 1u);
        QCOMPARE(to_hex(second[0]), std::string("5aa50003910002f497"));
        QVERIFY(x.take_outcomes().empty());
        comes("5aa500111100020002010411000000070200000c00ab7c", 2 * ms); // page 2 of 2, one fault
        QVERIFY(x.to_send().empty());
        const auto done = x.take_outcomes();
        QCOMPARE(done.size(), 1u);
        QCOMPARE(done[0].kind, Outcome::Kind::ok);
        QCOMPARE(done[0].replies.size(), 2u);
        std::vector<double> drifts;
        for (const auto& page : done[0].replies)
            for (const auto& o : page.observations)
                if (plan.value()->signal_table()[o.signal].name == "fault_page.fault.drift") drifts.push_back(o.value);
        QCOMPARE(drifts, (std::vector<double>{1234 * 0.1, -5 * 0.1, 0}));
    }

    void endless_pages_are_bounded()
    {
        QVERIFY(x_->ask({"read_fault", {}, "a"}, 0).has_value());
        for (int i = 0; i < 256; ++i) reply("fault_page", page(i, 255, 16), i * ms);
        const auto done = x_->take_outcomes();
        QCOMPARE(done.size(), 1u);
        QCOMPARE(done[0].kind, Outcome::Kind::failed);
        QCOMPARE(done[0].reason, std::string("too_many_items"));
    }

    void a_lost_port_ends_everything_asked()
    {
        for (int i = 0; i < 3; ++i) QVERIFY(x_->ask({"read_id", {}, std::to_string(i)}, 0).has_value());
        x_->abandon("port_lost", ms);
        QCOMPARE(x_->take_outcomes().size(), 3u);
        QVERIFY(x_->to_send().empty());
        QVERIFY(!x_->busy());
    }

    void effect_classes_are_enforced()
    {
        const auto& unit = plan_->unit();
        const auto request = [&](const char* name) {
            for (const auto& r : unit.requests)
                if (r.name == name) return r;
            return profile::Request{};
        };
        QVERIFY(may_send(unit, request("read_id"), {}).has_value());
        QCOMPARE(may_send(unit, request("enter"), {}).error().code, std::string("profile_unsigned"));
        QCOMPARE(may_send(unit, request("enter"), {false, true, true}).error().code, std::string("cautions_open"));
        QVERIFY(may_send(unit, request("enter"), {true, false, true}).has_value());
        QVERIFY(may_send(unit, request("leave"), {}).has_value());
        profile::Request write;
        write.effect = profile::Effect::write;
        QCOMPARE(may_send(unit, write, {true, false, true}).error().code, std::string("not_in_put_right"));
        QVERIFY(may_send(unit, write, {true, true, true}).has_value());
    }

    void a_session_is_held_and_lost_after_its_time()
    {
        GroundTest g(plan_->unit());
        QCOMPARE(g.enter("ch9", {true, false, true}, 0).error().code, std::string("unknown_channel"));
        QVERIFY(g.enter("ch2", {true, false, true}, 0).has_value());
        const auto asks = g.take_asks();
        QCOMPARE(asks.at(0).args.at("channel"), 2);
        Outcome ok;
        ok.kind = Outcome::Kind::ok;
        ok.request = "enter";
        g.on_outcome(ok, 0);
        QCOMPARE(g.state(), GroundTest::State::open);
        g.tick(1999 * ms);
        QVERIFY(g.take_asks().empty());
        g.tick(2000 * ms);
        QCOMPARE(g.take_asks().at(0).request, std::string("hold"));
        ok.request = "hold";
        g.on_outcome(ok, 2010 * ms);
        ok.kind = Outcome::Kind::timed_out;
        for (std::int64_t t = 2010; t < 8010; t += 10) {
            g.tick(t * ms);
            if (!g.take_asks().empty()) g.on_outcome(ok, t * ms);
            QCOMPARE(g.state(), GroundTest::State::open);
        }
        g.tick(8010 * ms);
        QCOMPARE(g.state(), GroundTest::State::lost);
    }
};

CHOCKSIDE_TEST(TestExchange)
#include "tst_exchange.moc"
