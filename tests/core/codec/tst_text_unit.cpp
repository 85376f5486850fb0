#include "bench_unit.h"

#include <tests/support/test_main.h>

#include <QtTest>

using namespace chockside;
using namespace chockside::tests;

namespace {

std::shared_ptr<const codec::Plan> small_plan()
{
    const profile::FindHalf none = [](const std::string&, profile::Half) -> Result<std::string> { return fail("not_found"); };
    static const profile::LoadOutcome outcome = profile::load(text_of("tests/data/profile/valid/small.json"), none);
    static const auto plan = codec::Plan::compile(outcome.profile.unit);
    return plan ? *plan : nullptr;
}

std::vector<std::string> read(codec::Decoder& decoder, const std::string& text)
{
    std::vector<std::string> out;
    decoder.feed(as_bytes(text), 0, [&](const codec::FrameView& f) {
        for (auto& line : lines_of(f, small_plan()->signal_table())) out.push_back(std::move(line));
    });
    return out;
}

} // namespace

class TestTextUnit : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // HDG sentences of public manuals (NMEA 0183: magnetic sensor heading, deviation and side, variation and side).
    void reads_published_sentences()
    {
        codec::Decoder decoder(small_plan());
        QCOMPARE(read(decoder, "$HCHDG,45.8,,,0.6,E*16\r\n"),
            (std::vector<std::string>{"frame heading", "heading.heading 45.8 good", "heading.deviation nan no_computed_data", "heading.variation 0.6 good",
                "heading.deviation_side ''", "heading.variation_side 'E'"}));
        QCOMPARE(read(decoder, "$HCHDG,101.1,,,7.1,W*3C\r\n").size(), 6u);
        QCOMPARE(decoder.counters().frames, 2u);
    }

    void refuses_a_wrong_check_too_few_and_too_many_fields()
    {
        codec::Decoder decoder(small_plan());
        QVERIFY(read(decoder, "$HCHDG,45.9,,,0.6,E*16\r\n").empty());
        QCOMPARE(decoder.counters().bad_checksum, 1u);
        QVERIFY(read(decoder, "$HCHDG,274.0,T*22\r\n$HEHDT,178.3,T*1E\r\n").empty());
        QCOMPARE(decoder.counters().frames, 0u);
    }

    void writes_what_it_reads()
    {
        const codec::Encoder encoder(small_plan());
        const auto bytes = encoder.frame("heading",
            {{"heading", 45.8}, {"deviation", std::numeric_limits<double>::quiet_NaN()}, {"deviation_side", ""}, {"variation", 0.6}, {"variation_side", "E"}});
        QVERIFY(bytes.has_value());
        QCOMPARE(to_text(*bytes), std::string("$HCHDG,45.8,,,0.6,E*16\r\n"));
        // P^A^S^K^,^3 worked by hand: 50 41 53 4B 2C 33 -> 16
        QCOMPARE(to_text(*encoder.request("ask", {{"what", 3}})), std::string("$PASK,3*16\r\n"));
    }
};

CHOCKSIDE_TEST(TestTextUnit)
#include "tst_text_unit.moc"
