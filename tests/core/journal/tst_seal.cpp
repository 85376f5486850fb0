#include <core/journal/seal.h>
#include <tests/support/test_main.h>

#include <QCryptographicHash>

using namespace chockside;
using json::Value;

namespace {

std::string refusal(const Value& body)
{
    SeededRandom random(1);
    const auto key = trust::KeyPair::make(random);
    journal::Envelope e;
    e.author = trust::author_id(key.public_key());
    e.seq = 1;
    e.job = "j";
    e.kind = "found";
    const auto sealed = journal::seal(e, body, key, random);
    return sealed ? std::string() : sealed.error().args.front().second;
}

Value nested(int depth)
{
    Value v("x");
    for (int i = 0; i < depth; ++i) v = Value(json::Array{v});
    return v;
}

QByteArray sha256(const QByteArray& bytes)
{
    return QCryptographicHash::hash(bytes, QCryptographicHash::Sha256).toHex();
}

} // namespace

class TestSeal : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // FIPS 180-4 by another library (Qt's) over bytes laid out by hand.
    void digests_cover_their_label_and_a_zero()
    {
        const QByteArray salt(32, '\x05'), body = "{\"a\":1}";
        QCOMPARE(journal::body_digest(as_bytes(salt.toStdString()), body.toStdString()), sha256(QByteArray("body/1") + '\0' + salt + body).toStdString());
        QCOMPARE(journal::entry_hash("{}"), sha256(QByteArray("entry/1") + '\0' + "{}").toStdString());
    }

    void a_sealed_entry_holds_what_it_was_given()
    {
        SeededRandom random(3);
        const auto key = trust::KeyPair::make(random);
        journal::Envelope e;
        e.author = trust::author_id(key.public_key());
        e.seq = 7;
        e.prev = std::string(64, 'a');
        e.job = "Q4-RMP-1";
        e.seen = {{"aa", 4}, {"bb", 9}};
        e.kind = "measured";
        e.schema = 2;
        e.att = {std::string(64, 'b')};
        e.person = "p-7";
        e.meaning = "worked";
        e.wall = 1781706460000;
        e.boot = "boot";
        e.mono = 5;
        const auto sealed = journal::seal(e, Value(json::Object{{"text", "Grad \u00b0"}}), key, random);
        QVERIFY(sealed);
        const auto opened = journal::open_entry(sealed->envelope_bytes, sealed->hash, sealed->signature, sealed->salt, sealed->body_bytes);
        QVERIFY(opened);
        QVERIFY(opened->envelope.seen == e.seen);
        QVERIFY(opened->envelope.att == e.att);
        QCOMPARE(opened->envelope.seq, e.seq);
        QCOMPARE(opened->envelope.schema, 2);
        QCOMPARE(opened->envelope.meaning, e.meaning);
        QCOMPARE(opened->envelope.wall, e.wall);
        QCOMPARE(opened->body["text"].as_text(), std::string("Grad \u00b0"));
        QCOMPARE(opened->salt.size(), std::size_t(64));
        const auto again = journal::seal(e, sealed->body, key, random);
        QVERIFY(again->salt != sealed->salt);
    }

    // RFC 8785 over the narrower input of RFC 7493: whole numbers within 2^53-1, no fractions.
    void the_writer_is_narrow_data()
    {
        QTest::addColumn<QByteArray>("what");
        const auto row = [](const char* name, const char* what, Value body) {
            bodies.push_back(std::move(body));
            QTest::newRow(name) << QByteArray(what);
        };
        bodies.clear();
        row("fraction", "fraction", Value(0.5));
        row("whole but real", "fraction", Value(json::Object{{"a", 1.0}}));
        row("2^53", "integer", Value(json::Array{std::int64_t{9007199254740992}}));
        row("-2^53", "integer", Value(std::int64_t{-9007199254740992}));
        row("key beyond ASCII", "key", Value(json::Object{{"\xC3\xB6", 1}}));
        row("NUL in a key", "key", Value(json::Object{{std::string("a\0b", 3), 1}}));
        row("NUL in a text", "nul", Value(std::string("a\0b", 3)));
        row("no UTF-8", "utf8", Value(json::Object{{"a", "\xFF"}}));
        row("surrogate", "utf8", Value("\xED\xA0\x80"));
        row("17 deep", "depth", nested(17));
        row("65 KiB", "size", Value(std::string(65 * 1024, 'x')));
        row("2^53-1", "", Value(std::int64_t{9007199254740991}));
        row("16 deep", "", nested(16));
        row("text of many scripts", "", Value("\xE6\x97\xA5\xF0\x9F\x98\x82"));
    }
    void the_writer_is_narrow()
    {
        static std::size_t at = 0;
        QFETCH(QByteArray, what);
        QCOMPARE(refusal(bodies.at(at++)), what.toStdString());
    }

    void only_the_author_seals_for_the_author()
    {
        SeededRandom random(1);
        const auto mine = trust::KeyPair::make(random), other = trust::KeyPair::make(random);
        journal::Envelope e;
        e.author = trust::author_id(other.public_key());
        e.seq = 1;
        const auto sealed = journal::seal(e, Value(json::Object{}), mine, random);
        QVERIFY(!sealed);
        QCOMPARE(sealed.error().code, std::string("entry_refused"));
    }

    void bad_text_in_the_envelope_is_refused_too()
    {
        SeededRandom random(1);
        const auto key = trust::KeyPair::make(random);
        journal::Envelope e;
        e.author = trust::author_id(key.public_key());
        e.seq = 1;
        e.meaning = "\xFF";
        QVERIFY(!journal::seal(e, Value(json::Object{}), key, random));
    }

    void stored_bytes_that_are_no_entry_are_refused()
    {
        for (const char* bad : {"", "{}", "[]", "{\"author\":\"a\"}", "{\"author\":1,\"job\":\"j\",\"kind\":\"k\",\"body_sha\":\"\",\"boot\":\"\",\"seq\":1}",
                 "{\"author\":\"a\",\"job\":\"j\",\"kind\":\"k\",\"body_sha\":\"\",\"boot\":\"\",\"seq\":0}"})
            QCOMPARE(journal::open_entry(bad, "", "", "", "").error().code, std::string("entry_malformed"));
    }

private:
    static inline std::vector<Value> bodies;
};

CHOCKSIDE_TEST(TestSeal)
#include "tst_seal.moc"
