#include <core/profile/detail/node.h>
#include <core/profile/load.h>
#include <core/profile/schema.h>
#include <core/profile/explain.h>
#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>
#include <QJsonDocument>
#include <QtTest>

using namespace chockside;
using namespace chockside::profile;

namespace {

const QString data = CHOCKSIDE_SOURCE_DIR "/tests/data/profile/";
const QString bundled = CHOCKSIDE_SOURCE_DIR "/assets/profiles/";

QByteArray bytes_of(const QString& path)
{
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

Result<std::string> half(const std::string& id, Half which)
{
    const QByteArray text = bytes_of(bundled + QString::fromStdString(id) + (which == Half::unit ? ".unit.json" : ".installation.json"));
    if (text.isEmpty()) return fail("not_found", id);
    return text.toStdString();
}

LoadOutcome loaded(const QString& path)
{
    return load(bytes_of(path).toStdString(), FindHalf(half));
}

QString told(const Complaints& list)
{
    QString out;
    for (const Objection& c : list)
        out += QString("%1:%2 %3 %4 [%5]\n").arg(QString::fromStdString(c.file)).arg(c.line).arg(c.code.c_str(), c.pointer.c_str(), c.mend.c_str());
    return out;
}

} // namespace

class TestLoad : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void what_the_last_field_leaves_free_is_no_gap()
    {
        // Its upper byte belongs to no bits and nothing follows; found by fuzz_profile.
        const LoadOutcome out = loaded(data + "valid/low_bits.json");
        QVERIFY(out.usable() && out.complaints.empty());
    }

    void a_number_outside_its_limits_is_refused_and_counted_with_nowhere()
    {
        const QString good = bytes_of(data + "valid/low_bits.json");
        for (const QString was : {R"("byte": 3)", R"("bit": 0)", R"("width": 4)", R"("digits": 3)", R"("most": 8)"})
            for (const char* number : {"-2147483648", "-3", "70000", "2147483647", "1099511627776"}) {
                QString text = good;
                text.replace(R"("name": "turn", "repeat": {"count": "n"})", R"("name": "turn", "repeat": {"count": "n", "most": 8})");
                QVERIFY(text.contains(was));
                text.replace(was, was.section(' ', 0, 0) + ' ' + number);
                const LoadOutcome out = load(text.toStdString(), FindHalf(half));
                QVERIFY(!out.usable());
                QVERIFY(std::ranges::any_of(out.complaints, [](const auto& c) { return c.code == "number_range"; }));
                QVERIFY(!explain(out.profile).empty());
            }
    }

    void a_valid_profile_has_nothing_to_complain_of()
    {
        const LoadOutcome out = loaded(data + "valid/small.json");
        QVERIFY2(out.complaints.empty(), qPrintable(told(out.complaints)));
        const Profile& p = out.profile;
        QCOMPARE(p.unit.frames.size(), 2u);
        QCOMPARE(p.unit.frames[0].id_text, std::string("HCHDG"));
        QCOMPARE(p.unit.line.stop_bits, 1.5);
        QCOMPARE(p.unit.line.dtr, false);
        QCOMPARE(p.unit.self_test.at("st_drive").says.in("de"), std::string("Antrieb"));
        QCOMPARE(p.unit.self_test.at("st_drive").says.in("fr"), std::string("Drive"));
        const Step& off = p.installation.steps[1];
        QCOMPARE(off.of, std::string("p1"));
        QVERIFY(off.needs.kind == Condition::Kind::all);
        QVERIFY(off.needs.parts[0].kind == Condition::Kind::breaker);
        QCOMPARE(off.needs.parts[0].is, std::string("out"));
        QVERIFY(off.needs.parts[1].kind == Condition::Kind::not_);
        QCOMPARE(off.needs.parts[2].of, std::string("p1"));
        QCOMPARE(p.installation.causes[0].id, std::string("sensor"));
        QCOMPARE(p.installation.causes[0].weight_by_complaint.at("heading_flag"), 2.0);
        QCOMPARE(p.installation.checks[1].given[0].number->a, 300.0);
        QVERIFY(p.installation.checks[1].given[0].number->kind == Density::Kind::lognormal);
        QCOMPARE(p.installation.tolerances[0].id, std::string("swing"));
    }

    void a_binary_profile_has_nothing_to_complain_of()
    {
        const LoadOutcome out = loaded(data + "valid/binary.json");
        QVERIFY2(out.complaints.empty(), qPrintable(told(out.complaints)));
    }

    void the_bundled_profile_has_nothing_to_complain_of()
    {
        const LoadOutcome out = loaded(bundled + "sandgrouse_12_pru_2.json");
        QVERIFY2(out.usable(), qPrintable(told(out.complaints)));
        QCOMPARE(out.profile.unit.id, std::string("pru_2"));
        QVERIFY(out.profile.installation.causes.size() > 10);
    }

    // Each file differs from valid/small.json in one place; .expect holds line, code, pointer and mend, found by hand.
    void every_mistake_is_named_with_line_place_and_mend_data()
    {
        QTest::addColumn<QString>("path");
        for (const QString& name : QDir(data + "invalid").entryList({"*.json"})) QTest::newRow(qPrintable(name)) << data + "invalid/" + name;
    }
    void every_mistake_is_named_with_line_place_and_mend()
    {
        QFETCH(QString, path);
        const QList<QByteArray> expect = bytes_of(QString(path).replace(".json", ".expect")).chopped(1).split('\t');
        const LoadOutcome out = loaded(path);
        const auto found = std::find_if(out.complaints.begin(), out.complaints.end(), [&](const Objection& c) { return expect[1] == c.code.c_str(); });
        QVERIFY2(found != out.complaints.end(), qPrintable(told(out.complaints)));
        QCOMPARE(out.usable(), std::none_of(out.complaints.begin(), out.complaints.end(), [](const Objection& c) { return c.severity == Severity::error; }));
        if (found->severity == Severity::error) QVERIFY(!out.usable());
        QCOMPARE(found->line, expect[0].toInt());
        QCOMPARE(found->pointer, expect[2].toStdString());
        QCOMPARE(found->mend, expect[3].toStdString());
    }

    // Doubling the keys may a little more than double the work; comparing each with each would make it four times as much.
    void the_work_grows_as_the_keys_do()
    {
        const auto compared = [](int keys) {
            std::string text = "{";
            for (int i = 0; i < keys; ++i) text += (i ? ",\"key" : "\"key") + std::to_string(i * 7919 % keys) + "\":0";
            std::uint64_t count = 0;
            return detail::parse(text + "}", &count) ? static_cast<double>(count) : 0.0;
        };
        const double once = compared(4096), twice = compared(8192);
        QVERIFY(once > 0 && once < 4096 * 40);
        QVERIFY2(twice < 2.5 * once, qPrintable(QString("%1 and %2 comparisons").arg(once).arg(twice)));
    }

    // The published file is what the table of shapes says.
    void the_published_schema_is_that_of_the_shapes()
    {
        QCOMPARE(bytes_of(bundled + "profile.schema.json"), QByteArray::fromStdString(json::write_pretty(schema_of(profile_shape())) + "\n"));
    }

    // python3-jsonschema with the published file must agree with the loader on every file (rules of the lint apart).
    void the_schema_agrees_with_the_loader()
    {
        QProcess python;
        QStringList files, expected;
        for (const QFileInfo& file : QDir(data + "valid").entryInfoList({"*.json"}) + QDir(bundled).entryInfoList({"*.json"})) {
            const QString name = file.fileName();
            if (name.endsWith(".unit.json") || name.endsWith(".installation.json") || name.endsWith(".schema.json")) continue;
            files << file.filePath();
            expected << "1";
        }
        for (const QString& name : QDir(data + "invalid").entryList({"*.json"})) {
            const QByteArray sees = bytes_of(data + "invalid/" + QString(name).replace(".json", ".expect")).chopped(1).split('\t')[4];
            if (sees.isEmpty()) continue;
            files << data + "invalid/" + name;
            expected << (sees == "1" ? "0" : "1");
        }
        const char* program = "import json,sys,jsonschema\n"
                              "v=jsonschema.Draft7Validator(json.load(open(sys.argv[1])))\n"
                              "jsonschema.Draft7Validator.check_schema(v.schema)\n"
                              "for f in sys.argv[2:]: print(int(v.is_valid(json.load(open(f)))))\n";
        python.start(CHOCKSIDE_PYTHON, QStringList{"-c", program, bundled + "profile.schema.json"} + files);
        QVERIFY(python.waitForFinished(60000));
        QVERIFY2(python.exitCode() == 0, python.readAllStandardError().constData());
        const QStringList got = QString(python.readAllStandardOutput()).split('\n', Qt::SkipEmptyParts);
        QCOMPARE(got.size(), files.size());
        for (qsizetype i = 0; i < files.size(); ++i) QVERIFY2(got.value(i) == expected[i], qPrintable(files[i]));
    }

    void explain_names_what_a_person_proofreads()
    {
        const std::string text = explain(loaded(bundled + "sandgrouse_12_pru_2.json").profile);
        for (const char* word : {"REF 1", "Frame status", "0x90", "320", "BNR 28-14", "f_sensor_lost", "P2 C4"})
            QVERIFY2(text.find(word) != std::string::npos, word);
    }

    // Bytes and bits as a person counts them on valid/binary.json: id 0, heading 1-2, mode and side in byte 3.
    void explain_says_where_fields_lie()
    {
        const std::string text = explain(loaded(data + "valid/binary.json").profile);
        for (const char* line : {"  1-2     heading    u16 ", "  3       mode ", "bits 0-3", "bits 4-7", "only where mode is 0x02 or 0x03", "as often as n", "as long as size",
                 "to the end of the frame", "top bit is the sign", "full scale 180", "width 16, poly 0x1021, init 0xFFFF, refin false"})
            QVERIFY2(text.find(line) != std::string::npos, (line + std::string("\n") + text).c_str());
    }

    // The reader of places against an independent JSON reader (Qt's) and RFC 8259: what one takes the other takes.
    void takes_and_refuses_what_rfc_8259_says_data()
    {
        QTest::addColumn<QByteArray>("text");
        QTest::addColumn<bool>("good");
        const auto row = [](const char* text, bool good) { QTest::newRow(text) << QByteArray(text) << good; };
        row("{\"a\":[1,-0.5,1e3,\"\\u00e9\\ud83d\\ude00\\n\",true,false,null]}", true);
        row(" [ ] ", true);
        row("[1,]", false);
        row("[01]", false);
        row("[+1]", false);
        row("[.5]", false);
        row("[1.]", false);
        row("[\"a\tb\"]", false);
        row("[\"\\x41\"]", false);
        row("[\"\\ud800\"]", false);
        row("[\"\xC0\xAF\"]", false);
        row("[\"\xED\xA0\x80\"]", false);
        row("[NaN]", false);
        row("[1] 2", false);
        row("{\"a\" 1}", false);
        row("[1e999]", false);
        row("", false);
        row("[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]", false);
    }
    void takes_and_refuses_what_rfc_8259_says()
    {
        QFETCH(QByteArray, text);
        QFETCH(bool, good);
        QCOMPARE(detail::parse(text.toStdString()).has_value(), good);
        if (good) QVERIFY(!QJsonDocument::fromJson(text).isNull());
    }

    // Cut anywhere, the text is refused and never crashes; a place is told within it.
    void a_cut_file_is_refused_with_a_place()
    {
        const std::string text = bytes_of(data + "valid/small.json").toStdString();
        for (std::size_t n = 0; n + 2 < text.size(); n += 3) {
            const auto parsed = detail::parse(std::string_view(text).substr(0, n));
            QVERIFY(!parsed);
            QCOMPARE(parsed.error().args[0].first, std::string("line"));
        }
    }

    void a_missing_half_is_said()
    {
        const auto out = load(R"({"format": 1, "id": "a", "unit": {"use": "nowhere"}, "installation": {"use": "nowhere"}})", FindHalf(half));
        QCOMPARE(std::count_if(out.complaints.begin(), out.complaints.end(), [](const Objection& c) { return c.code == "half_not_found"; }), 2);
        QVERIFY(!out.usable());
    }
};

CHOCKSIDE_TEST(TestLoad)
#include "tst_load.moc"
