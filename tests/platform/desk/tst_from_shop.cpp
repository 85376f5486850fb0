// What the shop's lead writes on the page of a shop that really runs, as a tablet gets it: a write-up that becomes a job under the shop's own
// number, words to it and to all, a profile. And two tablets in one job.
#include <platform/desk/desk.h>
#include <platform/desk/from_shop.h>
#include <platform/desk/profiles.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QFile>
#include <QNetworkAccessManager>
#include <QNetworkReply>
#include <QProcess>
#include <QRegularExpression>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QUrlQuery>

#include <algorithm>

using namespace chockside;

namespace {

constexpr int patience_ms = 30'000;

/// The shop's process, and its page as the keeper uses it.
class Shop {
public:
    bool start()
    {
        process_.setProcessChannelMode(QProcess::MergedChannels);
        process_.start(CHOCKSIDE_BIN_DIR "/chockside-shop", {"--data", dir_.path(), "--listen", "127.0.0.1:0"});
        QElapsedTimer waited;
        for (waited.start(); waited.elapsed() < patience_ms && code().isEmpty() && process_.state() != QProcess::NotRunning;) {
            process_.waitForReadyRead(200);
            said_ += QString::fromUtf8(process_.readAll());
        }
        return !code().isEmpty();
    }
    ~Shop() { stop(); }
    void stop()
    {
        process_.terminate();
        process_.waitForFinished(10'000);
    }
    /// What a tablet handed over, by the command; the receipts for the way back go to `receipts`.
    bool take(const QString& file, const QString& receipts)
    {
        QProcess command;
        command.start(CHOCKSIDE_BIN_DIR "/chockside-shop", {"--data", dir_.path(), "take", file, "--receipts", receipts});
        return command.waitForFinished(patience_ms) && command.exitCode() == 0;
    }
    QString code() const { return QRegularExpression("chockside-enrol:\\S+").match(said_).captured(); }
    QString said() const { return said_; }
    QString url() const { return QRegularExpression("http://127\\.0\\.0\\.1:\\d+").match(said_).captured(); }

    
    QString another_code() { return QRegularExpression("chockside-enrol:[A-Za-z0-9_-]+").match(QString::fromUtf8(post("/shop/tablets", "/shop/tablets/code", {}))).captured(); }

    bool opened()
    {
        const bool runs = start();
        if (runs) sign_in();
        return runs;
    }
    /// The author of the first tablet that the page offers to choose.
    QString first_tablet(const QString& page) { return QRegularExpression("<option value=\"([0-9a-f]+)\"").match(QString::fromUtf8(get(page))).captured(1); }
    QByteArray get(const QString& path) { return answer(page_.get(QNetworkRequest(QUrl(url() + path)))); }
    /// A form of the page at `form`, with its token.
    QByteArray post(const QString& form, const QString& path, const QList<QPair<QString, QString>>& fields)
    {
        const QString html = QString::fromUtf8(get(form));
        QByteArray body;
        const auto add = [&](const QString& name, const QString& value) { body += (body.isEmpty() ? "" : "&") + QUrl::toPercentEncoding(name) + "=" + QUrl::toPercentEncoding(value); };
        add("form_token", QRegularExpression("name=\"form_token\" value=\"([^\"]+)\"").match(html).captured(1));
        for (const auto& [name, value] : fields) add(name, value);
        return sent(path, body);
    }
    void sign_in() { sent("/shop/login", "name=keeper&password=" + QUrl::toPercentEncoding(QRegularExpression("password[^\\S\\n]*:?[^\\S\\n]+(\\S+)").match(said_).captured(1))); }

private:
    QByteArray sent(const QString& path, const QByteArray& body)
    {
        QNetworkRequest request(QUrl(url() + path));
        request.setHeader(QNetworkRequest::ContentTypeHeader, "application/x-www-form-urlencoded");
        request.setRawHeader("Origin", url().toUtf8());
        return answer(page_.post(request, body));
    }
    QByteArray answer(QNetworkReply* reply)
    {
        QEventLoop loop;
        QObject::connect(reply, &QNetworkReply::finished, &loop, &QEventLoop::quit);
        if (!reply->isFinished()) loop.exec();
        const QByteArray all = reply->readAll();
        reply->deleteLater();
        return all;
    }

    QTemporaryDir dir_;
    QProcess process_;
    QString said_;
    QNetworkAccessManager page_;
};

/// A desk and what it told last.
struct Tablet {
    QTemporaryDir dir;
    desk::Desk desk{{dir.path().toStdString(), system::assets_folder()}};
    desk::FromShop from_shop;
    std::vector<journal::JobRow> rows;
    std::vector<desk::ProfileAtHand> profiles;
    std::shared_ptr<const job::JobView> view;
    sync::QueueView queue;
    std::vector<std::string> problems;

    Tablet()
    {
        QObject::connect(&desk, &desk::Desk::from_shop, &desk, [this](const desk::FromShop& f) { from_shop = f; });
        QObject::connect(&desk, &desk::Desk::rows, &desk, [this](const std::vector<journal::JobRow>& r) { rows = r; });
        QObject::connect(&desk, &desk::Desk::profiles, &desk, [this](const std::vector<desk::ProfileAtHand>& p) { profiles = p; });
        QObject::connect(&desk, &desk::Desk::view_changed, &desk, [this](const std::shared_ptr<const job::JobView>& v) { view = v; });
        QObject::connect(&desk, &desk::Desk::queue, &desk, [this](const sync::QueueView& q, const QString&) { queue = q; });
        QObject::connect(&desk, &desk::Desk::problem, &desk, [this](const Problem& p) { problems.push_back(p.code); });
        desk.set_person("LK");
        desk.start();
    }
    bool enrolled(const QString& code)
    {
        desk.enrol_at_shop(code);
        return QTest::qWaitFor([this] { return queue.enrolled && !queue.busy; }, patience_ms);
    }
    bool opens_a_job()
    {
        job::Opening opening;
        opening.tail = "Q4-RMP";
        opening.complaint = "HDG 1 flag";
        opening.complaint_kind = "heading_flag";
        desk.open_new(opening, "LK");
        return QTest::qWaitFor([this] { return view != nullptr; }, patience_ms);
    }
    /// Asks the shop until `holds`; nobody on a ramp would wait for the hour.
    bool gets(const std::function<bool()>& holds)
    {
        QElapsedTimer waited;
        for (waited.start(); waited.elapsed() < patience_ms; QTest::qWait(150)) {
            if (holds()) return true;
            if (!queue.busy) desk.try_shop();
        }
        return false;
    }
};

} // namespace

class TestFromShop : public QObject {
    Q_OBJECT

private slots:
    void what_the_lead_writes_reaches_the_technician()
    {
        Shop shop;
        QVERIFY2(shop.opened(), qPrintable(shop.said()));
        Tablet one;
        QVERIFY(one.enrolled(shop.code()));
        const QString device = shop.first_tablet("/shop/assign");
        QVERIFY2(!device.isEmpty(), shop.get("/shop/assign").constData());

        shop.post("/shop/assign", "/shop/assign", {{"device", device}, {"tail", "Q4-TLN"}, {"title", "HDG 2 flags after rain"}, {"text", "Stand 4 until 18:00."}});
        QVERIFY(one.gets([&] { return one.from_shop.write_ups.size() == 1; }));
        const desk::GivenWriteUp given = one.from_shop.write_ups.front();
        QCOMPARE(given.tail, std::string("Q4-TLN"));
        QCOMPARE(given.title, std::string("HDG 2 flags after rain"));
        QCOMPARE(given.text, std::string("Stand 4 until 18:00."));
        QCOMPARE(given.by, std::string("keeper"));
        QVERIFY(!given.opened);
        QVERIFY(std::ranges::none_of(one.rows, [&](const auto& r) { return r.job == given.job; })); // no job yet

        job::Opening opening;
        opening.tail = given.tail;
        opening.complaint = given.title;
        opening.complaint_kind = "heading_flag";
        opening.given = given.job;
        one.desk.open_new(opening, "LK");
        QTRY_VERIFY_WITH_TIMEOUT(one.view && one.view->job == given.job, patience_ms);
        QVERIFY(one.from_shop.write_ups.front().opened);
        QCOMPARE(one.view->journal.front().text, std::string("Given by the shop, keeper: HDG 2 flags after rain"));
        one.desk.open_new(opening, "LK");
        QTRY_VERIFY_WITH_TIMEOUT(std::ranges::count(one.problems, "already_opened") == 1, patience_ms);

        // The page knows the job under the same number; the reply comes into the open job.
        const QString page = "/shop/jobs/" + QString::fromStdString(given.job);
        QVERIFY(one.gets([&] { return shop.get(page).contains("Write-up taken"); }));
        shop.post(page, page + "/reply", {{"text", "The loan unit is on the way."}});
        QVERIFY(one.gets([&] { return std::ranges::any_of(one.view->journal, [](const auto& l) { return l.text == "The shop, keeper: The loan unit is on the way."; }); }));
        QCOMPARE(one.from_shop.words.front().tail, std::string("Q4-TLN"));

        // After a restart all of it stands, and the job opens.
        one.desk.open_job(QString::fromStdString(given.job));
        QTRY_VERIFY_WITH_TIMEOUT(one.view && one.view->journal.size() >= 3, patience_ms);

        // A published profile is at hand and takes the place of the one it revises.
        system::SystemDisk disk;
        auto bundle = desk::bundled_bytes(disk, system::assets_folder(), "sandgrouse_12_ramp");
        QVERIFY(bundle);
        const std::string id = (*desk::parse_bundle(*bundle))->id;
        shop.post("/shop/profiles", "/shop/profiles", {{"bundle", QString::fromStdString(*bundle)}});
        QVERIFY(one.gets([&] {
            one.desk.list_profiles();
            return std::ranges::any_of(one.profiles, [](const auto& p) { return p.published; });
        }));
        QCOMPARE(std::ranges::count(one.profiles, id, &desk::ProfileAtHand::id), 1);
        const auto published = std::ranges::find(one.profiles, id, &desk::ProfileAtHand::id);
        opening.given.clear();
        one.desk.open_new(opening, "LK", QString::fromStdString(published->name));
        QTRY_VERIFY_WITH_TIMEOUT(one.view && one.view->job != given.job, patience_ms);
    }

    // A profile counts as signed where the shop's own chain names its digest, in whichever revision.
    void only_what_the_shop_published_is_published()
    {
        QTemporaryDir dir;
        system::SystemDisk disk;
        system::SystemClock clock;
        trust::SystemRandom random;
        const auto store = std::move(*journal::Store::open(disk, clock, random, {dir.path().toStdString(), false, 0, "this"}));
        for (const int revision : {1, 2}) {
            journal::Draft d;
            d.kind = "profile";
            d.body = json::Object{{"name", "ramp"}, {"revision", revision}, {"sha256", "digest" + std::to_string(revision)}};
            QVERIFY(store->append("shop", std::to_string(revision), std::span(&d, 1)));
        }
        const auto is = [&](const std::vector<std::string>& authors, const char* digest) { return *desk::published(*store, authors, digest); };
        QVERIFY(is({store->author()}, "digest1") && is({store->author()}, "digest2"));
        QVERIFY(!is({store->author()}, "digest3"));
        QVERIFY(!is({}, "digest1") && !is({"somebody"}, "digest1"));
    }

    // Days without a network: what the tablet wrote goes to the shop as a file, and the write-up that waits there comes back with the receipts.
    void a_write_up_comes_back_with_the_receipts()
    {
        Shop shop;
        QVERIFY2(shop.opened(), qPrintable(shop.said()));
        Tablet one;
        QVERIFY(one.enrolled(shop.code()));
        const QString device = shop.first_tablet("/shop/assign");
        shop.post("/shop/assign", "/shop/assign", {{"device", device}, {"tail", "Q4-WHM"}, {"title", "ATT 1 slow to erect"}, {"text", ""}});
        shop.stop();
        QVERIFY(one.opens_a_job());
        QString file;
        connect(&one.desk, &desk::Desk::carried, &one.desk, [&](const desk::Carrying& c) { file = c.file; });
        QTRY_VERIFY_WITH_TIMEOUT(!one.queue.busy, patience_ms);
        one.desk.carry(one.dir.filePath("exchange"));
        QTRY_VERIFY_WITH_TIMEOUT(!file.isEmpty(), patience_ms);
        QVERIFY(shop.take(file, one.dir.filePath("exchange/back.receipts")));
        QVERIFY(one.from_shop.write_ups.empty());
        // A file that was harmed is named, and keeps no other from being read; a contact that is on is waited for.
        QFile harmed(one.dir.filePath("exchange/a-harmed.receipts"));
        QVERIFY(harmed.open(QIODevice::WriteOnly) && harmed.write("{\"format\":") > 0);
        harmed.close();
        QSignalSpy back(&one.desk, &desk::Desk::taken_back), wrong(&one.desk, &desk::Desk::problem);
        one.desk.try_shop();
        one.desk.take_back(one.dir.filePath("exchange"));
        QTRY_COMPARE_WITH_TIMEOUT(back.count(), 1, patience_ms);
        QCOMPARE(back.front().front().toInt(), 1);
        QTRY_VERIFY_WITH_TIMEOUT(!wrong.isEmpty(), patience_ms);
        QCOMPARE(wrong.back().front().value<Problem>().code, std::string("bad_receipts"));
        QCOMPARE(wrong.back().front().value<Problem>().place, std::string("a-harmed.receipts"));
        QTRY_COMPARE_WITH_TIMEOUT(one.from_shop.write_ups.size(), std::size_t(1), patience_ms);
        QCOMPARE(one.from_shop.write_ups.front().tail, std::string("Q4-WHM"));
        QVERIFY(one.queue.at_shop > 0);
    }

    // Without their bodies the entries say nothing: what stands open stays open, and what came is read when somebody's PIN opens it.
    void a_word_that_comes_while_locked_undoes_nothing()
    {
        Shop shop;
        QVERIFY2(shop.opened(), qPrintable(shop.said()));
        Tablet one;
        QVERIFY(one.enrolled(shop.code()));
        bool locked = false;
        QObject::connect(&one.desk, &desk::Desk::locked, &one.desk, [&](bool is, const QStringList&) { locked = is; });
        QVERIFY(one.opens_a_job());
        const QString page = "/shop/jobs/" + QString::fromStdString(one.view->job);
        const auto does = [&](const char* kind, json::Object args, const char* pin = "") {
            job::Command command;
            command.kind = kind;
            command.args = json::Value(std::move(args));
            command.person = "LK";
            command.pin = pin;
            one.desk.submit(command);
        };
        does("sign", {{"meaning", "worked"}, {"words", "Work done as written"}, {"name", "L. Kestrel (invented)"}, {"certificate_kind", "mechanic"}, {"certificate_number", "1"}}, "480215");
        for (const char* breaker : {"ref_1", "ref_2"}) does("did", {{"verb", "breaker"}, {"of", breaker}, {"to", "collared"}});
        QTRY_COMPARE_WITH_TIMEOUT(one.view->open.size(), std::size_t(2), patience_ms);
        QVERIFY(one.gets([&] { return one.queue.at_shop == one.queue.entries && !one.queue.busy; }));
        one.desk.lock(false);
        QTRY_VERIFY_WITH_TIMEOUT(locked, patience_ms);
        shop.post(page, page + "/reply", {{"text", "The loan unit is on the way."}});
        const int before = one.view->entries;
        for (int i = 0; i < 8; ++i) {
            if (!one.queue.busy) one.desk.try_shop();
            QTest::qWait(250);
        }
        QCOMPARE(one.view->open.size(), std::size_t(2));
        QCOMPARE(one.view->tail, std::string("Q4-RMP"));
        one.desk.unlock("LK", "480215");
        QTRY_VERIFY_WITH_TIMEOUT(!locked, patience_ms);
        QTRY_VERIFY_WITH_TIMEOUT(one.view->entries > before, patience_ms); // and is read now
        QCOMPARE(one.view->open.size(), std::size_t(2));
        QCOMPARE(one.view->tail, std::string("Q4-RMP"));
        QVERIFY(!one.rows.empty() && one.rows.front().tail == "Q4-RMP");
    }

    // A change of shift: the lead gives the job to a second tablet, which opens it with its profile and works on; the first sees what it did.
    void two_tablets_work_one_job()
    {
        Shop shop;
        QVERIFY2(shop.opened(), qPrintable(shop.said()));
        Tablet one, two;
        QVERIFY(one.enrolled(shop.code()));
        QVERIFY(one.opens_a_job());
        const QString job = QString::fromStdString(one.view->job), page = "/shop/jobs/" + job;
        QVERIFY(one.gets([&] { return shop.get(page).contains("Write-up taken"); }));

        two.desk.set_person("JR");
        QVERIFY(two.enrolled(shop.another_code()));
        const QString device = shop.first_tablet(page);
        QVERIFY(!device.isEmpty());
        shop.post(page, page + "/give", {{"device", device}});
        QVERIFY(!shop.get(page).contains("Give to this tablet too")); // all have it
        const auto in_the_list = [&] { return std::ranges::any_of(two.rows, [&](const auto& r) { return r.job == job.toStdString() && r.tail == "Q4-RMP" && !r.status.empty(); }); };
        QVERIFY(two.gets(in_the_list));
        two.desk.open_job(job);
        QTRY_VERIFY_WITH_TIMEOUT(two.view && two.view->job == job.toStdString(), patience_ms);
        QCOMPARE(two.view->complaint, one.view->complaint);

        job::Command note;
        note.kind = "note";
        note.args = json::Object{{"text", "Took over at six"}};
        two.desk.submit(note);
        const auto sees = [](const Tablet& t) { return std::ranges::any_of(t.view->journal, [](const auto& l) { return l.text == "Took over at six"; }); };
        QTRY_VERIFY_WITH_TIMEOUT(sees(two), patience_ms);
        QVERIFY(two.gets([&] { return two.queue.at_shop == two.queue.entries; }));
        QVERIFY(one.gets([&] { return sees(one); }));
        shop.post(page, page + "/reply", {{"text", "Well done, both"}});
        for (Tablet* t : {&one, &two}) QVERIFY(t->gets([&] { return !t->from_shop.words.empty() && t->from_shop.words.front().text == "Well done, both"; }));
    }
};

CHOCKSIDE_TEST(TestFromShop)
#include "tst_from_shop.moc"
