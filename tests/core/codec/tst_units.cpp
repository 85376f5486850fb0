// The bundled units but PRU-2, which has tests of its own (tst_frames).
#include "bench_unit.h"
#include "python_cases.h"

#include <tests/support/test_main.h>

#include <QtTest>

using namespace chockside;
using namespace chockside::tests;

namespace {

struct Bundled {
    profile::LoadOutcome outcome;
    std::shared_ptr<const codec::Plan> plan;
};

const Bundled& bundled(const QString& id)
{
    static QMap<QString, Bundled> all;
    if (!all.contains(id)) {
        Bundled b;
        b.outcome = profile::load_half(text_of(("assets/profiles/" + id + ".unit.json").toUtf8().constData()), profile::Half::unit);
        if (const auto plan = codec::Plan::compile(b.outcome.profile.unit)) b.plan = *plan;
        all.insert(id, b);
    }
    return all[id];
}

} // namespace

class TestUnits : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void each_loads_without_complaint_and_compiles()
    {
        for (const char* id : {"pru_2", "pru_5", "pru_7", "pru_9"}) {
            QVERIFY2(bundled(id).outcome.complaints.empty(), id);
            QVERIFY2(bundled(id).plan != nullptr, id);
            QCOMPARE(bundled(id).outcome.profile.unit.id, std::string(id));
        }
    }

    // Source of every byte: tests/data/units/wire.py.
    void each_speaks_as_python_writes_it()
    {
        int frames = 0, requests = 0;
        for (const QJsonObject& c : python_cases("tests/data/units/wire.py")) {
            const QString wrong = c.contains("request") ? request(c) : frame(c);
            QVERIFY2(wrong.isEmpty(), qPrintable(wrong + "\n" + QJsonDocument(c).toJson(QJsonDocument::Compact)));
            ++(c.contains("request") ? requests : frames);
        }
        QCOMPARE(frames, 40 * 13);
        QCOMPARE(requests, 40 * 6);
    }

private:
    static QString request(const QJsonObject& c)
    {
        std::map<std::string, std::int64_t> args;
        const QJsonObject given = c["args"].toObject();
        for (auto it = given.begin(); it != given.end(); ++it) args[it.key().toStdString()] = it.value().toInt();
        const auto bytes = codec::Encoder(bundled(c["unit"].toString()).plan).request(c["request"].toString().toStdString(), args);
        if (!bytes) return QString::fromStdString(bytes.error().code);
        return to_hex(*bytes) == c["hex"].toString().toStdString() ? QString() : QString::fromStdString(to_hex(*bytes));
    }

    static QString frame(const QJsonObject& c)
    {
        const auto& plan = bundled(c["unit"].toString()).plan;
        const Bytes bytes = *from_hex(c["hex"].toString().toStdString());
        codec::Decoder decoder(plan);
        QString why = "no frame";
        const auto sink = [&](const codec::FrameView& f) {
            why = f.name == c["frame"].toString().toStdString() ? difference_of(*plan, f, c) : QStringLiteral("another frame");
        };
        for (const std::byte& b : bytes) decoder.feed(ByteView(&b, 1), 0, sink);
        if (!why.isEmpty()) return why;
        const auto written = codec::Encoder(plan).frame(c["frame"].toString().toStdString(), values_of(c["give"].toObject()));
        if (!written) return QString::fromStdString(written.error().code + " " + written.error().place);
        return to_hex(*written) == c["hex"].toString().toStdString() ? QString() : QString::fromStdString(to_hex(*written));
    }
};

CHOCKSIDE_TEST(TestUnits)
#include "tst_units.moc"
