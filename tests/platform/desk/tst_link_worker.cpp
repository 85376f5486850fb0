// The whole way of the data against the practice aircraft on a pseudo-terminal: the aircraft builds its frames by its own packer, not
// by the codec. The captures are judged by tshark 4.0.
#include <core/capture/reader.h>
#include <core/codec/decoder.h>
#include <core/profile/load.h>
#include <platform/desk/link_worker.h>
#include <platform/practice/client.h>
#include <platform/practice/load_book.h>
#include <platform/practice/server.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>
#include <QProcess>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QThread>

#include <chrono>
#include <functional>
#include <future>

using namespace chockside;
using watch::LinkState;
using watch::SessionState;

namespace {

const char* profile_path = CHOCKSIDE_SOURCE_DIR "/assets/profiles/sandgrouse_12_ramp.json";

std::shared_ptr<const codec::Plan> unit_plan()
{
    QFile f(QStringLiteral(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_2.unit.json"));
    if (!f.open(QIODevice::ReadOnly)) return nullptr;
    const auto plan = codec::Plan::compile(profile::load_half(f.readAll().toStdString(), profile::Half::unit).profile.unit);
    return plan ? *plan : nullptr;
}

/// An aircraft with its hands, and a worker on its own thread.
class Ramp : public QObject {
public:
    QTemporaryDir folder;
    system::SystemDisk disk;
    std::unique_ptr<practice::Server> server;
    std::unique_ptr<practice::Client> client;
    QThread thread;
    desk::LinkWorker* worker = nullptr;
    std::shared_ptr<const watch::LiveSnapshot> now = std::make_shared<watch::LiveSnapshot>();
    std::vector<watch::Noted> notes;
    std::map<std::string, json::Value> answers;
    std::vector<Problem> problems;
    std::vector<json::Value> seals;

    bool begin(const std::string& fault, double scale, link::Permission permission = {true, false, true})
    {
        const auto book = practice::load_book(disk, profile_path);
        if (!book) return false;
        const auto scenario = book->scenario(fault, 5);
        if (!scenario) return false;
        practice::ServerOptions options;
        options.socket_path = folder.filePath(QStringLiteral("hands")).toStdString();
        options.scale = scale;
        auto made = practice::Server::open(*scenario, options);
        if (!made) return false;
        server = std::move(*made);
        server->start();
        auto connected = practice::Client::connect(options.socket_path);
        if (!connected) return false;
        client = std::move(*connected);
        start_worker(scale, permission);
        return hand({{"hand", "cable"}, {"to", "J5A"}});
    }

    void start_worker(double scale, link::Permission permission)
    {
        desk::LinkOptions o;
        o.plan = unit_plan();
        o.disk = &disk;
        o.capture_folder = folder.filePath(QStringLiteral("captures")).toStdString();
        o.time_scale = scale;
        o.permission = permission;
        worker = new desk::LinkWorker(o);
        worker->moveToThread(&thread);
        connect(worker, &desk::LinkWorker::snapshot, this, [this](std::shared_ptr<const watch::LiveSnapshot> s) { now = std::move(s); });
        connect(worker, &desk::LinkWorker::noted, this, [this](const watch::Noted& n) { notes.push_back(n); });
        connect(worker, &desk::LinkWorker::answered, this, [this](const QString& tag, const json::Value& v) { answers[tag.toStdString()] = v; });
        connect(worker, &desk::LinkWorker::problem, this, [this](const Problem& p) { problems.push_back(p); });
        connect(worker, &desk::LinkWorker::sealed, this, [this](const json::Value& v) { seals.push_back(v); });
        connect(&thread, &QThread::finished, worker, &QObject::deleteLater);
        thread.start();
    }

    bool hand(json::Object verb)
    {
        const auto answer = client->ask(json::Value(std::move(verb)));
        return answer.has_value() && (*answer)["is"].as_text() == "done";
    }

    template <class F>
    void call(F f) { QMetaObject::invokeMethod(worker, f); }
    void open() { call([w = worker, p = QString::fromStdString(server->pty_path())] { w->open(p); }); }
    void stop()
    {
        if (!thread.isRunning()) return;
        QMetaObject::invokeMethod(worker, &desk::LinkWorker::stop, Qt::BlockingQueuedConnection);
        QCoreApplication::processEvents();
        thread.quit();
        thread.wait(5000);
    }
    ~Ramp() override { stop(); }

    const watch::Noted* noted(const std::string& kind) const
    {
        for (const auto& n : notes)
            if (n.kind == kind) return &n;
        return nullptr;
    }
};

} // namespace

class TestLinkWorker : public QObject {
    Q_OBJECT
private slots:
    void a_line_opens_and_the_unit_is_read()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("breaker_resistance", 1));
        ramp.open();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("self_test_ended"), 4000); // asked for by itself
        ramp.call(&desk::LinkWorker::read_all);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("stored_faults") && ramp.noted("identity") && ramp.noted("configuration"), 5000);
        QCOMPARE(ramp.noted("identity")->body["part"].as_text(), std::string("PRU2-100-3"));
        QVERIFY(!ramp.noted("configuration")->body["tail"].as_text().empty());
        bool supply = false; // the fault's own record: 0x0301 or 0x0302
        for (const auto& f : ramp.noted("stored_faults")->body["faults"].as_array()) supply |= f["code"].as_text().rfind("0x030", 0) == 0;
        QVERIFY(supply);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.now->words_per_s > 100, 3000); // seven words each 40 ms: 175
        QVERIFY(ramp.now->value("status.supply"));
        QCOMPARE(ramp.now->counters.bad_checksum, 0u);
    }

    void a_session_is_entered_left_and_refused_with_its_reason()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("nothing", 1));
        ramp.open();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        ramp.call([w = ramp.worker] { w->enter_session(QStringLiteral("ch1")); });
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->session.state, SessionState::open, 3000);
        QTest::qWait(2600); // past one keep-alive
        QCOMPARE(ramp.now->session.state, SessionState::open);
        ramp.call([w = ramp.worker] { w->request(QStringLiteral("run_test"), {}, QStringLiteral("t")); });
        QTRY_COMPARE_WITH_TIMEOUT(ramp.answers["t"]["result"].as_text(), std::string("ok"), 3000);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("self_test_started"), 3000);
        ramp.call(&desk::LinkWorker::leave_session);
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->session.state, SessionState::closed, 3000);
        ramp.call([w = ramp.worker] { w->enter_session(QStringLiteral("ch1")); });
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->session.state, SessionState::refused, 3000);
        QCOMPARE(ramp.now->session.reason, std::string("self_test_running"));
        QCOMPARE(ramp.now->session.mend, std::string("wait"));
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("session_refused"), 3000);
        QVERIFY(ramp.noted("session_opened") && ramp.noted("session_closed"));
    }

    void without_the_cautions_no_session_is_asked_for()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("nothing", 1, {false, false, true}));
        ramp.open();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        ramp.call([w = ramp.worker] { w->enter_session(QStringLiteral("ch1")); });
        QTRY_VERIFY_WITH_TIMEOUT(!ramp.problems.empty(), 3000);
        QCOMPARE(ramp.problems[0].code, std::string("cautions_open"));
        ramp.call([w = ramp.worker] { w->request(QStringLiteral("run_test"), {}, QStringLiteral("t")); });
        QTRY_COMPARE_WITH_TIMEOUT(ramp.answers["t"]["result"].as_text(), std::string("not_allowed"), 3000);
    }

    void lost_power_is_seen_and_the_test_ends_again()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("nothing", 8));
        ramp.open();
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("self_test_ended"), 5000);
        ramp.notes.clear();
        QVERIFY(ramp.hand({{"hand", "power"}, {"to", "off"}}));
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::silent, 4000);
        QVERIFY(ramp.hand({{"hand", "power"}, {"to", "on"}}));
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("power_lost"), 8000);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("self_test_ended"), 8000);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("aligned"), 15000); // 20 s test and 60 s alignment at eight times
        QVERIFY(ramp.noted("link_lost") && ramp.noted("link_restored"));
    }

    void moving_the_right_place_drops_words_there()
    {
        Ramp ramp;
        constexpr double scale = 12;
        const auto wait_s = [](double unit_s) { QTest::qWait(static_cast<int>(unit_s * 1000 / scale)); };
        QVERIFY(ramp.begin("broken_wire", scale));
        ramp.open();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        QVERIFY(ramp.hand({{"hand", "panel"}, {"label", "Right wing tip panel"}, {"to", "open"}}));
        QVERIFY(ramp.hand({{"hand", "panel"}, {"label", "Right wing root panel"}, {"to", "open"}}));
        ramp.call(&desk::LinkWorker::start_flex);
        wait_s(100); // hands off, to compare with
        // The wire opens about every seven seconds while it is moved so: 100 s leave one chance in hundreds of too few.
        for (const auto& [place, seconds] : std::initializer_list<std::pair<const char*, double>>{{"W8", 60.0}, {"W7", 100.0}}) {
            ramp.call([w = ramp.worker, p = QString::fromLatin1(place).toLower()] { w->mark(p); });
            QVERIFY(ramp.hand({{"hand", "flex"}, {"place", place}, {"gain", 2.0}, {"seconds", seconds}}));
            wait_s(seconds);
        }
        ramp.call([w = ramp.worker] { w->mark({}); });
        ramp.call(&desk::LinkWorker::stop_flex);
        QTRY_VERIFY_WITH_TIMEOUT(!ramp.now->flex.running && ramp.now->flex.places.size() >= 3, 3000);
        QCOMPARE(ramp.now->flex.outcome, std::string("at_w7"));
        ramp.stop();
        QVERIFY(ramp.noted("dropouts"));
    }

    void an_unplugged_line_is_lost_and_comes_back()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("nothing", 1));
        const QString link = ramp.folder.filePath(QStringLiteral("unit"));
        QVERIFY(QFile::link(QString::fromStdString(ramp.server->pty_path()), link));
        ramp.call([w = ramp.worker, link] { w->open(link); });
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        ramp.client.reset();
        ramp.server.reset();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::lost, 1500);
        QFile::remove(link);
        const auto book = practice::load_book(ramp.disk, profile_path);
        practice::ServerOptions again;
        again.socket_path = ramp.folder.filePath(QStringLiteral("hands2")).toStdString();
        again.pty_link = link.toStdString();
        auto made = practice::Server::open(*book->scenario("nothing", 6), again);
        QVERIFY(made.has_value());
        (*made)->start();
        auto hands = practice::Client::connect(again.socket_path);
        QVERIFY(hands.has_value());
        QVERIFY((*hands)->ask(json::Object{{"hand", "cable"}, {"to", "J5A"}}).has_value());
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 8000);
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("link_restored"), 2000);
        QVERIFY(ramp.noted("link_lost"));
        ramp.stop();
    }

    void what_a_talking_line_said_is_on_the_disk_soon()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("nothing", 1));
        ramp.open();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        const auto on_disk = [&] {
            qint64 bytes = 0;
            for (const QFileInfo& f : QDir(ramp.folder.filePath("captures")).entryInfoList(QDir::Files)) bytes += f.size();
            return bytes;
        };
        QTRY_VERIFY_WITH_TIMEOUT(ramp.now->counters.bytes > 500, 4000);
        QTRY_VERIFY_WITH_TIMEOUT(on_disk() > 500, 3000); // it never falls silent
        // Who writes a report waits for no two seconds.
        const auto heard = static_cast<qint64>(ramp.now->counters.bytes);
        std::promise<void> saved;
        ramp.call([w = ramp.worker, &saved] { w->save_capture([&saved] { saved.set_value(); }); });
        QVERIFY(saved.get_future().wait_for(std::chrono::seconds(5)) == std::future_status::ready);
        QVERIFY(on_disk() >= heard);
    }

    void the_capture_replays_to_the_same_observations()
    {
        Ramp ramp;
        QVERIFY(ramp.begin("wet_plug", 1));
        ramp.open();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.now->link, LinkState::good, 4000);
        ramp.call(&desk::LinkWorker::read_all);
        ramp.call([w = ramp.worker] { w->comment(QStringLiteral("looked at P9")); });
        QTRY_VERIFY_WITH_TIMEOUT(ramp.noted("stored_faults"), 4000);
        QTest::qWait(1000);
        ramp.stop();
        QTRY_COMPARE_WITH_TIMEOUT(ramp.seals.size(), 1u, 1000);
        const QString path = QString::fromStdString(ramp.seals[0]["path"].as_text());
        const auto file = ramp.disk.read(path.toStdString(), 64u << 20);
        QVERIFY(file.has_value());
        const auto read = capture::read_all(*file);
        QVERIFY(read.has_value());
        codec::Decoder decoder(unit_plan());
        bool remark = false, sent = false;
        for (const auto& p : read->packets) {
            if (p.direction == capture::Direction::received) decoder.feed(p.bytes, p.t_ns, [](const codec::FrameView&) {});
            remark |= p.comment == "looked at P9";
            sent |= p.direction == capture::Direction::sent;
        }
        QVERIFY(remark && sent);
        QVERIFY(decoder.counters() == ramp.now->counters);
        QProcess tshark;
        tshark.start(QStringLiteral("tshark"), {"-r", path, "-Y", "frame.packet_flags_direction == 1", "-T", "fields", "-e", "data.len"});
        QVERIFY(tshark.waitForFinished(30000));
        std::uint64_t bytes = 0;
        for (const QByteArray& line : tshark.readAllStandardOutput().split('\n')) bytes += line.trimmed().toULongLong();
        QCOMPARE(bytes, ramp.now->counters.bytes);
    }
};

CHOCKSIDE_TEST(TestLinkWorker)
#include "tst_link_worker.moc"
