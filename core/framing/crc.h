#pragma once

#include <core/base/bytes.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chockside::framing {

/// Rocksoft-model parameters as the public CRC catalogue gives them; widths 8 to 32.
struct CrcParameters {
    std::string name;
    int width = 16;
    std::uint32_t poly = 0x1021;
    std::uint32_t init = 0xFFFF;
    bool reflect_in = false;
    bool reflect_out = false;
    std::uint32_t xor_out = 0;
    bool operator==(const CrcParameters&) const = default;
};

/// Parameters by catalogue name ("CRC-16/IBM-3740"), or nothing.
std::optional<CrcParameters> crc_by_name(const std::string& name);
/// Every name that crc_by_name() knows, in the order of the table.
std::vector<std::string> crc_names();

/// Table-driven engine for one parameter set (eight bytes a step); tables are built once per object, 8 KiB.
class Crc {
public:
    explicit Crc(const CrcParameters&);
    std::uint32_t of(ByteView) const;
    int bytes() const { return (width_ + 7) / 8; }

private:
    std::uint32_t run_left(const unsigned char* p, std::size_t n) const;
    std::uint32_t run_right(const unsigned char* p, std::size_t n) const;

    int width_;
    bool reflect_in_, reflect_out_;
    std::uint32_t init_, xor_out_, mask_;
    std::uint32_t table_[8][256];
};

} // namespace chockside::framing
