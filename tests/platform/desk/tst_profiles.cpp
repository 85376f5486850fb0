// What a new job can be opened with: the bundled profiles, and a shop's own folder beside them.
#include <platform/desk/desk.h>
#include <platform/desk/profiles.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>
#include <QTemporaryDir>

#include <algorithm>

using namespace chockside;

namespace {

void put(const QString& path, const QByteArray& text)
{
    QDir().mkpath(QFileInfo(path).path());
    QFile file(path);
    if (!file.open(QIODevice::WriteOnly) || file.write(text) != text.size()) qFatal("put");
}

QByteArray bundled(const char* name)
{
    QFile file(QString(CHOCKSIDE_SOURCE_DIR "/assets/profiles/") + name);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

} // namespace

class TestProfiles : public QObject {
    Q_OBJECT

private slots:
    void those_that_are_there_are_listed_with_what_is_wrong()
    {
        QTemporaryDir dir;
        QByteArray main = bundled("sandgrouse_12_ramp.json");
        main.replace("\"practice\": true", "\"practice\": false");
        put(dir.filePath("own/sandgrouse_20.json"), main);
        put(dir.filePath("own/broken.json"), "{\"format\": 1,\n \"id\": 7}");
        put(dir.filePath("own/notes.txt"), "not a profile");
        system::SystemDisk disk;
        const auto all = desk::profiles_at_hand(disk, CHOCKSIDE_SOURCE_DIR "/assets", dir.filePath("own").toStdString());
        const auto named = [&](const char* name) { return std::ranges::find(all, std::string(name), &desk::ProfileAtHand::name); };
        QCOMPARE(all.size(), 7u); // two of its own, five bundled
        QVERIFY(named("own/sandgrouse_20") != all.end() && named("own/sandgrouse_20")->wrong.empty()); // its halves are the bundled ones
        QVERIFY(!named("own/sandgrouse_20")->practice && named("sandgrouse_12_ramp")->practice);
        QVERIFY(!named("own/sandgrouse_20")->complaints.empty() && !named("own/sandgrouse_20")->aircraft_type.empty());
        QVERIFY(named("own/broken")->wrong.find("line") != std::string::npos);
        QVERIFY(named("own/notes") == all.end() && named("profile.schema") == all.end());
    }

    void no_name_leads_out_of_the_folder()
    {
        QTemporaryDir dir;
        put(dir.filePath("secret.json"), "{}");
        put(dir.filePath("own/x.json"), R"({"format": 1, "unit": {"use": "../secret"}})");
        system::SystemDisk disk;
        for (const char* name : {"own/../secret", "../secret", "own/", "/etc/passwd", ""}) QVERIFY(!desk::bundled_bytes(disk, dir.path().toStdString(), name, dir.filePath("own").toStdString()));
        const auto bytes = desk::bundled_bytes(disk, dir.path().toStdString(), "own/x", dir.filePath("own").toStdString());
        QVERIFY(bytes && bytes->find("../secret.unit") == std::string::npos);
    }

    /// A real aircraft with a profile of the shop's own: the job pins it, and is no practice job.
    void a_job_is_opened_with_a_shops_own_profile()
    {
        QTemporaryDir dir;
        QByteArray main = bundled("sandgrouse_12_ramp.json");
        main.replace("\"practice\": true", "\"practice\": false");
        put(dir.filePath("data/profiles/sandgrouse_20.json"), main);
        desk::Desk desk({dir.filePath("data").toStdString(), CHOCKSIDE_SOURCE_DIR "/assets", "sandgrouse_12_ramp"});
        std::vector<desk::ProfileAtHand> listed;
        std::shared_ptr<const job::JobView> view;
        std::vector<std::string> problems;
        connect(&desk, &desk::Desk::profiles, this, [&](const auto& all) { listed = all; });
        connect(&desk, &desk::Desk::view_changed, this, [&](auto v) { view = std::move(v); });
        connect(&desk, &desk::Desk::problem, this, [&](const Problem& p) { problems.push_back(p.code); });
        desk.start();
        desk.list_profiles();
        QTRY_VERIFY(!listed.empty());
        QCOMPARE(listed.front().name, std::string("own/sandgrouse_20"));
        job::Opening opening;
        opening.tail = "Q4-SND";
        opening.complaint = "HDG 2 flags after rain";
        opening.complaint_kind = listed.front().complaints.front().first;
        opening.power = "off";
        desk.open_new(opening, "LK", "own/sandgrouse_20");
        QTRY_VERIFY(view && view->tail == "Q4-SND");
        QVERIFY(!view->practice);
        // With an invented aircraft's profile it is marked, whatever was asked.
        desk.open_new(opening, "LK", "sandgrouse_12_pru_5");
        QTRY_VERIFY(view->practice);
        desk.open_new(opening, "LK", "own/gone");
        QTRY_COMPARE(problems, std::vector<std::string>{"not_found"});
        // The profile goes away; the job keeps the one that it was opened with.
        QVERIFY(QFile::remove(dir.filePath("data/profiles/sandgrouse_20.json")));
        std::vector<journal::JobRow> rows;
        connect(&desk, &desk::Desk::rows, this, [&](const auto& all) { rows = all; });
        desk.list();
        QTRY_COMPARE(rows.size(), 2u);
        const auto real = std::ranges::find(rows, false, &journal::JobRow::practice);
        QVERIFY(real != rows.end());
        desk.open_job(QString::fromStdString(real->job));
        QTRY_VERIFY(!view->practice);
    }
};

CHOCKSIDE_TEST(TestProfiles)
#include "tst_profiles.moc"
