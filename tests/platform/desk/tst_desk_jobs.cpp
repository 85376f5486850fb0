// One job after another at one desk: what belongs to the one never gets into the other. The line is the practice aircraft's.
#include <core/job/plan.h>
#include <core/journal/store.h>
#include <core/trust/trust.h>
#include <platform/desk/desk.h>
#include <platform/practice/load_book.h>
#include <platform/practice/server.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QFileInfo>
#include <QSignalSpy>
#include <QTemporaryDir>

#include <algorithm>

using namespace chockside;

namespace {

job::Opening opening(const char* tail)
{
    job::Opening o;
    o.tail = tail;
    o.complaint = "HDG 1 flag";
    o.complaint_kind = "heading_flag";
    return o;
}

job::Command note(const char* text)
{
    return {{}, "note", json::Object{{"text", text}}, {}};
}

} // namespace

class TestDeskJobs : public QObject {
    Q_OBJECT
    std::unique_ptr<QTemporaryDir> dir_;
    std::unique_ptr<desk::Desk> desk_;
    std::unique_ptr<practice::Server> server_;
    std::vector<std::string> problems_;
    std::vector<journal::JobRow> rows_;

    std::string job() const { return desk_->view() ? desk_->view()->job : std::string(); }
    void open_new(const char* tail)
    {
        const std::string before = job();
        desk_->open_new(opening(tail), "LK");
        QTRY_VERIFY_WITH_TIMEOUT(job() != before, 10'000);
    }
    /// As the folder holds it, after the desk has ended.
    std::vector<journal::Entry> written(const std::string& job)
    {
        if (desk_) desk_->stop();
        desk_.reset();
        system::SystemDisk disk;
        system::SystemClock clock;
        trust::SystemRandom random;
        auto store = journal::Store::open(disk, clock, random, {dir_->path().toStdString(), true});
        if (!store) return {};
        auto all = (*store)->entries(job);
        return all ? *all : std::vector<journal::Entry>();
    }
    static std::unique_ptr<journal::Store> on_disk(const QTemporaryDir& dir, bool read_only)
    {
        static system::SystemDisk disk;
        static system::SystemClock clock;
        static trust::SystemRandom random;
        auto store = journal::Store::open(disk, clock, random, {dir.path().toStdString(), read_only, 0, system::device_id()});
        return store ? std::move(*store) : nullptr;
    }
    /// Another start on the same folder.
    void restart()
    {
        if (desk_) desk_->stop();
        desk_ = std::make_unique<desk::Desk>(desk::DeskOptions{dir_->path().toStdString(), system::assets_folder()});
        connect(desk_.get(), &desk::Desk::problem, desk_.get(), [this](const Problem& p) { problems_.push_back(p.code); });
        connect(desk_.get(), &desk::Desk::rows, desk_.get(), [this](const auto& rows) { rows_ = rows; });
        desk_->set_person("LK"); // before the store is open, as the app does
        desk_->start();
    }
    /// The port of an aircraft that stands there.
    QString aircraft()
    {
        system::SystemDisk disk;
        const auto book = practice::load_book(disk, CHOCKSIDE_SOURCE_DIR "/assets/profiles/sandgrouse_12_ramp.json");
        const auto scenario = book->scenario("nothing", 5);
        practice::ServerOptions options;
        options.socket_path = dir_->filePath("hands").toStdString();
        server_ = std::move(*practice::Server::open(*scenario, options));
        server_->start();
        return QString::fromStdString(server_->pty_path());
    }
    void line_stands_open(const QString& port)
    {
        const int before = desk_->view()->entries;
        desk_->submit({{}, "live", json::Object{{"kind", "link_opened"}, {"body", json::Object{{"port", port.toStdString()}}}}, {}});
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries > before, 10'000);
    }
    bool line_is_open() const { return desk_->live() && desk_->live()->link != watch::LinkState::closed; }
    static bool by_line(const journal::Entry& e) { return e.envelope.kind.starts_with("live."); }
    static int of_kind(const std::vector<journal::Entry>& all, const std::string& kind)
    {
        return static_cast<int>(std::count_if(all.begin(), all.end(), [&](const auto& e) { return e.envelope.kind == kind; }));
    }

private slots:
    void init()
    {
        desk_.reset();
        dir_ = std::make_unique<QTemporaryDir>();
        problems_.clear();
        restart();
    }

    void the_list_says_what_stands_open_before_the_job_is_opened()
    {
        open_new("Q4-RMP");
        desk_->list();
        QTRY_VERIFY(rows_.size() == 1 && rows_[0].about.has("open"));
        QCOMPARE(rows_[0].about["open"].as_int(), std::int64_t(0));
        for (const char* of : {"ref_1", "ref_2"}) desk_->submit({{}, "did", json::Object{{"verb", "breaker"}, {"of", of}, {"to", "collared"}}, "LK"});
        QTRY_COMPARE(desk_->view()->open.size(), std::size_t(2));
        restart();
        QTRY_VERIFY(rows_.size() == 1 && rows_[0].about["open"].as_int() == 2);
        QCOMPARE(rows_[0].about["breakers"].as_int(), std::int64_t(2));
        QVERIFY(!rows_[0].about["gaps"].as_array().empty());

        // Entries that came while nobody wrote the row anew, as after a kill.
        const std::string of = rows_[0].job;
        desk_->stop();
        desk_.reset();
        auto row = rows_[0];
        row.about.at("entries") = 1;
        row.about.at("open") = 0;
        QVERIFY(on_disk(*dir_, false)->set_row(row));
        rows_.clear();
        restart();
        QTRY_VERIFY(rows_.size() == 1);
        QTRY_COMPARE_WITH_TIMEOUT(rows_[0].about["open"].as_int(), std::int64_t(2), 10'000);
        QCOMPARE(rows_[0].about["entries"].as_int(), std::int64_t(rows_[0].entries));
        QCOMPARE(rows_[0].job, of);
        QVERIFY(problems_.empty());
    }

    void a_double_tap_is_written_once()
    {
        open_new("Q4-RMP");
        const auto first = job::command_of(desk_->view()->next, desk_->view()->next.choices.empty() ? "" : desk_->view()->next.choices.front().first);
        QVERIFY(!first.prompt.empty());
        const int before = desk_->view()->entries;
        desk_->submit(first);
        desk_->submit(first);
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries > before, 10'000);
        desk_->submit(note("after"));
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries >= before + 2, 10'000);
        QTest::qWait(300);
        QCOMPARE(of_kind(written(job()), first.kind), 1);
        QVERIFY(problems_.empty());
    }

    void what_hands_did_late_is_a_fact_and_a_wait_that_runs_again_is_none()
    {
        open_new("Q4-RMP");
        QSignalSpy saved(desk_.get(), &desk::Desk::saved);
        problems_.clear();
        desk_->submit({"late-1", "did", json::Object{{"verb", "waited"}, {"of", "warm_up"}, {"step", "wait_warm"}}, {}, {}, "step:wait_warm"});
        QTRY_COMPARE_WITH_TIMEOUT(problems_, std::vector<std::string>{"prompt_changed"}, 10'000);
        QCOMPARE(saved.count(), 0);
        // Told by the prompt that it answers, as where it still stood.
        desk_->submit({"late-2", "did", json::Object{{"verb", "panel"}, {"of", "rack"}, {"to", "open"}}, {}, {}, "act:panel:rack:open"});
        QTRY_COMPARE_WITH_TIMEOUT(saved.count(), 1, 10'000);
        QCOMPARE(saved.at(0).at(0).toString(), QString("act:panel:rack:open"));
    }

    void who_is_here_now_signs_what_is_written_now()
    {
        open_new("Q4-RMP");
        const std::string first = job();
        desk_->submit(note("by LK"));
        open_new("Q4-WHM");
        desk_->set_person("MB");
        desk_->open_job(QString::fromStdString(first));
        QTRY_COMPARE_WITH_TIMEOUT(job(), first, 10'000);
        const int before = desk_->view()->entries;
        desk_->submit(note("by MB"));
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries > before, 10'000);
        const auto all = written(first);
        QVERIFY(!all.empty());
        QCOMPARE(all.back().envelope.person, std::string("MB"));
    }

    void what_the_line_says_last_stays_in_its_job()
    {
        const QString port = aircraft();
        open_new("Q4-RMP");
        const std::string first = job();
        desk_->set_port(port);
        // A line that was open when the job was left is opened again with it.
        line_stands_open(port);
        desk_->open_job(QString::fromStdString(first));
        QTRY_VERIFY_WITH_TIMEOUT(line_is_open(), 20'000);
        desk_->set_port({});
        open_new("Q4-WHM");
        const std::string second = job();
        QTest::qWait(500);
        const auto other = written(second);
        QVERIFY(!other.empty());
        QVERIFY(std::none_of(other.begin(), other.end(), by_line));
        const auto own = written(first);
        const auto last = std::find_if(own.rbegin(), own.rend(), by_line);
        QVERIFY(last != own.rend());
        QCOMPARE(last->envelope.kind, std::string("live.link_closed"));
    }

    void a_line_is_opened_again_where_it_was_open_last()
    {
        const QString port = aircraft();
        open_new("Q4-RMP");
        const std::string first = job();
        line_stands_open(port);
        restart(); // without a word: the app was killed
        desk_->set_port(port);
        desk_->open_job(QString::fromStdString(first));
        QTRY_VERIFY_WITH_TIMEOUT(line_is_open(), 20'000);
    }

    void another_aircrafts_line_is_not_taken_for_a_jobs_own_data()
    {
        QTest::addColumn<QString>("since");
        for (const char* since : {"another port", "another job", "another job before the start", "another job was looked at"}) QTest::newRow(since) << since;
    }

    void another_aircrafts_line_is_not_taken_for_a_jobs_own()
    {
        QFETCH(QString, since);
        const QString port = aircraft();
        open_new("Q4-WHM");
        const std::string older = job();
        open_new("Q4-RMP");
        const std::string first = job();
        line_stands_open(since == "another port" ? "/dev/ttyUSB0" : port);
        if (since.startsWith("another job ")) restart();
        if (since == "another job" || since == "another job before the start") open_new("Q4-WHM");
        if (since == "another job before the start") restart();
        if (since == "another job was looked at") desk_->open_job(QString::fromStdString(older));
        desk_->set_port(port);
        desk_->open_job(QString::fromStdString(first));
        QTRY_COMPARE_WITH_TIMEOUT(job(), first, 10'000);
        QTest::qWait(1500);
        QVERIFY(!line_is_open());
        const auto all = written(first);
        QCOMPARE(std::count_if(all.begin(), all.end(), by_line), 1);
    }

    void a_line_that_another_tablet_left_open_is_not_taken_for_ones_own()
    {
        const QString port = aircraft();
        open_new("Q4-RMP");
        const std::string first = job();
        line_stands_open(port);
        desk_->stop();
        desk_.reset();
        const auto lines = on_disk(*dir_, true)->export_job(first);
        QVERIFY(lines.has_value());
        const auto theirs = std::exchange(dir_, std::make_unique<QTemporaryDir>());
        QVERIFY(on_disk(*dir_, false)->import_lines(*lines).has_value());
        restart();
        desk_->set_port(port);
        desk_->open_job(QString::fromStdString(first));
        QTRY_COMPARE_WITH_TIMEOUT(job(), first, 10'000);
        QTest::qWait(1500);
        QVERIFY(!line_is_open());
    }

    void a_new_job_that_is_refused_leaves_the_one_at_hand_its_line_and_its_person()
    {
        const QString port = aircraft();
        open_new("Q4-WHM");
        const std::string worked = job();
        restart();
        open_new("Q4-RMP");
        const std::string first = job();
        desk_->set_port(port);
        line_stands_open(port);
        desk_->open_job(QString::fromStdString(first));
        QTRY_VERIFY_WITH_TIMEOUT(line_is_open(), 20'000);
        job::Opening again = opening("Q4-WHM");
        again.given = worked;
        desk_->open_new(again, "JM");
        QTRY_VERIFY_WITH_TIMEOUT(std::ranges::count(problems_, "already_opened") == 1, 10'000);
        QTest::qWait(300); // what was under way is told
        bool heard = false;
        connect(desk_.get(), &desk::Desk::live_changed, desk_.get(), [&heard] { heard = true; });
        QTRY_VERIFY_WITH_TIMEOUT(heard, 10'000);
        QVERIFY(line_is_open());
        QCOMPARE(job(), first);
        const int before = desk_->view()->entries;
        desk_->submit(note("goes on"));
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries > before, 10'000);
        const auto all = written(first);
        const auto last = std::find_if(all.rbegin(), all.rend(), [](const auto& e) { return e.envelope.kind == "note"; });
        QVERIFY(last != all.rend());
        QCOMPARE(last->envelope.person, std::string("LK"));
    }

    void a_job_that_is_not_there_leaves_the_one_at_hand()
    {
        open_new("Q4-RMP");
        const std::string first = job();
        desk_->open_job("nobody");
        QTRY_VERIFY_WITH_TIMEOUT(std::ranges::count(problems_, "not_found") == 1, 10'000);
        const int before = desk_->view()->entries;
        desk_->submit(note("goes on"));
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries > before, 10'000);
        QCOMPARE(job(), first);
    }

    void an_entry_is_voided_through_the_desk_and_stays_in_the_journal()
    {
        open_new("Q4-RMP");
        QStringList saved;
        connect(desk_.get(), &desk::Desk::saved, desk_.get(), [&](const QString& id) { saved.append(id); });
        desk_->submit(note("wet at P9"));
        QTRY_COMPARE_WITH_TIMEOUT(desk_->view()->journal.back().text, std::string("wet at P9"), 10'000);
        const std::string of = desk_->view()->journal.back().hash;
        QVERIFY(desk_->view()->journal.back().stands.empty());
        desk_->submit({"without", "void", json::Object{{"of", of}, {"reason", " "}}, {}});
        QTRY_COMPARE_WITH_TIMEOUT(problems_, std::vector<std::string>{"need"}, 10'000);
        desk_->submit({"with", "amend", json::Object{{"of", of}, {"reason", "wrong plug"}, {"body", json::Object{{"text", "wet at P7"}}}}, {}});
        QTRY_VERIFY_WITH_TIMEOUT(saved.contains("with"), 10'000); // told by the id that it was sent with
        QVERIFY(!saved.contains("without"));
        const auto& journal = desk_->view()->journal;
        const auto line = std::find_if(journal.begin(), journal.end(), [&](const auto& e) { return e.hash == of; });
        QVERIFY(line != journal.end() && line->amended && line->corrected);
        QCOMPARE(line->text, std::string("wet at P9"));
        QVERIFY(line->by.find("wet at P7") != std::string::npos && line->by.find("wrong plug") != std::string::npos);
        QCOMPARE(line->stands, std::string("struck_already"));
    }

    void a_picture_is_kept_sealed_and_its_digest_stands_in_the_entry()
    {
        open_new("Q4-RMP");
        const QByteArray bytes = QByteArray::fromHex("ffd8ffe0") + "wet connector";
        const auto put = [&](const char* name, const QByteArray& what) {
            QFile file(dir_->filePath(name));
            return file.open(QIODevice::WriteOnly) && file.write(what) == what.size() ? file.fileName().toStdString() : std::string();
        };
        const auto photo = [](const std::string& path) { return job::Command{{}, "photo", json::Object{{"of", "P9"}, {"path", path}}, {}}; };
        const int before = desk_->view()->entries;
        desk_->submit(photo(put("p9.jpg", bytes)));
        QTRY_VERIFY_WITH_TIMEOUT(desk_->view()->entries > before, 10'000);
        desk_->submit(photo(put("not.jpg", "plain words")));
        desk_->submit(photo(dir_->filePath("gone.jpg").toStdString()));
        QTRY_COMPARE_WITH_TIMEOUT(problems_.size(), std::size_t(2), 10'000);
        QCOMPARE(problems_.front(), std::string("bad_picture"));
        const auto all = written(job());
        QCOMPARE(of_kind(all, "photo"), 1);
        const auto entry = std::find_if(all.begin(), all.end(), [](const auto& e) { return e.envelope.kind == "photo"; });
        const std::string plain = bytes.toStdString();
        const std::string sha = trust::sha256_hex(as_bytes(plain));
        QCOMPARE(entry->envelope.att, std::vector<std::string>{sha});
        QCOMPARE(entry->body["sha"].as_text(), sha);
        QVERIFY(!entry->body.has("path"));
        QFile kept(dir_->filePath(QString::fromStdString("attachments/" + sha)));
        QVERIFY(kept.open(QIODevice::ReadOnly));
        QVERIFY(!kept.readAll().contains("wet connector"));
        const auto back = on_disk(*dir_, true)->attachment(sha);
        QVERIFY2(back, back ? "" : back.error().code.c_str());
        QVERIFY(std::ranges::equal(*back, as_bytes(plain)));
    }

    void a_tail_never_leads_out_of_the_folder_of_a_report()
    {
        open_new("../../evil");
        QString saved;
        connect(desk_.get(), &desk::Desk::history_saved, desk_.get(), [&](const QString& path) { saved = path; });
        desk_->ask_history({});
        desk_->save_history(dir_->filePath("a/b/reports"));
        QTRY_VERIFY_WITH_TIMEOUT(!saved.isEmpty() || !problems_.empty(), 10'000);
        QCOMPARE(problems_, std::vector<std::string>{});
        QCOMPARE(QFileInfo(saved).canonicalPath(), QFileInfo(dir_->filePath("a/b/reports")).canonicalFilePath());
        QVERIFY(QFile::exists(saved));
    }
};

CHOCKSIDE_TEST(TestDeskJobs)
#include "tst_desk_jobs.moc"
