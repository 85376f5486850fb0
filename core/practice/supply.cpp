#include <core/practice/supply.h>

namespace chockside::practice {

void Supply::step(double dt_s, const Controls& controls, const Defects& defects, const std::array<bool, 2>& drawing)
{
    switch_loads(dt_s, controls, defects);
    flicker(dt_s, defects.find("series_ohm", "at", "ref_1"));
    solve(controls, defects, drawing);
}

void Supply::switch_loads(double dt_s, const Controls& controls, const Defects& defects)
{
    const bool heater = controls.heater && controls.fed(pitot_ht) && !defects.find("heater_open");
    heater_for_s_ = heater && heater_on_ ? heater_for_s_ + dt_s : 0;
    heater_on_ = heater;

    load_for_s_ += dt_s;
    const bool was = load_on_;
    if (!controls.power || controls.cart_load == CartLoad::off) load_on_ = false;
    else if (controls.cart_load == CartLoad::on) load_on_ = true;
    else if (const Effect* sag = defects.find("cart_ohm")) {
        if (load_for_s_ > sag->num(load_on_ ? "load_on_s" : "load_off_s", 30)) load_on_ = !load_on_;
    }
    if (load_on_ != was) load_for_s_ = 0;
}

// A burnt contact that carries heavy current chatters: its resistance jumps for a moment.
void Supply::flicker(double dt_s, const Effect* contact)
{
    flicker_left_s_ -= dt_s;
    if (!contact || heater_a(essential_v_) < contact->num("flicker_above_a", 1e9)) return;
    if (random_.uniform() < contact->num("flicker_per_h") / 3600 * dt_s) flicker_left_s_ = contact->num("flicker_s");
}

double Supply::heater_a(double volts) const
{
    if (!heater_on_) return 0;
    return volts / e_.heater_ohm * (heater_for_s_ < e_.heater_inrush_s ? e_.heater_inrush : 1);
}

double Supply::feed_ohm(int channel, const Defects& defects) const
{
    double ohm = e_.breaker_ohm;
    if (const Effect* bad = defects.find("series_ohm", "at", channel == 1 ? "ref_1" : "ref_2"))
        ohm += bad->num("ohm") * (flicker_left_s_ > 0 ? bad->num("flicker_gain", 1) : 1);
    return ohm;
}

double Supply::cart_ohm(const Controls& controls, const Defects& defects) const
{
    if (controls.other_cart) return e_.other_cart_ohm;
    const Effect* sag = defects.find("cart_ohm");
    return sag ? sag->num("ohm") : e_.cart_ohm;
}

// All loads but the heater are currents, so the network is solved by a few rounds on the essential bus voltage; the loop gain is
// source resistance over heater resistance, about 0.1, so eight rounds leave less than a microvolt.
void Supply::solve(const Controls& controls, const Defects& defects, const std::array<bool, 2>& drawing)
{
    if (!controls.power) {
        cart_v_ = cart_a_ = essential_v_ = main_v_ = 0;
        plug_v_ = drop_v_ = unit_a_ = {};
        return;
    }
    const bool plugged = controls.connected[j1];
    const std::array<Breaker, 2> feed{ref_1, ref_2};
    for (std::size_t c = 0; c < 2; ++c) unit_a_[c] = drawing[c] && plugged && controls.fed(feed[c]) ? e_.unit_a : 0;

    const double strip = e_.essential_ohm + (defects.find("series_ohm", "at", "essential") ? defects.find("series_ohm", "at", "essential")->num("ohm") : 0);
    const double source = cart_ohm(controls, defects);
    const double main_a = unit_a_[1] + controls.fed(disp_2) * e_.display_a + controls.fed(ap_servo) * e_.servo_a +
                          (controls.fed(xpdr) && controls.transponder_on) * e_.transponder_a;
    const double load_a = load_on_ ? e_.cart_load_a * (load_for_s_ < e_.cart_load_inrush_s ? e_.cart_load_inrush : 1) : 0;

    double volts = e_.cart_v;
    for (int round = 0; round < 8; ++round) {
        const double essential_a = unit_a_[0] + controls.fed(disp_1) * e_.display_a + heater_a(volts);
        cart_a_ = essential_a + main_a + load_a;
        cart_v_ = e_.cart_v - source * cart_a_;
        volts = cart_v_ - strip * essential_a;
    }
    essential_v_ = volts;
    main_v_ = cart_v_ - e_.main_ohm * main_a;
    for (std::size_t c = 0; c < 2; ++c) {
        const int channel = static_cast<int>(c) + 1;
        drop_v_[c] = unit_a_[c] * feed_ohm(channel, defects);
        plug_v_[c] = controls.fed(feed[c]) ? bus_v(channel) - drop_v_[c] - 2 * e_.wire_ohm * unit_a_[c] : 0;
    }
}

} // namespace chockside::practice
