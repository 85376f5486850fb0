#include "practice_book.h"

#include <core/codec/decoder.h>
#include <core/practice/hands.h>
#include <core/profile/load.h>

#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside;
using namespace chockside::practice;

// The aircraft writes its serial note by hand and shares no line with the profile or the decoder: two readings of one document meet
// here, over every fault.
class TestDecoded : public QObject {
    Q_OBJECT
private slots:
    void every_byte_of_every_fault_decodes_without_a_count();
    void decoded_values_are_the_state_of_the_aircraft();
    void page_identity_and_configuration_decode();
};

namespace {

std::string text_of(const std::string& path)
{
    std::stringstream text;
    text << std::ifstream(path).rdbuf();
    return text.str();
}

std::shared_ptr<const codec::Plan> plan()
{
    const std::string folder = CHOCKSIDE_SOURCE_DIR "/assets/profiles/";
    const auto loaded = profile::load_half(text_of(folder + "pru_2.unit.json"), profile::Half::unit);
    return codec::Plan::compile(loaded.profile.unit).value();
}

struct Heard {
    std::map<std::string, double> value; ///< newest
    std::map<std::string, codec::Validity> validity;
    std::map<std::string, std::string> text;
    std::map<std::string, int> frames;
};

Heard decode(const std::shared_ptr<const codec::Plan>& plan, codec::Decoder& decoder, const Bytes& bytes)
{
    Heard heard;
    decoder.feed(bytes, 0, [&](const codec::FrameView& frame) {
        ++heard.frames[std::string(frame.name)];
        for (const codec::Observation& o : frame.observations) {
            const std::string& name = plan->signal_table()[o.signal].name;
            heard.value[name] = o.value;
            heard.validity[name] = o.validity;
        }
        for (const auto& [name, words] : frame.texts) heard.text[name] = words;
    });
    return heard;
}

} // namespace

void TestDecoded::every_byte_of_every_fault_decodes_without_a_count()
{
    const auto unit = plan();
    for (const std::string& id : practice_book().fault_ids()) {
        Aircraft a = aircraft_with(id);
        codec::Decoder decoder(unit);
        Hands hands(a);
        hands.cable("J5A");
        a.run(5);
        hands.power(false);
        a.run(10);
        hands.power(true);
        Heard heard;
        for (int i = 0; i < 40; ++i) {
            a.run(10);
            heard = decode(unit, decoder, a.take());
        }
        const codec::Counters& c = decoder.counters();
        QVERIFY2(c.frames > 1000, id.c_str());
        QVERIFY2(c.bad_checksum + c.too_long + c.short_frame + c.unknown_id + c.parity_errors + c.out_of_range == 0, id.c_str());
    }
}

void TestDecoded::decoded_values_are_the_state_of_the_aircraft()
{
    const auto unit = plan();
    Aircraft a = aircraft_with("nothing");
    codec::Decoder decoder(unit);
    Hands(a).cable("J5B");
    a.run(5);
    Heard heard = decode(unit, decoder, a.take());
    // one bit of heading is 180/2^15 = 0.0055 degrees, of pitch 180/2^14, of field 1 nT; the last word may be 40 ms old
    QVERIFY(std::abs(wrap_180(heard.value["word.heading"] - a.parts().unit.channel(2).heading_deg())) < 0.05);
    QVERIFY(std::abs(wrap_180(heard.value["word.heading_raw"] - a.parts().unit.channel(2).raw_heading_deg())) < 0.05);
    QVERIFY(std::abs(heard.value["word.pitch"] - 0.6) < 0.06);
    QVERIFY(std::abs(heard.value["word.roll"] + 0.3) < 0.06);
    QVERIFY(std::abs(heard.value["word.field_h"] - 20000) < 400);
    QVERIFY(std::abs(heard.value["status.supply"] - a.parts().supply.plug_v(2)) < 0.02);
    QVERIFY(std::abs(heard.value["status.uptime"] - 2405) < 1);
    QCOMPARE(heard.value["status.pins.on_ground"], 1.0);
    QCOMPARE(heard.value["status.pins.heading_flag"], 0.0);
    QCOMPARE(heard.value["word.wired.side_strap_ok"], 1.0);
    QCOMPARE(heard.value["word.wired.free_selected"], 0.0);
    QCOMPARE(heard.validity["word.heading"], codec::Validity::good);
    Hands(a).power(false);
    a.run(1);
    Hands(a).power(true);
    a.run(5);
    heard = decode(unit, decoder, a.take());
    QCOMPARE(heard.validity["word.heading"], codec::Validity::functional_test);
    a.run(20);
    QCOMPARE(decode(unit, decoder, a.take()).validity["word.heading"], codec::Validity::no_computed_data);
    a.run(60);
    QCOMPARE(decode(unit, decoder, a.take()).validity["word.heading"], codec::Validity::good);
}

void TestDecoded::page_identity_and_configuration_decode()
{
    const auto unit = plan();
    Aircraft a = aircraft_with("config_calibration");
    codec::Decoder decoder(unit);
    Hands(a).cable("J5A");
    a.run(1);
    a.take();
    for (const char* request : {"2100", "23", "24", "12"}) a.feed(detail::slip_frame(*from_hex(request)));
    const Heard heard = decode(unit, decoder, a.take());
    for (const char* frame : {"fault_page", "identity", "config", "self_test"}) QVERIFY2(heard.frames.contains(frame), frame);
    QCOMPARE(heard.text.at("identity.part"), std::string("PRU2-100-3"));
    QCOMPARE(heard.text.at("identity.serial"), std::string("R2-0391"));
    QCOMPARE(heard.text.at("config.tail"), a.parts().unit.calibration().tail);
    QVERIFY(std::abs(heard.value.at("config.cal_b") - a.parts().unit.calibration().b_deg) < 0.006);
    QVERIFY(std::abs(heard.value.at("config.cal_c") - a.parts().unit.calibration().c_deg) < 0.006);
}

CHOCKSIDE_TEST(TestDecoded)
#include "tst_decoded.moc"
