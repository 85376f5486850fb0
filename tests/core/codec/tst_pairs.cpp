#include "bench_unit.h"
#include "pairs_profile.h"

#include <tests/support/test_main.h>

#include <QJsonArray>
#include <QJsonDocument>
#include <QProcess>
#include <QtTest>

using namespace chockside;
using namespace chockside::tests;

namespace {

codec::FieldValues values_of(const QJsonObject& given);

codec::FieldValue value_of(const QJsonValue& v)
{
    if (v.isString()) return v.toString().toStdString();
    if (v.isDouble()) return v.toDouble();
    if (v.isObject()) {
        std::vector<std::uint32_t> words;
        for (const QJsonValue& w : v["words"].toArray()) words.push_back(static_cast<std::uint32_t>(w.toDouble()));
        return words;
    }
    std::vector<codec::FieldValues> groups;
    for (const QJsonValue& g : v.toArray()) groups.push_back(values_of(g.toObject()));
    return groups;
}

codec::FieldValues values_of(const QJsonObject& given)
{
    codec::FieldValues out;
    for (auto it = given.begin(); it != given.end(); ++it) out.emplace(it.key().toStdString(), value_of(it.value()));
    return out;
}

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
        QProcess python;
        const char* rounds = qEnvironmentVariableIsSet("CHOCKSIDE_LONG") ? "20" : "1";
        python.start("python3", {CHOCKSIDE_SOURCE_DIR "/tests/data/codec/pairs.py", rounds});
        QVERIFY(python.waitForFinished(120000));
        QVERIFY2(python.exitCode() == 0, python.readAllStandardError().constData());
        int cases = 0;
        for (const QByteArray& line : python.readAllStandardOutput().split('\n')) {
            if (line.isEmpty()) continue;
            const QJsonObject c = QJsonDocument::fromJson(line).object();
            const QString wrong = difference(c);
            QVERIFY2(wrong.isEmpty(), qPrintable(wrong + "\n" + line));
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
            if (why = decoded(*plan, plan, bytes, piece, c); !why.isEmpty()) return why;
        codec::FieldValues values = values_of(c["give"].toObject());
        if (spaced) values.emplace("address", 0x11);
        const auto written = codec::Encoder(plan).frame("f", values);
        if (!written) return QString::fromStdString("encode: " + written.error().code + " " + written.error().place);
        return to_hex(*written) == c["hex"].toString().toStdString() ? QString() : "encoded " + QString::fromStdString(to_hex(*written));
    }

    static QString decoded(const codec::Plan& plan, std::shared_ptr<const codec::Plan> shared, const Bytes& bytes, std::size_t piece, const QJsonObject& c)
    {
        codec::Decoder decoder(std::move(shared));
        QString why = "no frame";
        const auto sink = [&](const codec::FrameView& f) { why = compared(plan, f, c); };
        std::int64_t t = 1'000'000'000;
        for (std::size_t at = 0; at < bytes.size(); at += piece) decoder.feed(ByteView(bytes).subspan(at, std::min(piece, bytes.size() - at)), t, sink);
        decoder.quiet(t + 10'000'000, sink);
        return why;
    }

    static QString compared(const codec::Plan& plan, const codec::FrameView& f, const QJsonObject& c)
    {
        const QJsonArray see = c["see"].toArray(), texts = c["texts"].toArray();
        std::size_t i = 0;
        for (const codec::Observation& o : f.observations) {
            const QString name = QString::fromStdString(plan.signal_table()[o.signal].name);
            if (name == "f.address") continue;
            const QJsonArray want = see.at(qsizetype(i++)).toArray();
            if (want.at(0).toString() != name) return name + " instead of " + want.at(0).toString();
            const double value = want.at(1).toDouble();
            if (!(std::fabs(value - o.value) <= 1e-12 * std::fabs(value) + 1e-300)) return name + " " + QString::number(o.value, 'g', 17);
            if (o.validity != codec::Validity::good) return name + " " + codec::name_of(o.validity);
        }
        if (i != std::size_t(see.size())) return "too few signals";
        if (qsizetype(f.texts.size()) != texts.size()) return "other texts";
        for (qsizetype k = 0; k < texts.size(); ++k)
            if (QString::fromStdString(f.texts[std::size_t(k)].second) != texts.at(k).toArray().at(1).toString()) return "text";
        return {};
    }
};

CHOCKSIDE_TEST(TestPairs)
#include "tst_pairs.moc"
