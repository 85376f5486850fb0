// Signatures that the physics has to produce by itself. Figures with a source outside the project stand beside it; those of the fault
// library were computed there apart from this code.
#include <core/airdata/standard.h>
#include <core/campaign/faults.h>
#include <core/campaign/laws.h>
#include <core/campaign/turn.h>

#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::campaign;
using airdata::airspeed_kt;
using airdata::impact_pa;
using airdata::pressure_pa;

class TestPhysics : public QObject {
    Q_OBJECT
private slots:
    void water_heads();
    void pitot_open_and_static_at_height();
    void current_past_the_sensor();
    void free_gyro_drifts_at_earth_rate();
    void breaker_contact_takes_the_volts_under_load();
    void wet_plug_dries();
    void second_feed_is_missed_only_at_start();
    void exchanged_legs_turn_backwards();
    void another_tails_calibration_is_one_cycle();
    void nothing_wrong_shows_nothing();
};

void TestPhysics::water_heads()
{
    Truth t;
    t.air.static_water_in = 3;
    Setting s = on_stand(t);
    s.altitude_ft = 0;
    QVERIFY2(std::abs(std::abs(errors(t, s).altitude_ft) - 204) < 2, qPrintable(QString::number(errors(t, s).altitude_ft))); // library, scenario 23
    // One inch in the pitot line: 9 kt at 80 kt, 5 kt at 150 kt (library, N6).
    QVERIFY(std::abs(airspeed_kt(impact_pa(80) + water_pa(1)) - 80 - 9) < 0.7);
    QVERIFY(std::abs(airspeed_kt(impact_pa(150) + water_pa(1)) - 150 - 5) < 0.7);
}

void TestPhysics::pitot_open_and_static_at_height()
{
    // Library, section 7: 148, 315 and 519 kt at 1000, 5000 and 18 000 ft, stand at sea level; scenario 25: 207 kt at 2000 ft.
    const auto reads = [](double ft) { return airspeed_kt(101325 - pressure_pa(ft)); };
    QVERIFY(std::abs(reads(1000) - 148) < 2);
    QVERIFY(std::abs(reads(2000) - 207) < 2);
    QVERIFY(std::abs(reads(5000) - 315) < 2);
    QVERIFY(std::abs(reads(18000) - 519) < 2);
}

void TestPhysics::current_past_the_sensor()
{
    QVERIFY(std::abs(wire_field_nt(5, 0.6) - 1667) < 1); // library, scenario 14; Ampere's law
    Truth t;
    t.magnetics.loop_a = 5;
    Setting off = on_stand(t), on = off;
    on.lights = true;
    double most = 0;
    for (double h = 0; h < 360; h += 5) {
        const double d = std::abs(indicated_heading(t, on, h) - indicated_heading(t, off, h));
        most = std::max(most, std::min(d, 360 - d));
    }
    QVERIFY(std::abs(most - 4.8) < 0.1); // library, scenario 14: up to 4.8 deg in 20 000 nT
}

void TestPhysics::free_gyro_drifts_at_earth_rate()
{
    QVERIFY(std::abs(earth_drift_dph(35) - 8.6) < 0.05);  // library, O1
    QVERIFY(std::abs(earth_drift_dph(50) - 11.5) < 0.05);
}

void TestPhysics::breaker_contact_takes_the_volts_under_load()
{
    Truth t;
    t.supply.breaker_ohm = 0.9;
    t.supply.source_ohm = (28.0 - 24.2) / 35; // scenario 2: the bus falls to 24.2 V with the heater on
    Setting on = on_stand(t);
    on.heater = true;
    QVERIFY(std::abs(bus_volts(t, on) - 24.2) < 0.05);
    QVERIFY(std::abs(plug_volts(t, on) - 21.9) < 0.1);
    QVERIFY(losses(t, on).power >= always);
    QVERIFY(losses(t, on_stand(t)).power < 1);
}

void TestPhysics::wet_plug_dries()
{
    Truth t;
    Line& plug = t.at(Place::p9);
    plug.wet = 1; // scenario 1: 40 kohm wet, more than 20 Mohm dry after 3 h with a time constant of 1 h
    QVERIFY(std::abs(plug.insulation() - 0.04) < 0.001);
    QVERIFY(losses(t, on_stand(t)).sensor > 10);
    pass(t, 180);
    QVERIFY(plug.insulation() > 20);
    QVERIFY(losses(t, on_stand(t)).sensor < 1);
}

void TestPhysics::second_feed_is_missed_only_at_start()
{
    Truth t;
    Setting start = on_stand(t);
    start.start = true;
    QVERIFY(losses(t, start).power < 1);
    t.supply.second_feed_open = true;
    QVERIFY(losses(t, start).power >= always);
    QVERIFY(losses(t, on_stand(t)).power < 1);
}

void TestPhysics::exchanged_legs_turn_backwards()
{
    Truth t;
    t.at(Place::p9).crossed = true;
    const auto quiet = [] { return 0.0; };
    QCOMPARE(shape_of_turn(t, on_stand(t), 8, quiet), "backwards");
    QVERIFY(std::abs(field_length(t, on_stand(t), 77) - 20000) < 1); // scenario 9: the field's length stays right
}

void TestPhysics::another_tails_calibration_is_one_cycle()
{
    Truth t;
    t.magnetics.corrected_x = 20000 * std::sin(6 * 3.14159265 / 180); // scenario 10: 6 deg
    const auto quiet = [] { return 0.0; };
    const TurnShape f = turn(t, on_stand(t), 16, quiet);
    QVERIFY(std::abs(f.one - 6) < 0.2 && f.two < 0.5 && std::abs(f.constant) < 0.1);
}

void TestPhysics::nothing_wrong_shows_nothing()
{
    const Truth t;
    for (const Setting& s : {on_stand(t), in_flight(t), worst_setting(t)}) {
        QVERIFY(!shows(t, s));
        QVERIFY(losses(t, s).all() < 0.01);
    }
}

CHOCKSIDE_TEST(TestPhysics)
#include "tst_physics.moc"
