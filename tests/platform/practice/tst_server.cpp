#include <core/base/json.h>
#include <platform/practice/client.h>
#include <platform/practice/line_socket.h>
#include <platform/practice/load_book.h>
#include <platform/practice/server.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QFile>
#include <QFileInfo>
#include <QTemporaryDir>

#include <chrono>
#include <cmath>
#include <cstring>
#include <fcntl.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <termios.h>
#include <thread>
#include <unistd.h>

using namespace chockside;
using namespace chockside::practice;

// The other end of the line is opened here as any program opens a serial port, through termios and nothing of the project.
class TestServer : public QObject {
    Q_OBJECT
private slots:
    void a_request_over_the_line_gets_its_reply();
    void a_wrong_rate_gives_garbage();
    void closing_and_opening_again_goes_on();
    void nobody_listening_leaves_no_backlog();
    void the_line_is_paced();
    void time_runs_by_the_scale();
    void the_socket_answers_each_line_and_survives_nonsense();
    void the_link_and_the_socket_are_gone_afterwards();
    void a_file_in_the_sockets_place_is_left_alone();
    void an_unknown_profile_has_no_practice();
};

namespace {

using namespace std::chrono_literals;

struct Port {
    int fd = -1;
    Port(const std::string& path, speed_t speed)
    {
        fd = ::open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK);
        termios line{};
        tcgetattr(fd, &line);
        cfmakeraw(&line);
        cfsetspeed(&line, speed);
        tcsetattr(fd, TCSANOW, &line);
        tcflush(fd, TCIOFLUSH);
    }
    ~Port() { ::close(fd); }

    std::string read_for(std::chrono::milliseconds time) const
    {
        Bytes all;
        const auto end = std::chrono::steady_clock::now() + time;
        while (std::chrono::steady_clock::now() < end) {
            Bytes chunk(4096);
            const ssize_t n = ::read(fd, chunk.data(), chunk.size());
            if (n > 0) all.insert(all.end(), chunk.begin(), chunk.begin() + n);
            else std::this_thread::sleep_for(2ms);
        }
        return to_hex(all);
    }
    void write(const std::string& hex) const
    {
        const Bytes bytes = from_hex(hex).value();
        QCOMPARE(::write(fd, bytes.data(), bytes.size()), static_cast<ssize_t>(bytes.size()));
    }
};

struct PracticeRig {
    QTemporaryDir folder;
    std::unique_ptr<Server> server;
    std::unique_ptr<Client> client;

    explicit PracticeRig(const std::string& fault = "nothing", double scale = 1)
    {
        system::SystemDisk disk;
        const Book book = load_book(disk, CHOCKSIDE_SOURCE_DIR "/assets/profiles/sandgrouse_12_ramp.json").value();
        const std::string base = folder.path().toStdString();
        server = std::move(*Server::open(book.scenario(fault, 5).value(), {base + "/port", base + "/sock", scale, 115200}));
        server->start();
        client = std::move(*Client::connect(base + "/sock"));
    }
    json::Value ask(std::initializer_list<std::pair<const std::string, json::Value>> members) { return client->ask(json::Object(members)).value(); }
};

} // namespace

// SLIP frame of request 0x23 (read identity): CRC-16/IBM-3740 of the one byte 23 from Python's binascii.crc_hqx: 0xF5F1.
void TestServer::a_request_over_the_line_gets_its_reply()
{
    PracticeRig w;
    w.ask({{"hand", "cable"}, {"to", "J5A"}});
    const Port port(w.server->pty_path(), B115200);
    port.read_for(200ms);
    port.write("c023f5f1c0");
    const std::string got = port.read_for(500ms);
    QVERIFY(got.find("c0a3505255322d3130302d33202052322d30343137") != std::string::npos); // PRU2-100-3, R2-0417
}

void TestServer::a_wrong_rate_gives_garbage()
{
    PracticeRig w;
    w.ask({{"hand", "cable"}, {"to", "J5A"}});
    std::string good, bad;
    {
        const Port port(w.server->pty_path(), B115200);
        good = port.read_for(600ms);
    }
    {
        const Port port(w.server->pty_path(), B57600);
        port.read_for(50ms);
        bad = port.read_for(600ms);
    }
    QVERIFY(good.find("c09107") != std::string::npos);
    QVERIFY(bad.size() > 100);
    QVERIFY(bad.find("c09107") == std::string::npos);
}

void TestServer::closing_and_opening_again_goes_on()
{
    PracticeRig w;
    w.ask({{"hand", "cable"}, {"to", "J5B"}});
    for (int i = 0; i < 3; ++i) {
        const Port port(w.server->pty_path(), B115200);
        QVERIFY(port.read_for(400ms).find("c09107") != std::string::npos);
    }
}

void TestServer::nobody_listening_leaves_no_backlog()
{
    PracticeRig w;
    w.ask({{"hand", "cable"}, {"to", "J5A"}});
    std::this_thread::sleep_for(1500ms);
    const Port port(w.server->pty_path(), B115200);
    const std::string got = port.read_for(100ms);
    QVERIFY2(got.size() / 2 < 600, std::to_string(got.size() / 2).c_str()); // a tenth of a second at about 1.2 kB/s, with room
}

// 115200 bit/s carry at most 11520 characters a second; the unit itself sends far less.
void TestServer::the_line_is_paced()
{
    PracticeRig w;
    w.ask({{"hand", "cable"}, {"to", "J5A"}});
    const Port port(w.server->pty_path(), B115200);
    port.read_for(100ms);
    const auto bytes = port.read_for(1000ms).size() / 2;
    QVERIFY2(bytes > 400 && bytes < 11520, std::to_string(bytes).c_str());
}

void TestServer::time_runs_by_the_scale()
{
    PracticeRig w;
    w.ask({{"set", json::Object{{"scale", 20}}}});
    const double before = w.ask({{"clock", true}})["clock"].as_double();
    const auto from = std::chrono::steady_clock::now();
    std::this_thread::sleep_for(1000ms);
    const double after = w.ask({{"clock", true}})["clock"].as_double();
    const double wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
    QVERIFY2(std::abs((after - before) / wall - 20) < 6, std::to_string((after - before) / wall).c_str());
    w.ask({{"set", json::Object{{"scale", 0}}}});
    const double still = w.ask({{"clock", true}})["clock"].as_double();
    std::this_thread::sleep_for(200ms);
    QCOMPARE(w.ask({{"clock", true}})["clock"].as_double(), still);
}

void TestServer::the_socket_answers_each_line_and_survives_nonsense()
{
    PracticeRig w;
    QCOMPARE(w.client->ask(json::Value("what?"))->operator[]("error").as_text(), std::string("unknown_verb"));
    QCOMPARE(w.ask({{"reveal", true}})["is"].as_text(), std::string("sealed"));
    std::vector<std::unique_ptr<Client>> crowd;
    for (int i = 0; i < 4; ++i) {
        crowd.push_back(std::move(*Client::connect(w.server->socket_path())));
        QCOMPARE(crowd.back()->ask(json::Object{{"eye", "lamp"}, {"which", "GROUND"}})->operator[]("is").as_text(), std::string("lit"));
    }
    QCOMPARE(w.ask({{"eye", "breaker"}, {"label", "REF 1"}})["is"].as_text(), std::string("in"));
}

void TestServer::the_link_and_the_socket_are_gone_afterwards()
{
    PracticeRig w;
    const std::string port = w.server->pty_path(), socket = w.server->socket_path();
    QVERIFY(QFileInfo(QString::fromStdString(port)).isSymLink());
    w.client.reset();
    w.server.reset();
    QVERIFY(!QFileInfo(QString::fromStdString(port)).isSymLink());
    QVERIFY(!QFileInfo::exists(QString::fromStdString(socket)));
}

void TestServer::a_file_in_the_sockets_place_is_left_alone()
{
    QTemporaryDir dir;
    const QString path = dir.filePath("job.jsonl");
    QFile file(path);
    QVERIFY(file.open(QIODevice::WriteOnly) && file.write("kept") == 4);
    file.close();
    const auto refused = LineSocket::listen(path.toStdString());
    QVERIFY(!refused);
    QCOMPARE(refused.error().code, std::string("socket_failed"));
    QCOMPARE(QFileInfo(path).size(), qint64(4));
    // A socket that a killed one left is taken over.
    const QString left = dir.filePath("left");
    const int fd = ::socket(AF_UNIX, SOCK_STREAM, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, left.toUtf8().constData(), sizeof address.sun_path - 1);
    QCOMPARE(::bind(fd, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    ::close(fd);
    QVERIFY(LineSocket::listen(left.toStdString()).has_value());
}

void TestServer::an_unknown_profile_has_no_practice()
{
    system::SystemDisk disk;
    QVERIFY(!load_book(disk, CHOCKSIDE_SOURCE_DIR "/assets/profiles/none.json"));
}

CHOCKSIDE_TEST(TestServer)
#include "tst_server.moc"
