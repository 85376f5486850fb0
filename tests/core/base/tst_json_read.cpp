#include <core/base/json.h>
#include <tests/support/test_main.h>

#include <QFile>

using namespace chockside;

namespace {

std::string code_of(std::string_view text, const json::ReadLimits& limits = {})
{
    const auto value = json::read(text, limits);
    return value ? std::string() : value.error().code;
}

std::string argument(const Problem& problem, std::string_view name)
{
    for (const auto& [key, value] : problem.args)
        if (key == name) return value;
    return {};
}

} // namespace

class TestJsonRead : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // RFC 8259, section 13, first example.
    void a_published_text_is_read_member_by_member()
    {
        QFile file(CHOCKSIDE_SOURCE_DIR "/tests/data/json/rfc8259_section13.json");
        QVERIFY(file.open(QIODevice::ReadOnly));
        const auto value = json::read(file.readAll().toStdString());
        QVERIFY(value);
        const auto& image = (*value)["Image"];
        QCOMPARE(image["Width"].as_int(), std::int64_t(800));
        QCOMPARE(image["Thumbnail"]["Height"].as_int(), std::int64_t(125));
        QCOMPARE(image["Title"].as_text(), std::string("View from 15th Floor"));
        QVERIFY(!image["Animated"].as_bool(true));
        QCOMPARE(image["IDs"].as_array().size(), std::size_t(4));
        QCOMPARE(image["IDs"].as_array()[3].as_int(), std::int64_t(38793));
        QVERIFY(image["nothing"].is_null());
    }

    // RFC 8259: grammar of sections 2 to 7; section 8.1 for UTF-8; RFC 7493 (I-JSON) 2.1 surrogates, 2.3 duplicate names.
    void what_the_grammar_lacks_is_refused_data()
    {
        QTest::addColumn<QByteArray>("text");
        QTest::addColumn<QByteArray>("code");
        const std::pair<const char*, const char*> rows[] = {{"", "json_syntax"}, {"{", "json_syntax"}, {"[1,]", "json_syntax"}, {"{\"a\":1,}", "json_syntax"}, {"01", "json_syntax"}, {"+1", "json_syntax"}, {".5", "json_syntax"},
            {"1.", "json_syntax"}, {"NaN", "json_syntax"}, {"Infinity", "json_syntax"}, {"'a'", "json_syntax"}, {"[1] 2", "json_syntax"}, {"\"\t\"", "json_syntax"}, {"\"\\x41\"", "json_syntax"}, {"// a\n1", "json_syntax"},
            {"\"\\ud83d\"", "json_syntax"}, {"\"\\ude02\"", "json_syntax"}, {"\"\xC0\x80\"", "json_not_utf8"}, {"\"\xED\xA0\x80\"", "json_not_utf8"}, {"\"\xFF\"", "json_not_utf8"}, {"1e400", "json_number"}, {"-1e400", "json_number"},
            {"{\"a\":1,\"a\":1}", "json_duplicate_key"}, {"{\"a\":1,\"\\u0061\":2}", "json_duplicate_key"}};
        for (const auto& [text, code] : rows) QTest::addRow("%s", QByteArray(text).toPercentEncoding().constData()) << QByteArray(text) << QByteArray(code);
    }
    void what_the_grammar_lacks_is_refused()
    {
        QFETCH(QByteArray, text);
        QFETCH(QByteArray, code);
        QCOMPARE(code_of(text.toStdString()), code.toStdString());
    }

    void a_refusal_says_line_and_column()
    {
        const auto twice = json::read("{\n  \"a\": 1,\n  \"a\": 2\n}");
        QVERIFY(!twice);
        QCOMPARE(argument(twice.error(), "line"), std::string("3"));
        QCOMPARE(argument(twice.error(), "column"), std::string("5"));
        QCOMPARE(twice.error().place, std::string("a"));
        const auto comma = json::read("{\n  \"a\": 1\n  \"b\": 2\n}");
        QCOMPARE(argument(comma.error(), "line"), std::string("3"));
    }

    void depth_and_size_are_bounded()
    {
        QCOMPARE(code_of(std::string(64, '[') + std::string(64, ']')), std::string());
        QCOMPARE(code_of(std::string(65, '[') + std::string(65, ']')), std::string("json_too_deep"));
        QCOMPARE(code_of(std::string(1000000, '[')), std::string("json_too_deep"));
        json::ReadLimits small;
        small.bytes = 4;
        QCOMPARE(code_of("1234", small), std::string());
        QCOMPARE(code_of("12345", small), std::string("json_too_long"));
    }

    // RFC 7493, 2.2: whole numbers are exact up to 2^53-1 = 9007199254740991.
    void narrow_reading_takes_exact_whole_numbers_alone()
    {
        json::ReadLimits narrow;
        narrow.refuse_floats = true;
        for (const char* good : {"0", "-1", "9007199254740991", "-9007199254740991"}) QCOMPARE(code_of(good, narrow), std::string());
        for (const char* bad : {"9007199254740992", "-9007199254740992", "18446744073709551615", "1.0", "1e2", "0.5"}) QCOMPARE(code_of(bad, narrow), std::string("json_number"));
    }

    void every_cut_of_a_text_is_refused()
    {
        const std::string text = "{\"a\":[1,-2.5e3,true,null,\"\\u20ac\\n\"],\"b\":{\"c\":\"\"}}";
        QCOMPARE(code_of(text), std::string());
        for (std::size_t n = 0; n < text.size(); ++n) QVERIFY2(!code_of(text.substr(0, n)).empty(), text.substr(0, n).c_str());
    }

    void a_value_of_another_kind_reads_as_neutral()
    {
        const json::Value text("5");
        QCOMPARE(text.as_int(7), std::int64_t(7));
        QCOMPARE(json::Value(5).as_text(), std::string());
        QVERIFY(json::Value().as_array().empty());
        json::Value made(3);
        made.at("x") = 1;
        QVERIFY(made.is_object());
        made.push(2);
        QVERIFY(made.is_array());
    }
};

CHOCKSIDE_TEST(TestJsonRead)
#include "tst_json_read.moc"
