// The fault library's section 7, one by one: the physical truth is set as written there, the write-up is given, a person who does not slip
// works as the engine says. The trap has to be avoided on every seed, the right answer reached on nearly every one. Where the unit is right
// to pull, it is pulled. (The library is common practice, no source; its figures marked (c) are checked in tst_physics.cpp.)
#include <core/campaign/policy.h>
#include <core/isolate/unexplained.h>

#include <tests/support/profiles.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::campaign;

namespace {

using P = Place;
using Set = void (*)(Truth&);

struct Scenario {
    const char* name;
    const char* complaint;
    Set written_up;                      ///< the aircraft as the crew had it
    Set at_arrival;                      ///< what has changed since; null: nothing
    std::vector<std::string> causes;     ///< any of them is right; two together where `both`
    Act right;
    std::vector<Act> traps;
    bool both = false;
};

const Act unit = Act::pull_unit, sensor = Act::pull_sensor, repair = Act::repair, watch = Act::watch;

void dry_by_noon(Truth& t) { pass(t, 240); }
void warm_day(Truth& t) { t.around.bay_c = 15, t.around.tip_c = 15; }

const std::vector<Scenario>& all()
{
    static const std::vector<Scenario> list{
        {"01 water in the wing-tip plug, dry by noon", "heading_flag", [](Truth& t) { t.at(P::p9).seal_bad = true, t.at(P::p9).wet = 1, t.around.rained = true; }, dry_by_noon, {"wet_p9"}, repair, {unit, sensor}},
        {"02 breaker contact 0.9 ohm, heater on", "attitude_flag", [](Truth& t) { t.supply.breaker_ohm = 0.9, t.supply.source_ohm = 0.1, t.supply.cart_only = false; }, nullptr, {"breaker_resistance"}, repair, {unit}},
        {"03 cart sags", "attitude_flag", [](Truth& t) { t.supply.source_ohm = 0.16; }, nullptr, {"bus_low"}, repair, {unit}},
        {"04 second input dead, tumbles at start", "attitude_flag", [](Truth& t) { t.supply.second_feed_open = true; }, nullptr, {"second_feed"}, repair, {unit}},
        {"05 contact pushed back by last week's change", "after_change", [](Truth& t) { t.at(P::j2).low = true, t.at(P::j2).opens_per_hour = 6, t.work = "unit_changed"; }, nullptr, {"pushed_back_rack_j2"}, repair, {unit}},
        {"06 one leg of the pair open", "heading_flag", [](Truth& t) { t.at(P::w13).leg_open = true; }, nullptr, {"data_leg_open_w13", "data_leg_open_w12"}, repair, {unit}},
        {"07 another box's receiver shorted", "heading_flag", [](Truth& t) { t.logic.receiver_shorted = true; }, nullptr, {"bus_loaded"}, repair, {unit}},
        {"08 side strap open after a change", "after_change", [](Truth& t) { t.logic.side_strap = true, t.work = "unit_changed"; }, nullptr, {"side_strap"}, repair, {unit}},
        {"09 two sensor legs exchanged", "heading_error", [](Truth& t) { t.at(P::p9).crossed = true, t.work = "sensor_or_wing"; }, nullptr, {"sensor_legs_swapped"}, repair, {unit, sensor}},
        {"10 another tail's magnetic correction", "after_change", [](Truth& t) { t.logic.calibration_other = true, t.magnetics.corrected_x = 2090, t.work = "unit_changed"; }, nullptr, {"calibration_other"}, repair, {sensor, unit}},
        {"11 rebar under the stand, 3000 nT", "heading_error", [](Truth& t) { t.magnetics.place_x = 1800, t.magnetics.place_y = 2400; }, nullptr, {"stand_iron"}, repair, {unit, sensor}},
        {"12 nose gear magnetised", "heading_error", [](Truth& t) { t.magnetics.gear_x = 2400; }, nullptr, {"magnetised"}, repair, {sensor, unit}},
        {"13 shield open, twitch with the strobe", "heading_flag", [](Truth& t) { t.at(P::w7).shield_open = true; }, nullptr, {"shield_open_w7", "shield_open_w8"}, repair, {unit, sensor}},
        {"14 new light's return past the sensor", "heading_error", [](Truth& t) { t.magnetics.loop_a = 5, t.magnetics.new_fitting = true, t.work = "electrical_added"; }, nullptr, {"current_loop"}, repair, {unit, sensor}},
        {"15 steel screws after the paint shop", "heading_error", [](Truth& t) { t.magnetics.hard_x = 1400, t.magnetics.soft = 0.02, t.magnetics.steel_fastener = true, t.work = "paint_or_panels"; }, nullptr, {"steel_near"}, repair, {sensor, unit}},
        {"16 stops below -5 degC for the first minutes: the unit", "attitude_flag", [](Truth& t) { t.unit.stops_below_c = -5, t.around.bay_c = -14, t.around.night_cold = true; }, warm_day, {"unit_cold"}, unit, {sensor}},
        {"17 filter clogged", "attitude_flag", [](Truth& t) { t.logic.no_airflow = true, t.unit.stops_above_c = 70, t.around.bay_c = 33, t.around.sun = true; }, nullptr, {"cooling_blocked"}, repair, {unit}},
        {"18 roll-rate bias 30 deg/h: the unit", "attitude_disagree", [](Truth& t) { t.unit.gyro_dph = 30; }, nullptr, {"unit_gyro"}, unit, {sensor}},
        {"19 standby horizon weak", "attitude_disagree", [](Truth& t) { t.logic.standby_wrong = true; }, nullptr, {"standby_wrong"}, repair, {unit}},
        {"20 washer under the tray", "after_change", [](Truth& t) { t.logic.tray_tilt_deg = 1.2, t.work = "unit_changed"; }, nullptr, {"tray_level"}, repair, {unit}},
        {"21 air-data aiding lost", "attitude_disagree", [](Truth& t) { t.logic.aiding_open = true; }, nullptr, {"air_data_aiding"}, repair, {unit}},
        {"22 pitot and static exchanged", "air_data_disagree", [](Truth& t) { t.air.crossed = true, t.work = "lines_opened"; }, nullptr, {"lines_crossed"}, repair, {unit}},
        {"23 three inches of water, left static", "air_data_disagree", [](Truth& t) { t.air.static_water_in = 3, t.around.rained = true; }, nullptr, {"static_water"}, repair, {unit}},
        {"24 leak in the cabin, only pressurised", "air_data_disagree", [](Truth& t) { t.air.cabin_leak_fpm = 300; }, nullptr, {"static_leak"}, repair, {unit}},
        {"25 insect in the right pitot", "air_data_disagree", [](Truth& t) { t.air.pitot_blocked = true; }, nullptr, {"pitot_blocked"}, repair, {unit}},
        {"26 heater open", "air_data_disagree", [](Truth& t) { t.air.heater_open = true, t.around.icing = true; }, nullptr, {"probe_heater"}, sensor, {unit, watch}},
        {"27 hPa and inHg mixed", "air_data_disagree", [](Truth& t) { t.logic.setting_units = true; }, nullptr, {"setting_units"}, repair, {unit}},
        {"28 test set's own leak", "air_data_disagree", [](Truth& t) { t.air.set_leak_fpm = 180; }, nullptr, {"set_leaks"}, repair, {unit}},
        {"29 air/ground wire open", "attitude_flag", [](Truth& t) { t.logic.air_ground_wrong = true; }, nullptr, {"air_ground"}, repair, {unit}},
        {"30 cross bus open", "attitude_disagree", [](Truth& t) { t.logic.cross_bus_open = true; }, nullptr, {"cross_bus_open"}, repair, {unit}},
        {"31 burnt contact and a weak supply together", "attitude_flag", [](Truth& t) { t.at(P::j1).ohm = 0.45, t.at(P::j1).salts = true, t.supply.source_v = 23.6, t.supply.cart_only = false; }, nullptr, {"corroded_feed_j1", "bus_low"}, repair, {unit}, true},
        {"32 free selected", "heading_error", [](Truth& t) { t.logic.free_selected = true; }, nullptr, {"free_selected"}, repair, {unit, sensor}},
        {"33 tray clamp half a turn short", "attitude_flag", [](Truth& t) { t.logic.tray_unlatched = true, t.unit_changes = 1; }, nullptr, {"tray_not_home"}, repair, {unit}},
        {"34 calibration lost", "attitude_disagree", [](Truth& t) { t.unit.data_lost = true; }, nullptr, {"unit_data_lost"}, repair, {unit}},
        {"35 static correction of another type", "air_data_disagree", [](Truth& t) { t.air.table_ft_per_100kt = 150; }, nullptr, {"static_table", "wrong_part"}, repair, {unit}},
        {"36 yaw-damper input", "attitude_flag", [](Truth& t) { t.logic.autopilot_input = true; }, nullptr, {"autopilot_interface"}, repair, {unit}},
        {"37 compass rose ten years old", "heading_error", [](Truth& t) { t.logic.reference_deg = 1.6; }, nullptr, {"swing_reference"}, repair, {sensor, unit}},
        {"38 normal annunciation in survey turns", "attitude_flag", [](Truth& t) { t.logic.normal_written_up = true; }, nullptr, {"normal_behaviour", "none"}, watch, {unit, sensor}},
    };
    return list;
}

Job job_of(const Scenario& s)
{
    Job job;
    s.written_up(job.then);
    job.now = job.then;
    if (s.at_arrival) s.at_arrival(job.now);
    job.complaint = s.complaint;
    job.causes = s.causes;
    job.misleading = is_misleading(job.complaint);
    return job;
}

bool has(const std::vector<std::string>& all, const std::string& one) { return std::find(all.begin(), all.end(), one) != all.end(); }

/// The second cause is told by the answer that the first does not explain.
bool second_is_told(const Scenario& s, const Ending& e, const Aid& aid)
{
    auto r = isolate::Reasoner::make(aid.models.at(s.complaint));
    if (!r) return false;
    for (const auto& x : e.evidence)
        if (!r->add(x)) return false;
    const auto odd = isolate::unexplained(*r);
    return std::any_of(odd.begin(), odd.end(), [&](const auto& u) { return u.cause != e.cause && has(s.causes, u.cause); });
}

bool reached(const Scenario& s, const Ending& e, const Aid& aid)
{
    if (s.both) return has(s.causes, e.cause) && e.act == s.right && second_is_told(s, e, aid);
    if (!has(s.causes, e.cause)) return false;
    if (s.at_arrival && e.act == watch) return true; // gone at arrival: a watch with the right suspect is an honest end
    return e.act == s.right || (s.right == watch && (e.act == repair || e.act == watch)); // "tell the crew" and "release with a watch" are one here
}

} // namespace

class TestScenarios : public QObject {
    Q_OBJECT
private slots:
    void reaches_the_right_answer_data();
    void reaches_the_right_answer();
};

void TestScenarios::reaches_the_right_answer_data()
{
    QTest::addColumn<int>("at");
    for (std::size_t k = 0; k < all().size(); ++k) QTest::newRow(all()[k].name) << static_cast<int>(k);
    QCOMPARE(all().size(), std::size_t{38});
}

void TestScenarios::reaches_the_right_answer()
{
    QFETCH(int, at);
    static const Aid aid = aid_of(tests::bundled("sandgrouse_12_pru_2"));
    const Scenario& s = all()[static_cast<std::size_t>(at)];
    constexpr int seeds = 10;
    int right = 0;
    QStringList ends;
    for (int seed = 1; seed <= seeds; ++seed) {
        const auto e = work(job_of(s), aid, Policy::engine, {0, 3}, static_cast<std::uint64_t>(seed));
        QVERIFY(e);
        ends << QString("%1 %2, then %3 %4, %5 min").arg(QString::fromStdString(e->cause)).arg(e->p, 0, 'f', 2).arg(QString::fromStdString(e->likely[1].cause)).arg(e->likely[1].p, 0, 'f', 2).arg(e->minutes);
        const bool trapped = std::find(s.traps.begin(), s.traps.end(), e->act) != s.traps.end();
        QVERIFY2(!trapped, qPrintable("seed " + QString::number(seed) + ": " + ends.back()));
        right += reached(s, *e, aid);
    }
    QVERIFY2(right >= seeds - 1, qPrintable(QString("%1 of %2: ").arg(right).arg(seeds) + ends.join("; ")));
}

CHOCKSIDE_TEST(TestScenarios)
#include "tst_scenarios.moc"
