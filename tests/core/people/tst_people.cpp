#include <core/people/people.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QFile>
#include <QTemporaryDir>

using namespace chockside;
using people::People;

namespace {

struct TurnableClock final : Clock {
    Now at{1'781'706'460'000, 1000, "boot-1"};
    Now now() const override { return at; }
    void pass(std::int64_t ms) { at.mono_ms += ms, at.utc_ms += ms; }
};

constexpr trust::Stretch quick{1, 64 << 10};
constexpr const char* pin = "480215";

struct Place {
    QTemporaryDir dir;
    system::SystemDisk disk;
    TurnableClock clock;
    SeededRandom random{1};
    People people{disk, clock, random, dir.path().toStdString() + "/people", quick};

    People again() { return People(disk, clock, random, dir.path().toStdString() + "/people", quick); }
    QByteArray file(const char* id)
    {
        QFile f(dir.path() + "/people/" + id + ".person");
        return f.open(QIODevice::ReadOnly) ? f.readAll() : QByteArray();
    }
};

std::string code(const Result<Bytes>& r) { return r ? "ok" : r.error().code; }

Status no_store(const std::string&, const std::string&) { return {}; }

people::Person lk() { return {"LK", "L. Kestrel", "airframe mechanic (invented)", "NM-117", {}}; }

} // namespace

class TestPeople : public QObject {
    Q_OBJECT

private slots:
    // Reference implementation of Argon2, its test of version 0x13, Argon2id, t=2, m=2^16, p=1, "password", "somesalt"; Debian's argon2 gives the same text.
    void argon2id_gives_the_published_digest()
    {
        const std::string published = "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc";
        QVERIFY(trust::argon2id_matches(published, "password"));
        QVERIFY(!trust::argon2id_matches(published, "passwore"));
    }

    void a_wrapped_secret_opens_with_its_pin_alone()
    {
        SeededRandom random(3);
        Bytes secret(32);
        random.fill(secret);
        const auto wrapped = *trust::wrap(secret, pin, random, quick);
        QVERIFY(*trust::unwrap(wrapped, pin) == secret);
        QCOMPARE(trust::unwrap(wrapped, "480216").error().code, std::string("wrong_pin"));
        QCOMPARE(trust::wrap(ByteView(secret).first(31), pin, random, quick).error().code, std::string("bad_key"));
        const auto read = *trust::wrapped_from(trust::to_json(wrapped));
        QVERIFY(*trust::unwrap(read, pin) == secret);
        // Any bit of it changed, the cost among it: it does not open.
        for (auto part : {&trust::Wrapped::salt, &trust::Wrapped::nonce, &trust::Wrapped::box})
            for (std::size_t at = 0; at < (wrapped.*part).size(); ++at) {
                auto changed = wrapped;
                (changed.*part)[at] ^= std::byte{1};
                QCOMPARE(trust::unwrap(changed, pin).error().code, std::string("wrong_pin"));
            }
        auto cheaper = wrapped;
        cheaper.stretch.memory /= 2;
        QCOMPARE(trust::unwrap(cheaper, pin).error().code, std::string("wrong_pin"));
    }

    void a_persons_signature_verifies_under_the_listed_key()
    {
        Place p;
        const auto person = p.people.enrol(lk(), pin);
        QVERIFY(person);
        const Bytes said = to_bytes("Work done as written");
        const auto signature = p.people.sign("LK", pin, said);
        QVERIFY(signature);
        QCOMPARE(p.people.list()->at(0).name, std::string("L. Kestrel"));
        QVERIFY(trust::verify(trust::Domain::sign_off, said, *signature, *from_hex(p.people.list()->at(0).public_key)));
        QVERIFY(!trust::verify(trust::Domain::entry, said, *signature, *from_hex(person->public_key)));
    }

    void what_can_not_be_enrolled_says_why()
    {
        Place p;
        QCOMPARE(p.people.enrol(lk(), "48021").error().code, std::string("pin_short"));
        for (const char* id : {"", "lk", "../LK", "LK KL", "ABCDEFGHI"}) {
            auto person = lk();
            person.id = id;
            QCOMPARE(p.people.enrol(person, pin).error().code, std::string("bad_name"));
        }
        QVERIFY(p.people.enrol(lk(), pin));
        QCOMPARE(p.people.enrol(lk(), pin).error().code, std::string("person_known"));
        QCOMPARE(code(p.people.sign("AB", pin, {})), std::string("not_found"));
    }

    void the_file_holds_neither_pin_nor_key()
    {
        Place p;
        (void)p.people.enrol(lk(), pin);
        // The same random numbers give the same key: its seed must not be found, in hex or raw.
        SeededRandom same(1);
        const Bytes seed = trust::KeyPair::make(same).seed();
        const QByteArray file = p.file("LK");
        QVERIFY(!file.contains(pin));
        QVERIFY(!file.contains(QByteArray::fromStdString(to_hex(seed))));
        QVERIFY(!file.contains(QByteArray(reinterpret_cast<const char*>(seed.data()), 32)));
    }

    void wrong_tries_cost_a_growing_delay()
    {
        Place p;
        (void)p.people.enrol(lk(), pin);
        for (int i = 0; i < 5; ++i) QCOMPARE(code(p.people.sign("LK", "000000", {})), std::string("wrong_pin"));
        QCOMPARE(code(p.people.sign("LK", pin, {})), std::string("pin_wait")); // the right one waits too
        p.clock.pass(29'999);
        QCOMPARE(code(p.people.sign("LK", pin, {})), std::string("pin_wait"));
        p.clock.pass(1);
        QCOMPARE(code(p.people.sign("LK", "000000", {})), std::string("wrong_pin"));
        p.clock.pass(59'999);
        QCOMPARE(p.people.sign("LK", pin, {}).error().args[0].second, std::string("1"));
        p.clock.pass(1);
        QCOMPARE(code(p.people.sign("LK", pin, {})), std::string("ok"));
        QCOMPARE(code(p.people.sign("LK", "000000", {})), std::string("wrong_pin")); // counted anew
        QCOMPARE(code(p.people.sign("LK", pin, {})), std::string("ok"));
        std::int64_t before = 0;
        for (int wrong = 0; wrong < 40; ++wrong) {
            QVERIFY(people::delay_ms(wrong) >= before);
            before = people::delay_ms(wrong);
        }
        QCOMPARE(before, std::int64_t(3'600'000));
    }

    void neither_restart_nor_clock_shortens_the_delay()
    {
        Place p;
        (void)p.people.enrol(lk(), pin);
        for (int i = 0; i < 5; ++i) (void)p.people.sign("LK", "000000", {});
        p.clock.at.utc_ms += 86'400'000; // the wall is no clock for this
        QCOMPARE(code(p.again().sign("LK", pin, {})), std::string("pin_wait"));
        p.clock.at.boot = "boot-2";
        p.clock.at.mono_ms = 500;
        People after = p.again();
        QCOMPARE(code(after.sign("LK", pin, {})), std::string("pin_wait"));
        p.clock.pass(29'000);
        QCOMPARE(code(after.sign("LK", pin, {})), std::string("pin_wait"));
        p.clock.pass(1'000);
        QCOMPARE(code(after.sign("LK", pin, {})), std::string("ok"));
    }

    void a_changed_pin_keeps_the_key_and_a_rotation_changes_it_under_both_signatures()
    {
        Place p;
        const auto first = *p.people.enrol(lk(), pin);
        QVERIFY(p.people.change_pin("LK", pin, "991177"));
        QCOMPARE(code(p.people.sign("LK", pin, {})), std::string("wrong_pin"));
        const auto turned = p.people.rotate("LK", "991177", no_store);
        QVERIFY(turned);
        QVERIFY(turned->person.public_key != first.public_key);
        QCOMPARE(turned->old_key, first.public_key);
        const Bytes message = People::rotation_message(first.public_key, turned->person.public_key);
        QVERIFY(trust::verify(trust::Domain::enrolment, message, *from_hex(turned->by_old), *from_hex(first.public_key)));
        QVERIFY(trust::verify(trust::Domain::enrolment, message, *from_hex(turned->by_new), *from_hex(turned->person.public_key)));
        const auto signature = p.people.sign("LK", "991177", to_bytes("x"));
        QVERIFY(trust::verify(trust::Domain::sign_off, to_bytes("x"), *signature, *from_hex(turned->person.public_key)));
    }

    void a_damaged_file_is_no_person()
    {
        Place p;
        (void)p.people.enrol(lk(), pin);
        const QByteArray good = p.file("LK");
        SeededRandom random(9);
        for (int i = 0; i < 300; ++i) {
            QByteArray bad = good;
            if (i % 3 == 0) bad.truncate(static_cast<int>(random.below(static_cast<std::size_t>(bad.size()))));
            else bad[static_cast<int>(random.below(static_cast<std::size_t>(bad.size())))] ^= static_cast<char>(1 << random.below(8));
            QFile f(p.dir.path() + "/people/LK.person");
            QVERIFY(f.open(QIODevice::WriteOnly));
            f.write(bad);
            f.close();
            const auto person = p.people.find("LK");
            const auto signature = p.people.sign("LK", pin, to_bytes("x"));
            if (signature) QVERIFY(person && trust::verify(trust::Domain::sign_off, to_bytes("x"), *signature, *from_hex(person->public_key)));
        }
    }
};

CHOCKSIDE_TEST(TestPeople)
#include "tst_people.moc"
