// The port check against the practice aircraft on a pseudo-terminal, with the faults of a line that a person would meet.
#include <platform/desk/port_look.h>

#include <core/profile/load.h>
#include <platform/cli/command.h>
#include <platform/practice/client.h>
#include <platform/practice/load_book.h>
#include <platform/practice/server.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QTemporaryDir>

using namespace chockside;

namespace {

const char* profile_path = CHOCKSIDE_SOURCE_DIR "/assets/profiles/sandgrouse_12_ramp.json";

std::string gap_of(const link::PortFacts& facts, const profile::Profile& profile)
{
    const auto steps = link::check_port(facts, profile);
    const auto* gap = link::first_gap(steps);
    return gap ? gap->id : "none";
}

} // namespace

class TestPortLook : public QObject {
    Q_OBJECT
    QTemporaryDir folder_;
    std::shared_ptr<const profile::Profile> profile_;
    std::unique_ptr<practice::Server> server_;
    std::unique_ptr<practice::Client> hands_;
    QString port_;

    std::shared_ptr<const codec::Plan> plan(int rate = 115200) const
    {
        profile::Unit unit = profile_->unit;
        unit.line.rate = rate;
        const auto compiled = codec::Plan::compile(unit);
        return compiled ? *compiled : nullptr;
    }

private slots:
    void initTestCase()
    {
        const auto profile = cli::usable_profile(profile_path);
        QVERIFY(profile.has_value());
        profile_ = *profile;
        system::SystemDisk disk;
        const auto book = practice::load_book(disk, profile_path);
        QVERIFY(book.has_value());
        practice::ServerOptions options;
        options.socket_path = folder_.filePath(QStringLiteral("hands")).toStdString();
        auto server = practice::Server::open(*book->scenario("nothing", 3), options);
        QVERIFY(server.has_value());
        server_ = std::move(*server);
        server_->start();
        hands_ = std::move(practice::Client::connect(options.socket_path).value());
        port_ = QString::fromStdString(server_->pty_path());
    }

    void a_port_that_is_not_there()
    {
        QCOMPARE(gap_of(desk::look_at_port(QStringLiteral("/dev/ttyNotThere7"), plan(), 0.5), *profile_), std::string("port"));
    }

    void no_cable_is_silence()
    {
        QVERIFY(hands_->ask(json::Object{{"hand", "cable"}, {"to", "none"}}).has_value());
        QCOMPARE(gap_of(desk::look_at_port(port_, plan(), 1), *profile_), std::string("bytes"));
    }

    void the_right_line_has_no_gap()
    {
        QVERIFY(hands_->ask(json::Object{{"hand", "cable"}, {"to", "J5A"}}).has_value());
        const auto facts = desk::look_at_port(port_, plan(), 2);
        QCOMPARE(gap_of(facts, *profile_), std::string("none"));
        QVERIFY(facts.good_frames > 20);
    }

    void a_wrong_rate_is_named_with_the_right_one()
    {
        const auto facts = desk::look_at_port(port_, plan(9600), 1);
        QCOMPARE(gap_of(facts, *profile_), std::string("rate"));
        QVERIFY(facts.rate_that_fits.has_value());
        QCOMPARE(*facts.rate_that_fits, 115200);
    }

    void an_unknown_stream_is_identified()
    {
        const auto samples = desk::take_samples(port_, {9600, 57600, 115200}, 1);
        QVERIFY(samples.has_value());
        const auto guesses = link::identify(*samples);
        QVERIFY(!guesses.empty());
        QCOMPARE(guesses[0].rate, 115200);
        QCOMPARE(guesses[0].framing, std::string("slip"));
        QCOMPARE(guesses[0].checksum, std::string("CRC-16/IBM-3740"));
    }
};

CHOCKSIDE_TEST(TestPortLook)
#include "tst_port_look.moc"
