// The desk's own way to a shop that really runs: the receiver as its own process on loopback, entries sent without anybody tapping.
#include <core/sync/handover.h>
#include <platform/desk/desk.h>
#include <platform/desk/shop_link.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QProcess>
#include <QRegularExpression>
#include <QTemporaryDir>

using namespace chockside;

namespace {

constexpr int patience_ms = 20'000;

struct Shop {
    QTemporaryDir dir;
    QProcess process;
    QString said;

    bool start(const QString& listen = "127.0.0.1:0")
    {
        process.setProcessChannelMode(QProcess::MergedChannels);
        process.start(CHOCKSIDE_BIN_DIR "/chockside-shop", {"--data", dir.path(), "--listen", listen});
        QElapsedTimer waited;
        for (waited.start(); waited.elapsed() < patience_ms && code().isEmpty() && process.state() != QProcess::NotRunning;) {
            process.waitForReadyRead(200);
            said += QString::fromUtf8(process.readAll());
        }
        return process.state() == QProcess::Running;
    }
    QString code() const { return QRegularExpression("chockside-enrol:\\S+").match(said).captured(); }
    ~Shop()
    {
        process.terminate();
        process.waitForFinished(5000);
    }
};

struct Tablet {
    QTemporaryDir dir;
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::unique_ptr<journal::Store> store = std::move(*journal::Store::open(disk, clock, random, {dir.path().toStdString(), false, 0}));
    std::unique_ptr<desk::ShopLink> link = std::make_unique<desk::ShopLink>(*store, clock, random, "tablet 4");

    void write(int n)
    {
        for (int i = 0; i < n; ++i) {
            journal::Draft d;
            d.kind = "note";
            d.body = json::Object{{"text", "reading " + std::to_string(i)}};
            (void)store->append("job", {}, std::span(&d, 1));
        }
        link->entries_written();
    }
};

} // namespace

class TestShopLink : public QObject {
    Q_OBJECT

private slots:
    void without_a_shop_nothing_is_tried()
    {
        Tablet tablet;
        tablet.link->start();
        tablet.write(2);
        QTest::qWait(50);
        QVERIFY(tablet.link->shop().empty());
        QCOMPARE(tablet.link->view().next_try_ms, std::int64_t(-1));
        QCOMPARE(tablet.link->enrol("no code").error().code, std::string("bad_code"));
    }

    void entries_go_by_themselves_and_a_restart_goes_on()
    {
        Shop shop;
        QVERIFY(shop.start());
        QVERIFY(!shop.code().isEmpty());
        Tablet tablet;
        tablet.link->start();
        tablet.write(30);
        QVERIFY(tablet.link->enrol(shop.code().toStdString()));
        QTRY_COMPARE_WITH_TIMEOUT(tablet.link->view().at_shop, std::int64_t(30), patience_ms);
        QVERIFY(tablet.link->view().enrolled);

        tablet.write(5); // nobody asks for a contact
        QTRY_COMPARE_WITH_TIMEOUT(tablet.link->view().at_shop, std::int64_t(35), patience_ms);

        tablet.link = std::make_unique<desk::ShopLink>(*tablet.store, tablet.clock, tablet.random, "tablet 4");
        tablet.link->start();
        QCOMPARE(tablet.link->view().at_shop, std::int64_t(35));
        tablet.write(1);
        QTRY_COMPARE_WITH_TIMEOUT(tablet.link->view().at_shop, std::int64_t(36), patience_ms);
    }

    void what_a_locked_tablet_sends_is_made_whole_after_the_pin()
    {
        Shop shop;
        QVERIFY(shop.start());
        Tablet tablet;
        const auto person = trust::KeyPair::make(tablet.random);
        QVERIFY(tablet.store->add_holder(to_hex(person.public_key())));
        tablet.link->start();
        QVERIFY(tablet.link->enrol(shop.code().toStdString()));
        QTRY_VERIFY_WITH_TIMEOUT(tablet.link->view().enrolled, patience_ms);
        QVERIFY(tablet.store->lock());
        tablet.write(4);
        QTRY_COMPARE_WITH_TIMEOUT(tablet.link->view().at_shop, std::int64_t(4), patience_ms);
        QVERIFY(tablet.store->unlock(person));
        tablet.link->unlocked();
        QTRY_VERIFY_WITH_TIMEOUT(tablet.link->view().lacking == 0 && !tablet.link->view().busy && tablet.link->view().reason.empty(), patience_ms);
        shop.process.terminate();
        QVERIFY(shop.process.waitForFinished(patience_ms));
        QProcess verify;
        verify.start(CHOCKSIDE_BIN_DIR "/chockside-shop", {"--data", shop.dir.path(), "verify"});
        QVERIFY(verify.waitForFinished(patience_ms));
        QVERIFY2(verify.exitCode() == 0, verify.readAll().constData());
    }

    void a_wrong_code_during_a_request_ends_nothing()
    {
        Shop shop;
        QVERIFY(shop.start());
        Tablet tablet;
        tablet.link->start();
        QVERIFY(tablet.link->enrol(shop.code().toStdString()));
        QTRY_VERIFY_WITH_TIMEOUT(tablet.link->view().enrolled && !tablet.link->view().busy, patience_ms);
        tablet.link->try_now();
        QVERIFY(tablet.link->view().busy);
        QCOMPARE(tablet.link->enrol("no code").error().code, std::string("bad_code"));
        tablet.write(1);
        QTRY_COMPARE_WITH_TIMEOUT(tablet.link->view().at_shop, std::int64_t(1), patience_ms);
    }

    void files_from_the_shop_are_found_by_both_endings()
    {
        QTemporaryDir data, stick;
        desk::Desk desk{{data.path().toStdString(), system::assets_folder()}};
        std::vector<int> read;
        std::vector<std::string> problems;
        connect(&desk, &desk::Desk::taken_back, &desk, [&](int files) { read.push_back(files); });
        connect(&desk, &desk::Desk::problem, &desk, [&](const Problem& p) { problems.push_back(p.code); });
        desk.start();
        desk.take_back(stick.path());
        desk.take_back(stick.filePath("not there"));
        QTRY_COMPARE_WITH_TIMEOUT(read, std::vector<int>({0, 0}), patience_ms);
        system::SystemDisk disk;
        const std::string text = sync::text(sync::ReceiptFile{});
        for (const char* name : {"0123abcd-17.receipts", "receipts.chockside-receipts", "receipts.txt"}) QVERIFY(disk.write_whole(stick.filePath(name).toStdString(), as_bytes(text)));
        desk.take_back(stick.path());
        QTRY_COMPARE_WITH_TIMEOUT(read, std::vector<int>({0, 0, 2}), patience_ms);
        QVERIFY2(problems.empty(), problems.empty() ? "" : problems.front().c_str());
    }

    void a_shop_that_is_away_is_said_and_tried_again()
    {
        Tablet tablet;
        {
            Shop shop;
            QVERIFY(shop.start());
            tablet.link->start();
            QVERIFY(tablet.link->enrol(shop.code().toStdString()));
            QTRY_VERIFY_WITH_TIMEOUT(tablet.link->view().enrolled && !tablet.link->view().busy, patience_ms);
        }
        tablet.write(1);
        QTRY_COMPARE_WITH_TIMEOUT(tablet.link->view().reason, std::string("no_route"), patience_ms);
        QVERIFY(tablet.link->view().next_try_ms >= 0);
        QCOMPARE(tablet.link->view().at_shop, std::int64_t(0));
    }
};

CHOCKSIDE_TEST(TestShopLink)
#include "tst_shop_link.moc"
