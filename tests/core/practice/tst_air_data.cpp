#include <core/practice/eyes.h>
#include <core/practice/hands.h>
#include <core/practice/profile_wire.h>
#include <core/practice/scenario.h>
#include <core/profile/load.h>

#include <tests/support/test_main.h>

#include <fstream>
#include <sstream>

using namespace chockside;
using namespace chockside::practice;

// What the aircraft of PRU-9 shows at a stand of 298.7 m (980 ft). Expected feet are worked outside the project from the U.S. Standard
// Atmosphere, 1976: H = (1 - (p / 101325)^(1/5.255876)) 288.15 / 0.0065 m, one foot 0.3048 m, one inch of water 249.1 Pa.
class TestAirData : public QObject {
    Q_OBJECT
private slots:
    void a_sound_aircraft_agrees_with_its_stand();
    void water_takes_both_altimeters_down();
    void a_drifting_cell_takes_one_and_a_new_unit_cures_it();
    void a_wrong_setting_shifts_one();
    void a_leak_shows_to_the_tester_alone();
    void an_open_heater_draws_nothing();
    void each_unit_is_cured_by_a_change_of_itself();
};

namespace {

json::Value read_json(const std::string& path)
{
    std::stringstream text;
    text << std::ifstream(std::string(CHOCKSIDE_SOURCE_DIR "/assets/") + path).rdbuf();
    return json::read(text.str()).value();
}

ProfileWire pru_9()
{
    const auto half = profile::load_half(json::write(read_json("profiles/pru_9.unit.json")), profile::Half::unit);
    return std::move(*ProfileWire::make(codec::Plan::compile(half.profile.unit).value()));
}

Scenario scenario(std::vector<Effect> effects)
{
    const json::Value base = read_json("practice/sandgrouse_12.practice.json");
    Scenario s{Book::read(json::write(base)).value().world(), {}, 7};
    s.world.elevation_m = 298.7;
    s.world.unit_name = "PRU-9";
    s.world.serials = {{"PRU-9", "900147"}, {"PSP-4", "P4-0071"}};
    s.world.spare_unit = "900218";
    s.world.spare_sensor = "P4-0093";
    s.fault.effects = std::move(effects);
    return s;
}

Aircraft with(std::vector<Effect> effects)
{
    Aircraft a(scenario(std::move(effects)), pru_9());
    a.run(1);
    return a;
}

Effect effect(const std::string& kind, std::map<std::string, double> number, const std::string& cured_by)
{
    return {kind, std::move(number), {}, cured_by};
}

double alt_1(Aircraft& a)
{
    return Eyes(a).altimeters()["ALT 1"]["altitude"].as_double(-1e6);
}

double standby(Aircraft& a)
{
    return Eyes(a).altimeters()["standby"]["altitude"].as_double(-1e6);
}

bool near(double a, double b, double by)
{
    return std::abs(a - b) <= by;
}

} // namespace

void TestAirData::a_sound_aircraft_agrees_with_its_stand()
{
    Aircraft a = with({});
    QCOMPARE(Eyes(a).altimeters()["elevation"].as_double(), 980.0);
    QVERIFY(near(alt_1(a), 980, 10));
    QVERIFY(near(standby(a), 980, 30));
    QCOMPARE(Eyes(a).showing()["is"].as_text(), std::string("not_showing"));
    Hands(a).breaker("REF 1", "pulled");
    a.run(1);
    QVERIFY(Eyes(a).altimeters()["ALT 1"]["flag"].as_bool());
    QVERIFY(near(standby(a), 980, 30));
}

// Three inches of water are 747 Pa; 97788 Pa at the stand become 98535 Pa, which is 771 ft.
void TestAirData::water_takes_both_altimeters_down()
{
    Aircraft a = with({effect("static_water", {{"pa", 747}}, "drain static line")});
    QVERIFY(near(alt_1(a), 771, 10));
    QVERIFY(near(standby(a), 771, 30));
    QCOMPARE(Eyes(a).look("DRAIN")["is"].as_text(), std::string("no_access"));
    Hands hands(a);
    hands.panel("Nose rack door", true);
    QVERIFY(Eyes(a).look("DRAIN")["wet"].as_bool());
    hands.repair("drain static line");
    a.run(1);
    QVERIFY(!Eyes(a).look("DRAIN")["wet"].as_bool());
    QVERIFY(near(alt_1(a), 980, 10));
}

// 600 Pa too little: 97188 Pa are 1150 ft.
void TestAirData::a_drifting_cell_takes_one_and_a_new_unit_cures_it()
{
    Aircraft a = with({effect("static_drift", {{"pa", -600}, {"seconds", 80}}, "replace unit")});
    QVERIFY2(near(alt_1(a), 1150, 10), std::to_string(alt_1(a)).c_str());
    QVERIFY(near(standby(a), 980, 30));
    QCOMPARE(Eyes(a).showing()["is"].as_text(), std::string("showing"));
    Hands hands(a);
    hands.power(false);
    hands.repair("replace unit");
    hands.power(true);
    a.run(200);
    QVERIFY(near(alt_1(a), 980, 10));
    QCOMPARE(Eyes(a).serials()["PRU-9"].as_text(), std::string("900218"));
}

// Set to 1003.25: 100325 Pa are 274 ft on the scale, by which the altimeter reads less.
void TestAirData::a_wrong_setting_shifts_one()
{
    Aircraft a = with({effect("baro_set", {{"off_hpa", -10}}, "set baro")});
    QVERIFY2(near(alt_1(a), 980 - 274, 10), std::to_string(alt_1(a)).c_str());
    QCOMPARE(Eyes(a).baro()["is"].as_text(), std::string("wrong"));
    Hands(a).repair("set baro");
    a.run(1);
    QCOMPARE(Eyes(a).baro()["is"].as_text(), std::string("right"));
    QVERIFY(near(alt_1(a), 980, 10));
}

// 14 CFR 25.1325(c)(2)(i): no more than 100 ft in one minute.
void TestAirData::a_leak_shows_to_the_tester_alone()
{
    Aircraft a = with({effect("static_leak", {{"ft_min", 340}}, "tighten static fitting")});
    QVERIFY(near(alt_1(a), 980, 10));
    Eyes eyes(a);
    QCOMPARE(eyes.meter().leak("static line").is, std::string("no_access"));
    Hands hands(a);
    hands.fit("Static tester", true);
    QVERIFY(eyes.meter().leak("static line").value > 100);
    hands.repair("tighten static fitting");
    QVERIFY(eyes.meter().leak("static line").value < 100);
}

void TestAirData::an_open_heater_draws_nothing()
{
    Aircraft sound = with({}), open = with({effect("heater_open", {}, "replace PSP-4")});
    for (Aircraft* a : {&sound, &open}) Hands(*a).load("PITOT HT", true), a->run(5);
    const double amps = Eyes(sound).meter().amps("PITOT HT feed").value;
    QVERIFY2(near(amps, 13.5, 1.0), std::to_string(amps).c_str()); // 28 V less 1 V in the feed, over 2 ohm
    QVERIFY(near(Eyes(open).meter().amps("PITOT HT feed").value, 0, 0.1));
    Hands hands(open);
    hands.power(false);
    hands.repair("replace PSP-4");
    hands.power(true);
    open.run(5);
    QVERIFY(near(Eyes(open).meter().amps("PITOT HT feed").value, 13.5, 1.0));
    QCOMPARE(Eyes(open).serials()["PSP-4"].as_text(), std::string("P4-0093"));
}

void TestAirData::each_unit_is_cured_by_a_change_of_itself()
{
    for (const char* name : {"PRU-2", "PRU-9"}) {
        Scenario s = scenario({effect("input_stage", {{"channel", 1}}, "replace unit")});
        s.world.unit_name = name;
        Aircraft a(s);
        Hands(a).repair("replace " + std::string(name == std::string("PRU-2") ? "PRU-9" : "PRU-2"));
        QVERIFY(!a.parts().defects.all().empty());
        Hands(a).repair(std::string("replace ") + name);
        QVERIFY(a.parts().defects.all().empty());
    }
}

CHOCKSIDE_TEST(TestAirData)
#include "tst_air_data.moc"
