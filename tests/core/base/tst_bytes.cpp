#include <core/base/bytes.h>
#include <tests/support/test_main.h>

using namespace chockside;

class TestBytes : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // RFC 4648, section 10.
    void base64_gives_the_published_texts_data()
    {
        QTest::addColumn<QByteArray>("plain");
        QTest::addColumn<QByteArray>("coded");
        const std::pair<const char*, const char*> rows[] = {{"", ""}, {"f", "Zg=="}, {"fo", "Zm8="}, {"foo", "Zm9v"}, {"foob", "Zm9vYg=="}, {"fooba", "Zm9vYmE="}, {"foobar", "Zm9vYmFy"}};
        for (const auto& [plain, coded] : rows) QTest::addRow("%s", *plain ? plain : "empty") << QByteArray(plain) << QByteArray(coded);
    }
    void base64_gives_the_published_texts()
    {
        QFETCH(QByteArray, plain);
        QFETCH(QByteArray, coded);
        QCOMPARE(to_base64(as_bytes(plain.toStdString())), coded.toStdString());
        const auto back = from_base64(coded.toStdString());
        QVERIFY(back);
        QCOMPARE(to_text(*back), plain.toStdString());
    }

    // RFC 4648, 3.5: pad bits that no encoder leaves; 4: alphabet and padding.
    void base64_refuses_what_no_encoder_writes()
    {
        for (const char* bad : {"Zg=", "Zg", "Z===", "Zh==", "Zm9=", "Zg==Zg==", "Zm 9", "Zm9_", "====", "=g=="}) QVERIFY2(!from_base64(bad), bad);
    }

    // RFC 4648, section 10, base16; here in lower case.
    void hex_gives_the_published_text()
    {
        QCOMPARE(to_hex(as_bytes("foobar")), std::string("666f6f626172"));
        QCOMPARE(to_text(*from_hex("666F6f626172")), std::string("foobar"));
        QVERIFY(from_hex(""));
        for (const char* bad : {"6", "6g", " 66", "0x66", "66 6f"}) QVERIFY2(!from_hex(bad), bad);
    }

    // RFC 3629, section 7 (examples) and section 4 (grammar).
    void utf8_is_told_from_other_bytes_data()
    {
        QTest::addColumn<QByteArray>("hex");
        QTest::addColumn<bool>("good");
        QTest::newRow("section 7, first") << QByteArray("41e289a2ce912e") << true;
        QTest::newRow("section 7, Korean") << QByteArray("ed959ceab5adec96b4") << true;
        QTest::newRow("section 7, Japanese") << QByteArray("e697a5e69cace8aa9e") << true;
        QTest::newRow("section 7, with a byte order mark") << QByteArray("efbbbff0a38eb4") << true;
        QTest::newRow("highest") << QByteArray("f48fbfbf") << true;
        QTest::newRow("last before the surrogates") << QByteArray("ed9fbf") << true;
        QTest::newRow("over-long zero (section 10)") << QByteArray("c080") << false;
        QTest::newRow("over-long /.. (section 10)") << QByteArray("2fc0ae2e2f") << false;
        QTest::newRow("over-long, three bytes") << QByteArray("e09fbf") << false;
        QTest::newRow("over-long, four bytes") << QByteArray("f08fbfbf") << false;
        QTest::newRow("surrogate") << QByteArray("eda08c") << false;
        QTest::newRow("beyond 10FFFF") << QByteArray("f4908080") << false;
        QTest::newRow("lead F5") << QByteArray("f5808080") << false;
        QTest::newRow("lonely continuation") << QByteArray("80") << false;
        QTest::newRow("cut short") << QByteArray("41e289") << false;
        QTest::newRow("broken by ASCII") << QByteArray("e28941") << false;
    }
    void utf8_is_told_from_other_bytes()
    {
        QFETCH(QByteArray, hex);
        QFETCH(bool, good);
        QCOMPARE(is_utf8(to_text(*from_hex(hex.toStdString()))), good);
    }
};

CHOCKSIDE_TEST(TestBytes)
#include "tst_bytes.moc"
