#include <core/practice/aircraft.h>

#include <cmath>
#include <utility>

namespace chockside::practice {

namespace {

constexpr double wrong_deg = 2.5;
constexpr double wrong_ft = 75; // AIM 7-2-3 (from memory): more than this from the field elevation is questioned

bool altitude_looks_wrong(const Parts& p)
{
    for (const AltimeterFace& f : {altimeter(p.controls, p.supply, p.unit, p.air), standby_altimeter(p.air)})
        if (!f.lit || f.flag || std::abs(f.altitude_ft - p.air.elevation_ft()) > wrong_ft) return true;
    return false;
}

Controls as_found(const Scenario& scenario)
{
    Controls controls;
    for (const Effect& effect : scenario.fault.effects) {
        if (effect.kind == "free") controls.slaved[static_cast<std::size_t>(effect.channel() - 1)] = false;
        if (effect.kind == "baro_set") controls.baro_hpa = standard_hpa + effect.num("off_hpa");
        if (effect.kind == "cart_ohm") controls.cart_load = CartLoad::by_itself;
    }
    return controls;
}

Stance as_parked(const World& world)
{
    Stance stance;
    stance.heading_deg = world.heading_deg;
    return stance;
}

} // namespace

Parts::Parts(const Scenario& s)
    : world(s.world), fault(s.fault), defects(s.fault.effects), controls(as_found(s)), stance(as_parked(s.world)),
      supply(s.world.electrical, s.seed ^ 0x51), harness(defects, s.seed ^ 0x52), magnetics(s.world, stance, defects, s.seed ^ 0x53),
      unit(s.world, s.fault), air(world, s.seed ^ 0x55), look_noise(s.seed ^ 0x54)
{
}

Aircraft::Aircraft(const Scenario& scenario) : parts_(scenario)
{
    parts_.supply.step(0.02, parts_.controls, parts_.defects, {true, true});
    const BodyField field = parts_.magnetics.sensed(parts_.stance, parts_.defects, 0);
    parts_.unit.wake_warm(parts_.world, parts_.fault, inputs(0, field), parts_.defects);
}

Aircraft::Aircraft(const Scenario& scenario, ProfileWire wire) : Aircraft(scenario)
{
    parts_.spoken = std::move(wire);
}

detail::UnitState Aircraft::state() const
{
    const Parts& p = parts_;
    return {p.controls.cable, &p.unit, &p.controls, &p.defects, &p.air, p.on_ground, p.motion.moving()};
}

std::array<ChannelInput, 2> Aircraft::inputs(double turned_deg, const BodyField& field) const
{
    std::array<ChannelInput, 2> both;
    for (std::size_t c = 0; c < 2; ++c) {
        ChannelInput& in = both[c];
        in.supply_v = parts_.controls.connected[j1] ? parts_.supply.plug_v(static_cast<int>(c) + 1) : 0;
        in.sensor_wires = !parts_.harness.open(drive) && !parts_.harness.open(signal_x) && !parts_.harness.open(signal_y);
        in.moving = parts_.motion.moving();
        in.slaved = parts_.controls.slaved[c];
        in.turned_deg = turned_deg;
        in.bay_c = parts_.world.bay_c;
        in.latitude_deg = parts_.world.latitude_deg;
        in.field = field;
        in.calibration = parts_.unit.calibration();
        in.pace = parts_.world.pace;
        in.stance = parts_.stance;
    }
    return both;
}

void Aircraft::step(double dt_s)
{
    Parts& p = parts_;
    p.clock_s += dt_s;
    const double turned = p.motion.step(dt_s, p.stance);
    p.supply.step(dt_s, p.controls, p.defects, {p.unit.channel(1).drawing(), p.unit.channel(2).drawing()});
    p.harness.step(dt_s, p.controls, p.defects);
    step_unit(dt_s, turned);
    p.air.step(dt_s, p.unit.channel(1), p.controls, p.defects);
    if (p.spoken) p.spoken->step(dt_s, state());
    else p.wire.step(dt_s, p.controls.cable, p.unit, p.controls, p.defects, p.on_ground, p.motion.moving());
    watch();
}

// Leakage across the signal contacts lets the drive in as noise: about 900 nT for 40 kohm.
void Aircraft::step_unit(double dt_s, double turned_deg)
{
    Parts& p = parts_;
    const double leak_noise_nt = 900.0 * 40e3 / p.harness.leak_ohm(p.defects);
    const BodyField field = p.magnetics.sensed(p.stance, p.defects, leak_noise_nt);
    p.unit.step(dt_s, inputs(turned_deg, field), p.defects);
}

void Aircraft::watch()
{
    Parts& p = parts_;
    for (std::size_t c = 0; c < circuit_count; ++c)
        if (p.harness.parted(static_cast<Circuit>(c))) p.opened_s[c] = p.clock_s;
    if (looks_wrong(p)) p.trouble_seen_s = p.clock_s;
    if (p.controls.heater && p.controls.covers && p.controls.fed(pitot_ht) && (p.mishaps.empty() || p.mishaps.back() != "covers_burnt"))
        p.mishaps.push_back("covers_burnt");
}

void Aircraft::run(double seconds)
{
    const auto steps = static_cast<long>(std::lround(seconds / 0.02));
    for (long i = 0; i < steps; ++i) step(0.02);
}

void Aircraft::feed(ByteView bytes)
{
    Parts& p = parts_;
    if (p.spoken) return p.spoken->feed(bytes, p.unit, state());
    p.wire.feed(bytes, p.controls.cable, p.unit, p.controls, p.defects, p.on_ground);
}

Bytes Aircraft::take()
{
    return parts_.spoken ? parts_.spoken->take() : parts_.wire.take();
}

bool looks_wrong(const Parts& p)
{
    if (p.spoken && p.spoken->air_data()) return altitude_looks_wrong(p);
    for (int display = 1; display <= 2; ++display) {
        const DisplayFace f = face(display, p.controls, p.supply, p.unit, p.defects);
        if (!f.lit || f.flag || f.cross) return true;
        if (std::abs(wrap_180(f.heading_deg - p.stance.heading_deg)) > wrong_deg) return true;
    }
    return false;
}

} // namespace chockside::practice
