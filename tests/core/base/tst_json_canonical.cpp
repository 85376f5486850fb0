#include <core/base/json.h>
#include <tests/support/test_main.h>

#include <QCryptographicHash>
#include <QDir>
#include <QFile>

#include <bit>
#include <cmath>
#include <cstring>
#include <limits>

using namespace chockside;

namespace {

const QString data = CHOCKSIDE_SOURCE_DIR "/tests/data/json/";

QByteArray whole(const QString& path)
{
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

/// The published series: fixed edges, 2000 doubles from the smallest normal one, then SHA-256 output read as little-endian doubles.
class Series {
public:
    Series()
    {
        for (const QByteArray& word : whole(data + "number_edges.txt").simplified().split(' ')) edges_.push_back(word.toULongLong(nullptr, 16));
    }
    std::size_t edges() const { return edges_.size(); }
    std::uint64_t next()
    {
        const std::size_t i = at_++;
        if (i < edges_.size()) return edges_[i];
        if (i < edges_.size() + 2000) return 0x0010000000000000u + (i - edges_.size());
        for (;;) {
            if (used_ == 4) block_ = QCryptographicHash::hash(block_, QCryptographicHash::Sha256), used_ = 0;
            std::uint64_t bits = 0;
            std::memcpy(&bits, block_.constData() + 8 * used_++, 8);
            const double value = std::bit_cast<double>(bits);
            if (value != 0 && std::isfinite(value)) return bits;
        }
    }

private:
    std::vector<std::uint64_t> edges_;
    std::size_t at_ = 0;
    QByteArray block_ = QByteArray(32, 0);
    int used_ = 4;
};

} // namespace

class TestJsonCanonical : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // RFC 8785 and its reference test data (tests/data/json/README.md).
    void published_objects_have_their_published_text_data()
    {
        QTest::addColumn<QString>("name");
        const auto files = QDir(data + "canonical").entryList({"*.json"});
        QCOMPARE(files.size(), 4);
        for (const QString& file : files) QTest::addRow("%s", qPrintable(file)) << file.chopped(5);
    }
    void published_objects_have_their_published_text()
    {
        QFETCH(QString, name);
        const auto value = json::read(whole(data + "canonical/" + name + ".json").toStdString());
        QVERIFY(value);
        const auto text = json::canonical(*value);
        QVERIFY(text);
        QCOMPARE(QByteArray::fromStdString(*text), whole(data + "canonical/" + name + ".expected"));
        QCOMPARE(json::write(*value), *text);
        QCOMPARE(json::write(*json::read(*text)), *text);
        QCOMPARE(json::write(*json::read(json::write_pretty(*value))), *text);
    }

    // RFC 8785, appendix B.
    void numbers_of_the_appendix_have_their_text_data()
    {
        QTest::addColumn<quint64>("bits");
        QTest::addColumn<QByteArray>("text");
        const std::pair<std::uint64_t, const char*> rows[] = {{0, "0"}, {0x8000000000000000, "0"}, {1, "5e-324"}, {0x8000000000000001, "-5e-324"}, {0x7fefffffffffffff, "1.7976931348623157e+308"},
            {0xffefffffffffffff, "-1.7976931348623157e+308"}, {0x4340000000000000, "9007199254740992"}, {0xc340000000000000, "-9007199254740992"}, {0x4430000000000000, "295147905179352830000"},
            {0x44b52d02c7e14af5, "9.999999999999997e+22"}, {0x44b52d02c7e14af6, "1e+23"}, {0x44b52d02c7e14af7, "1.0000000000000001e+23"}, {0x444b1ae4d6e2ef4e, "999999999999999700000"},
            {0x444b1ae4d6e2ef4f, "999999999999999900000"}, {0x444b1ae4d6e2ef50, "1e+21"}, {0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"}, {0x3eb0c6f7a0b5ed8d, "0.000001"}, {0x41b3de4355555553, "333333333.3333332"},
            {0x41b3de4355555554, "333333333.33333325"}, {0x41b3de4355555555, "333333333.3333333"}, {0x41b3de4355555556, "333333333.3333334"}, {0x41b3de4355555557, "333333333.33333343"},
            {0xbecbf647612f3696, "-0.0000033333333333333333"}, {0x43143ff3c1cb0959, "1424953923781206.2"}};
        for (const auto& [bits, text] : rows) QTest::addRow("%016llx", static_cast<unsigned long long>(bits)) << quint64(bits) << QByteArray(text);
    }
    void numbers_of_the_appendix_have_their_text()
    {
        QFETCH(quint64, bits);
        QFETCH(QByteArray, text);
        QCOMPARE(json::number_text(std::bit_cast<double>(static_cast<std::uint64_t>(bits))), text.toStdString());
    }

    // SHA-256 of the first lines `hex,text` of the series published beside RFC 8785.
    void the_published_series_has_its_published_digests()
    {
        Series series;
        QCOMPARE(series.edges(), std::size_t(168));
        QCryptographicHash hash(QCryptographicHash::Sha256);
        const std::map<int, const char*> expected{{1000, "be18b62b6f69cdab33a7e0dae0d9cfa869fda80ddc712221570f9f40a5878687"}, {10000, "b9f7a8e75ef22a835685a52ccba7f7d6bdc99e34b010992cbc5864cd12be6892"},
            {100000, "22776e6d4b49fa294a0d0f349268e5c28808fe7e0cb2bcbe28f63894e494d4c7"}, {1000000, "49415fee2c56c77864931bd3624faad425c3c577d6d74e89a83bc725506dad16"}};
        const int most = qEnvironmentVariableIsSet("CHOCKSIDE_LONG") ? 1000000 : 100000;
        for (int n = 1; n <= most; ++n) {
            const std::uint64_t bits = series.next();
            hash.addData(QByteArray::number(qulonglong(bits), 16) + ',' + QByteArray::fromStdString(json::number_text(std::bit_cast<double>(bits))) + '\n');
            if (const auto found = expected.find(n); found != expected.end()) QCOMPARE(hash.result().toHex(), QByteArray(found->second));
        }
    }

    // RFC 8785, 3.2.2.3 (NaN, infinities) and 3.1 (I-JSON: UTF-8).
    void what_json_cannot_say_is_refused()
    {
        QCOMPARE(json::canonical(json::Value(std::nan(""))).error().code, std::string("json_number"));
        QCOMPARE(json::canonical(json::Value(std::numeric_limits<double>::infinity())).error().code, std::string("json_number"));
        QCOMPARE(json::canonical(json::Value("\xFF")).error().code, std::string("json_not_utf8"));
        QCOMPARE(json::write(json::Value("a\xFF" "b")), std::string("\"a\xEF\xBF\xBD" "b\""));
    }

    // RFC 8785, 3.2.2.2: short escapes for five controls, \u00xx in lower case for the others, nothing else.
    void controls_are_escaped_as_the_scheme_says()
    {
        QCOMPARE(json::write(json::Value(std::string("\b\t\n\f\r\x01\x1f\"\\/\x7f", 11))), std::string("\"\\b\\t\\n\\f\\r\\u0001\\u001f\\\"\\\\/\x7f\""));
        QCOMPARE(json::write(json::Value(std::string(1, '\0'))), std::string("\"\\u0000\""));
    }
};

CHOCKSIDE_TEST(TestJsonCanonical)
#include "tst_json_canonical.moc"
