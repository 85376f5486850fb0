#include <platform/system/log.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QDateTime>
#include <QFile>
#include <QFileInfo>
#include <QTemporaryDir>

#include <algorithm>

using namespace chockside;

class TestSystem : public QObject {
    Q_OBJECT

    QTemporaryDir dir_;
    system::SystemDisk disk_;
    std::string path(const char* name) const { return dir_.path().toStdString() + "/" + name; }

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void folders_are_made_with_all_their_parents()
    {
        QVERIFY(disk_.make_folder(path("a/b/c")));
        QVERIFY(QFileInfo(QString::fromStdString(path("a/b/c"))).isDir());
        QVERIFY(disk_.make_folder(path("a/b/c")));
        QVERIFY(disk_.make_folder(path("a/b/c/")));
        QVERIFY(disk_.write_whole(path("file"), as_bytes("x")));
        QVERIFY(!disk_.make_folder(path("file")));
        QVERIFY(!disk_.make_folder(path("file/under")));
    }

    void a_file_is_written_whole_and_read_back()
    {
        QVERIFY(disk_.write_whole(path("w"), as_bytes("one")));
        QVERIFY(disk_.write_whole(path("w"), as_bytes("another")));
        QCOMPARE(to_text(*disk_.read(path("w"), 7)), std::string("another"));
        QCOMPARE(disk_.read(path("w"), 6).error().code, std::string("too_large"));
        QCOMPARE(disk_.read(path("missing"), 10).error().code, std::string("not_found"));
        QVERIFY(!QFile::exists(QString::fromStdString(path("w.part"))));
        const auto rights = QFileInfo(QString::fromStdString(path("w"))).permissions();
        QVERIFY(!(rights & (QFile::ReadGroup | QFile::ReadOther | QFile::WriteGroup | QFile::WriteOther)));
    }

    void appending_goes_on_where_it_ended()
    {
        {
            auto file = disk_.append_to(path("log"));
            QVERIFY(file);
            QVERIFY((*file)->append(as_bytes("ab")));
            QVERIFY((*file)->sync());
            QCOMPARE((*file)->size(), std::uint64_t(2));
        }
        auto file = disk_.append_to(path("log"));
        QCOMPARE((*file)->size(), std::uint64_t(2));
        QVERIFY((*file)->append(as_bytes("c")));
        QCOMPARE(to_text(*disk_.read(path("log"), 10)), std::string("abc"));
    }

    void a_lock_has_one_holder_at_a_time()
    {
        auto held = disk_.lock(path("lock"));
        QVERIFY(held);
        QCOMPARE(disk_.lock(path("lock")).error().code, std::string("locked"));
        held->reset();
        QVERIFY(disk_.lock(path("lock")));
    }

    void a_listing_names_every_file_once()
    {
        QVERIFY(disk_.make_folder(path("list")));
        QVERIFY(disk_.write_whole(path("list/a"), {}));
        QVERIFY(disk_.write_whole(path("list/b"), {}));
        auto names = *disk_.list(path("list"));
        std::sort(names.begin(), names.end());
        QVERIFY((names == std::vector<std::string>{"a", "b"}));
        QVERIFY(disk_.remove(path("list/a")));
        QCOMPARE(disk_.remove(path("list/a")).error().code, std::string("not_found"));
        QCOMPARE(disk_.list(path("nowhere")).error().code, std::string("not_found"));
    }

    void a_reserve_takes_real_room()
    {
        QVERIFY(disk_.reserve(path("reserve"), 1 << 20));
        QCOMPARE(QFileInfo(QString::fromStdString(path("reserve"))).size(), qint64(1 << 20));
        QVERIFY(*disk_.free_bytes(dir_.path().toStdString()) > 0);
        QCOMPARE(disk_.reserve(path("reserve2"), std::uint64_t{1} << 50).error().code, std::string("disk_full"));
        QVERIFY(!QFile::exists(QString::fromStdString(path("reserve2"))));
    }

    // The system's own clock through Qt; the boot id as the kernel writes it (a UUID of RFC 4122 form).
    void the_clock_tells_wall_boot_and_monotonic_time()
    {
        const system::SystemClock clock;
        const Now a = clock.now();
        QVERIFY(std::abs(a.utc_ms - QDateTime::currentMSecsSinceEpoch()) < 5000);
        QTest::qSleep(20);
        const Now b = clock.now();
        QVERIFY(b.mono_ms >= a.mono_ms + 20);
        QCOMPARE(a.boot, b.boot);
        QCOMPARE(a.boot.size(), std::size_t(36));
    }

    // XDG Base Directory Specification 0.8, "Environment variables": $XDG_DATA_HOME, else $HOME/.local/share.
    void the_data_folder_follows_the_environment()
    {
        qunsetenv("CHOCKSIDE_DATA");
        qunsetenv("XDG_DATA_HOME");
        qputenv("HOME", "/home/somebody");
        QCOMPARE(system::data_folder(), std::string("/home/somebody/.local/share/chockside"));
        qputenv("XDG_DATA_HOME", "/data");
        QCOMPARE(system::data_folder(), std::string("/data/chockside"));
        qputenv("CHOCKSIDE_DATA", "/own");
        QCOMPARE(system::data_folder(), std::string("/own"));
        qunsetenv("CHOCKSIDE_DATA");
    }

    void jobs_that_the_app_kept_elsewhere_are_gone_on_with()
    {
        qunsetenv("CHOCKSIDE_DATA");
        qputenv("XDG_DATA_HOME", QByteArray::fromStdString(path("share")));
        const std::string before = path("share/Chockside/chockside");
        QVERIFY(disk_.make_folder(before));
        QCOMPARE(system::data_folder(), path("share/chockside")); // settings alone are no jobs
        QVERIFY(disk_.write_whole(before + "/journal.db", as_bytes("x")));
        QCOMPARE(system::data_folder(), before);
        QVERIFY(disk_.make_folder(path("share/chockside")));
        QVERIFY(disk_.write_whole(path("share/chockside/journal.db"), as_bytes("x"))); // a command's
        QCOMPARE(system::data_folder(), before);
        qunsetenv("XDG_DATA_HOME");
    }

    void the_log_is_json_lines_and_keeps_to_its_size()
    {
        system::Log log(disk_, path("logs/app.log"), 2000);
        for (int i = 0; i < 100; ++i) log.write(1781706460000 + i, "store_opened", {{"entries", std::to_string(i)}});
        const std::string text = to_text(*disk_.read(path("logs/app.log"), 10000));
        QVERIFY(text.size() <= 2000);
        QVERIFY(text.find("\"event\":\"store_opened\"") != std::string::npos);
        QVERIFY(text.find("\"entries\":\"99\"") != std::string::npos);
        QVERIFY(disk_.read(path("logs/app.log.1"), 10000));
    }
};

CHOCKSIDE_TEST(TestSystem)
#include "tst_system.moc"
