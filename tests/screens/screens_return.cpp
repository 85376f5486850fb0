// The app is killed in the middle of a job, at moments drawn by seed, and started again on the same folder; and it is stopped for ten
// seconds while a wait runs. The screen must say where it resumes, offer three steps back, and every open thing, breaker and wait must
// stand as it stood: no wait shorter than the unit's own time, none shown as over that the unit does not vouch for.

#include <core/base/json.h>
#include <core/base/random.h>

#include <tests/support/test_main.h>

#include <QDir>
#include <QElapsedTimer>
#include <QFile>
#include <QFileInfo>
#include <QProcess>
#include <QTemporaryDir>

#include <csignal>
#include <functional>
#include <set>

using namespace chockside;

namespace {

constexpr int patience_ms = 60'000;

const json::Value* wait_of(const json::Value& state, const std::string& id)
{
    for (const auto& w : state["waits"].as_array())
        if (w["id"].as_text() == id) return &w;
    return nullptr;
}

QString all_texts(const json::Value& state)
{
    QStringList texts;
    for (const auto& t : state["texts"].as_array()) texts.append(QString::fromStdString(t.as_text()));
    return texts.join('\n');
}

int differing(const json::Value& a, const json::Value& b)
{
    std::set<std::string> only;
    for (const auto& v : a.as_array()) only.insert(v.as_text());
    for (const auto& v : b.as_array())
        if (!only.erase(v.as_text())) only.insert("+" + v.as_text());
    return static_cast<int>(only.size());
}

std::string text(const json::Value& v) { return json::write(v); }

} // namespace

class TestReturn : public QObject {
    Q_OBJECT
    std::unique_ptr<QTemporaryDir> folder_;
    std::unique_ptr<QProcess> app_;
    json::Value last_;       ///< the last line that said how things stand

    void start(const QStringList& more)
    {
        app_ = std::make_unique<QProcess>();
        app_->setProcessChannelMode(QProcess::ForwardedErrorChannel);
        app_->start(QString(CHOCKSIDE_BIN_DIR) + "/screens_pilot", QStringList{"--data", folder_->path(), "--own-hands"} + more);
        QVERIFY2(app_->waitForStarted(10'000), qPrintable(app_->errorString()));
    }

    void tell(const QByteArray& line)
    {
        app_->write(line + '\n');
        app_->waitForBytesWritten(2000);
    }

    /// The next line that is about `about` and holds what is wanted; null where none came in time.
    json::Value hear(const std::string& about, const std::function<bool(const json::Value&)>& wanted = {}, int ms = patience_ms)
    {
        QElapsedTimer passed;
        passed.start();
        while (passed.elapsed() < ms) {
            if (!app_->canReadLine() && !app_->waitForReadyRead(200)) {
                if (app_->state() == QProcess::NotRunning) return {};
                continue;
            }
            while (app_->canReadLine()) {
                const auto line = json::read(app_->readLine().trimmed().toStdString());
                if (!line) continue;
                if ((*line)["about"].as_text() == "view") last_ = *line;
                vouched(*line);
                if ((*line)["about"].as_text() == about && (!wanted || wanted(*line))) return *line;
            }
        }
        return {};
    }

    json::Value state()
    {
        tell("state");
        return hear("state");
    }

    /// A warm-up that is shown as over has been a warm-up: the unit says that it had power for so long.
    void vouched(const json::Value& v)
    {
        const auto* warm = wait_of(v, "warm_up");
        if (!warm || !v["link"].as_bool() || !v.has("uptime") || (*warm)["state"].as_text() != "over") return;
        QVERIFY2(v["uptime"].as_double() >= (*warm)["total"].as_double() - 1, text(v).c_str());
    }

    json::Value state_until(const std::function<bool(const json::Value&)>& wanted)
    {
        QElapsedTimer passed;
        passed.start();
        json::Value s = state();
        while (!wanted(s) && passed.elapsed() < patience_ms) {
            QTest::qWait(100);
            s = state();
        }
        return s;
    }

    void kill_it()
    {
        ::kill(static_cast<pid_t>(app_->processId()), SIGKILL);
        QVERIFY(app_->waitForFinished(5000));
        // What was in the pipe when it died is what it had shown.
        while (app_->canReadLine())
            if (const auto line = json::read(app_->readLine().trimmed().toStdString()); line && (*line)["about"].as_text() == "view") last_ = *line;
        app_.reset();
    }

    void end_aircraft()
    {
        if (app_ && app_->state() != QProcess::NotRunning) {
            app_->closeWriteChannel();
            if (!app_->waitForFinished(8000)) app_->kill(), app_->waitForFinished(2000);
        }
        app_.reset();
    }

    /// Home, then the key that goes on: what the returning screen says.
    json::Value come_back()
    {
        start({});
        state_until([](const json::Value& s) { return all_texts(s).contains("Go on in"); });
        tell("tap largeKey");
        hear("tapped");
        return state_until([](const json::Value& s) { return s["screen"].as_text() == "resume"; });
    }

    void stands_as_it_stood(const json::Value& before, const json::Value& after)
    {
        QCOMPARE(after["job"].as_text(), before["job"].as_text());
        QVERIFY2(after["entries"].as_int() >= before["entries"].as_int(), "nothing that was shown is lost");
        // One touch may have been written and never shown, and the line may have said something since: one thing differs at most.
        QVERIFY2(differing(before["open"], after["open"]) <= 1, (text(before["open"]) + " then " + text(after["open"])).c_str());
        int breakers = 0;
        for (const auto& [id, is] : before["breakers"].as_object()) breakers += !(after["breakers"][id] == is);
        QVERIFY2(breakers <= 1, (text(before["breakers"]) + " then " + text(after["breakers"])).c_str());
    }

    /// `real_s` after `before`, at `scale`: the wait has not run faster than time.
    void not_shortened(const json::Value& before, const json::Value& after, double real_s, double scale)
    {
        for (const auto& w : before["waits"].as_array()) {
            const auto* now = wait_of(after, w["id"].as_text());
            QVERIFY(now);
            const double least = w["left"].as_double() - (real_s + 1.0) * scale;
            QVERIFY2((*now)["left"].as_double() >= least, (text(w) + " then " + text(*now) + " after " + std::to_string(real_s)).c_str());
        }
    }

    void no_wait_is_faked(const json::Value& state)
    {
        if (state["link"].as_bool()) return;
        for (const auto& w : state["waits"].as_array())
            QVERIFY2(w["id"].as_text() == "self_test" || w["state"].as_text() == "unknown" || w["state"].as_text() == "not_begun", text(w).c_str());
    }

    void look_at_all()
    {
        const json::Value s = state();
        for (const auto& item : s["open"].as_array()) {
            const QString id = QString::fromStdString(item.as_text());
            if (!id.startsWith("breaker:") && !id.startsWith("plug:")) continue;
            tell("tap left:" + id.toUtf8());
            QVERIFY2(hear("tapped").is_object(), qPrintable(id));
        }
        // A cover and a small thing alone stand as themselves, several small things together.
        QStringList others{"rest"};
        for (const auto& item : s["open"].as_array()) others.append(QString::fromStdString(item.as_text()));
        for (const QString& id : others)
            if (const QByteArray key = "left:" + id.toUtf8(); !id.startsWith("breaker:") && !id.startsWith("plug:") && is_shown(key.constData())) {
                tell("tap " + key);
                QVERIFY2(hear("tapped").is_object(), qPrintable(id));
            }
    }

    void three_steps_back()
    {
        look_at_all();
        tell("tap largeKey");
        QVERIFY(hear("tapped").is_object());
        for (int i = 0; i < 3; ++i) {
            const json::Value s = state();
            QCOMPARE(s["screen"].as_text(), std::string("again"));
            tell("tap largeKey");
            QVERIFY(hear("tapped").is_object());
        }
    }

    bool is_shown(const char* name)
    {
        tell(QByteArray("shown ") + name);
        return hear("shown")["why"].as_text() == "yes";
    }

private slots:
    void init() { folder_ = std::make_unique<QTemporaryDir>(); }
    void cleanup() { end_aircraft(); }

    /// A shop's own profile, a port that is typed, no practice aircraft of the app's: opened from the first screen, killed, and there again.
    void a_real_job_is_opened_and_there_again()
    {
        QFile main(QString(CHOCKSIDE_SOURCE_DIR) + "/assets/profiles/sandgrouse_12_ramp.json");
        QVERIFY(main.open(QIODevice::ReadOnly));
        QByteArray own = main.readAll();
        own.replace("\"practice\": true", "\"practice\": false");
        QVERIFY(QDir(folder_->path()).mkpath("profiles"));
        QFile kept(folder_->filePath("profiles/mine.json"));
        QVERIFY(kept.open(QIODevice::WriteOnly) && kept.write(own) == own.size());
        kept.close();
        start({});
        state_until([](const json::Value& s) { return all_texts(s).contains("New job"); });
        QElapsedTimer passed;
        passed.start();
        // The list of profiles is read on another thread.
        for (bool ready = false; !ready && passed.elapsed() < patience_ms;) {
            tell("write own/mine|Q4-SND|heading_flag|HDG 2 flags after rain|LK|/dev/ttyNOWHERE");
            const auto said = hear("written");
            QVERIFY(said.is_object());
            ready = !said.has("why");
            if (!ready) QTest::qWait(100);
        }
        const QString page = all_texts(state());
        QVERIFY2(page.contains("A real aircraft") && !page.contains("PRACTICE"), qPrintable(page));
        tell("tap largeKey");
        QVERIFY(hear("tapped").is_object());
        const json::Value opened = state_until([](const json::Value& s) { return s["screen"].as_text() == "job" && s["entries"].as_int() > 0; });
        QCOMPARE(opened["screen"].as_text(), std::string("job"));
        QVERIFY(!opened["practice"].as_bool());
        QVERIFY2(all_texts(opened).contains("Q4-SND") && !all_texts(opened).contains("PRACTICE"), qPrintable(all_texts(opened)));
        kill_it();
        const json::Value back = come_back();
        QCOMPARE(back["job"].as_text(), opened["job"].as_text());
        QVERIFY(!back["practice"].as_bool());
    }

    void killed_at_any_moment_data()
    {
        QTest::addColumn<int>("entry");
        SeededRandom draw(20'260'617);
        // The shortest such job ends with entry 87.
        for (const auto& [from, to] : {std::pair{12, 40}, std::pair{52, 70}, std::pair{72, 84}}) {
            const int entry = from + static_cast<int>(draw.below(static_cast<std::uint64_t>(to - from)));
            QTest::addRow("at entry %d", entry) << entry;
        }
    }

    void killed_at_any_moment()
    {
        QFETCH(int, entry);
        start({"--practice", "--fault", "wet_plug", "--scale", "30"});
        tell("work");
        QVERIFY(hear("view", [&](const json::Value& v) { return v["entries"].as_int() >= entry; }, 150'000).is_object());
        kill_it();
        const json::Value before = last_;
        const json::Value after = come_back();
        QCOMPARE(after["screen"].as_text(), std::string("resume"));
        stands_as_it_stood(before, after);
        no_wait_is_faked(after);
        const QString said = all_texts(after);
        QVERIFY2(said.contains("You stopped here. Next:"), qPrintable(said));
        QVERIFY2(said.contains("Look again from three steps back"), qPrintable(said));
        three_steps_back();
        const json::Value on = state_until([](const json::Value& s) { return s["screen"].as_text() == "job"; });
        QCOMPARE(on["screen"].as_text(), std::string("job"));
        QVERIFY(on["entries"].as_int() > after["entries"].as_int());
    }

    void ten_seconds_asleep_shorten_no_wait()
    {
        const double scale = 5;
        start({"--practice", "--fault", "wet_plug", "--scale", "5"});
        tell("work");
        const json::Value before = hear("view", [](const json::Value& v) { const auto* w = wait_of(v, "warm_up"); return w && (*w)["state"].as_text() == "running" && (*w)["left"].as_double() > 80; }, 150'000);
        QVERIFY(before.is_object());
        QElapsedTimer passed;
        passed.start();
        const auto pid = static_cast<pid_t>(app_->processId());
        ::kill(pid, SIGSTOP);
        QTest::qWait(10'000);
        ::kill(pid, SIGCONT);
        const json::Value after = state();
        QVERIFY(after.is_object());
        not_shortened(before, after, double(passed.elapsed()) / 1000, scale);
    }

    void ten_seconds_dead_shorten_no_wait()
    {
        const double scale = 5;
        start({"--practice", "--fault", "wet_plug", "--scale", "5"});
        tell("work");
        QVERIFY(hear("view", [](const json::Value& v) { const auto* w = wait_of(v, "warm_up"); return w && (*w)["state"].as_text() == "running" && (*w)["left"].as_double() > 80; }, 150'000).is_object());
        QElapsedTimer passed;
        passed.start();
        kill_it();
        const json::Value before = last_;
        QTest::qWait(10'000);
        const json::Value back = come_back();
        no_wait_is_faked(back);
        stands_as_it_stood(before, back);
        const json::Value heard = state_until([](const json::Value& s) { return s["link"].as_bool() && s.has("uptime"); });
        QVERIFY2(heard["link"].as_bool(), text(heard).c_str());
        not_shortened(before, heard, double(passed.elapsed()) / 1000, scale);
        QVERIFY(wait_of(heard, "warm_up") && (*wait_of(heard, "warm_up"))["state"].as_text() != "unknown");
    }
};

CHOCKSIDE_TEST(TestReturn)
#include "screens_return.moc"
