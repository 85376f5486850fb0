#include <core/practice/detail/spoken_faults.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace chockside::practice::detail {

namespace {

constexpr std::array<std::pair<const char*, int>, 8> faults{{{"f_internal_clock", code::internal_clock}, {"f_sensor_lost", code::sensor_lost},
    {"f_sensor_input", code::sensor_input}, {"f_supply_low", code::supply_low}, {"f_power_lost", code::power_lost},
    {"f_calibration", code::calibration}, {"f_static_drift", code::static_drift}, {"f_heater", code::heater}}};

constexpr std::array<std::pair<const char*, unsigned>, 7> tests{{{"st_processor", test_bit::processor}, {"st_gyro", test_bit::gyro},
    {"st_sensor_drive", test_bit::sensor_drive}, {"st_supply", test_bit::supply}, {"st_sensor_input", test_bit::sensor_input},
    {"st_configuration", test_bit::configuration}, {"st_static_sensor", test_bit::static_sensor}}};

constexpr std::int64_t usual_rows = 8;

struct Told {
    const StoredFault* row;
    std::uint64_t code;
};

std::vector<Told> told(const profile::Unit& u, const UnitState& s)
{
    std::vector<Told> all;
    const auto& rows = s.speaking().memory().rows();
    for (auto row = rows.rbegin(); row != rows.rend(); ++row)
        for (const auto& [code, said] : u.faults.table)
            if (own_code(said.id) == row->code) all.push_back({&*row, code});
    return all;
}

const profile::Field* group_of(const profile::Unit& u, const profile::Frame*& frame)
{
    for (const profile::Frame& f : u.frames)
        for (const profile::Field& field : f.fields)
            if (f.name == u.faults.frame && field.name == u.faults.group) {
                frame = &f;
                return &field;
            }
    return nullptr;
}

std::int64_t rows_on_page(const profile::Unit& u)
{
    const profile::Frame* frame = nullptr;
    const profile::Field* group = group_of(u, frame);
    if (!group) return usual_rows;
    if (group->repeat_most) return *group->repeat_most;
    for (const profile::Field& f : frame->fields)
        if (f.name == group->repeat_count && f.range) return static_cast<std::int64_t>(f.range->second);
    return usual_rows;
}

double part_of(const profile::Field& f, const Told& t, const UnitState& s, const std::string& code_field)
{
    if (f.name == code_field) return static_cast<double>(t.code);
    if (f.name == "power_up") return t.row->power_up & 0xFFFF;
    if (f.name == "at") return std::floor(t.row->at_s);
    if (f.name == "count") return std::min(t.row->count, 255);
    if (f.name == "drift") return t.row->code == code::static_drift ? s.air->drift_pa() : 0;
    for (const auto& [bit, name] : f.bits)
        if (name == "active" && t.row->active) return std::exp2(bit);
    return 0;
}

} // namespace

int own_code(const std::string& fault_id)
{
    for (const auto& [id, code] : faults)
        if (fault_id == id) return code;
    return 0;
}

bool test_failed(const std::string& name, unsigned failed)
{
    for (const auto& [id, bit] : tests)
        if (name == id) return failed >> bit & 1u;
    return false;
}

std::vector<codec::FieldValues> fault_rows(const profile::Unit& profile, const profile::Field& group, const UnitState& state, std::int64_t page)
{
    const std::vector<Told> all = told(profile, state);
    const std::int64_t per = rows_on_page(profile), first = page * per;
    std::vector<codec::FieldValues> rows;
    for (std::int64_t i = first; i < std::min<std::int64_t>(first + per, static_cast<std::int64_t>(all.size())); ++i) {
        codec::FieldValues row;
        for (const profile::Field& f : group.fields) row.insert_or_assign(f.name, part_of(f, all[static_cast<std::size_t>(i)], state, profile.faults.code_field));
        rows.push_back(std::move(row));
    }
    return rows;
}

std::int64_t fault_pages(const profile::Unit& profile, const UnitState& state)
{
    const auto total = static_cast<std::int64_t>(told(profile, state).size());
    return std::max<std::int64_t>(1, (total + rows_on_page(profile) - 1) / rows_on_page(profile));
}

} // namespace chockside::practice::detail
