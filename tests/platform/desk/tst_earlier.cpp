// What the same aircraft had before is told from this device's own jobs.
#include <platform/desk/desk.h>
#include <platform/desk/engine.h>
#include <platform/desk/profiles.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QTemporaryDir>

using namespace chockside;

namespace {

constexpr std::int64_t day_ms = 86'400'000;

/// The day of the test, moved by hand.
struct MovedClock final : Clock {
    Now at{1'790'000'000'000, 0, "boot"};
    Now now() const override { return at; }
};

} // namespace

class TestEarlier : public QObject {
    Q_OBJECT

private slots:
    void init()
    {
        dir_ = std::make_unique<QTemporaryDir>();
        auto store = journal::Store::open(disk_, clock_, random_, {dir_->path().toStdString(), false, 0, "this"});
        QVERIFY(store);
        engine_ = std::make_unique<desk::Engine>(std::move(*store), clock_);
    }

    void the_third_of_a_kind_in_ten_days_goes_to_the_lead()
    {
        const auto open = [&](const char* tail, const char* kind, bool practice = false) {
            const auto bytes = desk::bundled_bytes(disk_, system::assets_folder(), "sandgrouse_12_ramp");
            const auto profile = desk::parse_bundle(*bytes);
            job::Opening o;
            o.tail = tail, o.complaint = "HDG 2 flag", o.complaint_kind = kind, o.practice = practice;
            auto opened = engine_->write_new(*profile, *bytes, o, "LK");
            QVERIFY(opened);
            engine_->enter_new(std::move(*opened), "LK");
            engine_->look_back([&](const std::string& sha) { return desk::load_bundled(disk_, system::assets_folder(), "sandgrouse_12_ramp", engine_->store(), sha); });
        };
        const auto days = [&](int n) { clock_.at.utc_ms += n * day_ms; };
        open("Q4-RMP", "heading_flag");
        QVERIFY(engine_->view().earlier.empty());
        days(5), open("Q4-RMX", "heading_flag"); // another aircraft
        QVERIFY(engine_->view().earlier.empty());
        open("Q4-RMP", "heading_flag", true);    // practice stands apart
        QVERIFY(engine_->view().earlier.empty());
        days(1), open("Q4-RMP", "heading_error");
        QCOMPARE(engine_->view().earlier.size(), std::size_t{1});
        QVERIFY(!engine_->view().earlier[0].same_kind);
        QCOMPARE(engine_->view().earlier_says, std::string());
        days(1), open("Q4-RMP", "heading_flag");
        QVERIFY(!engine_->view().earlier_to_lead);
        QCOMPARE(engine_->view().earlier_says, std::string("1 of this kind before"));
        days(2), open("Q4-RMP", "heading_flag");
        const auto third = engine_->view();
        QVERIFY(third.earlier_to_lead);
        QCOMPARE(third.earlier.size(), std::size_t{3});
        QCOMPARE(third.earlier[0].came_to, std::string("still open"));
        QVERIFY(third.earlier[0].opened_ms > third.earlier[1].opened_ms && third.earlier[1].opened_ms > third.earlier[2].opened_ms);
        days(30), open("Q4-RMP", "heading_flag");
        QVERIFY(!engine_->view().earlier_to_lead);
    }

private:
    system::SystemDisk disk_;
    MovedClock clock_;
    trust::SystemRandom random_;
    std::unique_ptr<QTemporaryDir> dir_;
    std::unique_ptr<desk::Engine> engine_;
};

CHOCKSIDE_TEST(TestEarlier)
#include "tst_earlier.moc"
