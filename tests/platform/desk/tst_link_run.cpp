// What a link's run does without a port: bytes and time in. CRC and bytes by Python's binascii.crc_hqx (initial value 0: CRC-16/XMODEM).
#include <core/profile/load.h>
#include <platform/desk/link_run.h>
#include <tests/support/test_main.h>

using namespace chockside;

namespace {

constexpr std::int64_t ms = 1'000'000;

std::shared_ptr<const codec::Plan> framed_by_silence()
{
    const char* text = R"({"id": "u", "kind": "other", "channels": ["c"], "timings": {"self_test_s": [0, 1], "warm_up_s": 0}, "line": {"rate": 9600},
      "framing": {"kind": "gap", "max_bytes": 40, "gap_ms": 5, "order": "big", "checksum": {"crc": "CRC-16/XMODEM", "order": "big"}, "select": {"type": "u8"}},
      "frames": {"identity": {"id": "0x13", "fields": [{"name": "serial", "type": "u16"}]}},
      "requests": {"read_id": {"effect": "read", "send": {"id": "0x93"}, "reply": "frame:identity", "tries": 1}}})";
    const auto plan = codec::Plan::compile(profile::load_half(text, profile::Half::unit).profile.unit);
    return plan ? *plan : nullptr;
}

} // namespace

class TestLinkRun : public QObject {
    Q_OBJECT

private slots:
    // A reply is the last thing on the line: nothing behind it ends it but silence. A pause that the delivery of bytes may make is none.
    void silence_ends_a_reply()
    {
        const auto plan = framed_by_silence();
        QVERIFY(plan);
        std::vector<Bytes> sent;
        std::vector<std::string> results;
        desk::LinkRunHooks hooks;
        hooks.send = [&](ByteView b) { sent.emplace_back(b.begin(), b.end()); };
        hooks.answered = [&](const std::string&, const json::Value& v) { results.push_back(json::write(v)); };
        desk::LinkRun run(plan, 1, 0, hooks);
        run.event({link::LineEvent::Kind::opened, {}}, 1000 * ms);
        run.request("read_id", {}, "a", 1000 * ms);
        QCOMPARE(sent.size(), 1u);
        run.bytes(*from_hex("1304"), 1010 * ms);
        run.tick(1016 * ms); // longer than the gap: the rest may be on its way through the driver
        run.bytes(*from_hex("d23dc8"), 1017 * ms);
        run.tick(1040 * ms);
        QVERIFY(results.empty());
        run.tick(1080 * ms);
        QCOMPARE(results.size(), 1u);
        QVERIFY2(results[0].find("1234") != std::string::npos, results[0].c_str());
        QCOMPARE(run.publish(1090 * ms)->counters.frames, std::uint64_t{1});
    }
};

CHOCKSIDE_TEST(TestLinkRun)
#include "tst_link_run.moc"
