#include <core/trust/trust.h>
#include <tests/support/test_main.h>

#include <QFile>

#include <set>

using namespace chockside;
using trust::Domain;

namespace {

Bytes hex(const char* text)
{
    return *from_hex(text);
}

} // namespace

class TestTrust : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // FIPS 180-4 examples published by NIST (SHA256.pdf): "abc" and the 448-bit message; the empty and the million-a message as in NIST's SHA test set.
    void sha256_gives_the_published_digests()
    {
        QCOMPARE(trust::sha256_hex({}), std::string("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"));
        QCOMPARE(trust::sha256_hex(as_bytes("abc")), std::string("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"));
        QCOMPARE(trust::sha256_hex(as_bytes("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")), std::string("248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"));
        trust::Sha256 million;
        for (int i = 0; i < 1000; ++i) million.add(as_bytes(std::string(1000, 'a')));
        QCOMPARE(to_hex(million.done()), std::string("cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"));
    }

    // RFC 8032, section 7.1, tests 1 to 3 and SHA(abc).
    void ed25519_gives_the_published_signatures_data()
    {
        QTest::addColumn<QByteArray>("seed");
        QTest::addColumn<QByteArray>("key");
        QTest::addColumn<QByteArray>("message");
        QTest::addColumn<QByteArray>("signature");
        QTest::newRow("test 1") << QByteArray("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60") << QByteArray("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a") << QByteArray()
                                << QByteArray("e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b");
        QTest::newRow("test 2") << QByteArray("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb") << QByteArray("3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c") << QByteArray("72")
                                << QByteArray("92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00");
        QTest::newRow("test 3") << QByteArray("c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7") << QByteArray("fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025") << QByteArray("af82")
                                << QByteArray("6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a");
        QTest::newRow("SHA(abc)") << QByteArray("833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42") << QByteArray("ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf")
                                  << QByteArray("ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f")
                                  << QByteArray("dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704");
    }
    void ed25519_gives_the_published_signatures()
    {
        QFETCH(QByteArray, seed);
        QFETCH(QByteArray, key);
        QFETCH(QByteArray, message);
        QFETCH(QByteArray, signature);
        const auto pair = trust::KeyPair::from_seed(hex(seed));
        QVERIFY(pair);
        QCOMPARE(to_hex(pair->public_key()), key.toStdString());
        QCOMPARE(to_hex(pair->seed()), seed.toStdString());
        QCOMPARE(to_hex(pair->sign_plain(hex(message))), signature.toStdString());
        QVERIFY(trust::verify_plain(hex(message), hex(signature), hex(key)));
    }

    // "Taming the many EdDSAs" (tests/data/trust/README.md).
    void published_edge_cases_are_judged_as_published()
    {
        QFile file(CHOCKSIDE_SOURCE_DIR "/tests/data/trust/ed25519_edge_cases.txt");
        QVERIFY(file.open(QIODevice::ReadOnly));
        int cases = 0;
        while (!file.atEnd()) {
            const auto words = file.readLine().simplified().split(' ');
            QCOMPARE(words.size(), 5);
            const bool verified = trust::verify_plain(hex(words[1]), hex(words[3]), hex(words[2]));
            QVERIFY2(verified == (words[4] == "accept"), words[0].constData());
            ++cases;
        }
        QCOMPARE(cases, 12);
    }

    // RFC 8032, 5.1.7: S must be below L; L as in 5.1.
    void a_signature_with_l_added_to_s_is_refused()
    {
        const auto pair = trust::KeyPair::from_seed(hex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"));
        Bytes signature = pair->sign_plain(as_bytes("x"));
        QVERIFY(trust::verify_plain(as_bytes("x"), signature, pair->public_key()));
        const Bytes order = hex("edd3f55c1a631258d69cf7a2def9de1400000000000000000000000000000010");
        unsigned carry = 0;
        for (std::size_t i = 0; i < 32; ++i) {
            const unsigned sum = std::to_integer<unsigned>(signature[32 + i]) + std::to_integer<unsigned>(order[i]) + carry;
            signature[32 + i] = static_cast<std::byte>(sum & 255);
            carry = sum >> 8;
        }
        QVERIFY(!trust::verify_plain(as_bytes("x"), signature, pair->public_key()));
    }

    void a_signature_serves_one_domain_alone()
    {
        trust::SystemRandom random;
        const auto pair = trust::KeyPair::make(random);
        const std::vector<Domain> all{Domain::entry, Domain::receipt, Domain::head, Domain::profile, Domain::enrolment};
        std::set<std::string> names;
        for (const Domain mine : all) {
            names.insert(trust::name_of(mine));
            const Bytes signature = pair.sign(mine, as_bytes("message"));
            for (const Domain other : all) QCOMPARE(trust::verify(other, as_bytes("message"), signature, pair.public_key()), mine == other);
            QVERIFY(!trust::verify_plain(as_bytes("message"), signature, pair.public_key()));
            // What is signed is written down: name, zero, message.
            QVERIFY(trust::verify_plain(as_bytes(std::string(trust::name_of(mine)) + std::string(1, '\0') + "message"), signature, pair.public_key()));
        }
        QCOMPARE(names.size(), all.size());
    }

    void every_flipped_bit_of_a_signature_is_refused()
    {
        trust::SystemRandom random;
        const auto pair = trust::KeyPair::make(random);
        Bytes signature = pair.sign(Domain::entry, as_bytes("message"));
        for (std::size_t bit = 0; bit < signature.size() * 8; ++bit) {
            signature[bit / 8] ^= static_cast<std::byte>(1u << (bit % 8));
            QVERIFY(!trust::verify(Domain::entry, as_bytes("message"), signature, pair.public_key()));
            signature[bit / 8] ^= static_cast<std::byte>(1u << (bit % 8));
        }
        QVERIFY(trust::verify(Domain::entry, as_bytes("message"), signature, pair.public_key()));
    }

    void inputs_of_another_length_are_refused()
    {
        QCOMPARE(trust::KeyPair::from_seed(Bytes(31)).error().code, std::string("bad_key"));
        QCOMPARE(trust::KeyPair::from_seed(Bytes(33)).error().code, std::string("bad_key"));
        QVERIFY(!trust::verify_plain(as_bytes("x"), Bytes(63), Bytes(32)));
        QVERIFY(!trust::verify_plain(as_bytes("x"), Bytes(64), Bytes(31)));
        QVERIFY(!trust::verify_plain(as_bytes("x"), {}, {}));
    }

    void a_moved_key_leaves_nothing_behind()
    {
        trust::SystemRandom random;
        auto pair = trust::KeyPair::make(random);
        const std::string key = to_hex(pair.public_key());
        const trust::KeyPair moved = std::move(pair);
        QCOMPARE(to_hex(moved.public_key()), key);
        QVERIFY(pair.seed() == Bytes(32));
    }

    void an_assigned_key_leaves_nothing_behind()
    {
        SeededRandom random(4);
        auto a = trust::KeyPair::make(random), b = trust::KeyPair::make(random);
        const auto of_b = b.public_key();
        a = std::move(b);
        QVERIFY(a.public_key() == of_b);
        QVERIFY(trust::verify(Domain::entry, as_bytes("m"), a.sign(Domain::entry, as_bytes("m")), of_b));
        QVERIFY(b.seed() == Bytes(32));
    }

    void no_two_domains_have_one_name()
    {
        std::set<std::string> names;
        const auto all = {Domain::entry, Domain::receipt, Domain::head, Domain::profile, Domain::enrolment, Domain::sign_off, Domain::session};
        for (const Domain d : all) names.insert(trust::name_of(d));
        QCOMPARE(names.size(), all.size());
        QVERIFY(!names.contains(""));
    }

    void an_author_is_named_by_the_digest_of_its_key()
    {
        // SHA-256("abc"), FIPS 180-4 example, cut to 32 digits.
        QCOMPARE(trust::author_id(as_bytes("abc")), std::string("ba7816bf8f01cfea414140de5dae2223"));
    }

    void the_system_gives_no_bytes_twice()
    {
        trust::SystemRandom random;
        std::set<std::string> seen;
        for (int i = 0; i < 1000; ++i) {
            Bytes bytes(16);
            random.fill(bytes);
            seen.insert(to_hex(bytes));
        }
        QCOMPARE(seen.size(), std::size_t(1000));
    }

    void wiped_bytes_are_zero()
    {
        Bytes secret = to_bytes("secret");
        trust::wipe(secret);
        QVERIFY(secret == Bytes(6));
    }
};

CHOCKSIDE_TEST(TestTrust)
#include "tst_trust.moc"
