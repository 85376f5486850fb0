#include <core/practice/detail/unit_state.h>

#include <core/practice/detail/spoken_faults.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace chockside::practice::detail {

namespace {

using profile::Field;
using profile::FieldType;

/// Of a text that begins with one; 0 where none stands there.
double number_in(const std::string& text)
{
    double number = 0;
    (void)std::from_chars(text.data(), text.data() + text.size(), number);
    return number;
}

bool is_air_data(const profile::Unit& u)
{
    return u.kind == "air_data_computer";
}

bool bit_state(const profile::Unit& u, const std::string& name, const UnitState& s)
{
    const Channel& c = s.speaking();
    if (name == "heading_flag") return c.heading_flag();
    if (name == "attitude_flag") return c.attitude_flag();
    if (name == "sensor_on") return is_air_data(u) || s.controls->connected[p9];
    if (name == "on_ground") return s.on_ground;
    if (name == "heater_on") return s.air->heater_on();
    if (name == "aligned") return c.phase() == Phase::running;
    if (name == "moving") return s.moving;
    return test_failed(name, c.failed_tests());
}

double bits_of(const profile::Unit& u, const Field& f, const UnitState& s)
{
    double all = 0;
    for (const auto& [bit, name] : f.bits)
        if (bit_state(u, name, s)) all += std::exp2(bit);
    return all;
}

// A heading that rounds to a whole turn is nothing again.
double turned(double deg, const Field& f)
{
    const double step = f.full_scale ? *f.full_scale / 65536 : 0;
    return f.full_scale && deg > *f.full_scale - step ? 0 : deg;
}

bool present(const Field& f, const UnitState& s)
{
    return f.name == "heading" ? !s.speaking().heading_flag() : !s.speaking().attitude_flag();
}

// A field that says which later ones are there.
std::optional<double> mask_of(const Field& f, const std::vector<Field>& all, const UnitState& s)
{
    double mask = 0;
    bool found = false;
    for (const Field& other : all) {
        if (!other.when || other.when->field != f.name || !other.when->bit) continue;
        found = true;
        if (present(other, s)) mask += std::exp2(*other.when->bit);
    }
    return found ? std::optional(mask) : std::nullopt;
}

std::optional<double> number_of(const Field& f, const UnitState& s)
{
    const Channel& c = s.speaking();
    if (f.role == "uptime") return c.uptime_s();
    if (f.role == "self_test_phase") return c.phase() == Phase::self_test ? 0 : 1;
    if (f.name == "supply") return std::max(0.0, c.supply_v());
    if (f.name == "pitch") return c.pitch_deg();
    if (f.name == "roll") return c.roll_deg();
    if (f.name == "heading") return turned(c.heading_deg(), f);
    if (f.name == "sensor") return c.field().horizontal();
    if (f.name == "static_pressure") return s.air->static_pa();
    if (f.name == "impact_pressure") return s.air->impact_pa();
    if (f.name == "altitude") return s.air->altitude_ft();
    if (f.name == "temperature") return s.air->temperature_c();
    if (f.name == "crc") return f.type == FieldType::u16 ? s.unit->program_crc() & 0xFFFFu : s.unit->program_crc();
    return std::nullopt;
}

const char* data_state(const Channel& c)
{
    if (c.phase() == Phase::self_test) return "test";
    return c.attitude_flag() ? "void" : "valid";
}

std::vector<std::uint32_t> words_of(const profile::Unit& u, const UnitState& s)
{
    using arinc429::Ssm;
    const Channel& c = s.speaking();
    std::vector<std::uint32_t> words;
    for (const profile::Word& w : u.words) {
        const bool heading = w.quantity.starts_with("heading");
        const bool flagged = heading ? c.heading_flag() : c.attitude_flag();
        const double value = heading ? c.heading_deg() : w.quantity == "roll" ? c.roll_deg() : c.pitch_deg();
        const Ssm ssm = c.phase() == Phase::self_test ? Ssm::functional_test
                        : c.phase() == Phase::aligning ? Ssm::no_computed_data
                        : flagged                      ? Ssm::failure_warning
                                                       : Ssm::normal;
        words.push_back(codec::encode_word(w, value, ssm, source_number(s.channel, *s.defects)));
    }
    return words;
}

codec::FieldValue text_or_zero(const Field& f, const UnitState& s, const Reply& r)
{
    const bool text = f.type == FieldType::text;
    if (f.name == "part") return s.unit->part();
    if (f.name == "serial") return text ? codec::FieldValue(s.unit->serial()) : codec::FieldValue(number_in(s.unit->serial()));
    if (f.name == "of") return text ? codec::FieldValue(r.of_text) : codec::FieldValue(r.of);
    return text ? codec::FieldValue("") : codec::FieldValue(0);
}

class Filler {
public:
    Filler(const profile::Unit& u, const profile::Frame& frame, const UnitState& s, const Reply& r) : u_(u), frame_(frame), s_(s), r_(r) {}

    codec::FieldValues fields(const std::vector<Field>& list) const
    {
        codec::FieldValues values;
        for (const Field& f : list) {
            if (counts(f.name, list) || (f.when && !present(f, s_))) continue;
            values.insert_or_assign(f.name, value(f, list));
        }
        return values;
    }

private:
    // The encoder counts groups and texts itself.
    static bool counts(const std::string& name, const std::vector<Field>& list)
    {
        return std::any_of(list.begin(), list.end(), [&](const Field& f) { return f.repeat_count == name || f.length_field == name; });
    }

    codec::FieldValue value(const Field& f, const std::vector<Field>& list) const
    {
        if (f.type == FieldType::arinc429) return words_of(u_, s_);
        if (f.type == FieldType::group) return group(f);
        if (frame_.name == u_.session.refused_by && f.name == u_.session.refused_why) return r_.reason;
        if (f.enumeration == "data_state") return data_state(s_.speaking());
        if (f.name == "page") return static_cast<double>(r_.page);
        if (f.name == "pages") return static_cast<double>(fault_pages(u_, s_));
        if (const auto mask = mask_of(f, list, s_)) return *mask;
        if (!f.bits.empty()) return bits_of(u_, f, s_);
        if (const auto number = number_of(f, s_)) return *number;
        return text_or_zero(f, s_, r_);
    }

    codec::FieldValue group(const Field& f) const
    {
        if (frame_.name == u_.faults.frame && f.name == u_.faults.group) return fault_rows(u_, f, s_, r_.page - r_.first_page);
        return std::vector<codec::FieldValues>{fields(f.fields)};
    }

    const profile::Unit& u_;
    const profile::Frame& frame_;
    const UnitState& s_;
    const Reply& r_;
};

} // namespace

codec::FieldValues fill(const profile::Unit& profile, const profile::Frame& frame, const UnitState& state, const Reply& reply)
{
    return Filler(profile, frame, state, reply).fields(frame.fields);
}

} // namespace chockside::practice::detail
