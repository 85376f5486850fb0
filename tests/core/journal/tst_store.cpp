#include "journal_fixture.h"

#include <tests/support/test_main.h>

#include <QFile>
#include <QFileInfo>

#include <sqlite3.h>

using namespace chockside;
using tests::Place;
using tests::lies_in;
using tests::put;

namespace {

/// Runs SQL behind the store's back; the complaint, or nothing.
std::string behind(const std::string& file, const char* sql)
{
    sqlite3* db = nullptr;
    sqlite3_open(file.c_str(), &db);
    char* said = nullptr;
    sqlite3_exec(db, sql, nullptr, nullptr, &said);
    const std::string complaint = said ? said : "";
    sqlite3_free(said);
    sqlite3_close(db);
    return complaint;
}

std::string quoted(std::string text)
{
    for (std::size_t at = 0; (at = text.find('\'', at)) != std::string::npos; at += 2) text.insert(at, 1, '\'');
    return "'" + text + "'";
}

/// SQL that puts salts and bodies of exported entries, and the words of their jobs, back into the rows as they lay before there was a vault.
std::string in_clear(const std::string& exported)
{
    std::string sql = "DROP TRIGGER entry_no_update;";
    for (const QByteArray& line : QByteArray::fromStdString(exported).split('\n')) {
        const auto v = json::read(line.toStdString());
        if (!v || !(*v)["hash"].is_text()) continue;
        sql += "UPDATE entry SET salt=x'" + (*v)["salt"].as_text() + "',body=" + quoted((*v)["body"].as_text()) + " WHERE lower(hex(hash))='" + (*v)["hash"].as_text() + "';";
    }
    return sql + "UPDATE job SET title='heading flag',tail='Q4-RMP';CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;";
}

std::string code(const Result<std::unique_ptr<journal::Store>>& opened)
{
    return opened ? std::string() : opened.error().code;
}

} // namespace

class TestStore : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void what_was_appended_is_there_after_reopening()
    {
        Place place;
        std::string author, first;
        {
            auto store = place.store();
            QVERIFY(store);
            author = store->author();
            const auto written = put(*store, "a", "c1");
            QVERIFY(written);
            first = written->front().hash;
            QVERIFY(put(*store, "b", "c2"));
        }
        auto store = place.store();
        QCOMPARE(store->author(), author);
        const auto third = put(*store, "a", "c3");
        QVERIFY(third);
        QCOMPARE(third->front().envelope.seq, std::int64_t(3));
        const auto entries = *store->entries("a");
        QCOMPARE(entries.size(), std::size_t(2));
        QCOMPARE(entries[0].hash, first);
        QCOMPARE(entries[1].envelope.seen.at(author), std::int64_t(1));
        QCOMPARE(store->all_entries()->size(), std::size_t(3));
        QVERIFY(store->verify()->ok);
    }

    void a_repeated_command_answers_as_the_first_time()
    {
        Place place;
        auto store = place.store();
        const std::vector<journal::Draft> drafts{tests::draft("done", "x"), tests::draft("found", "y")};
        const auto once = *store->append("a", "c", drafts);
        (void)put(*store, "a", "other");
        const auto again = *store->append("a", "c", drafts);
        QCOMPARE(again.size(), std::size_t(2));
        for (std::size_t i = 0; i < 2; ++i) {
            QCOMPARE(again[i].hash, once[i].hash);
            QCOMPARE(again[i].body_bytes, once[i].body_bytes);
        }
        QCOMPARE(store->entries("a")->size(), std::size_t(3));
        store.reset();
        store = place.store();
        QCOMPARE(store->append("a", "c", drafts)->front().hash, once.front().hash);
        QCOMPARE(store->entries("a")->size(), std::size_t(3));
        QCOMPARE(lies_in(place, "compass card sticks"), 0);
        QCOMPARE(lies_in(place, "Q4-RMP"), 0);
    }

    void a_refused_draft_writes_nothing_of_its_command()
    {
        Place place;
        auto store = place.store();
        std::vector<journal::Draft> drafts{tests::draft("done", "x"), tests::draft("found", "y")};
        drafts[1].body = json::Value(0.5);
        QCOMPARE(store->append("a", "c", drafts).error().code, std::string("entry_refused"));
        QVERIFY(store->entries("a")->empty());
        QVERIFY(put(*store, "a", "c"));
        QCOMPARE(store->entries("a")->size(), std::size_t(1));
    }

    void a_second_writer_is_refused_and_a_reader_is_not()
    {
        Place place;
        auto store = place.store();
        (void)put(*store, "a", "c1");
        QCOMPARE(code(place.open()), std::string("locked"));
        auto reader = place.open(true);
        QVERIFY(reader);
        QCOMPARE((*reader)->entries("a")->size(), std::size_t(1));
        (void)put(*store, "a", "c2");
        QCOMPARE((*reader)->entries("a")->size(), std::size_t(2));
        QVERIFY((*reader)->verify()->ok);
        QCOMPARE(put(**reader, "a", "c3").error().code, std::string("read_only"));
        QCOMPARE((*reader)->set_row({}).error().code, std::string("read_only"));
        store.reset();
        QVERIFY(place.open());
    }

    void a_reader_of_nothing_is_told_so()
    {
        Place place;
        QCOMPARE(code(place.open(true)), std::string("not_found"));
    }

    void a_newer_schema_is_refused_by_writer_and_reader()
    {
        Place place;
        place.store().reset();
        QCOMPARE(behind(place.file("journal.db"), "PRAGMA user_version=99"), std::string());
        QCOMPARE(code(place.open()), std::string("newer_schema"));
        QCOMPARE(code(place.open(true)), std::string("newer_schema"));
    }

    void a_file_that_is_no_database_is_named_so()
    {
        Place place;
        place.store().reset();
        QFile file(QString::fromStdString(place.file("journal.db")));
        QVERIFY(file.open(QIODevice::WriteOnly | QIODevice::Truncate));
        file.write(QByteArray(8192, 'x'));
        file.close();
        QFile::remove(QString::fromStdString(place.file("journal.db-wal")));
        QCOMPARE(code(place.open()), std::string("damaged"));
    }

    void rows_can_not_be_changed_or_deleted()
    {
        Place place;
        auto store = place.store();
        (void)put(*store, "a", "c1");
        store.reset();
        QVERIFY(behind(place.file("journal.db"), "UPDATE entry SET body='{}'").find("append-only") != std::string::npos);
        QVERIFY(behind(place.file("journal.db"), "DELETE FROM entry").find("append-only") != std::string::npos);
        QCOMPARE(place.store()->entries("a")->size(), std::size_t(1));
    }

    void a_change_behind_the_triggers_is_found_and_named_data()
    {
        QTest::addColumn<QByteArray>("sql");
        QTest::addColumn<QByteArray>("reason");
        QTest::newRow("body") << QByteArray("UPDATE entry SET body='{}' WHERE id%1099511627776=2") << QByteArray("body");
        QTest::newRow("other job") << QByteArray("UPDATE entry SET job='b' WHERE id%1099511627776=2") << QByteArray("row");
        QTest::newRow("other number") << QByteArray("UPDATE entry SET id=id+5 WHERE id%1099511627776=2") << QByteArray("row");
        QTest::newRow("signature") << QByteArray("UPDATE entry SET signature=zeroblob(64) WHERE id%1099511627776=2") << QByteArray("signature");
        QTest::newRow("hash") << QByteArray("UPDATE entry SET hash=zeroblob(32) WHERE id%1099511627776=2") << QByteArray("hash");
        QTest::newRow("envelope") << QByteArray("UPDATE entry SET envelope=replace(envelope,'found','seen_') WHERE id%1099511627776=2") << QByteArray("hash");
        QTest::newRow("no envelope") << QByteArray("UPDATE entry SET envelope='' WHERE id%1099511627776=2") << QByteArray("malformed");
        QTest::newRow("dropped") << QByteArray("DELETE FROM entry WHERE id%1099511627776=2") << QByteArray("gap");
        QTest::newRow("run forgotten") << QByteArray("DELETE FROM run") << QByteArray("row");
        QTest::newRow("author forgotten") << QByteArray("DELETE FROM author") << QByteArray("row");
        QTest::newRow("key changed") << QByteArray("UPDATE author SET public_key=replace(public_key,substr(public_key,1,2),'00')") << QByteArray("key");
    }
    void a_change_behind_the_triggers_is_found_and_named()
    {
        QFETCH(QByteArray, sql);
        QFETCH(QByteArray, reason);
        Place place;
        auto store = place.store();
        for (int i = 0; i < 3; ++i) (void)put(*store, "a", std::to_string(i));
        store.reset();
        QCOMPARE(behind(place.file("journal.db"), ("DROP TRIGGER entry_no_update; DROP TRIGGER entry_no_delete;" + sql).constData()), std::string());
        const auto report = (*place.open(true))->verify();
        QVERIFY(report);
        QVERIFY(!report->ok);
        QCOMPARE(report->first_bad->reason, reason.toStdString());
        if (reason == "body" || reason == "signature") QCOMPARE(report->first_bad->seq, std::int64_t(2));
    }

    // Random bits of the file: found, or no entry is touched (free space, the index of jobs).
    void a_damaged_file_never_passes_as_another_record()
    {
        Place place;
        auto store = place.store();
        for (int i = 0; i < 10; ++i) (void)put(*store, "a", std::to_string(i));
        const std::string before = *store->export_job("a");
        store.reset();
        QFile file(QString::fromStdString(place.file("journal.db")));
        QVERIFY(file.open(QIODevice::ReadWrite));
        QFile::resize(QString::fromStdString(place.file("journal.db-wal")), 0);
        const QByteArray good = file.readAll();
        SeededRandom random(5);
        int found = 0;
        for (int trial = 0; trial < 400; ++trial) {
            QByteArray bad = good;
            const auto at = static_cast<qsizetype>(random.below(static_cast<std::size_t>(good.size())));
            bad[at] = static_cast<char>(bad[at] ^ (1 << random.below(8)));
            file.seek(0);
            file.write(bad);
            file.flush();
            auto reader = place.open(true);
            const auto report = reader ? (*reader)->verify() : Result<journal::VerifyReport>(fail("open"));
            if (!report || !report->ok) {
                ++found;
                continue;
            }
            const auto now = (*reader)->export_job("a");
            QVERIFY2(now && *now == before, qPrintable(QString("byte %1").arg(at)));
        }
        QVERIFY(found > 50);
    }

    void a_lost_key_starts_a_new_author_beside_the_old_chain()
    {
        Place place;
        auto store = place.store();
        const std::string old = store->author();
        (void)put(*store, "a", "c1");
        store.reset();
        QVERIFY(QFile::remove(QString::fromStdString(place.file("device.key"))));
        store = place.store();
        QVERIFY(store->author() != old);
        const auto next = *put(*store, "a", "c2");
        QCOMPARE(next[0].envelope.seq, std::int64_t(1));
        QCOMPARE(next[0].envelope.seen.at(old), std::int64_t(1));
        QVERIFY(store->verify()->ok);
    }

    void the_key_file_is_for_its_owner_alone()
    {
        Place place;
        auto store = place.store();
        const auto rights = QFileInfo(QString::fromStdString(place.file("device.key"))).permissions();
        QCOMPARE(rights & ~(QFile::ReadOwner | QFile::WriteOwner | QFile::ReadUser | QFile::WriteUser), QFile::Permissions());
        QCOMPARE(QFileInfo(QString::fromStdString(place.file("device.key"))).size(), qint64(32));
    }

    void rows_of_jobs_are_searched_newest_first()
    {
        Place place;
        auto store = place.store();
        QVERIFY(store->set_row({"a", "heading wanders", "Q4-RMP", "isolate", 1, 10, 1, false}));
        QVERIFY(store->set_row({"b", "no attitude", "Q4-TLN", "close", 2, 20, 2, true, json::Object{{"open", 2}}}));
        QCOMPARE((*store->jobs())[0].job, std::string("b"));
        QVERIFY((*store->jobs())[0].practice);
        QCOMPARE((*store->jobs())[0].about["open"].as_int(), std::int64_t(2));
        QVERIFY((*store->jobs())[1].about.is_null());
        QCOMPARE(store->jobs(1)->size(), std::size_t(1));
        QCOMPARE(*store->count_jobs(), std::int64_t(2));
        QCOMPARE((*store->jobs(9, "WANDERS"))[0].job, std::string("a"));
        QCOMPARE((*store->jobs(9, "q4-tln"))[0].job, std::string("b"));
        QVERIFY(store->jobs(9, "%")->empty());
        QVERIFY(store->set_row({"a", "heading wanders", "Q4-WHM", "close", 1, 30, 5, false}));
        QCOMPARE((*store->jobs())[0].tail, std::string("Q4-WHM"));
    }

    void a_row_goes_with_its_entry_and_is_rebuilt_when_it_was_lost()
    {
        Place place;
        auto store = place.store();
        const auto d = tests::draft("opened", "x");
        QVERIFY(store->append("a", "c1", std::span(&d, 1), journal::JobRow{"a", "t", "Q4-RMP", "isolate", 5, 6, 1, false}));
        (void)put(*store, "b", "c2");
        QCOMPARE(store->jobs()->size(), std::size_t(1));
        store.reset();
        store = place.store();
        const auto rows = *store->jobs();
        QCOMPARE(rows.size(), std::size_t(2));
        const auto& b = rows[0].job == "b" ? rows[0] : rows[1];
        QCOMPARE(b.entries, 1);
        QCOMPARE(b.opened_utc_ms, place.clock.utc_ms);
    }

    void a_store_of_the_first_schema_is_brought_up()
    {
        Place place;
        std::string before_a, before_b;
        {
            auto store = place.store();
            for (const char* job : {"a", "a", "b", "a", "b"}) (void)put(*store, job, {});
            before_a = *store->export_job("a");
            before_b = *store->export_job("b");
        }
        QCOMPARE(behind(place.file("journal.db"), (in_clear(before_a + before_b) + "DROP TABLE note; DROP TABLE vault; DROP TABLE data_key; DROP TABLE holder; DROP TABLE run; ALTER TABLE author DROP COLUMN counted; ALTER TABLE author DROP COLUMN verified; CREATE INDEX entry_job ON entry(job); PRAGMA user_version=1; PRAGMA wal_checkpoint(TRUNCATE)").c_str()), std::string());
        QVERIFY(lies_in(place, "compass card sticks") > 0);
        QCOMPARE(code(place.open(true)), std::string("older_schema"));
        auto store = place.store();
        QVERIFY(store);
        QCOMPARE(*store->export_job("a"), before_a);
        QCOMPARE(*store->export_job("b"), before_b);
        QVERIFY(store->verify()->ok);
        (void)put(*store, "b", {});
        QCOMPARE(store->entries("b")->size(), std::size_t(3));
        QCOMPARE(store->entries("a")->size(), std::size_t(3));
    }

    void a_copy_on_another_machine_writes_under_an_author_of_its_own()
    {
        Place place;
        const auto on = [&](const char* device) { return std::move(*journal::Store::open(place.disk, place.clock, place.random, {place.folder(), false, 0, device})); };
        auto store = on("machine-1");
        const std::string first = store->author();
        QVERIFY(put(*store, "a", "c1"));
        store.reset();
        store = on("machine-1");
        QCOMPARE(store->author(), first);
        QCOMPARE(store->began_anew(), std::string());
        store.reset();
        store = on("machine-2");
        QVERIFY(store->author() != first);
        QCOMPARE(store->began_anew(), std::string("copied"));
        const auto next = put(*store, "a", "c2");
        QCOMPARE(next->front().envelope.seq, std::int64_t(1));
        QCOMPARE(next->front().envelope.seen.at(first), std::int64_t(1)); // and it knows what was there
        QVERIFY(store->verify()->ok);
        const std::string second = store->author();
        store.reset();
        QCOMPARE(on("machine-2")->author(), second);
    }

    void a_store_put_back_from_a_backup_does_not_go_on_as_before()
    {
        Place place;
        const std::string witness = place.dir.path().toStdString() + "/witness.json";
        const auto open_it = [&] { return std::move(*journal::Store::open(place.disk, place.clock, place.random, {place.folder(), false, 0, {}, witness})); };
        auto store = open_it();
        const std::string first = store->author();
        QVERIFY(put(*store, "a", "c1"));
        store.reset();
        QFile::copy(QString::fromStdString(place.file("journal.db")), QString::fromStdString(place.file("old.db")));
        store = open_it();
        QVERIFY(put(*store, "a", "c2"));
        store.reset();
        QCOMPARE(open_it()->author(), first); // nothing was put back
        for (const char* name : {"journal.db", "journal.db-wal", "journal.db-shm"}) QFile::remove(QString::fromStdString(place.file(name)));
        QVERIFY(QFile::rename(QString::fromStdString(place.file("old.db")), QString::fromStdString(place.file("journal.db"))));
        store = open_it();
        QCOMPARE(store->began_anew(), std::string("restored"));
        QVERIFY(store->author() != first);
        QVERIFY(put(*store, "a", "c3")); // number 2 of the first author stays what it was, wherever it went
        QVERIFY(store->verify()->ok);
    }

    void a_backup_is_proved_before_it_takes_the_old_ones_place()
    {
        Place place;
        auto store = place.store();
        const Bytes photo = to_bytes("not really a photo");
        QVERIFY(store->put_attachment(trust::sha256_hex(photo), photo, "image/jpeg"));
        for (int i = 0; i < 5; ++i) QVERIFY(put(*store, "a", std::to_string(i)));
        const std::string to = place.dir.path().toStdString() + "/backup";
        QCOMPARE(store->backup(to)->entries, std::int64_t(5));
        QVERIFY(put(*store, "a", "later"));
        QCOMPARE(store->backup(to)->entries, std::int64_t(6)); // again, in its place
        QVERIFY(!QFile::exists(QString::fromStdString(to + "/device.key")));
        auto copy = journal::Store::open(place.disk, place.clock, place.random, {to, true});
        QVERIFY(copy);
        QCOMPARE(*(*copy)->export_job("a"), *store->export_job("a"));
        QVERIFY(*(*copy)->attachment(trust::sha256_hex(photo)) == photo);
        // What does not verify is no backup: the good one stays.
        QCOMPARE(behind(place.file("journal.db"), "DROP TRIGGER entry_no_update; UPDATE entry SET body='{}' WHERE id%1099511627776=2"), std::string());
        QCOMPARE(store->backup(to).error().code, std::string("not_verified"));
        QVERIFY((*journal::Store::open(place.disk, place.clock, place.random, {to, true}))->verify()->ok);
    }

    void what_verifies_of_a_damaged_store_is_saved_and_the_original_left_alone()
    {
        Place place;
        auto store = place.store();
        for (int i = 0; i < 40; ++i) QVERIFY(put(*store, i % 2 ? "a" : "b", std::to_string(i), std::string(400, 'x')));
        store.reset();
        QFile file(QString::fromStdString(place.file("journal.db")));
        QVERIFY(file.open(QIODevice::ReadWrite));
        const QByteArray good = file.readAll();
        SeededRandom random(11);
        for (int turn = 0; turn < 40; ++turn) {
            QByteArray bad = good;
            for (int i = 0; i < 200; ++i) bad[static_cast<int>(4096 + random.below(static_cast<std::size_t>(bad.size() - 4096)))] = static_cast<char>(random.below(256));
            file.seek(0);
            file.write(bad);
            file.flush();
            const std::string into = place.dir.path().toStdString() + "/saved" + std::to_string(turn);
            const auto saved = journal::salvage(place.disk, place.clock, place.random, place.folder(), into);
            file.seek(0);
            QVERIFY(file.readAll() == bad);
            if (!saved) {
                QVERIFY(saved.error().code == "damaged" || saved.error().code == "not_found");
                continue;
            }
            auto rest = journal::Store::open(place.disk, place.clock, place.random, {into, true});
            QVERIFY(rest);
            const auto report = (*rest)->verify();
            QVERIFY(report && report->ok);
            QCOMPARE(report->entries, saved->kept);
            std::int64_t last = 0;
            for (const auto& [author, seq] : saved->last) last = std::max(last, seq);
            QCOMPARE(last, saved->kept); // one author: up to the first that is broken, and no further
        }
        QCOMPARE(journal::salvage(place.disk, place.clock, place.random, place.folder(), place.folder()).error().code, std::string("exists"));
    }

    void what_came_since_the_last_look_is_looked_at_bit_by_bit()
    {
        Place place;
        auto store = place.store();
        for (int i = 0; i < 25; ++i) QVERIFY(put(*store, "a", std::to_string(i)));
        int looks = 1;
        for (auto looked = store->verify_next(10); looked->to_do; looked = store->verify_next(10)) ++looks;
        QCOMPARE(looks, 3);
        QVERIFY(!store->verify_next(10)->to_do);
        store.reset();
        // Before the mark nobody looks again at a start; after it, everybody's is found.
        QCOMPARE(behind(place.file("journal.db"), "DROP TRIGGER entry_no_update; UPDATE entry SET body='{}' WHERE id%1099511627776=3"), std::string());
        store = place.store();
        QVERIFY(!store->verify_next(10)->first_bad);
        for (int i = 25; i < 30; ++i) QVERIFY(put(*store, "a", std::to_string(i)));
        store.reset();
        QCOMPARE(behind(place.file("journal.db"), "UPDATE entry SET signature=zeroblob(64) WHERE id%1099511627776=28"), std::string());
        const auto looked = place.store()->verify_next(10);
        QVERIFY(looked->first_bad);
        QCOMPARE(looked->first_bad->seq, std::int64_t(28));
        QCOMPARE(looked->first_bad->reason, std::string("signature"));
        QVERIFY(!place.store()->verify()->ok); // the whole look trusts no mark
    }

    void attachments_are_named_by_their_content()
    {
        Place place;
        auto store = place.store();
        const Bytes photo = to_bytes("not really a photo");
        const std::string sha = trust::sha256_hex(photo);
        QCOMPARE(store->put_attachment(std::string(64, '0'), photo, "image/jpeg").error().code, std::string("hash_mismatch"));
        QVERIFY(store->put_attachment(sha, photo, "image/jpeg"));
        QVERIFY(store->put_attachment(sha, photo, "image/jpeg"));
        QVERIFY(*store->attachment(sha) == photo);
        for (const std::string& bad : {std::string("../device.key"), std::string(64, 'g'), std::string(), std::string(64, '1')}) QCOMPARE(store->attachment(bad).error().code, std::string("not_found"));
        QFile file(QString::fromStdString(place.folder() + "/attachments/" + sha));
        QVERIFY(file.open(QIODevice::ReadWrite));
        file.write("N");
        file.close();
        QCOMPARE(store->attachment(sha).error().code, std::string("hash_mismatch"));
        QVERIFY(store->put_attachment(sha, photo, "image/jpeg"));
        QVERIFY(*store->attachment(sha) == photo);
    }

    void a_checkpoint_keeps_everything_and_the_log_stays_bounded()
    {
        Place place;
        auto store = place.store();
        for (int i = 0; i < 700; ++i) QVERIFY(put(*store, "a", std::to_string(i), std::string(2000, 'x')));
        QVERIFY(!store->trouble());
        QVERIFY(QFileInfo(QString::fromStdString(place.file("journal.db-wal"))).size() < 16 << 20);
        QVERIFY(store->checkpoint());
        QCOMPARE(store->entries("a")->size(), std::size_t(700));
        QVERIFY(store->verify()->ok);
    }
};

CHOCKSIDE_TEST(TestStore)
#include "tst_store.moc"
