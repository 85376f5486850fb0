#include "journal_fixture.h"

#include <core/people/people.h>
#include <tests/support/test_main.h>

#include <algorithm>

#include <QDir>
#include <QFile>
#include <sqlite3.h>

using namespace chockside;
using tests::lies_in;
using tests::Place;
using tests::put;

namespace {

const QByteArray body_word = "compass card sticks", tail_word = "Q4-RMP", title_word = "HDG 2 flags", photo_word = "photo-of-J1-canary", note_word = "C. Worker";

journal::JobRow row(const std::string& job)
{
    return {job, title_word.toStdString(), tail_word.toStdString(), "isolate", 5, 6, 1, false};
}

/// A store in which everything of each kind was written.
std::unique_ptr<journal::Store> filled(Place& place)
{
    auto store = place.store();
    const auto d = tests::draft("found", body_word.toStdString());
    (void)store->append("a", "c1", std::span(&d, 1), row("a"));
    const Bytes photo = to_bytes(std::string(200'000, '.') + photo_word.toStdString());
    (void)store->put_attachment(trust::sha256_hex(photo), photo, "image/png");
    return store;
}

std::string photo_sha()
{
    return trust::sha256_hex(to_bytes(std::string(200'000, '.') + photo_word.toStdString()));
}

int readable(const Place& place)
{
    int files = 0;
    for (const auto& word : {body_word, tail_word, title_word, photo_word, note_word}) files += lies_in(place, word);
    return files;
}

std::string run_sql(const std::string& file, const std::string& sql)
{
    sqlite3* db = nullptr;
    sqlite3_open(file.c_str(), &db);
    char* said = nullptr;
    sqlite3_exec(db, sql.c_str(), nullptr, nullptr, &said);
    const std::string complaint = said ? said : "";
    sqlite3_free(said);
    sqlite3_close(db);
    return complaint;
}

template <class R>
std::string code(const R& r)
{
    return r ? std::string() : r.error().code;
}

} // namespace

class TestAtRest : public QObject {
    Q_OBJECT

    trust::SystemRandom random_;
    trust::KeyPair cw_ = trust::KeyPair::make(random_), lk_ = trust::KeyPair::make(random_);
    std::string cw() const { return to_hex(cw_.public_key()); }

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void nothing_of_what_was_written_can_be_read_in_the_files()
    {
        Place place;
        auto store = filled(place);
        QCOMPARE(readable(place), 0); // the log too, while it is open
        QCOMPARE(store->entries("a")->front().body["text"].as_text(), body_word.toStdString());
        QCOMPARE(store->jobs()->front().tail, tail_word.toStdString());
        QCOMPARE(store->jobs(10, "hdg 2 FLAGS")->size(), std::size_t(1));
        QCOMPARE(store->jobs(10, "elsewhere")->size(), std::size_t(0));
        QCOMPARE(trust::sha256_hex(*store->attachment(photo_sha())), photo_sha());
        QVERIFY(store->checkpoint());
        store.reset();
        QCOMPARE(readable(place), 0);
        QVERIFY(place.store()->verify()->ok);
    }

    void a_locked_store_verifies_and_goes_on_but_says_nothing()
    {
        Place place;
        auto store = filled(place);
        QCOMPARE(code(store->lock()), std::string("nobody_has_a_pin"));
        QVERIFY(store->add_holder(cw()));
        QVERIFY(!QFile::exists(QString::fromStdString(place.file("data.key"))));
        QVERIFY(store->lock());
        QVERIFY(store->locked());
        QVERIFY(store->entries("a")->front().body_bytes.empty());
        QCOMPARE(store->jobs()->front().title + store->jobs()->front().tail, std::string());
        QCOMPARE(store->jobs()->front().status, std::string("isolate"));
        QCOMPARE(code(store->attachment(photo_sha())), std::string("pin_needed"));
        QCOMPARE(code(store->export_job("a")), std::string("pin_needed"));
        const auto shut = *store->verify();
        QVERIFY(shut.ok);
        QCOMPARE(shut.withheld, std::int64_t(1));

        QVERIFY(put(*store, "a", "c2", "came while locked"));
        QCOMPARE(lies_in(place, "came while locked"), 0);
        QCOMPARE(code(store->unlock(lk_)), std::string("not_a_holder"));
        QVERIFY(store->unlock(cw_));
        QCOMPARE((*store->entries("a"))[1].body["text"].as_text(), std::string("came while locked"));
        QCOMPARE(store->verify()->withheld, std::int64_t(0));
    }

    void a_start_is_locked_and_what_came_before_the_pin_is_read_after_it()
    {
        Place place;
        (void)filled(place)->add_holder(cw());
        {
            auto store = place.store();
            QVERIFY(store->locked());
            QVERIFY(put(*store, "a", "c2", "written by a locked start"));
        }
        auto store = place.store();
        QVERIFY(store->locked());
        QVERIFY(store->unlock(cw_));
        QCOMPARE((*store->entries("a"))[1].body["text"].as_text(), std::string("written by a locked start"));
        QVERIFY(store->verify()->ok);
        QVERIFY(store->export_job("a")->find("written by a locked start") != std::string::npos);
    }

    void several_people_open_it_and_a_new_key_takes_the_old_ones_place()
    {
        Place place;
        auto store = filled(place);
        QVERIFY(store->add_holder(cw()));
        QVERIFY(store->add_holder(to_hex(lk_.public_key())));
        QVERIFY(store->lock());
        QVERIFY(store->unlock(lk_));
        auto next = trust::KeyPair::make(random_);
        QVERIFY(store->replace_holder(to_hex(lk_.public_key()), to_hex(next.public_key())));
        QVERIFY(store->lock());
        QCOMPARE(code(store->add_holder(cw())), std::string("pin_needed"));
        QCOMPARE(code(store->unlock(lk_)), std::string("not_a_holder"));
        QVERIFY(store->unlock(next));
        QCOMPARE(store->holders()->size(), std::size_t(2));
        QCOMPARE(code(store->add_holder(std::string(64, '0'))), std::string("bad_key")); // a small-order point is nobody's
    }

    void a_successor_opens_beside_the_old_key_until_it_has_opened()
    {
        Place place;
        auto store = filled(place);
        QVERIFY(store->add_holder(cw()));
        auto lost = trust::KeyPair::make(random_), next = trust::KeyPair::make(random_);
        QVERIFY(store->add_successor(cw(), to_hex(lost.public_key())));
        QVERIFY(store->add_successor(cw(), to_hex(next.public_key()))); // after a kill: the first was kept nowhere
        QCOMPARE(store->holders()->size(), std::size_t(2));
        QCOMPARE(code(store->unlock(lost)), std::string("not_a_holder"));
        QVERIFY(store->unlock(cw_));
        QVERIFY(store->lock());
        QCOMPARE(code(store->add_successor(cw(), to_hex(lk_.public_key()))), std::string("pin_needed"));
        QVERIFY((*place.open(true))->unlock(next)); // a reader changes nothing
        QCOMPARE(store->holders()->size(), std::size_t(2));
        QVERIFY(store->unlock(next));
        QCOMPARE(*store->holders(), std::vector<std::string>{to_hex(next.public_key())});
        QCOMPARE(code(store->unlock(cw_)), std::string("not_a_holder"));
    }

    // Their file is not written yet: a kill would leave a store that nobody opens.
    void a_successor_of_nobody_is_no_first_holder()
    {
        Place place;
        auto store = filled(place);
        QVERIFY(store->add_successor(cw(), to_hex(lk_.public_key())));
        QCOMPARE(store->holders()->size(), std::size_t(0));
        QVERIFY(QFile::exists(QString::fromStdString(place.file("data.key"))));
        QCOMPARE(code(store->add_successor(cw(), std::string(64, '0'))), std::string("bad_key"));
    }

    // A sealed body is bound to its entry: it can't be moved, and a changed bit is found.
    void a_changed_or_exchanged_body_is_found()
    {
        for (const char* sql : {"UPDATE entry SET body=(SELECT body FROM entry WHERE id%1099511627776=2) WHERE id%1099511627776=1",
                 "UPDATE entry SET body=substr(body,1,60)||x'00'||substr(body,62) WHERE id%1099511627776=1", "UPDATE entry SET body=substr(body,1,length(body)-1) WHERE id%1099511627776=1",
                 "UPDATE entry SET body=x'07000000'||substr(body,5) WHERE id%1099511627776=1"}) {
            Place place;
            (void)put(*filled(place), "a", "c2");
            QCOMPARE(run_sql(place.file("journal.db"), std::string("DROP TRIGGER entry_no_update;") + sql), std::string());
            const auto report = *(*place.open(true))->verify();
            QVERIFY2(!report.ok, sql);
            QCOMPARE(report.first_bad->reason, std::string("body"));
            QCOMPARE(report.first_bad->seq, std::int64_t(1));
        }
    }

    void a_backup_opens_to_the_same_people()
    {
        Place place;
        people::People people(place.disk, place.clock, random_, place.folder() + "/people", {1, 8192});
        auto store = filled(place);
        people.seal_with({[&](const std::string& about, ByteView plain) { return store->seal_note(about, plain); }, [&](const std::string& about, ByteView sealed) { return store->unseal_note(about, sealed); }});
        const auto person = people.enrol({"CW", note_word.toStdString(), "A&P", "1234", {}}, "480215");
        QVERIFY(person);
        QVERIFY(store->add_holder(person->public_key));
        QCOMPARE(readable(place), 0);
        QCOMPARE(people.find("CW")->name, note_word.toStdString());

        const std::string to = place.dir.path().toStdString() + "/copy";
        QVERIFY(store->backup(to)->ok);
        QVERIFY(store->lock());
        QCOMPARE(people.find("CW")->name, std::string());
        QCOMPARE(code(people.key("CW", "000000")), std::string("wrong_pin"));
        store.reset();

        people::People theirs(place.disk, place.clock, random_, to + "/people", {1, 8192});
        const auto key = theirs.key("CW", "480215");
        QVERIFY(key);
        auto copy = journal::Store::open(place.disk, place.clock, random_, {to, true});
        QVERIFY((*copy)->locked());
        QVERIFY((*copy)->unlock(*key));
        QCOMPARE((*copy)->entries("a")->front().body["text"].as_text(), body_word.toStdString());
        QCOMPARE(trust::sha256_hex(*(*copy)->attachment(photo_sha())), photo_sha());
    }

    void what_is_salvaged_needs_a_holder_and_opens_to_the_same_people()
    {
        Place place;
        auto store = filled(place);
        QVERIFY(store->add_holder(cw()));
        store.reset();
        const std::string into = place.dir.path().toStdString() + "/saved", again = into + "2";
        QCOMPARE(code(journal::salvage(place.disk, place.clock, random_, place.folder(), into)), std::string("pin_needed"));
        const auto saved = journal::salvage(place.disk, place.clock, random_, place.folder(), again, &cw_);
        QVERIFY(saved);
        QCOMPARE(saved->kept, std::int64_t(1));
        auto rest = journal::Store::open(place.disk, place.clock, random_, {again, true});
        QVERIFY((*rest)->locked());
        QVERIFY((*rest)->unlock(cw_));
        QCOMPARE((*rest)->entries("a")->front().body["text"].as_text(), body_word.toStdString());
        QCOMPARE(trust::sha256_hex(*(*rest)->attachment(photo_sha())), photo_sha());
    }

    void a_lost_secret_leaves_the_envelopes()
    {
        Place place;
        filled(place).reset();
        QVERIFY(QFile::remove(QString::fromStdString(place.file("data.key"))));
        auto store = place.store();
        QVERIFY(store);
        QVERIFY(store->locked());
        QVERIFY(store->verify()->ok);
        QVERIFY(put(*store, "a", "c2"));
    }

    void a_stream_loses_its_cut_tail_and_nothing_else()
    {
        Place place;
        auto store = place.store();
        auto disk = std::move(*store->sealing_disk(place.disk));
        const std::string path = place.file("capture");
        const auto written = [&] { return *place.disk.read(path + trust::SealingDisk::ending, 1u << 20); };
        std::vector<std::size_t> ends;
        {
            auto growing = std::move(*disk->append_to(path));
            for (int i = 0; i < 4; ++i) {
                QVERIFY(growing->append(to_bytes(std::string(1000, static_cast<char>('a' + i)))));
                ends.push_back(written().size());
            }
            QCOMPARE(growing->size(), std::uint64_t(4000));
        }
        const Bytes file = written();
        for (std::size_t cut = 36; cut <= file.size(); ++cut) {
            const auto got = store->unseal_file(ByteView(file).first(cut));
            QVERIFY(got);
            const auto chunks = static_cast<std::size_t>(std::count_if(ends.begin(), ends.end(), [&](std::size_t end) { return end <= cut; }));
            QCOMPARE(got->bytes.size(), 1000 * chunks);
            QCOMPARE(got->whole, cut == file.size());
        }
        for (std::size_t at = 0; at < file.size(); at += 13) {
            Bytes bent = file;
            bent[at] ^= std::byte{1};
            const auto got = store->unseal_file(bent);
            QVERIFY(!got || !got->whole); // a longer chunk than there is reads as cut
        }
    }
};

CHOCKSIDE_TEST(TestAtRest)
#include "tst_at_rest.moc"
