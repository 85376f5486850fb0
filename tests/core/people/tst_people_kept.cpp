// How people lie on the disk: sealed names, and a disk that fails at every place in turn.
#include <core/people/people.h>
#include <core/trust/vault.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>
#include <QTemporaryDir>

#include <functional>

using namespace chockside;
using people::People;

namespace {

struct StandingClock final : Clock {
    Now now() const override { return {1'781'706'460'000, 1000, "boot-1"}; }
};

/// The system's disk, whose n-th call fails (1 is the first; 0: none does).
struct FailingDisk final : Disk {
    system::SystemDisk disk;
    int calls = 0, fails_at = 0;
    bool fails() { return ++calls == fails_at; }

    Status make_folder(const std::string& path) override { return fails() ? Status(fail("io_error")) : disk.make_folder(path); }
    Result<Bytes> read(const std::string& path, std::uint64_t most) override { return fails() ? Result<Bytes>(fail("io_error")) : disk.read(path, most); }
    Status write_whole(const std::string& path, ByteView b) override { return fails() ? Status(fail("io_error")) : disk.write_whole(path, b); }
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override { return disk.append_to(path); }
    Result<std::vector<std::string>> list(const std::string& folder) override { return fails() ? Result<std::vector<std::string>>(fail("io_error")) : disk.list(folder); }
    Status remove(const std::string& path) override { return disk.remove(path); }
    Result<std::unique_ptr<Lock>> lock(const std::string& path) override { return disk.lock(path); }
    Result<std::uint64_t> free_bytes(const std::string& folder) override { return disk.free_bytes(folder); }
};

constexpr trust::Stretch quick{1, 64 << 10};
constexpr const char* pin = "480215";
constexpr const char* other_pin = "991177";

Status no_store(const std::string&, const std::string&) { return {}; }

people::Person lk() { return {"LK", "L. Kestrel", "airframe mechanic (invented)", "NM-117", {}}; }

struct Place {
    QTemporaryDir dir;
    FailingDisk disk;
    StandingClock clock;
    SeededRandom random{21};
    trust::Vault vault = trust::Vault::make(random);
    std::string folder = dir.path().toStdString() + "/people";

    People open(trust::Stretch stretch = quick) { return People(disk, clock, random, folder, stretch); }
    People sealed()
    {
        if (!vault.can_write()) vault.begin(random);
        People p = open();
        p.seal_with({[this](const std::string& about, ByteView plain) { return Result<Bytes>(vault.seal(about, plain, random)); }, [this](const std::string& about, ByteView s) { return vault.unseal(about, s); }});
        return p;
    }
    QByteArray file(const char* id) const
    {
        QFile f(dir.path() + "/people/" + id + ".person");
        return f.open(QIODevice::ReadOnly) ? f.readAll() : QByteArray();
    }
    void write(const char* name, const QByteArray& bytes) const
    {
        QFile f(dir.path() + "/people/" + name);
        QVERIFY(f.open(QIODevice::WriteOnly));
        f.write(bytes);
    }
};

template <class R>
std::string code(const R& r)
{
    return r ? "ok" : r.error().code;
}

} // namespace

class TestPeopleKept : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void a_sealed_name_is_read_while_the_store_is_open_and_outlives_every_change()
    {
        Place p;
        People people = p.sealed();
        QVERIFY(people.enrol(lk(), pin).has_value());
        QVERIFY(!p.file("LK").contains("Kestrel") && !p.file("LK").contains("NM-117") && !p.file("LK").contains("mechanic"));
        QCOMPARE(people.find("LK")->name, std::string("L. Kestrel"));
        QCOMPARE(people.find("LK")->certificate_number, std::string("NM-117"));

        // Who can't read the name still counts wrong tries, changes the PIN and rotates, and loses nothing of it.
        const Bytes secret = p.vault.secret();
        p.vault.shut();
        QCOMPARE(people.find("LK")->name, std::string());
        QCOMPARE(code(people.key("LK", other_pin)), std::string("wrong_pin"));
        QVERIFY(people.change_pin("LK", pin, other_pin).has_value());
        QVERIFY(people.rotate("LK", other_pin, no_store).has_value());
        QCOMPARE(p.open().find("LK")->name, std::string());
        QVERIFY(p.vault.open_with(secret).has_value());
        QCOMPARE(people.find("LK")->name, std::string("L. Kestrel"));
        QCOMPARE(people.find("LK")->certificate_kind, std::string("airframe mechanic (invented)"));
    }

    void a_name_sealed_for_one_person_does_not_serve_another()
    {
        Place p;
        People people = p.sealed();
        QVERIFY(people.enrol(lk(), pin).has_value());
        QVERIFY(people.enrol({"MR", "M. Reed", "", "", {}}, pin).has_value());
        const auto sealed_of = [&](const char* id) { return (*json::read(p.file(id).toStdString()))["sealed"].as_text(); };
        json::Value v = *json::read(p.file("MR").toStdString());
        v.at("sealed") = sealed_of("LK");
        p.write("MR.person", QByteArray::fromStdString(json::write(v)));
        QCOMPARE(people.find("MR")->name, std::string());
        v.at("sealed") = "not hex";
        p.write("MR.person", QByteArray::fromStdString(json::write(v)));
        QCOMPARE(people.find("MR")->name, std::string());
    }

    void who_can_not_be_sealed_is_not_kept_in_clear()
    {
        Place p;
        People people = p.open();
        people.seal_with({[](const std::string&, ByteView) { return Result<Bytes>(fail("pin_needed")); }, {}});
        QCOMPARE(code(people.enrol(lk(), pin)), std::string("pin_needed"));
        QVERIFY(p.file("LK").isEmpty());
    }

    void the_key_is_given_to_its_pin_alone()
    {
        Place p;
        People people = p.open();
        const auto person = people.enrol(lk(), pin);
        QCOMPARE(code(people.key("MR", pin)), std::string("not_found"));
        QCOMPARE(code(people.key("lk", pin)), std::string("not_found"));
        QCOMPARE(code(people.key("LK", other_pin)), std::string("wrong_pin"));
        QCOMPARE(to_hex(people.key("LK", pin)->public_key()), person->public_key);
    }

    void a_short_new_pin_and_an_unknown_person_change_nothing()
    {
        Place p;
        People people = p.open();
        QVERIFY(people.enrol(lk(), pin).has_value());
        QCOMPARE(code(people.change_pin("LK", pin, "12345")), std::string("pin_short"));
        QCOMPARE(code(people.change_pin("MR", pin, other_pin)), std::string("not_found"));
        QCOMPARE(code(people.change_pin("LK", other_pin, other_pin)), std::string("wrong_pin"));
        QCOMPARE(code(people.rotate("MR", pin, no_store)), std::string("not_found"));
        QCOMPARE(code(people.rotate("LK", other_pin, no_store)), std::string("wrong_pin"));
        QCOMPARE(code(people.key("LK", pin)), std::string("ok"));
    }

    // Whatever else opens to the old key knows the new one first, and what it complains of changes nothing.
    void a_new_key_is_told_before_it_is_kept()
    {
        Place p;
        People people = p.open();
        const auto person = people.enrol(lk(), pin);
        std::string told;
        const auto refuse = [&](const std::string& old_key, const std::string& new_key) {
            told = new_key;
            return old_key == people.find("LK")->public_key ? Status(fail("disk_full")) : Status{};
        };
        QCOMPARE(code(people.rotate("LK", pin, refuse)), std::string("disk_full"));
        QVERIFY(told.size() == 64 && told != person->public_key);
        QCOMPARE(to_hex(people.key("LK", pin)->public_key()), person->public_key);
    }

    void more_memory_than_there_is_is_said()
    {
        Place p;
        const trust::Stretch huge{1, std::uint64_t{1} << 60};
        QCOMPARE(code(p.open(huge).enrol(lk(), pin)), std::string("no_memory"));
        QVERIFY(p.open().enrol(lk(), pin).has_value());
        QCOMPARE(code(p.open(huge).change_pin("LK", pin, other_pin)), std::string("no_memory"));
        QCOMPARE(code(p.open(huge).rotate("LK", pin, no_store)), std::string("no_memory"));
        QCOMPARE(code(p.open().key("LK", pin)), std::string("ok"));
    }

    void other_files_are_nobody()
    {
        Place p;
        People people = p.open();
        QCOMPARE(people.list()->size(), std::size_t{0});
        QVERIFY(people.enrol(lk(), pin).has_value());
        p.write("notes.txt", "x");
        p.write("mr.person", p.file("LK"));
        p.write("MR.person", p.file("LK"));
        QCOMPARE(people.list()->size(), std::size_t{1});
        QCOMPARE(code(people.key("MR", pin)), std::string("bad_key"));
    }

    // The n-th call fails, for every n: each act says so, and the person is as before or as after, under one PIN that opens.
    void a_failing_disk_leaves_the_old_or_the_new()
    {
        const auto change = [](People& people) { return people.change_pin("LK", pin, other_pin); };
        const auto rotate = [](People& people) {
            const auto turned = people.rotate("LK", pin, no_store);
            return turned ? Status{} : Status(Unexpected{turned.error()});
        };
        const auto sign = [](People& people) {
            const auto signature = people.sign("LK", pin, as_bytes("x"));
            return signature ? Status{} : Status(Unexpected{signature.error()});
        };
        for (const std::function<Status(People&)>& act : {std::function<Status(People&)>(change), std::function<Status(People&)>(rotate), std::function<Status(People&)>(sign)}) {
            for (int n = 1;; ++n) {
                Place p;
                People people = p.open();
                QVERIFY(people.enrol(lk(), pin).has_value());
                p.disk.calls = 0;
                p.disk.fails_at = n;
                const Status done = act(people);
                p.disk.fails_at = 0;
                const bool old_opens = people.key("LK", pin).has_value(), new_opens = people.key("LK", other_pin).has_value();
                QVERIFY(old_opens != new_opens);
                if (done) break;
                QCOMPARE(done.error().code, std::string("io_error"));
                QVERIFY(old_opens && n < 20);
            }
        }
    }

    void a_failing_disk_enrols_nobody_by_halves()
    {
        for (int n = 1;; ++n) {
            Place p;
            People people = p.open();
            p.disk.fails_at = n;
            const auto done = people.enrol(lk(), pin);
            p.disk.fails_at = 0;
            QCOMPARE(people.find("LK").has_value(), done.has_value());
            if (done) break;
            QVERIFY(n < 10);
        }
        Place p;
        People people = p.open();
        QVERIFY(people.enrol(lk(), pin).has_value());
        p.disk.calls = 0;
        p.disk.fails_at = 1;
        QCOMPARE(code(people.list()), std::string("io_error"));
    }
};

CHOCKSIDE_TEST(TestPeopleKept)
#include "tst_people_kept.moc"
