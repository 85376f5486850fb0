#include <platform/desk/desk.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QFile>
#include <QSet>
#include <QSignalSpy>
#include <QTemporaryDir>

#include <algorithm>

using namespace chockside;

namespace {

constexpr const char *pin = "480215", *other_pin = "730914";

/// A folder as a shift left it: one job, two people whose PINs open it.
struct Left {
    QTemporaryDir dir;
    std::string folder() const { return dir.path().toStdString(); }

    Left()
    {
        system::SystemDisk disk;
        system::SystemClock clock;
        trust::SystemRandom random;
        auto store = std::move(*journal::Store::open(disk, clock, random, {folder(), false, 0, system::device_id()}));
        people::People people(disk, clock, random, folder() + "/people", {1, 8192});
        people.seal_with({[&](const std::string& about, ByteView plain) { return store->seal_note(about, plain); }, [&](const std::string& about, ByteView sealed) { return store->unseal_note(about, sealed); }});
        const auto lk = people.enrol({"LK", "L. Kestrel (invented)", "airframe mechanic (invented)", "NM-117", {}}, pin);
        journal::Draft d;
        d.kind = "note";
        d.body = json::Object{{"text", "HDG 2 flags"}};
        (void)store->append("job", "c", std::span(&d, 1), journal::JobRow{"job", "HDG 2 flags", "Q4-RMP", "isolate", 1, 2, 1, false});
        (void)store->add_holder(lk->public_key);
        const auto jm = people.enrol({"JM", "J. Merlin (invented)", "airframe mechanic (invented)", "NM-118", {}}, other_pin);
        (void)store->add_holder(jm->public_key);
    }
};

struct Heard {
    bool locked = false;
    int told = 0;
    QStringList who;
    std::vector<journal::JobRow> rows;
    std::vector<people::Person> people;
    std::vector<std::string> problems;

    explicit Heard(desk::Desk& desk)
    {
        QObject::connect(&desk, &desk::Desk::locked, &desk, [this](bool is, const QStringList& by) { locked = is, who = by, ++told; });
        QObject::connect(&desk, &desk::Desk::rows, &desk, [this](const std::vector<journal::JobRow>& r) { rows = r; });
        QObject::connect(&desk, &desk::Desk::people, &desk, [this](const std::vector<people::Person>& p) { people = p; });
        QObject::connect(&desk, &desk::Desk::problem, &desk, [this](const Problem& p) { problems.push_back(p.code); });
    }
};

} // namespace

class TestLock : public QObject {
    Q_OBJECT

private slots:
    void a_start_says_nothing_before_the_pin()
    {
        Left left;
        desk::Desk desk({left.folder(), system::assets_folder(), "sandgrouse_12_ramp"});
        Heard heard(desk);
        desk.start();
        QTRY_COMPARE(heard.rows.size(), std::size_t(1));
        QVERIFY(heard.locked);
        QCOMPARE(QSet<QString>(heard.who.begin(), heard.who.end()), (QSet<QString>{"LK", "JM"}));
        QCOMPARE(heard.rows[0].title + heard.rows[0].tail, std::string());
        QCOMPARE(heard.people.back().name, std::string());

        desk.open_new({}, "LK");
        desk.open_job("job");
        desk.export_to(left.dir.filePath("out"));
        QTRY_COMPARE(heard.problems, (std::vector<std::string>{"pin_needed", "pin_needed", "pin_needed"}));
        desk.unlock("LK", "000000");
        QTRY_COMPARE(heard.problems.back(), std::string("wrong_pin"));
        desk.unlock("CW", pin);
        QTRY_COMPARE(heard.problems.back(), std::string("not_found"));
        QVERIFY(heard.locked);

        desk.unlock("LK", pin);
        QTRY_VERIFY(!heard.locked);
        QTRY_COMPARE(heard.rows[0].tail, std::string("Q4-RMP"));
        QTRY_COMPARE(heard.people.back().name, std::string("L. Kestrel (invented)"));

        desk.lock(true);
        QTRY_VERIFY(heard.locked);
        QTRY_COMPARE(heard.people.back().name, std::string());
        desk.list();
        QTRY_COMPARE(heard.rows[0].tail, std::string());
    }

    void who_unlocks_is_who_works_on()
    {
        Left left;
        std::string job;
        {
            desk::Desk desk({left.folder(), system::assets_folder(), "sandgrouse_12_ramp"});
            Heard heard(desk);
            QSignalSpy here(&desk, &desk::Desk::here);
            desk.set_person("LK");
            desk.start();
            QTRY_VERIFY(heard.locked);
            desk.unlock("LK", pin);
            QTRY_VERIFY(!heard.locked);
            job::Opening opening;
            opening.tail = "Q4-RMP", opening.complaint = "HDG 2 flags", opening.complaint_kind = "heading_flag";
            desk.open_new(opening, "LK");
            QTRY_VERIFY(desk.view());
            job = desk.view()->job;
            desk.lock();
            QTRY_VERIFY(heard.locked);
            desk.unlock("JM", other_pin);
            QTRY_VERIFY(!heard.locked);
            QCOMPARE(here.last().at(0).toString(), QString("JM"));
            const int before = desk.view()->entries;
            desk.submit({{}, "note", json::Object{{"text", "of the next shift"}}, {}});
            QTRY_VERIFY(desk.view()->entries > before);
        }
        system::SystemDisk disk;
        system::SystemClock clock;
        trust::SystemRandom random;
        auto store = std::move(*journal::Store::open(disk, clock, random, {left.folder(), true, 0, system::device_id()}));
        const auto all = store->entries(job);
        QVERIFY(all && !all->empty());
        QCOMPARE(all->back().envelope.person, std::string("JM"));
    }

    void where_there_is_no_store_each_press_is_answered()
    {
        QTemporaryDir dir;
        QVERIFY(QFile(dir.filePath("none")).open(QIODevice::WriteOnly)); // a file, where a folder is wanted
        desk::Desk desk({dir.filePath("none").toStdString(), system::assets_folder(), "sandgrouse_12_ramp"});
        Heard heard(desk);
        desk.start();
        QTRY_COMPARE(heard.problems.size(), std::size_t(1));
        desk.open_new({}, "LK");
        desk.open_job("job");
        desk.press("", "", json::Value(json::Object{}));
        desk.unlock("LK", pin);
        desk.carry(dir.filePath("out"));
        desk.enrol_at_shop("code");
        QTRY_COMPARE(heard.problems.size(), std::size_t(7));
        QVERIFY(std::ranges::all_of(heard.problems, [&](const std::string& code) { return code == heard.problems.front(); }));
    }

    void where_nobody_has_a_pin_nothing_locks()
    {
        QTemporaryDir dir;
        desk::Desk desk({dir.path().toStdString(), system::assets_folder(), "sandgrouse_12_ramp"});
        Heard heard(desk);
        desk.start();
        QTRY_COMPARE(heard.told, 1);
        desk.lock(true);
        desk.lock(false);
        QTRY_COMPARE(heard.problems, std::vector<std::string>{"nobody_has_a_pin"});
        QVERIFY(!heard.locked);
    }
};

CHOCKSIDE_TEST(TestLock)
#include "tst_lock.moc"
