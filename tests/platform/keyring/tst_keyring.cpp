// Against a real keyring (gnome-keyring over a session bus of its own), started by keyring_session.sh.
#include <platform/keyring/keyring.h>

#include <core/journal/store.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QFile>
#include <QTemporaryDir>

using namespace chockside;

class TestKeyring : public QObject {
    Q_OBJECT

    system::SystemDisk disk_;
    system::SystemClock clock_;
    trust::SystemRandom random_;

    std::unique_ptr<journal::Store> store(const QTemporaryDir& dir, trust::KeyKeeper* keeper)
    {
        return std::move(*journal::Store::open(disk_, clock_, random_, {dir.path().toStdString(), false, 0, {}, {}, keeper}));
    }

private slots:
    void what_is_kept_comes_back()
    {
        const auto keeper = keyring::open();
        QVERIFY(keeper);
        const auto none = keeper->read("nobody's", trust::Patience::brief);
        QVERIFY(!none);
        QCOMPARE(none.error().code, std::string("not_found"));
        Bytes secret(32);
        random_.fill(secret);
        QVERIFY(keeper->keep("mine", secret));
        QCOMPARE(to_hex(*keyring::open()->read("mine", trust::Patience::brief)), to_hex(secret));
    }

    void a_key_moves_from_its_file_into_the_keyring_and_stays_the_same()
    {
        QTemporaryDir dir;
        const auto keeper = keyring::open();
        const std::string author = store(dir, nullptr)->author();
        QVERIFY(QFile::exists(dir.filePath("device.key")));
        for (int turn = 0; turn < 2; ++turn) {
            auto held = store(dir, keeper.get());
            QVERIFY(held->key_in_keyring());
            QCOMPARE(held->author(), author);
            QVERIFY(!QFile::exists(dir.filePath("device.key")));
        }
        // Without the keyring the chain can't be gone on with, and nobody else goes on in its place.
        const auto without = journal::Store::open(disk_, clock_, random_, {dir.path().toStdString(), false, 0});
        QVERIFY(!without);
        QCOMPARE(without.error().code, std::string("keyring_silent"));
        QCOMPARE(store(dir, keeper.get())->author(), author);
    }
};

class TestSilentBus : public QObject {
    Q_OBJECT

private slots:
    void a_bus_that_nobody_answers_is_silent()
    {
        system::SystemDisk disk;
        system::SystemClock clock;
        trust::SystemRandom random;
        QTemporaryDir dir;
        const auto keeper = keyring::open();
        QCOMPARE(keeper->read("mine", trust::Patience::brief).error().code, std::string("silent"));
        const auto store = std::move(*journal::Store::open(disk, clock, random, {dir.path().toStdString(), false, 0, {}, {}, keeper.get()}));
        QVERIFY(!store->key_in_keyring());
        QVERIFY(QFile::exists(dir.filePath("device.key")));
        qunsetenv("DBUS_SESSION_BUS_ADDRESS");
        QVERIFY(!keyring::open());
    }
};

CHOCKSIDE_TEST(TestKeyring)
CHOCKSIDE_TEST(TestSilentBus)
#include "tst_keyring.moc"
