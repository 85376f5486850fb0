// What is remembered of signatures says what Ed25519 would, for whole and for changed ones, however few are kept.
#include <core/base/random.h>
#include <core/trust/trust.h>
#include <platform/shop/signatures.h>
#include <platform/shop/spread.h>
#include <tests/support/test_main.h>

#include <atomic>

using namespace chockside;
using namespace chockside::shop;

class TestShopSignatures : public QObject {
    Q_OBJECT

private slots:
    void says_what_verify_says()
    {
        SeededRandom random(5);
        const auto key = trust::KeyPair::make(random), other = trust::KeyPair::make(random);
        Signatures known(3);
        for (int turn = 0; turn < 3; ++turn)
            for (int n = 0; n < 20; ++n) {
                const auto hash = trust::sha256(as_bytes(std::to_string(n)));
                Bytes signature = key.sign(trust::Domain::entry, hash);
                QVERIFY(known.hold(hash, signature, key.public_key()) && known.hold(hash, signature, key.public_key()));
                QVERIFY(!known.hold(hash, signature, other.public_key()));
                QVERIFY(!known.hold(trust::sha256(hash), signature, key.public_key()));
                QVERIFY(!known.hold(ByteView(hash).first(31), signature, key.public_key()));
                signature[static_cast<std::size_t>(n)] ^= std::byte{1};
                QVERIFY(!known.hold(hash, signature, key.public_key()));
            }
    }
    void parts_are_the_whole()
    {
        for (const std::size_t n : {0, 1, 15, 16, 31, 32, 33, 200, 1000}) {
            std::vector<std::atomic<int>> met(n);
            spread(n, [&](std::size_t first, std::size_t end) {
                for (std::size_t i = first; i < end; ++i) ++met[i];
            });
            for (const auto& m : met) QCOMPARE(m.load(), 1);
        }
    }
};

CHOCKSIDE_TEST(TestShopSignatures)
#include "tst_signatures.moc"
