// The port check as the desk carries it out: beside its own line, which lets go of the port. What it finds in which trouble is tested with the
// command (tests/platform/cli/tst_port_look.cpp).
#include <platform/desk/desk.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QTemporaryDir>

#include <algorithm>
#include <pty.h>
#include <unistd.h>

using namespace chockside;

class TestDeskPort : public QObject {
    Q_OBJECT

private slots:
    void names_the_first_gap_and_lets_go_of_the_line()
    {
        int master = -1, slave = -1;
        char path[128] = {};
        QCOMPARE(::openpty(&master, &slave, path, nullptr, nullptr), 0);
        ::close(slave);
        QTemporaryDir dir;
        desk::Desk desk({dir.path().toStdString(), system::assets_folder()});
        std::vector<desk::PortChecked> told;
        std::vector<std::string> problems;
        connect(&desk, &desk::Desk::port_checked, &desk, [&](const desk::PortChecked& c) { told.push_back(c); });
        connect(&desk, &desk::Desk::problem, &desk, [&](const Problem& p) { problems.push_back(p.code); });
        desk.set_person("LK");
        desk.start();
        job::Opening opening;
        opening.tail = "Q4-RMP";
        opening.complaint = "HDG 1 flag";
        opening.complaint_kind = "heading_flag";
        desk.open_new(opening, "LK");
        QTRY_VERIFY_WITH_TIMEOUT(desk.view(), 10'000);

        desk.check_port();
        QTRY_VERIFY_WITH_TIMEOUT(std::ranges::count(problems, "port_not_chosen") == 1, 10'000);
        const auto gap = [&] {
            const auto* first = link::first_gap(told.back().steps);
            return first ? first->id : std::string();
        };
        desk.set_port("/dev/chockside-none");
        desk.check_port();
        QTRY_COMPARE_WITH_TIMEOUT(told.size(), std::size_t(1), 20'000);
        QCOMPARE(gap(), std::string("port"));

        desk.set_port(path); // nobody speaks on it
        desk.check_port();
        desk.check_port(); // a second tap while it listens does nothing
        QTRY_COMPARE_WITH_TIMEOUT(told.size(), std::size_t(2), 20'000);
        QCOMPARE(gap(), std::string("bytes"));
        QCOMPARE(told.back().port, QString(path));
        QTest::qWait(200);
        QCOMPARE(told.size(), std::size_t(2));
        ::close(master);
    }
};

CHOCKSIDE_TEST(TestDeskPort)
#include "tst_desk_port.moc"
