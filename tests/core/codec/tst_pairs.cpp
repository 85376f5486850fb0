#include "bench_unit.h"
#include "pairs_profile.h"
#include "python_cases.h"

#include <tests/support/test_main.h>

#include <QtTest>

using namespace chockside;
using namespace chockside::tests;

namespace {

std::shared_ptr<const codec::Plan> plan_of(const QJsonObject& c, QString& why)
{
    const profile::LoadOutcome out = profile::load_half(pair_unit(c).toStdString(), profile::Half::unit);
    for (const profile::Objection& o : out.complaints)
        if (o.severity == profile::Severity::error) why += QString("%1 %2; ").arg(o.code.c_str(), o.pointer.c_str());
    const auto plan = codec::Plan::compile(out.profile.unit);
    if (!plan) why += QString::fromStdString(plan.error().code + " " + plan.error().place);
    return plan && why.isEmpty() ? *plan : nullptr;
}

} // namespace

class TestPairs : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Source of every byte and value: tests/data/codec/pairs.py. All framings x checks x fields, and every CRC of the catalogue once.
    void python_and_the_plan_agree_both_ways()
    {
        int cases = 0;
        for (const QJsonObject& c : python_cases("tests/data/codec/pairs.py", qEnvironmentVariableIsSet("CHOCKSIDE_LONG") ? "20" : "1")) {
            const QString wrong = difference(c);
            QVERIFY2(wrong.isEmpty(), qPrintable(wrong + "\n" + QJsonDocument(c).toJson(QJsonDocument::Compact)));
            ++cases;
        }
        QVERIFY2(cases >= 5187, qPrintable(QString::number(cases)));
    }

private:
    // Empty where decoding gives what Python says, in one piece and byte by byte, and encoding gives Python's bytes.
    static QString difference(const QJsonObject& c)
    {
        QString why;
        const auto plan = plan_of(c, why);
        if (!plan) return why;
        const Bytes bytes = *from_hex(c["hex"].toString().toStdString());
        const bool spaced = c["framing"] == "gap"; // byte by byte is another stream there
        for (std::size_t piece : {bytes.size(), spaced ? bytes.size() : std::size_t{1}})
            for (bool newer : {newer_processor(), false})
                if (why = decoded(codec::Decoder(plan, newer), *plan, bytes, piece, c); !why.isEmpty()) return why;
        codec::FieldValues values = values_of(c["give"].toObject());
        if (spaced) values.emplace("address", 0x11);
        const auto written = codec::Encoder(plan).frame("f", values);
        if (!written) return QString::fromStdString("encode: " + written.error().code + " " + written.error().place);
        return to_hex(*written) == c["hex"].toString().toStdString() ? QString() : "encoded " + QString::fromStdString(to_hex(*written));
    }

    static QString decoded(codec::Decoder decoder, const codec::Plan& plan, const Bytes& bytes, std::size_t piece, const QJsonObject& c)
    {
        QString why = "no frame";
        const auto sink = [&](const codec::FrameView& f) { why = difference_of(plan, f, c); };
        std::int64_t t = 1'000'000'000;
        for (std::size_t at = 0; at < bytes.size(); at += piece) decoder.feed(ByteView(bytes).subspan(at, std::min(piece, bytes.size() - at)), t, sink);
        decoder.quiet(t + 10'000'000, sink);
        return why;
    }
};

CHOCKSIDE_TEST(TestPairs)
#include "tst_pairs.moc"
