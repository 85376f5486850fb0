#include <platform/shop/app.h>
#include <tests/support/test_main.h>

using namespace chockside::shop;

// The small readers and writers at the edge: what they take, and above all what they don't.
class TestShopText : public QObject {
    Q_OBJECT

private slots:
    void text_never_becomes_markup()
    {
        QCOMPARE(Html().text("<b>&\"'").done(), std::string("&lt;b&gt;&amp;&quot;&#39;"));
        QCOMPARE(Html().element("p", {{"title", "\" onclick=\"x"}}, "x").done(), std::string("<p title=\"&quot; onclick=&quot;x\">x</p>"));
        QCOMPARE(escaped(std::string("a\0b\x1b", 4)), std::string("a\uFFFDb\uFFFD"));
        QCOMPARE(escaped("\xff\xc0\xaf ok"), std::string("\uFFFD\uFFFD\uFFFD ok"));
        QCOMPARE(escaped("a\u202Egnp.exe"), std::string("a\uFFFDgnp.exe"));
        QCOMPARE(escaped("Ω 3.82"), std::string("Ω 3.82"));
    }
    void addresses_stay_on_this_site_data()
    {
        QTest::addColumn<QString>("value");
        QTest::addColumn<bool>("kept");
        QTest::newRow("path") << "/shop/jobs/1" << true;
        QTest::newRow("query") << "?q=1" << true;
        QTest::newRow("script") << "javascript:alert(1)" << false;
        QTest::newRow("other host") << "//evil.invalid" << false;
        QTest::newRow("backslash host") << "/\\evil.invalid" << false;
        QTest::newRow("scheme") << "https://evil.invalid" << false;
        QTest::newRow("empty") << "" << false;
    }
    void addresses_stay_on_this_site()
    {
        QFETCH(QString, value);
        QFETCH(bool, kept);
        const auto out = Html().open("a", {{"href", value.toStdString()}}).done();
        QCOMPARE(out == "<a href=\"#\">", !kept);
    }
    void multipart_forms()
    {
        const std::string type = "multipart/form-data; boundary=b";
        const auto read = [&](const std::string& body) { return multipart_fields(type, body); };
        const std::string head = "Content-Disposition: form-data; name=\"";
        const auto two = read("--b\r\n" + head + "a\"\r\n\r\n1\r\n--b\r\n" + head + "f\"; filename=\"x\"\r\nContent-Type: text/plain\r\n\r\n\r\n-- \r\n--a\r\n--b--\r\n");
        QVERIFY(two && two->size() == 2 && (*two)[0] == std::pair(std::string("a"), std::string("1")) && (*two)[1] == std::pair(std::string("f"), std::string("\r\n-- \r\n--a")));
        QVERIFY(read("--b--\r\n") && read("--b--\r\n")->empty());
        for (const std::string& bad : {std::string(), std::string("--b"), std::string("--b\r\n"), "--b\r\n" + head + "a\"\r\n\r\n1", "--b\r\n" + head + "a\"\r\n\r\n1\r\n--b", "--b\r\n" + head + "a\r\n\r\n1\r\n--b--",
                 std::string("--b\r\n\r\n1\r\n--b--"), "--b\r\nContent-Transfer-Encoding: base64\r\n" + head + "a\"\r\n\r\n1\r\n--b--", "x--b\r\n" + head + "a\"\r\n\r\n1\r\n--b--", "--b\r\n" + head + "a\"\r\n\r\n1\r\n--bx--"})
            QVERIFY2(!read(bad), bad.c_str());
        for (const char* other : {"multipart/form-data", "multipart/form-data; boundary=", "multipart/mixed; boundary=b", "multipart/form-data; boundary=\"b\"", "multipart/form-data; boundary=b; x=y"}) QVERIFY2(!multipart_fields(other, "--b--\r\n"), other);
        std::string many;
        for (int i = 0; i < 21; ++i) many += "--b\r\n" + head + "a\"\r\n\r\n1\r\n";
        QVERIFY(!read(many + "--b--"));
    }
    void percent_coding_both_ways()
    {
        QCOMPARE(percent_encoded("a b/ü\n"), std::string("a%20b%2F%C3%BC%0A"));
        QCOMPARE(*percent_decoded("a%20b%2F%C3%BC%0a"), std::string("a b/ü\n"));
        for (const char* bad : {"%", "%2", "%zz", "a%g0"}) QVERIFY(!percent_decoded(bad));
        QCOMPARE(*percent_decoded("a+b", true), std::string("a b"));
        QVERIFY(!form_fields("a=%"));
        QCOMPARE(form_fields("a=1&b=&c")->size(), std::size_t(3));
    }
    void a_cookie_that_comes_twice_is_none()
    {
        QCOMPARE(cookie("a=1; shop=xyz; b=2", "shop"), std::string("xyz"));
        QCOMPARE(cookie("shop=1; shop=2", "shop"), std::string());
        QCOMPARE(cookie("workshop=1", "shop"), std::string());
    }
    /// RFC 9110, section 5.6.7.
    void dates_are_imf_fixdate() { QCOMPARE(http_date(784111777000), std::string("Sun, 06 Nov 1994 08:49:37 GMT")); }
    /// RFC 9110, section 14.1.2: the examples for a representation of 10,000 bytes.
    void ranges_of_bytes()
    {
        using Range = std::pair<std::uint64_t, std::uint64_t>;
        QVERIFY(byte_range("bytes=0-499", 10000) == Range(0, 499));
        QVERIFY(byte_range("bytes=500-999", 10000) == Range(500, 999));
        QVERIFY(byte_range("bytes=-500", 10000) == Range(9500, 9999));
        QVERIFY(byte_range("bytes=9500-", 10000) == Range(9500, 9999));
        QVERIFY(byte_range("bytes=0-99999", 10000) == Range(0, 9999));
        for (const char* bad : {"bytes=", "bytes=-", "bytes=5-4", "bytes=10000-", "bytes=a-b", "items=0-1", "bytes=0-1,3-4", "bytes=-0"}) QVERIFY2(!byte_range(bad, 10000), bad);
    }
    /// tus 1.0.0, "Upload-Metadata" and "Upload-Checksum".
    void tus_fields()
    {
        const auto m = upload_metadata("filename d29ybGRfZG9taW5hdGlvbl9wbGFuLnBkZg==,is_confidential");
        QVERIFY(m && m->size() == 2 && (*m)[0].second == "world_domination_plan.pdf" && (*m)[1].second.empty());
        QVERIFY(upload_metadata("")->empty());
        for (const char* bad : {",", "a b c", "a YQ==,a YQ==", "a !", " , "}) QVERIFY2(!upload_metadata(bad), bad);
        QCOMPARE(upload_checksum("sha1 Kq5sNclPz7QV2+lfQIuc6R7oRu0=")->digest.size(), std::size_t(20));
        for (const char* bad : {"", "sha1", "sha1 ", "sha1 !"}) QVERIFY2(!upload_checksum(bad), bad);
    }
};
CHOCKSIDE_TEST(TestShopText)

#include "tst_text.moc"
