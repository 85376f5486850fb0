#include "bench_unit.h"

#include <tests/support/test_main.h>

#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QProcess>
#include <QtTest>

using namespace chockside;
using namespace chockside::tests;

namespace {

struct HandFrame {
    std::string name;
    Bytes bytes;
    std::vector<std::string> says;
};

// "value validity" as lines_of() writes it.
std::string told(const QString& line)
{
    const QStringList parts = line.split(' ');
    if (line.contains('\'')) return line.toStdString();
    const QString number = parts[1] == "nan" ? "nan" : QString::number(parts[1].toDouble(), 'g', 12);
    return (parts[0] + " " + number + " " + (parts.size() > 2 ? parts[2] : "good")).toStdString();
}

std::vector<HandFrame> by_hand()
{
    std::vector<HandFrame> out;
    static const QRegularExpression bytes("^((?:[0-9A-F]{2} ?)+)\\s{2,}");
    for (const QString& line : QString::fromStdString(text_of("tests/data/frames/by_hand.txt")).split('\n')) {
        if (line.startsWith("frame ")) out.push_back({line.mid(6).toStdString(), {}, {"frame " + line.mid(6).toStdString()}});
        if (line.startsWith("= ")) out.back().says.push_back(told(line.mid(2)));
        const auto match = bytes.match(line);
        if (!match.hasMatch()) continue;
        const Bytes more = *from_hex(match.captured(1).remove(' ').toStdString());
        out.back().bytes.insert(out.back().bytes.end(), more.begin(), more.end());
    }
    return out;
}

// What a person hands to the encoder: fields by name from the told signals ("fault_page.fault.code" goes into a group).
codec::FieldValues values_for(const std::string& frame, const QJsonObject& values, const QJsonObject& texts)
{
    codec::FieldValues out;
    codec::FieldValues group;
    std::vector<std::uint32_t> words;
    using arinc429::Ssm;
    for (auto it = values.begin(); it != values.end(); ++it) {
        const QStringList parts = it.key().split('.');
        if (parts[0] == "word" && parts.size() == 2) continue;
        if (parts.size() == 2) out.emplace(parts[1].toStdString(), it.value().toDouble());
        if (parts.size() == 3 && parts[1] == "fault") group.emplace(parts[2].toStdString(), it.value().toDouble());
    }
    for (const char* name : {"heading", "pitch", "field_h", "wired"})
        if (values.contains(QString("word.") + name))
            words.push_back(codec::encode_word(word_named(name), values[QString("word.") + name].toDouble(), Ssm::normal));
    for (auto it = texts.begin(); it != texts.end(); ++it) out.emplace(it.key().split('.')[1].toStdString(), it.value().toString().toStdString());
    if (frame == "fault_page") out.emplace("fault", std::vector<codec::FieldValues>{group});
    if (frame == "words") out.emplace("word", words);
    return out;
}

} // namespace

class TestFrames : public QObject {
    Q_OBJECT

private slots:
    void initTestCase()
    {
        QTest::failOnWarning(QRegularExpression(".*"));
        QVERIFY(bundled_plan() != nullptr);
    }

    // Source: tests/data/frames/by_hand.txt, a remark a byte; CRC by Python's binascii.
    void reads_frames_written_by_hand()
    {
        const auto frames = by_hand();
        QCOMPARE(frames.size(), 7u);
        for (const HandFrame& hand : frames) {
            codec::Decoder decoder(bundled_plan());
            std::vector<std::string> got;
            decoder.feed(hand.bytes, 5, [&](const codec::FrameView& f) { got = lines_of(f, bundled_plan()->signal_table()); });
            QCOMPARE(got, hand.says);
            QCOMPARE(decoder.counters().frames, 1u);
        }
    }

    // Source: tests/data/frames/encode.py (struct and binascii alone).
    void agrees_with_the_python_encoder_both_ways()
    {
        QProcess python;
        python.start("python3", {CHOCKSIDE_SOURCE_DIR "/tests/data/frames/encode.py"});
        QVERIFY(python.waitForFinished());
        const QJsonArray cases = QJsonDocument::fromJson(python.readAllStandardOutput()).array();
        QCOMPARE(cases.size(), 240);
        codec::Decoder decoder(bundled_plan());
        const codec::Encoder encoder(bundled_plan());
        for (const QJsonValue& value : cases) {
            const QJsonObject c = value.toObject();
            const std::string hex = c["hex"].toString().toStdString();
            check_decoding(decoder, *from_hex(hex), c);
            const std::string frame = c["frame"].toString().toStdString();
            const auto bytes = encoder.frame(frame, values_for(frame, c["values"].toObject(), c["texts"].toObject()));
            QVERIFY2(bytes.has_value(), bytes ? "" : bytes.error().code.c_str());
            QCOMPARE(to_hex(*bytes), hex);
        }
        QCOMPARE(decoder.counters().frames, 240u);
    }

    // Request frames worked by hand; CRC by Python's binascii.crc_hqx: 10 5A 01 01 -> 2578, 21 02 -> 089A, 11 -> E3E0 (started at FFFF).
    void requests_as_worked_by_hand()
    {
        const codec::Encoder encoder(bundled_plan());
        QCOMPARE(to_hex(*encoder.request("enter", {{"channel", 1}})), std::string("c0105a01012578c0"));
        QCOMPARE(to_hex(*encoder.request("read_fault", {{"page", 2}})), std::string("c02102089ac0"));
        QCOMPARE(to_hex(*encoder.request("hold", {})), std::string("c011e3e0c0"));
        QCOMPARE(encoder.request("enter", {}).error().code, std::string("missing_argument"));
        QCOMPARE(encoder.request("enter", {{"channel", 256}}).error().code, std::string("value_too_big"));
        QCOMPARE(encoder.request("nothing", {}).error().code, std::string("unknown_request"));
    }

    void refuses_values_that_do_not_fit()
    {
        const codec::Encoder encoder(bundled_plan());
        const auto code = [&](const char* frame, const codec::FieldValues& v) { return encoder.frame(frame, v).error().code; };
        QCOMPARE(code("status", {{"uptime", 1}, {"supply", 700.0}, {"pins", 0}}), std::string("value_too_big"));
        QCOMPARE(code("status", {{"uptime", 1}, {"pins", 0}}), std::string("missing_value"));
        QCOMPARE(code("identity", {{"part", "THIRTEEN CHARS"}, {"serial", ""}, {"crc", 0}}), std::string("text_too_long"));
        QCOMPARE(code("refused", {{"of", 1}, {"reason", "no such reason"}}), std::string("unknown_value"));
        QCOMPARE(code("words", {{"n", 2}, {"word", std::vector<std::uint32_t>{1}}}), std::string("count_mismatch"));
        QCOMPARE(code("words", {{"word", std::vector<std::uint32_t>(33, 1u)}}), std::string("frame_too_long"));
        QCOMPARE(code("words", {{"word", 4}}), std::string("wrong_kind"));
    }

private:
    static void check_decoding(codec::Decoder& decoder, const Bytes& bytes, const QJsonObject& c)
    {
        const QJsonObject values = c["values"].toObject(), texts = c["texts"].toObject();
        int frames = 0;
        decoder.feed(bytes, 9, [&](const codec::FrameView& f) {
            ++frames;
            QCOMPARE(QString::fromUtf8(f.name.data(), qsizetype(f.name.size())), c["frame"].toString());
            QCOMPARE(qsizetype(f.observations.size()), values.size());
            for (const codec::Observation& o : f.observations) {
                const QString name = QString::fromStdString(bundled_plan()->signal_table()[o.signal].name);
                QVERIFY2(values.contains(name), qPrintable(name));
                QVERIFY2(qAbs(values[name].toDouble() - o.value) <= 1e-12 * qAbs(o.value), qPrintable(name));
            }
            QCOMPARE(qsizetype(f.texts.size()), texts.size());
            for (const auto& [name, text] : f.texts) QCOMPARE(QString::fromStdString(text), texts[QString::fromStdString(name)].toString());
        });
        QCOMPARE(frames, 1);
    }
};

CHOCKSIDE_TEST(TestFrames)
#include "tst_frames.moc"
