#include <core/framing/crc.h>

#include <array>

namespace chockside::framing {

namespace {

std::uint32_t reflect(std::uint32_t value, int bits)
{
    std::uint32_t out = 0;
    for (int i = 0; i < bits; ++i)
        if (value >> i & 1u) out |= 1u << (bits - 1 - i);
    return out;
}

// Parameters: the public CRC catalogue (G. Cook), as in tests/data/framing/crc-check-values.csv.
const std::array catalogue = {
    CrcParameters{"CRC-16/IBM-3740", 16, 0x1021, 0xFFFF, false, false, 0x0000},
    CrcParameters{"CRC-16/XMODEM", 16, 0x1021, 0x0000, false, false, 0x0000},
    CrcParameters{"CRC-16/KERMIT", 16, 0x1021, 0x0000, true, true, 0x0000},
    CrcParameters{"CRC-16/IBM-SDLC", 16, 0x1021, 0xFFFF, true, true, 0xFFFF},
    CrcParameters{"CRC-16/MODBUS", 16, 0x8005, 0xFFFF, true, true, 0x0000},
    CrcParameters{"CRC-16/ARC", 16, 0x8005, 0x0000, true, true, 0x0000},
    CrcParameters{"CRC-16/GENIBUS", 16, 0x1021, 0xFFFF, false, false, 0xFFFF},
    CrcParameters{"CRC-16/GSM", 16, 0x1021, 0x0000, false, false, 0xFFFF},
    CrcParameters{"CRC-16/MCRF4XX", 16, 0x1021, 0xFFFF, true, true, 0x0000},
    CrcParameters{"CRC-16/SPI-FUJITSU", 16, 0x1021, 0x1D0F, false, false, 0x0000},
    CrcParameters{"CRC-16/USB", 16, 0x8005, 0xFFFF, true, true, 0xFFFF},
    CrcParameters{"CRC-16/DNP", 16, 0x3D65, 0x0000, true, true, 0xFFFF},
    CrcParameters{"CRC-16/MAXIM-DOW", 16, 0x8005, 0x0000, true, true, 0xFFFF},
    CrcParameters{"CRC-16/UMTS", 16, 0x8005, 0x0000, false, false, 0x0000},
    CrcParameters{"CRC-8/SMBUS", 8, 0x07, 0x00, false, false, 0x00},
    CrcParameters{"CRC-8/MAXIM-DOW", 8, 0x31, 0x00, true, true, 0x00},
    CrcParameters{"CRC-8/AUTOSAR", 8, 0x2F, 0xFF, false, false, 0xFF},
    CrcParameters{"CRC-8/SAE-J1850", 8, 0x1D, 0xFF, false, false, 0xFF},
    CrcParameters{"CRC-8/I-432-1", 8, 0x07, 0x00, false, false, 0x55},
    CrcParameters{"CRC-8/ROHC", 8, 0x07, 0xFF, true, true, 0x00},
    CrcParameters{"CRC-8/DVB-S2", 8, 0xD5, 0x00, false, false, 0x00},
    CrcParameters{"CRC-32/ISO-HDLC", 32, 0x04C11DB7, 0xFFFFFFFF, true, true, 0xFFFFFFFF},
    CrcParameters{"CRC-32/ISCSI", 32, 0x1EDC6F41, 0xFFFFFFFF, true, true, 0xFFFFFFFF},
    CrcParameters{"CRC-24/OPENPGP", 24, 0x864CFB, 0xB704CE, false, false, 0x000000},
    CrcParameters{"CRC-32/MPEG-2", 32, 0x04C11DB7, 0xFFFFFFFF, false, false, 0x00000000},
    CrcParameters{"CRC-32/BZIP2", 32, 0x04C11DB7, 0xFFFFFFFF, false, false, 0xFFFFFFFF},
};

} // namespace

std::optional<CrcParameters> crc_by_name(const std::string& name)
{
    for (const auto& p : catalogue)
        if (p.name == name) return p;
    return std::nullopt;
}

std::vector<std::string> crc_names()
{
    std::vector<std::string> names;
    for (const auto& p : catalogue) names.push_back(p.name);
    return names;
}

// One register form for both directions: reflected CRCs run low bit first, the others in the top bits of 32.
Crc::Crc(const CrcParameters& p)
    : width_(p.width), reflect_in_(p.reflect_in), reflect_out_(p.reflect_out), xor_out_(p.xor_out),
      mask_(p.width == 32 ? 0xFFFFFFFFu : (1u << p.width) - 1u)
{
    const std::uint32_t poly = reflect_in_ ? reflect(p.poly, width_) : p.poly << (32 - width_);
    init_ = reflect_in_ ? reflect(p.init, width_) : p.init << (32 - width_);
    for (std::uint32_t i = 0; i < 256; ++i) {
        std::uint32_t r = reflect_in_ ? i : i << 24;
        for (int bit = 0; bit < 8; ++bit) {
            if (reflect_in_) r = r & 1u ? r >> 1 ^ poly : r >> 1;
            else r = r & 0x80000000u ? r << 1 ^ poly : r << 1;
        }
        table_[0][i] = r;
    }
    for (int k = 1; k < 8; ++k)
        for (std::uint32_t i = 0; i < 256; ++i) {
            const std::uint32_t r = table_[k - 1][i];
            table_[k][i] = reflect_in_ ? r >> 8 ^ table_[0][r & 255u] : r << 8 ^ table_[0][r >> 24];
        }
}

// Slice by eight: eight table look-ups that do not wait for one another.
std::uint32_t Crc::run_right(const unsigned char* p, std::size_t n) const
{
    std::uint32_t r = init_;
    for (; n >= 8; n -= 8, p += 8) {
        const std::uint32_t low = r ^ (std::uint32_t{p[0]} | std::uint32_t{p[1]} << 8 | std::uint32_t{p[2]} << 16 | std::uint32_t{p[3]} << 24);
        r = table_[7][low & 255u] ^ table_[6][low >> 8 & 255u] ^ table_[5][low >> 16 & 255u] ^ table_[4][low >> 24] ^ table_[3][p[4]] ^ table_[2][p[5]] ^ table_[1][p[6]] ^ table_[0][p[7]];
    }
    for (; n; --n, ++p) r = r >> 8 ^ table_[0][(r ^ *p) & 255u];
    return r;
}

std::uint32_t Crc::run_left(const unsigned char* p, std::size_t n) const
{
    std::uint32_t r = init_;
    for (; n >= 8; n -= 8, p += 8) {
        const std::uint32_t high = r ^ (std::uint32_t{p[0]} << 24 | std::uint32_t{p[1]} << 16 | std::uint32_t{p[2]} << 8 | std::uint32_t{p[3]});
        r = table_[7][high >> 24] ^ table_[6][high >> 16 & 255u] ^ table_[5][high >> 8 & 255u] ^ table_[4][high & 255u] ^ table_[3][p[4]] ^ table_[2][p[5]] ^ table_[1][p[6]] ^ table_[0][p[7]];
    }
    for (; n; --n, ++p) r = r << 8 ^ table_[0][(r >> 24 ^ *p) & 255u];
    return r >> (32 - width_);
}

std::uint32_t Crc::of(ByteView bytes) const
{
    const auto* p = reinterpret_cast<const unsigned char*>(bytes.data());
    std::uint32_t r = reflect_in_ ? run_right(p, bytes.size()) : run_left(p, bytes.size());
    if (reflect_in_ != reflect_out_) r = reflect(r, width_);
    return (r ^ xor_out_) & mask_;
}

} // namespace chockside::framing
