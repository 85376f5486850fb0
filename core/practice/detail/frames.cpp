#include <core/practice/detail/frames.h>

#include <core/practice/detail/pack.h>

#include <algorithm>
#include <cmath>

namespace chockside::practice::detail {

namespace {

constexpr unsigned rows_on_page = 16;

WordState state_of(Phase phase, bool flagged)
{
    if (phase == Phase::self_test) return WordState::test;
    if (phase == Phase::aligning) return WordState::no_data;
    return flagged ? WordState::failure : WordState::normal;
}

unsigned bit(bool on, unsigned number)
{
    return on ? 1u << number : 0u;
}

std::uint32_t arinc_bit(bool on, unsigned number)
{
    return bit(on, number - 1);
}

} // namespace

Bytes status_frame(const Channel& channel, const Controls& controls, bool on_ground, bool moving)
{
    const unsigned pins = bit(channel.heading_flag(), 0) | bit(channel.attitude_flag(), 1) | bit(controls.connected[p9], 2) | bit(on_ground, 3) |
                          bit(channel.phase() == Phase::running, 4) | bit(moving, 5);
    return Packer(0x90)
        .u32(static_cast<std::uint32_t>(std::llround(channel.uptime_s() * 10)))
        .u16(static_cast<unsigned>(std::llround(std::max(0.0, channel.supply_v()) * 100)))
        .u8(pins)
        .bytes();
}

Bytes words_frame(int number, const Channel& channel, const Controls& controls, const Defects& defects)
{
    const auto source = static_cast<unsigned>(source_number(number, defects));
    const WordState heading = state_of(channel.phase(), channel.heading_flag());
    const WordState attitude = state_of(channel.phase(), channel.attitude_flag());
    const BodyField& f = channel.field();
    const std::uint32_t wired = arinc_bit(channel.sensor_wire_ok(), 11) | arinc_bit(true, 12) |
                                arinc_bit(!controls.slaved[static_cast<std::size_t>(number - 1)], 13) |
                                arinc_bit(strap_of(number, defects) == number, 14);
    return Packer(0x91)
        .u8(7)
        .u32(bnr_word(0320, source, wrap_180(channel.heading_deg()), 180, 28, 14, heading))
        .u32(bnr_word(0324, source, channel.pitch_deg(), 180, 28, 15, attitude))
        .u32(bnr_word(0325, source, channel.roll_deg(), 180, 28, 15, attitude))
        .u32(bcd_word(0161, source, f.horizontal(), true))
        .u32(bcd_word(0163, source, std::abs(f.down_nt), true))
        .u32(bnr_word(0321, source, wrap_180(channel.raw_heading_deg()), 180, 28, 14, heading))
        .u32(bit_word(0270, source, wired))
        .bytes();
}

Bytes self_test_frame(const Channel& channel)
{
    return Packer(0x92).u8(channel.phase() == Phase::self_test ? 0 : 1).u16(channel.failed_tests()).bytes();
}

Bytes fault_page(const Channel& channel, unsigned page)
{
    const auto& rows = channel.memory().rows();
    const auto total = static_cast<unsigned>(rows.size());
    const unsigned pages = std::max(1u, (total + rows_on_page - 1) / rows_on_page);
    const unsigned first = std::min(total, page * rows_on_page);
    const unsigned n = std::min(rows_on_page, total - first);
    Packer out(0xA1);
    out.u8(page).u8(pages).u8(n);
    for (unsigned i = 0; i < n; ++i) {
        const StoredFault& row = rows[total - 1 - first - i];
        out.u16(static_cast<unsigned>(row.code)).u16(static_cast<unsigned>(row.power_up)).u32(static_cast<std::uint32_t>(row.at_s));
        out.bcd2(row.count).u8(row.active ? 1 : 0);
    }
    return out.bytes();
}

Bytes identity_frame(const Unit& unit)
{
    return Packer(0xA3).text(unit.part(), 12).text(unit.serial(), 8).u32(unit.program_crc()).bytes();
}

Bytes config_frame(int number, const Unit& unit, const Controls& controls, const Defects& defects)
{
    const Calibration& c = unit.calibration();
    const auto hundredths = [](double deg) { return static_cast<unsigned>(std::lround(deg * 100)) & 0xFFFFu; };
    return Packer(0xA4)
        .text(c.tail, 8)
        .u8(static_cast<unsigned>(strap_of(number, defects)))
        .u16(hundredths(c.b_deg))
        .u16(hundredths(c.c_deg))
        .u8(controls.slaved[static_cast<std::size_t>(number - 1)] ? 1 : 0)
        .bytes();
}

} // namespace chockside::practice::detail
