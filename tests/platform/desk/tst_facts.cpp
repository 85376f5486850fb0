#include <platform/desk/facts.h>
#include <platform/desk/profiles.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

using namespace chockside;

class TestFacts : public QObject {
    Q_OBJECT
private slots:
    void only_a_unit_that_tells_its_alignment_is_asked_for_it();
    void a_reference_names_its_signal();
};

namespace {

profile::Profile bundled(const std::string& name)
{
    system::SystemDisk disk;
    return **desk::parse_bundle(desk::bundled_bytes(disk, CHOCKSIDE_SOURCE_DIR "/assets", name).value());
}

watch::LiveSnapshot heard(std::optional<bool> aligned)
{
    watch::LiveSnapshot s;
    s.link = watch::LinkState::good;
    s.uptime_s = 12;
    s.aligned = aligned;
    return s;
}

} // namespace

void TestFacts::only_a_unit_that_tells_its_alignment_is_asked_for_it()
{
    const auto pru_2 = bundled("sandgrouse_12_ramp");
    QVERIFY(!desk::facts_of(pru_2, heard(std::nullopt)).aligned);
    QVERIFY(!desk::facts_of(pru_2, heard(false)).aligned);
    QVERIFY(desk::facts_of(pru_2, heard(true)).aligned);
    for (const char* name : {"sandgrouse_12_pru_5", "sandgrouse_12_pru_7", "sandgrouse_12_pru_9"}) QVERIFY2(desk::facts_of(bundled(name), heard(std::nullopt)).aligned, name);
}

void TestFacts::a_reference_names_its_signal()
{
    QCOMPARE(desk::signal_of("word:heading"), std::string("word.heading"));
    QCOMPARE(desk::signal_of("frame:status.supply"), std::string("status.supply"));
    QCOMPARE(desk::signal_of("discrete:heading_flag"), std::string("heading_flag"));
    QCOMPARE(desk::signal_of("any"), std::string("any"));
}

CHOCKSIDE_TEST(TestFacts)
#include "tst_facts.moc"
