#include <core/practice/detail/read_world.h>

#include <cstdlib>

namespace chockside::practice::detail {

namespace {

// Remembers the first key that was not there, so that reading stays one line per number.
class Section {
public:
    Section(const json::Value& root, const std::string& name, std::string& missing) : value_(root[name]), name_(name), missing_(missing) {}

    const json::Value& need(const std::string& key)
    {
        const json::Value& found = value_[key];
        if (found.is_null() && missing_.empty()) missing_ = "/" + name_ + "/" + key;
        return found;
    }
    double number(const std::string& key) { return need(key).as_double(); }
    std::string text(const std::string& key) { return need(key).as_text(); }
    std::array<double, 2> pair(const std::string& key)
    {
        const json::Array& both = need(key).as_array();
        return both.size() == 2 ? std::array{both[0].as_double(), both[1].as_double()} : std::array{0.0, 0.0};
    }

private:
    const json::Value& value_;
    std::string name_;
    std::string& missing_;
};

Electrical read_electrical(Section s)
{
    Electrical e;
    e.cart_v = s.number("cart_v");
    e.cart_ohm = s.number("cart_ohm");
    e.other_cart_ohm = s.number("other_cart_ohm");
    e.essential_ohm = s.number("essential_ohm");
    e.main_ohm = s.number("main_ohm");
    e.breaker_ohm = s.number("breaker_ohm");
    e.wire_ohm = s.number("wire_ohm");
    e.unit_a = s.number("unit_a");
    e.display_a = s.number("display_a");
    e.transponder_a = s.number("transponder_a");
    e.servo_a = s.number("servo_a");
    e.heater_ohm = s.number("heater_ohm");
    e.heater_inrush = s.number("heater_inrush");
    e.heater_inrush_s = s.number("heater_inrush_s");
    e.cart_load_a = s.number("cart_load_a");
    e.cart_load_inrush = s.number("cart_load_inrush");
    e.cart_load_inrush_s = s.number("cart_load_inrush_s");
    return e;
}

Magnetic read_magnetic(Section s)
{
    Magnetic m;
    m.horizontal_nt = s.number("horizontal_nt");
    m.dip_deg = s.number("dip_deg");
    m.iron_fore_nt = s.number("iron_fore_nt");
    m.iron_right_nt = s.number("iron_right_nt");
    m.sensor_noise_nt = s.number("sensor_noise_nt");
    m.sensor_at_m = s.pair("sensor_at_m");
    m.standby_at_m = s.pair("standby_at_m");
    m.standby_b_deg = s.number("standby_b_deg");
    m.standby_c_deg = s.number("standby_c_deg");
    return m;
}

// Only units that differ from the first say so.
Pace read_pace(const json::Value& v)
{
    Pace p;
    p.self_test_s = v["self_test_s"].as_double(p.self_test_s);
    p.alignment_s = v["alignment_s"].as_double(p.alignment_s);
    p.session_lost_s = v["session_lost_s"].as_double(p.session_lost_s);
    p.low_v = v["low_v"].as_double(p.low_v);
    p.drop_out_v = v["drop_out_v"].as_double(p.drop_out_v);
    p.restart_v = v["restart_v"].as_double(p.restart_v);
    return p;
}

void read_aircraft(Section s, World& w)
{
    w.tail = s.text("tail");
    w.type = s.text("type");
    w.part = s.text("part");
    w.spare_unit = s.text("spare_unit");
    w.spare_sensor = s.text("spare_sensor");
    w.identity_crc = static_cast<unsigned>(std::strtoul(s.text("identity_crc").c_str(), nullptr, 16));
    w.latitude_deg = s.number("latitude_deg");
    w.heading_deg = s.number("heading_deg");
    w.arrival_uptime_s = s.number("arrival_uptime_s");
    w.arrival_power_up = static_cast<int>(s.number("arrival_power_up"));
    w.bay_c = s.number("bay_c");
    for (const auto& [what, serial] : s.need("serials").as_object()) w.serials[what] = serial.as_text();
}

} // namespace

Result<World> read_world(const json::Value& root)
{
    std::string missing;
    World w;
    w.id = root["id"].as_text();
    w.profile = root["profile"].as_text();
    read_aircraft({root, "aircraft", missing}, w);
    w.pace = read_pace(root["pace"]);
    if (root["aircraft"].has("unit")) w.unit_name = root["aircraft"]["unit"].as_text();
    w.elevation_m = root["aircraft"]["elevation_m"].as_double(w.elevation_m);
    w.outside_c = root["aircraft"]["outside_c"].as_double(w.outside_c);
    w.electrical = read_electrical({root, "electrical", missing});
    w.magnetic = read_magnetic({root, "magnetic", missing});
    for (const auto& [tail, c] : root["calibrations"].as_object())
        w.calibrations[tail] = {tail, c["b_deg"].as_double(), c["c_deg"].as_double()};
    if (missing.empty() && !w.calibrations.contains(w.tail)) missing = "/calibrations/" + w.tail;
    if (!missing.empty()) return fail("practice_missing", missing);
    return w;
}

} // namespace chockside::practice::detail
