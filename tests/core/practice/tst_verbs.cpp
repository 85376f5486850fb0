#include "practice_book.h"

#include <core/practice/verbs.h>

#include <tests/support/test_main.h>

#include <algorithm>
#include <cmath>

using namespace chockside;
using namespace chockside::practice;

class TestVerbs : public QObject {
    Q_OBJECT
private slots:
    void the_fault_stays_sealed_until_the_finding_is_told();
    void no_answer_before_the_finding_names_the_fault();
    void volts_need_the_breakout_and_ohms_need_it_dead();
    void shut_panels_keep_hands_out();
    void a_plug_taken_off_live_is_remembered();
    void meter_noise_is_half_a_percent();
    void points_at_the_sensor_and_end_to_end();
    void nonsense_is_answered_and_harmless();
};

namespace {

// A request in JSON with single quotes.
json::Value ask(Aircraft& a, std::string request)
{
    std::replace(request.begin(), request.end(), '\'', '"');
    return answer(a, json::read(request).value());
}

std::string is(Aircraft& a, const std::string& request)
{
    return ask(a, request)["is"].as_text();
}

} // namespace

void TestVerbs::the_fault_stays_sealed_until_the_finding_is_told()
{
    Aircraft a = aircraft_with("wet_plug");
    QCOMPARE(is(a, "{'reveal': true}"), std::string("sealed"));
    QCOMPARE(is(a, "{'finding': 'contact'}"), std::string("told"));
    const json::Value truth = ask(a, "{'reveal': true}");
    QCOMPARE(truth["fault"].as_text(), std::string("wet_plug"));
    QCOMPARE(truth["class"].as_text(), std::string("contact"));
    QVERIFY(!truth["cured"].as_bool());
}

void TestVerbs::no_answer_before_the_finding_names_the_fault()
{
    for (const std::string& id : practice_book().fault_ids()) {
        if (id == "nothing") continue;
        Aircraft a = aircraft_with(id);
        a.run(5);
        for (const char* eye : {"all", "writeup", "serials", "showing", "standby"})
            QVERIFY(json::write(ask(a, std::string("{'eye': '") + eye + "'}")).find(id) == std::string::npos);
    }
}

void TestVerbs::volts_need_the_breakout_and_ohms_need_it_dead()
{
    Aircraft a = aircraft_with("nothing");
    a.run(1);
    QCOMPARE(is(a, "{'eye': 'volts', 'points': 'J1-A to J1-B'}"), std::string("no_access"));
    QCOMPARE(is(a, "{'hand': 'panel', 'label': 'Nose rack door', 'to': 'open'}"), std::string("done"));
    ask(a, "{'hand': 'power', 'to': 'off'}");
    QCOMPARE(is(a, "{'hand': 'fit', 'what': 'breakout J1', 'to': 'on'}"), std::string("done"));
    a.run(1);
    const double ohm = ask(a, "{'eye': 'ohms', 'points': 'J1-7 to J1-8'}")["value"].as_double();
    QVERIFY(std::abs(ohm - 96) < 3); // drive winding 94 ohm and the wires
    QVERIFY(ask(a, "{'eye': 'megohms', 'points': 'J1-9 to structure'}")["value"].as_double() > 20);
    ask(a, "{'hand': 'power', 'to': 'on'}");
    a.run(2);
    QCOMPARE(is(a, "{'eye': 'ohms', 'points': 'J1-7 to J1-8'}"), std::string("live"));
    QVERIFY(std::abs(ask(a, "{'eye': 'volts', 'points': 'J1-A to J1-B'}")["value"].as_double() - 27.6) < 0.7);
}

void TestVerbs::shut_panels_keep_hands_out()
{
    Aircraft a = aircraft_with("wet_plug");
    QCOMPARE(is(a, "{'eye': 'look', 'at': 'P9'}"), std::string("no_access"));
    QCOMPARE(is(a, "{'hand': 'plug', 'label': 'P9', 'to': 'disconnected'}"), std::string("no_access"));
    QCOMPARE(is(a, "{'hand': 'flex', 'place': 'W7', 'gain': 1, 'seconds': 5}"), std::string("no_access"));
    ask(a, "{'hand': 'panel', 'label': 'Right wing tip panel', 'to': 'open'}");
    QVERIFY(ask(a, "{'eye': 'look', 'at': 'P9'}")["wet"].as_bool());
    QCOMPARE(is(a, "{'eye': 'volts', 'points': 'REF 1 line to REF 1 load'}"), std::string("no_access"));
}

void TestVerbs::a_plug_taken_off_live_is_remembered()
{
    Aircraft a = aircraft_with("nothing");
    ask(a, "{'hand': 'panel', 'label': 'Right wing tip panel', 'to': 'open'}");
    ask(a, "{'hand': 'plug', 'label': 'P9', 'to': 'disconnected'}");
    a.run(1);
    QVERIFY(ask(a, "{'eye': 'display', 'which': 'DISP 1'}")["flag"].as_bool());
    ask(a, "{'finding': 'none'}");
    QCOMPARE(ask(a, "{'reveal': true}")["mishaps"].as_array().at(0).as_text(), std::string("hot_plug P9"));
}

void TestVerbs::meter_noise_is_half_a_percent()
{
    Aircraft a = aircraft_with("nothing");
    a.run(1);
    double sum = 0, square = 0;
    for (int i = 0; i < 2000; ++i) {
        const double v = ask(a, "{'eye': 'volts', 'points': 'CART'}")["value"].as_double();
        sum += v, square += v * v;
    }
    const double mean = sum / 2000, sd = std::sqrt(square / 2000 - mean * mean);
    QVERIFY(std::abs(sd / mean - 0.005) < 0.0005); // six standard errors of an estimate from 2000
}

void TestVerbs::points_at_the_sensor_and_end_to_end()
{
    Aircraft a = aircraft_with("sensor_axis");
    for (const char* request : {"{'hand': 'panel', 'label': 'wing_tip', 'to': 'open'}", "{'hand': 'panel', 'label': 'rack', 'to': 'open'}",
             "{'hand': 'power', 'to': 'off'}", "{'hand': 'plug', 'label': 'P9', 'to': 'disconnected'}",
             "{'hand': 'fit', 'what': 'breakout J1', 'to': 'on'}"})
        QCOMPARE(is(a, request), std::string("done"));
    const double x = ask(a, "{'eye': 'ohms', 'points': 'P9-3 to P9-4'}")["value"].as_double();
    const double y = ask(a, "{'eye': 'ohms', 'points': 'P9-5 to P9-6'}")["value"].as_double();
    QVERIFY(std::abs(x - y) > 15); // unequal windings
    QVERIFY(ask(a, "{'eye': 'ohms', 'points': 'J1-9 to P9-3'}")["value"].as_double() < 2);
    QCOMPARE(is(a, "{'eye': 'ohms', 'points': 'J1-7 to J1-8'}"), std::string("open")); // sensor is off
}

void TestVerbs::nonsense_is_answered_and_harmless()
{
    Aircraft a = aircraft_with("nothing");
    for (const char* request : {"{}", "[]", "null", "{'hand': 3}", "{'hand': 'juggle'}", "{'eye': 'volts'}", "{'eye': 'ohms', 'points': 'J1-'}",
             "{'hand': 'turn', 'to_deg': 'east'}", "{'hand': 'breaker', 'label': 'REF 9', 'to': 'in'}", "{'hand': 'move', 'metres': 1e300}",
             "{'eye': 'crew', 'ask': 'favourite colour'}"})
        QVERIFY(ask(a, request).is_object());
    a.run(5);
    QVERIFY(std::isfinite(a.parts().stance.heading_deg));
}

CHOCKSIDE_TEST(TestVerbs)
#include "tst_verbs.moc"
