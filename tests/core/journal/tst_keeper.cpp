// A keyring holds this device's key, and does not always answer.
#include "journal_fixture.h"

#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::tests;

namespace {

class Ring final : public trust::KeyKeeper {
public:
    bool silent = false;
    std::map<std::string, Bytes> held = {};
    std::vector<trust::Patience> asked = {};

    Result<Bytes> read(const std::string& name, trust::Patience patience) override
    {
        asked.push_back(patience);
        if (silent) return fail("silent");
        return held.contains(name) ? Result<Bytes>(held[name]) : Result<Bytes>(fail("not_found"));
    }
    Status keep(const std::string& name, ByteView secret) override
    {
        if (silent) return fail("silent");
        held[name] = Bytes(secret.begin(), secret.end());
        return {};
    }
};

} // namespace

class TestKeeper : public QObject {
    Q_OBJECT

    std::unique_ptr<Place> place_;
    Ring ring_;

    Result<std::unique_ptr<journal::Store>> open(trust::KeyKeeper* keeper, const char* device = "")
    {
        return journal::Store::open(place_->disk, place_->clock, place_->random, {place_->folder(), false, 0, device, {}, keeper});
    }
    std::string author(trust::KeyKeeper* keeper, const char* device = "")
    {
        auto store = open(keeper, device);
        return store ? (*store)->author() : store.error().code;
    }
    bool file(const char* name) const { return QFile::exists(QString::fromStdString(place_->file(name))); }

private slots:
    void init()
    {
        place_ = std::make_unique<Place>();
        ring_ = {};
    }

    void a_keyring_that_is_silent_once_makes_nobody_another_author()
    {
        const std::string first = author(&ring_);
        QVERIFY(!file("device.key") && file("device.in_keyring"));
        ring_.silent = true;
        QCOMPARE(author(&ring_), std::string("keyring_silent"));
        QVERIFY(ring_.asked.back() == trust::Patience::for_a_person);
        QCOMPARE(author(nullptr), std::string("keyring_silent"));
        QVERIFY(!file("device.key"));
        QVERIFY(place_->open(true)); // what was written can be read
        ring_.silent = false;
        QCOMPARE(author(&ring_), first);
    }

    void a_keyring_that_never_answered_leaves_the_key_in_its_file()
    {
        ring_.silent = true;
        const std::string first = author(&ring_);
        QVERIFY(ring_.asked.back() == trust::Patience::brief);
        QVERIFY(file("device.key") && !file("device.in_keyring"));
        QCOMPARE(author(&ring_), first);
        ring_.silent = false;
        QCOMPARE(author(&ring_), first);
        QVERIFY(!file("device.key") && file("device.in_keyring"));
    }

    void a_move_cut_short_loses_nothing()
    {
        const std::string first = author(nullptr);
        const Bytes seed = *place_->disk.read(place_->file("device.key"), 64);
        QCOMPARE(author(&ring_), first);
        // Killed before the file was gone: the note and the file name the same key.
        QVERIFY(place_->disk.write_whole(place_->file("device.key"), seed));
        ring_.silent = true;
        QCOMPARE(author(&ring_), first);
        ring_.silent = false;
        QCOMPARE(author(&ring_), first);
        QVERIFY(!file("device.key"));
        // Killed before the note: the keyring has it.
        QVERIFY(place_->disk.remove(place_->file("device.in_keyring")));
        QCOMPARE(author(&ring_), first);
        QVERIFY(file("device.in_keyring"));
    }

    void a_store_put_here_with_a_key_of_its_own_does_not_take_the_keyrings()
    {
        const std::string first = author(&ring_);
        QVERIFY(place_->disk.remove(place_->file("device.in_keyring")));
        ring_.silent = true;
        const std::string second = author(&ring_);
        QVERIFY(second != first);
        ring_.silent = false;
        QCOMPARE(author(&ring_), second);
        QCOMPARE(author(&ring_), second);
    }

    void a_key_that_the_keyring_lost_is_told()
    {
        const std::string first = author(&ring_);
        ring_.held.clear();
        const auto store = std::move(*open(&ring_));
        QVERIFY(store->author() != first);
        QCOMPARE(store->began_anew(), std::string("key_lost"));
    }

    void a_copy_does_not_wait_for_the_keyring_of_the_first()
    {
        const std::string first = author(&ring_, "machine-1");
        ring_.silent = true;
        const auto store = std::move(*open(&ring_, "machine-2"));
        QVERIFY(store->author() != first);
        QCOMPARE(store->began_anew(), std::string("copied"));
        QVERIFY(file("device.key") && !file("device.in_keyring"));
    }
};

CHOCKSIDE_TEST(TestKeeper)
#include "tst_keeper.moc"
