#include <platform/cli/people_commands.h>

#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QTemporaryDir>

#include <algorithm>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;

namespace {

/// The system's disk, at whose n-th call the process ends, before the call or after it, or the call fails.
struct EndingDisk final : Disk {
    enum class End { before, after, fails };
    system::SystemDisk disk;
    End end = End::fails;
    int calls = 0, at = 0; ///< 0: none

    template <class Call>
    auto act(const Call& call) -> decltype(call())
    {
        if (++calls != at) return call();
        if (end == End::fails) return Unexpected{Problem{"io_error", {}, {}}};
        if (end == End::after) (void)call();
        ::_exit(9);
    }
    Status make_folder(const std::string& path) override { return act([&] { return disk.make_folder(path); }); }
    Result<Bytes> read(const std::string& path, std::uint64_t most) override { return act([&] { return disk.read(path, most); }); }
    Status write_whole(const std::string& path, ByteView b) override { return act([&] { return disk.write_whole(path, b); }); }
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override { return disk.append_to(path); }
    Result<std::vector<std::string>> list(const std::string& folder) override { return act([&] { return disk.list(folder); }); }
    Status remove(const std::string& path) override { return act([&] { return disk.remove(path); }); }
    Status erase(const std::string& path) override { return act([&] { return disk.erase(path); }); }
    Status move(const std::string& from, const std::string& to) override { return act([&] { return disk.move(from, to); }); }
    Result<std::unique_ptr<Lock>> lock(const std::string& path) override { return disk.lock(path); }
    Result<std::uint64_t> free_bytes(const std::string& folder) override { return disk.free_bytes(folder); }
};

constexpr const char* pin = "480215";
constexpr const char* words = "compass card sticks";

struct Place {
    QTemporaryDir dir;
    EndingDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::string folder = dir.path().toStdString() + "/store";
    people::People people{disk, clock, random, folder + "/people", {1, 8192}};

    std::unique_ptr<journal::Store> store()
    {
        auto opened = journal::Store::open(disk, clock, random, {folder, false, 0});
        return opened ? std::move(*opened) : nullptr;
    }
    /// Unlocked by the PIN, where it opens.
    std::unique_ptr<journal::Store> unlocked()
    {
        auto opened = store();
        const auto key = people.key("LK", pin);
        return opened && key && opened->unlock(*key) ? std::move(opened) : nullptr;
    }
    bool fill()
    {
        auto fresh = store();
        const auto person = people.enrol({"LK", "L. Kestrel", "", "", {}}, pin);
        journal::Draft d;
        d.kind = "found";
        d.body = json::Object{{"text", words}};
        return fresh && person && fresh->append("a", "c1", std::span(&d, 1)) && fresh->add_holder(person->public_key);
    }
    std::string key_in_file() { return people.find("LK")->public_key; }
};

} // namespace

class TestPeopleCommands : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void a_rotation_cut_short_anywhere_leaves_a_pin_that_opens_data()
    {
        QTest::addColumn<int>("end");
        QTest::newRow("killed before a step") << static_cast<int>(EndingDisk::End::before);
        QTest::newRow("killed after a step") << static_cast<int>(EndingDisk::End::after);
        QTest::newRow("a step fails") << static_cast<int>(EndingDisk::End::fails);
    }
    void a_rotation_cut_short_anywhere_leaves_a_pin_that_opens()
    {
        QFETCH(int, end);
        bool old_stayed = false, new_came = false;
        for (int n = 1;; ++n) {
            Place p;
            QVERIFY(p.fill());
            const std::string old_key = p.key_in_file();
            p.disk.end = static_cast<EndingDisk::End>(end);
            const pid_t child = ::fork();
            if (child == 0) {
                auto store = p.unlocked();
                p.disk.calls = 0;
                p.disk.at = n;
                ::_exit(store && cli::rotate_key(p.people, *store, "LK", pin) ? 0 : 1);
            }
            int status = 0;
            QCOMPARE(::waitpid(child, &status, 0), child);
            const bool done = WIFEXITED(status) && WEXITSTATUS(status) == 0;
            if (!done) QCOMPARE(WEXITSTATUS(status), p.disk.end == EndingDisk::End::fails ? 1 : 9);

            const std::string now = p.key_in_file();
            (now == old_key ? old_stayed : new_came) = true;
            auto store = p.unlocked();
            QVERIFY2(store, qPrintable(QString("the PIN opens no holder's key after step %1").arg(n)));
            QCOMPARE(store->entries("a")->front().body["text"].as_text(), std::string(words));
            const auto holders = *store->holders();
            QVERIFY(std::find(holders.begin(), holders.end(), now) != holders.end());
            if (now != old_key) QCOMPARE(holders.size(), std::size_t(1)); // what was left over is finished

            QVERIFY(cli::rotate_key(p.people, *store, "LK", pin));
            QCOMPARE(*store->holders(), std::vector<std::string>{p.key_in_file()});
            store.reset();
            QVERIFY(p.unlocked());
            if (done) break;
            QVERIFY(n < 30);
        }
        QVERIFY(old_stayed && new_came);
    }
};

CHOCKSIDE_TEST(TestPeopleCommands)
#include "tst_people_commands.moc"
