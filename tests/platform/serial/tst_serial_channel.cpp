// The other end is a pseudo-terminal opened by POSIX alone. Facts on hang-ups: tried on Qt 6.4.2 (errorOccurred without end as ReadError).
#include <platform/serial/port_list.h>
#include <platform/serial/serial_channel.h>
#include <tests/support/test_main.h>

#include <QElapsedTimer>
#include <QFile>
#include <QTemporaryDir>

#include <algorithm>
#include <fcntl.h>
#include <pty.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

using namespace chockside;

namespace {

struct Pty {
    int master = -1, slave = -1;
    char name[128] = {};
    Pty()
    {
        openpty(&master, &slave, name, nullptr, nullptr);
        termios t{};
        tcgetattr(slave, &t);
        cfmakeraw(&t);
        tcsetattr(slave, TCSANOW, &t);
        fcntl(master, F_SETFL, O_NONBLOCK);
    }
    ~Pty() { hang_up(); }
    void hang_up()
    {
        for (int* fd : {&slave, &master})
            if (*fd >= 0) ::close(std::exchange(*fd, -1));
    }
};

struct Heard final : link::ByteSink {
    Bytes all;
    std::vector<link::LineEvent> events;
    std::int64_t first_ns = 0;
    void bytes(ByteView b, std::int64_t t) override
    {
        if (all.empty()) first_ns = t;
        all.insert(all.end(), b.begin(), b.end());
    }
    void event(const link::LineEvent& e, std::int64_t) override { events.push_back(e); }
    int count(link::LineEvent::Kind kind) const
    {
        return static_cast<int>(std::count_if(events.begin(), events.end(), [&](const auto& e) { return e.kind == kind; }));
    }
};

double cpu_ms()
{
    rusage r{};
    getrusage(RUSAGE_SELF, &r);
    return static_cast<double>(r.ru_utime.tv_sec + r.ru_stime.tv_sec) * 1e3 + static_cast<double>(r.ru_utime.tv_usec + r.ru_stime.tv_usec) / 1e3;
}

} // namespace

class TestSerialChannel : public QObject {
    Q_OBJECT
private slots:
    void bytes_go_both_ways_unchanged()
    {
        Pty pty;
        Heard heard;
        serial::SerialChannel channel{QString::fromLatin1(pty.name)};
        QVERIFY(channel.open({}, heard).has_value());
        Bytes every;
        for (int i = 0; i < 256; ++i) every.push_back(static_cast<std::byte>(i));
        QCOMPARE(::write(pty.master, every.data(), every.size()), 256);
        QTRY_COMPARE(heard.all.size(), 256u);
        QVERIFY(heard.all == every);
        QVERIFY(qAbs(heard.first_ns - serial::boot_ns()) < 5'000'000'000);
        QCOMPARE(channel.write(every).value(), 256u);
        Bytes back(300);
        ssize_t got = 0;
        QTRY_VERIFY((got += std::max<ssize_t>(0, ::read(pty.master, back.data() + got, back.size() - static_cast<std::size_t>(got)))) == 256);
        back.resize(256);
        QVERIFY(back == every);
    }

    void an_unplugged_port_is_told_once_and_costs_nothing()
    {
        Pty pty;
        Heard heard;
        serial::SerialChannel channel{QString::fromLatin1(pty.name)};
        QVERIFY(channel.open({}, heard).has_value());
        QTest::qWait(20);
        QElapsedTimer since;
        since.start();
        pty.hang_up();
        QTRY_COMPARE_WITH_TIMEOUT(heard.count(link::LineEvent::Kind::lost), 1, 1000);
        QVERIFY(since.elapsed() < 1000); // "unplugged" within a second
        QVERIFY(!channel.is_open());
        const double before = cpu_ms();
        QTest::qWait(1000);
        QVERIFY2(cpu_ms() - before < 200, "the hang-up is not reported without end");
        QCOMPARE(heard.events.size(), 2u); // opened, lost
        QCOMPARE(channel.write(to_bytes("x")).error().code, std::string("port_closed"));
    }

    void a_hang_up_before_the_first_byte_and_a_close_within_it()
    {
        Heard heard;
        {
            Pty pty;
            serial::SerialChannel channel{QString::fromLatin1(pty.name)};
            QVERIFY(channel.open({}, heard).has_value());
            pty.hang_up();
            channel.close();
            channel.close();
        }
        QTest::qWait(50);
        QCOMPARE(heard.count(link::LineEvent::Kind::closed) + heard.count(link::LineEvent::Kind::lost), 1);
    }

    void a_missing_port_says_so()
    {
        Heard heard;
        serial::SerialChannel channel{QStringLiteral("/dev/ttyNotThere7")};
        QCOMPARE(channel.open({}, heard).error().code, std::string("port_not_found"));
        QVERIFY(heard.events.empty());
    }

    void a_held_port_says_so()
    {
        Pty pty;
        Heard heard;
        serial::SerialChannel first{QString::fromLatin1(pty.name)}, second{QString::fromLatin1(pty.name)};
        QVERIFY(first.open({}, heard).has_value());
        QCOMPARE(second.open({}, heard).error().code, std::string("port_busy"));
    }

    void missing_rights_say_so()
    {
        if (geteuid() == 0 && seteuid(65534) != 0) QSKIP("needs to give up its rights");
        QTemporaryDir folder;
        Pty pty;
        const QString link = QStringLiteral("/tmp/chockside-norights-%1").arg(getpid());
        QVERIFY(QFile::link(QString::fromLatin1(pty.name), link));
        if (seteuid(0) == 0) {
            QCOMPARE(chown(pty.name, 0, 0), 0);
            QCOMPARE(chmod(pty.name, 0600), 0);
            QCOMPARE(seteuid(65534), 0);
        } else QCOMPARE(chmod(pty.name, 0), 0);
        Heard heard;
        serial::SerialChannel channel{link};
        const auto opened = channel.open({}, heard);
        (void)seteuid(0);
        QFile::remove(link);
        QVERIFY(!opened.has_value());
        QCOMPARE(opened.error().code, std::string("port_no_permission"));
    }

    void a_symbolic_link_is_followed()
    {
        Pty pty;
        QTemporaryDir folder;
        const QString link = folder.filePath(QStringLiteral("unit"));
        QVERIFY(QFile::link(QString::fromLatin1(pty.name), link));
        Heard heard;
        serial::SerialChannel channel{link};
        QVERIFY(channel.open({}, heard).has_value());
        QCOMPARE(serial::resolved(link), QString::fromLatin1(pty.name));
    }

    void a_port_without_control_lines_is_no_failure()
    {
        Pty pty;
        Heard heard;
        serial::SerialChannel channel{QString::fromLatin1(pty.name)};
        QVERIFY(channel.open({}, heard).has_value());
        QVERIFY(channel.set_lines(true, true).has_value());
        QCOMPARE(channel.line_bits(), std::uint8_t{0});
        QTest::qWait(20);
        QCOMPARE(heard.count(link::LineEvent::Kind::lost), 0);
    }

    void a_lease_has_the_channel_to_itself()
    {
        Pty pty;
        Heard heard, transfer;
        serial::SerialChannel channel{QString::fromLatin1(pty.name)};
        QVERIFY(channel.open({}, heard).has_value());
        {
            const auto lease = channel.lease(transfer);
            QVERIFY(lease.has_value());
            QCOMPARE(channel.write(to_bytes("x")).error().code, std::string("channel_leased"));
            QCOMPARE(channel.lease(transfer).error().code, std::string("channel_leased"));
            QCOMPARE((*lease)->write(to_bytes("y")).value(), 1u);
            QCOMPARE(::write(pty.master, "abc", 3), 3);
            QTRY_COMPARE(transfer.all.size(), 3u);
            QVERIFY(heard.all.empty());
        }
        QCOMPARE(channel.write(to_bytes("x")).value(), 1u);
    }
};

CHOCKSIDE_TEST(TestSerialChannel)
#include "tst_serial_channel.moc"
