#include <core/campaign/faults.h>

#include <cmath>

namespace chockside::campaign {

namespace {

using R = SeededRandom;
using P = Place;

double spread(R& r, double median, double factor) { return median * std::exp(std::log(factor) * r.normal()); }

template <P place>
void broken(Truth& t, R& r)
{
    t.at(place).opens_per_hour = spread(r, 4, 2);
}
template <P place>
void chafed(Truth& t, R& r)
{
    broken<place>(t, r);
    t.at(place).insulation_mohm = spread(r, 0.3, 3);
    t.at(place).mark = r.uniform() < 0.7;
}
template <P place>
void unshielded(Truth& t, R&)
{
    t.at(place).shield_open = true;
}
template <P place>
void wet(Truth& t, R& r)
{
    t.at(place).seal_bad = true;
    t.at(place).wet = r.uniform(0.7, 1);
    t.at(place).drying_min = spread(r, 60, 1.4);
    t.around.rained = r.uniform() < 0.92;
}
template <P place>
void pushed(Truth& t, R& r)
{
    broken<place>(t, r);
    t.at(place).low = true;
}
template <P place>
void corroded(Truth& t, R& r)
{
    t.at(place).ohm = spread(r, 60, 2);
    t.at(place).opens_per_hour = spread(r, 3, 2);
    t.at(place).salts = true;
}
template <P place>
void spread_socket(Truth& t, R& r)
{
    broken<place>(t, r);
    t.at(place).grip_loose = true;
}
template <P place>
void leg_open(Truth& t, R&)
{
    t.at(place).leg_open = true;
}
template <P place>
void shorted(Truth& t, R& r)
{
    t.at(place).shorted = true;
    t.at(place).insulation_mohm = spread(r, 0.01, 3);
}

// The class is that of the act that cures: lost data is loaded and a loose mount is fastened; neither unit nor sensor comes off for it.
const Fault book[] = {
    {"unit_dead", "unit", 'h', "", 2, [](Truth& t, R&) { t.unit.dead = true; }},
    {"unit_gyro", "unit", 'h', "", 2, [](Truth& t, R& r) { t.unit.gyro_dph = spread(r, 40, 1.4); }},
    {"unit_cold", "unit", 'c', "", 1.5, [](Truth& t, R& r) { t.unit.stops_below_c = r.uniform(-8, -2); t.around.bay_c = r.uniform(-16, -9); t.around.night_cold = true; }},
    {"unit_hot", "unit", 'c', "", 1.5, [](Truth& t, R& r) { t.unit.stops_above_c = r.uniform(40, 46); t.around.bay_c = r.uniform(34, 40); t.around.sun = true; }},
    {"unit_transducer", "unit", 'h', "", 2, [](Truth& t, R& r) { t.unit.transducer_ft = (r.uniform() < 0.5 ? 1 : -1) * spread(r, 250, 1.4); }},
    {"unit_driver", "unit", 'h', "", 1, [](Truth& t, R& r) { t.unit.amplitude = r.uniform(0.3, 0.55); }},
    {"unit_sensor_input", "unit", 'h', "", 1.5, [](Truth& t, R&) { t.unit.input_refuses = true; }},
    {"unit_data_lost", "configuration", 'h', "", 1, [](Truth& t, R&) { t.unit.data_lost = true; }},
    {"unit_joint", "unit", 'c', "", 1.5, [](Truth& t, R& r) { t.unit.joint_opens_per_hour = spread(r, 5, 1.7); }},
    {"unit_rogue", "unit", 'i', "", 1, [](Truth& t, R& r) { t.unit.rogue_per_hour = spread(r, 3, 1.7); t.serial_repeats = r.uniform() < 0.85; }},
    {"sensor_axis", "sensor", 'h', "", 1.5, [](Truth& t, R& r) { t.sensor.gain_y = r.uniform(0, 0.15); }},
    {"sensor_drift", "sensor", 'c', "", 1, [](Truth& t, R& r) { t.sensor.drifts_below_c = r.uniform(-12, -5); t.around.tip_c = -22; t.around.night_cold = true; }},
    {"sensor_wet", "sensor", 'c', "", 1, [](Truth& t, R& r) { t.sensor.boot.seal_bad = true; t.sensor.boot.wet = 1; t.sensor.boot.drying_min = spread(r, 80, 1.4); t.around.rained = true; }},
    {"sensor_mount", "installation", 'h', "sensor_or_wing", 1, [](Truth& t, R& r) { t.sensor.mount_deg = r.uniform(4, 8); t.sensor.mount_loose = true; }},
    {"temp_probe", "sensor", 'h', "", 1, [](Truth& t, R&) { t.air.probe_off = true; }},
    {"vane_sticky", "sensor", 'c', "", 0.7, [](Truth& t, R&) { t.air.vane_sticks = true; }},
    {"probe_heater", "sensor", 'c', "", 1, [](Truth& t, R&) { t.air.heater_open = true; t.around.icing = true; }},
    {"data_legs_swapped", "wiring", 'h', "sensor_or_wing", 1, [](Truth& t, R&) { t.at(P::j2).crossed = true; }},
    {"stray_strand", "wiring", 'i', "unit_changed", 0.5, [](Truth& t, R& r) { broken<P::j1>(t, r); t.at(P::j1).strand = true; t.at(P::j1).insulation_mohm = 0.2; }},
    {"sensor_legs_swapped", "wiring", 'h', "sensor_or_wing", 1.5, [](Truth& t, R&) { t.at(P::p9).crossed = true; }},
    {"cross_bus_open", "wiring", 'h', "", 1, [](Truth& t, R&) { t.logic.cross_bus_open = true; }},
    {"tray_not_home", "contact", 'i', "unit_changed", 2, [](Truth& t, R&) { t.logic.tray_unlatched = true; }},
    {"bent_pin", "contact", 'h', "unit_changed", 1, [](Truth& t, R&) { t.at(P::j1).bent = true; t.at(P::j1).leg_open = true; }},
    {"junction_loose", "contact", 'i', "", 1, [](Truth& t, R& r) { broken<P::gnd_block>(t, r); t.at(P::gnd_block).ohm = spread(r, 0.3, 2); }},
    {"bus_low", "supply", 'c', "", 1.5, [](Truth& t, R& r) { t.supply.source_ohm = r.uniform(0.15, 0.2); }},
    {"breaker_resistance", "supply", 'c', "", 1.5, [](Truth& t, R& r) { t.supply.breaker_ohm = spread(r, 1.6, 1.2); }},
    {"return_resistance", "supply", 'c', "", 1.5, [](Truth& t, R& r) { t.supply.return_ohm = spread(r, 1.6, 1.2); }},
    {"breaker_weak", "supply", 'i', "", 1, [](Truth& t, R& r) { t.supply.breaker_opens_per_hour = spread(r, 2, 1.7); t.supply.breaker_tripped = r.uniform() < 0.5; }},
    {"second_feed", "supply", 'c', "", 1.5, [](Truth& t, R&) { t.supply.second_feed_open = true; }},
    {"ripple", "supply", 'c', "", 0.7, [](Truth& t, R& r) { t.supply.ripple_mv = r.uniform(2000, 3500); }},
    {"excitation_missing", "supply", 'h', "", 1, [](Truth& t, R&) { t.supply.excitation_absent = true; }},
    {"cooling_blocked", "supply", 'c', "", 1.5, [](Truth& t, R& r) { t.logic.no_airflow = true; t.unit.stops_above_c = 70; t.around.bay_c = r.uniform(28, 36); t.around.sun = true; }},
    {"side_strap", "configuration", 'h', "unit_changed", 2, [](Truth& t, R&) { t.logic.side_strap = true; }},
    {"mount_strap", "configuration", 'h', "unit_changed", 1, [](Truth& t, R&) { t.logic.mount_strap = true; }},
    {"software_unlike", "configuration", 'h', "unit_changed", 1, [](Truth& t, R&) { t.logic.software_unlike = true; t.logic.comparator_tight = true; }},
    {"wrong_part", "configuration", 'h', "unit_changed", 0.5, [](Truth& t, R& r) { t.logic.wrong_part = true; t.air.table_ft_per_100kt = r.uniform(120, 200); }},
    {"calibration_other", "configuration", 'h', "unit_changed", 2, [](Truth& t, R& r) { t.logic.calibration_other = true; t.magnetics.corrected_x = r.uniform(1400, 2600); }},
    {"true_magnetic", "configuration", 'h', "", 1, [](Truth& t, R&) { t.logic.true_selected = true; }},
    {"static_table", "configuration", 'h', "unit_changed", 1, [](Truth& t, R& r) { t.air.table_ft_per_100kt = r.uniform(120, 200); }},
    {"setting_units", "configuration", 'h', "", 1, [](Truth& t, R&) { t.logic.setting_units = true; }},
    {"tray_loose", "installation", 'c', "unit_changed", 1, [](Truth& t, R&) { t.logic.tray_play = true; }},
    {"tray_level", "installation", 'h', "unit_changed", 1, [](Truth& t, R& r) { t.logic.tray_tilt_deg = r.uniform(1.1, 2); }},
    {"steel_near", "installation", 'h', "paint_or_panels", 2, [](Truth& t, R& r) { t.magnetics.hard_x = r.uniform(1400, 2600); t.magnetics.soft = 0.02; t.magnetics.steel_fastener = true; }},
    {"magnetised", "installation", 'h', "", 1, [](Truth& t, R& r) { t.magnetics.gear_x = r.uniform(1500, 3000); }},
    {"current_loop", "installation", 'c', "electrical_added", 1.5, [](Truth& t, R& r) { t.magnetics.loop_a = r.uniform(4, 8); t.magnetics.new_fitting = r.uniform() < 0.7; }},
    {"static_leak", "pneumatic", 'h', "lines_opened", 2, [](Truth& t, R& r) { (r.uniform() < 0.5 ? t.air.static_leak_fpm : t.air.cabin_leak_fpm) = spread(r, 350, 1.5); }},
    {"pitot_leak", "pneumatic", 'h', "lines_opened", 1, [](Truth& t, R& r) { t.air.pitot_leak_kt = r.uniform(12, 25); }},
    {"pitot_blocked", "pneumatic", 'h', "", 1.5, [](Truth& t, R&) { t.air.pitot_blocked = true; }},
    {"pitot_drain", "pneumatic", 'h', "", 0.7, [](Truth& t, R&) { t.air.drain_blocked = true; }},
    {"static_water", "pneumatic", 'h', "", 1.5, [](Truth& t, R& r) { t.air.static_water_in = r.uniform(1.8, 4); t.around.rained = true; }},
    {"pitot_water", "pneumatic", 'h', "", 1, [](Truth& t, R& r) { t.air.pitot_water_in = r.uniform(2.5, 5); t.around.rained = true; }},
    {"lines_crossed", "pneumatic", 'h', "lines_opened", 1.5, [](Truth& t, R&) { t.air.crossed = true; }},
    {"static_port", "pneumatic", 'h', "paint_or_panels", 1, [](Truth& t, R&) { t.air.port_damaged = true; }},
    {"alternate_static", "pneumatic", 'h', "", 0.7, [](Truth& t, R&) { t.air.alternate_open = true; }},
    {"display_input", "display", 'h', "", 2, [](Truth& t, R&) { t.logic.display_bad = true; }},
    {"selector_relay", "display", 'i', "", 1, [](Truth& t, R& r) { t.logic.selector_opens_per_hour = spread(r, 3, 1.7); }},
    {"comparator", "display", 'h', "", 1, [](Truth& t, R&) { t.logic.comparator_tight = true; }},
    {"standby_wrong", "display", 'h', "", 1.5, [](Truth& t, R&) { t.logic.standby_wrong = true; }},
    {"bus_loaded", "display", 'h', "", 1, [](Truth& t, R&) { t.logic.receiver_shorted = true; }},
    {"autopilot_interface", "display", 'c', "", 1, [](Truth& t, R&) { t.logic.autopilot_input = true; }},
    {"aiding_sky", "aiding", 'h', "", 1, [](Truth& t, R&) { t.logic.sky_blocked = true; }},
    {"air_data_aiding", "aiding", 'h', "", 1, [](Truth& t, R&) { t.logic.aiding_open = true; }},
    {"air_ground", "aiding", 'h', "", 0.7, [](Truth& t, R&) { t.logic.air_ground_wrong = true; }},
    {"stand_iron", "place", 'h', "", 2, [](Truth& t, R& r) { t.magnetics.place_x = r.uniform(1200, 2600); t.magnetics.place_y = r.uniform(-1800, 1800); }},
    {"moved_aligning", "place", 'h', "", 1, [](Truth& t, R&) { t.logic.moved_aligning = true; }},
    {"free_selected", "operation", 'h', "", 1.5, [](Truth& t, R&) { t.logic.free_selected = true; }},
    {"normal_behaviour", "operation", 'c', "", 1, [](Truth& t, R&) { t.logic.normal_written_up = true; }},
    {"altimeter_setting", "operation", 'h', "", 1, [](Truth& t, R&) { t.logic.setting_wrong = true; }},
    {"set_leaks", "test_setup", 'h', "", 1, [](Truth& t, R& r) { t.air.set_leak_fpm = r.uniform(150, 250); }},
    {"leads_bad", "test_setup", 'h', "", 0.7, [](Truth& t, R&) { t.logic.leads_bad = true; }},
    {"adapter_wrong", "test_setup", 'h', "", 0.7, [](Truth& t, R&) { t.logic.adapter_wrong = true; }},
    {"swing_reference", "test_setup", 'h', "", 1, [](Truth& t, R& r) { t.logic.reference_deg = r.uniform(1.5, 4); }},
    {"none", "none", 'c', "", 4, [](Truth&, R&) {}},
    {"sensor_chafed_w7", "wiring", 'i', "", 0.8, chafed<P::w7>},
    {"sensor_chafed_w8", "wiring", 'i', "", 0.8, chafed<P::w8>},
    {"sensor_broken_w7", "wiring", 'i', "", 0.8, broken<P::w7>},
    {"sensor_broken_w8", "wiring", 'i', "", 0.8, broken<P::w8>},
    {"shield_open_w7", "wiring", 'c', "", 0.7, unshielded<P::w7>},
    {"shield_open_w8", "wiring", 'c', "", 0.7, unshielded<P::w8>},
    {"data_leg_open_w12", "wiring", 'h', "", 1, leg_open<P::w12>},
    {"data_leg_open_w13", "wiring", 'h', "", 1, leg_open<P::w13>},
    {"data_shorted_w12", "wiring", 'h', "", 0.8, shorted<P::w12>},
    {"data_shorted_w13", "wiring", 'h', "", 0.8, shorted<P::w13>},
    {"data_chafed_w12", "wiring", 'i', "", 0.5, chafed<P::w12>},
    {"data_chafed_w13", "wiring", 'i', "", 0.5, chafed<P::w13>},
    {"feed_broken_w3", "wiring", 'i', "", 0.8, broken<P::w3>},
    {"feed_chafed_w3", "wiring", 'i', "", 0.5, chafed<P::w3>},
    {"wet_p9", "contact", 'c', "", 1.5, wet<P::p9>},
    {"wet_d3", "contact", 'c', "", 1, wet<P::d3>},
    {"wet_rack_j1", "contact", 'c', "", 0.8, wet<P::j1>},
    {"wet_rack_d5", "contact", 'c', "", 0.8, wet<P::d5>},
    {"pushed_back_p9", "contact", 'i', "sensor_or_wing", 0.8, pushed<P::p9>},
    {"pushed_back_d3", "contact", 'i', "sensor_or_wing", 0.8, pushed<P::d3>},
    {"pushed_back_rack_j1", "contact", 'i', "unit_changed", 0.8, pushed<P::j1>},
    {"pushed_back_rack_j2", "contact", 'i', "unit_changed", 0.8, pushed<P::j2>},
    {"pushed_back_rack_d5", "contact", 'i', "unit_changed", 0.6, pushed<P::d5>},
    {"corroded_p9", "contact", 'i', "", 0.7, corroded<P::p9>},
    {"corroded_d3", "contact", 'i', "", 0.7, corroded<P::d3>},
    {"corroded_feed_j1", "contact", 'c', "", 0.8, [](Truth& t, R& r) { t.at(P::j1).ohm = spread(r, 1.6, 1.2); t.at(P::j1).salts = true; }},
    {"spread_p9", "contact", 'i', "", 0.5, spread_socket<P::p9>},
    {"spread_j1", "contact", 'i', "", 0.5, spread_socket<P::j1>},
    {"spread_j2", "contact", 'i', "", 0.5, spread_socket<P::j2>},
};

} // namespace

std::span<const Fault> faults() { return book; }

const Fault* find_fault(const std::string& id)
{
    for (const Fault& f : book)
        if (f.id == id) return &f;
    return nullptr;
}

} // namespace chockside::campaign
