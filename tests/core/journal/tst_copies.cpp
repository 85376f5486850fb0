// What a copy holds, and what it says of what it lacks.
#include "journal_fixture.h"

#include <tests/support/test_main.h>

#include <QDir>

#include <set>

using namespace chockside;
using tests::Place;
using tests::put;

namespace {

/// The system's disk, on which some files can't be read any more.
struct WornDisk final : Disk {
    system::SystemDisk disk;
    std::set<std::string> worn;

    Status make_folder(const std::string& path) override { return disk.make_folder(path); }
    Result<Bytes> read(const std::string& path, std::uint64_t most) override { return worn.contains(path) ? Result<Bytes>(fail("io_error", path)) : disk.read(path, most); }
    Status write_whole(const std::string& path, ByteView b) override { return disk.write_whole(path, b); }
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override { return disk.append_to(path); }
    Result<std::vector<std::string>> list(const std::string& folder) override { return disk.list(folder); }
    Status remove(const std::string& path) override { return disk.remove(path); }
    Status erase(const std::string& path) override { return disk.erase(path); }
    Status move(const std::string& from, const std::string& to) override { return disk.move(from, to); }
    Result<std::unique_ptr<Lock>> lock(const std::string& path) override { return disk.lock(path); }
    Result<std::uint64_t> free_bytes(const std::string& folder) override { return disk.free_bytes(folder); }
};

const Bytes photo = to_bytes("not really a photo"), sketch = to_bytes("nor a sketch");
const std::string line_said = "bytes that the line said";

/// A store with two attachments, a capture of one job that was ended, and an own profile.
struct Filled : Place {
    WornDisk worn;
    std::unique_ptr<journal::Store> store;
    std::string to = dir.path().toStdString() + "/copy";

    Filled()
    {
        store = std::move(*journal::Store::open(worn, clock, random, {folder(), false, 0}));
        (void)put(*store, "a", "c1");
        for (const Bytes& b : {photo, sketch}) (void)store->put_attachment(trust::sha256_hex(b), b, "image/png");
        for (const char* made : {"captures", "captures/a", "profiles"}) (void)disk.make_folder(file(made));
        say("captures/a/line-0001.pcapng", line_said);
        (void)disk.write_whole(file("profiles/own.json"), to_bytes("{}"));
    }
    void say(const char* name, const std::string& text)
    {
        auto sealing = std::move(*store->sealing_disk(disk));
        (void)(*sealing->append_to(file(name)))->append(to_bytes(text));
    }
    std::string attachment(const Bytes& of) const { return "attachments/" + trust::sha256_hex(of); }
    Bytes bytes(const std::string& path) const
    {
        auto read = const_cast<system::SystemDisk&>(disk).read(path, 1u << 20);
        return read ? *read : Bytes{};
    }
    void flip(const std::string& path)
    {
        Bytes all = bytes(path);
        all[all.size() / 2] ^= std::byte{1};
        (void)disk.write_whole(path, all);
    }
    std::unique_ptr<journal::Store> copy()
    {
        auto opened = journal::Store::open(disk, clock, random, {to, true});
        return opened ? std::move(*opened) : nullptr;
    }
};

constexpr const char* capture = "captures/a/line-0001.pcapng.sealed";

} // namespace

class TestCopies : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void a_backup_holds_everything_but_the_devices_key()
    {
        Filled p;
        QVERIFY(p.store->backup(p.to)->ok);
        QVERIFY(*p.copy()->attachment(trust::sha256_hex(photo)) == photo);
        QVERIFY(*p.copy()->attachment(trust::sha256_hex(sketch)) == sketch);
        QCOMPARE(p.bytes(p.to + "/" + capture), p.bytes(p.file(capture)));
        QCOMPARE(to_text(p.copy()->unseal_file(p.bytes(p.to + "/" + capture))->bytes), line_said);
        QCOMPARE(p.bytes(p.to + "/profiles/own.json"), to_bytes("{}"));
        QVERIFY(!QFile::exists(QString::fromStdString(p.to + "/device.key")));
        QVERIFY(QDir(QString::fromStdString(p.to + "/unproved/attachments")).isEmpty());
    }

    void a_capture_that_grew_is_copied_anew_and_one_that_lost_its_end_is_not()
    {
        Filled p;
        QVERIFY(p.store->backup(p.to)->ok);
        const Bytes whole = p.bytes(p.file(capture));
        QVERIFY(p.disk.write_whole(p.to + "/" + capture, ByteView(whole).first(whole.size() - 20)));
        QVERIFY(p.store->backup(p.to)->ok);
        QCOMPARE(p.bytes(p.to + "/" + capture), whole);
        QVERIFY(p.disk.write_whole(p.file(capture), ByteView(whole).first(whole.size() - 20)));
        QVERIFY(p.store->backup(p.to)->ok);
        QCOMPARE(p.bytes(p.to + "/" + capture), whole);
    }

    void what_a_backup_lacks_is_told_data()
    {
        QTest::addColumn<QString>("place");
        QTest::addColumn<bool>("flipped");
        QTest::addColumn<QString>("what");
        Filled p;
        const auto row = [](const char* name, const std::string& place, bool flipped, const char* what) { QTest::newRow(name) << QString::fromStdString(place) << flipped << what; };
        row("a byte of an attachment is another", p.attachment(photo), true, "attachments");
        row("an attachment can't be read", p.attachment(photo), false, "attachments");
        row("a capture can't be read", capture, false, "captures");
        row("a byte of a copied capture is another", capture, true, "captures");
    }
    void what_a_backup_lacks_is_told()
    {
        QFETCH(QString, place);
        QFETCH(bool, flipped);
        QFETCH(QString, what);
        Filled p;
        const std::string bad = place.toStdString(), other = trust::sha256_hex(sketch);
        if (flipped && bad == capture) QVERIFY(p.store->backup(p.to)->ok);
        if (flipped) p.flip(p.file(bad.c_str()));
        else p.worn.worn.insert(p.file(bad.c_str()));
        QVERIFY(put(*p.store, "a", "later"));
        const auto report = p.store->backup(p.to);
        QVERIFY(!report);
        QCOMPARE(report.error().code, std::string("not_verified"));
        QCOMPARE(report.error().place, bad);
        QCOMPARE(report.error().args, (Problem::Args{{"what", what.toStdString()}, {"files", "1"}}));
        // The rest is there for a look.
        auto unproved = journal::Store::open(p.disk, p.clock, p.random, {p.to + "/unproved", true});
        QVERIFY(unproved);
        QCOMPARE((*unproved)->verify()->entries, std::int64_t(2));
        const bool kept = (*unproved)->attachment(other).has_value() || QFile::exists(QString::fromStdString(p.to + "/attachments/" + other));
        QVERIFY(kept);
        if (bad != capture) QCOMPARE(p.bytes(p.to + "/" + capture), p.bytes(p.file(capture)));
    }

    void a_good_backup_outlives_one_that_lacks_a_file()
    {
        Filled p;
        QVERIFY(p.store->backup(p.to)->ok);
        const Bytes before = p.bytes(p.to + "/journal.db");
        const Bytes third = to_bytes("a third");
        QVERIFY(p.store->put_attachment(trust::sha256_hex(third), third, "text/plain"));
        p.flip(p.file(p.attachment(third).c_str()));
        p.flip(p.file(p.attachment(photo).c_str())); // whole in the copy: nothing is lacking
        QVERIFY(put(*p.store, "a", "later"));
        QCOMPARE(p.store->backup(p.to).error().place, p.attachment(third));
        QCOMPARE(p.bytes(p.to + "/journal.db"), before);
        QVERIFY(*p.copy()->attachment(trust::sha256_hex(photo)) == photo);
        QVERIFY(QFile::remove(QString::fromStdString(p.file(p.attachment(third).c_str()))));
        QCOMPARE(p.store->backup(p.to)->entries, std::int64_t(2));
    }

    void a_locked_store_says_only_that_a_sealed_attachment_is_there()
    {
        Filled p;
        trust::KeyPair person = trust::KeyPair::make(p.random);
        QVERIFY(p.store->add_holder(to_hex(person.public_key())));
        p.flip(p.file(p.attachment(photo).c_str()));
        QVERIFY(p.store->lock());
        QVERIFY(p.store->backup(p.to)->ok);
        QVERIFY(p.store->unlock(person));
        QCOMPARE(p.store->backup(p.to).error().place, p.attachment(photo));
    }

    void a_salvage_takes_the_files_along_and_says_what_stayed_behind()
    {
        Filled p;
        p.say("captures/a/line-0002.pcapng", "cut");
        p.flip(p.file("captures/a/line-0002.pcapng.sealed"));
        p.flip(p.file(p.attachment(photo).c_str()));
        p.store.reset();
        p.worn.worn.insert(p.file(p.attachment(sketch).c_str()));
        const auto saved = journal::salvage(p.worn, p.clock, p.random, p.folder(), p.to);
        QVERIFY(saved);
        QCOMPARE(std::set<std::string>(saved->lost.begin(), saved->lost.end()), (std::set<std::string>{p.attachment(photo), p.attachment(sketch), "captures/a/line-0002.pcapng.sealed"}));
        const auto read = p.copy()->unseal_file(p.bytes(p.to + "/" + capture));
        QVERIFY(read && read->whole);
        QCOMPARE(to_text(read->bytes), line_said);
        QCOMPARE(p.bytes(p.to + "/profiles/own.json"), to_bytes("{}"));
        QVERIFY(p.copy()->verify()->ok);
    }
};

CHOCKSIDE_TEST(TestCopies)
#include "tst_copies.moc"
