#include "practice_book.h"

#include <core/practice/hands.h>

#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::practice;

// Figures of the practice scenarios (breaker contact 0.9 ohm at 2.5 A: 28.0 V unloaded, heater on bus 24.2 V, plug 21.9 V, 2.3 V
// across the breaker; cart that sags to 21 V at 60 A): common practice, no source. The spread of the draw widens the bounds.
class TestSupply : public QObject {
    Q_OBJECT
private slots:
    void a_healthy_connector_has_its_volts_with_the_heater_on();
    void a_resistive_breaker_shows_only_under_load();
    void a_weak_cart_drops_both_sides_and_another_cart_cures_it();
    void currents_and_volts_obey_ohm_at_every_node();
    void pulled_breaker_leaves_no_volts();
};

void TestSupply::a_healthy_connector_has_its_volts_with_the_heater_on()
{
    Aircraft a = aircraft_with("nothing");
    a.run(1);
    // Healthy volts on a cart set to 28: mean 27.6, sigma 0.4 (common practice, no source).
    QVERIFY(std::abs(a.parts().supply.plug_v(1) - 27.6) < 0.4);
    QVERIFY(std::abs(a.parts().supply.plug_v(2) - 27.6) < 0.4);
    Hands(a).load("PITOT HT", true);
    a.run(2);
    QVERIFY(a.parts().supply.plug_v(1) > 26);
}

void TestSupply::a_resistive_breaker_shows_only_under_load()
{
    for (std::uint64_t seed = 1; seed < 12; ++seed) {
        Aircraft a = aircraft_with("breaker_resistance", seed);
        Hands hands(a);
        hands.panel("Nose rack door", true);
        hands.plug("J1", false);
        a.run(1);
        QVERIFY(std::abs(a.parts().supply.plug_v(1) - 28.0) < 0.5);
        hands.plug("J1", true);
        a.run(1);
        hands.load("PITOT HT", true);
        a.run(1);
        double bus = 0, plug = 0, drop = 0;
        for (int i = 0; i < 100 && drop < 1; ++i) { // past a moment of chatter
            a.run(0.5);
            bus = a.parts().supply.bus_v(1), plug = a.parts().supply.plug_v(1), drop = a.parts().supply.breaker_drop_v(1);
        }
        QVERIFY2(std::abs(bus - 24.2) < 0.4, std::to_string(bus).c_str());
        QVERIFY2(std::abs(plug - 21.9) < 0.7, std::to_string(plug).c_str());
        QVERIFY2(std::abs(drop - 2.3) < 0.4, std::to_string(drop).c_str());
        QVERIFY(a.parts().supply.plug_v(2) > 26.5);
    }
}

void TestSupply::a_weak_cart_drops_both_sides_and_another_cart_cures_it()
{
    Aircraft a = aircraft_with("cart_sag");
    Hands hands(a);
    hands.load("CART LOAD", true);
    a.run(3);
    QVERIFY(std::abs(a.parts().supply.cart_a() - 60) < 3);
    QVERIFY(std::abs(a.parts().supply.cart_v() - 21.0) < 0.5);
    QVERIFY(a.parts().unit.channel(1).heading_flag() && a.parts().unit.channel(2).heading_flag());
    hands.other_cart();
    a.run(85);
    QVERIFY(a.parts().supply.cart_v() > 26.5);
    QVERIFY(!a.parts().unit.channel(1).heading_flag() && !a.parts().unit.channel(2).heading_flag());
}

void TestSupply::currents_and_volts_obey_ohm_at_every_node()
{
    Aircraft a = aircraft_with("nothing");
    Hands(a).load("PITOT HT", true);
    a.run(3);
    const Supply& s = a.parts().supply;
    const Electrical& e = a.parts().world.electrical;
    const double essential_a = (s.cart_v() - s.bus_v(1)) / e.essential_ohm, main_a = (s.cart_v() - s.bus_v(2)) / e.main_ohm;
    QVERIFY(std::abs(essential_a + main_a - s.cart_a()) < 1e-3);
    QVERIFY(std::abs((e.cart_v - s.cart_v()) / e.cart_ohm - s.cart_a()) < 1e-3);
    QVERIFY(std::abs(essential_a - (2.5 + 1.5 + s.bus_v(1) / e.heater_ohm)) < 1e-3);
}

void TestSupply::pulled_breaker_leaves_no_volts()
{
    Aircraft a = aircraft_with("nothing");
    Hands(a).breaker("REF 1", "pulled");
    a.run(0.1);
    QCOMPARE(a.parts().supply.plug_v(1), 0.0);
    QVERIFY(a.parts().supply.plug_v(2) > 27);
    QCOMPARE(a.parts().unit.channel(1).phase(), Phase::off);
}

CHOCKSIDE_TEST(TestSupply)
#include "tst_supply.moc"
