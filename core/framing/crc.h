#pragma once

#include <core/base/bytes.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chockside::framing {

/// Rocksoft-model parameters as the public CRC catalogue gives them; widths 3 to 64.
struct CrcParameters {
    std::string name;
    int width = 16;
    std::uint64_t poly = 0x1021;
    std::uint64_t init = 0xFFFF;
    bool reflect_in = false;
    bool reflect_out = false;
    std::uint64_t xor_out = 0;
    bool operator==(const CrcParameters&) const = default;
};

/// Parameters by catalogue name ("CRC-16/IBM-3740"), or nothing.
std::optional<CrcParameters> crc_by_name(const std::string& name);
/// Every name that crc_by_name() knows, in the order of the table: the whole catalogue up to 64 bits.
std::vector<std::string> crc_names();
/// Width 3 to 64, and no parameter wider than that.
bool is_crc(const CrcParameters&);

/// Table-driven engine for one parameter set; tables are built once per object. Up to 16 bits it takes sixteen bytes a step, up to 32
/// eight, above one.
class Crc {
public:
    explicit Crc(const CrcParameters&);
    std::uint64_t of(ByteView) const;
    int bytes() const { return (width_ + 7) / 8; }

private:
    template <class Register> void fill(std::uint64_t poly, Register* tables, int count);
    std::uint64_t run(const unsigned char* p, std::size_t n) const;
    std::uint32_t short_left(const unsigned char* p, std::size_t n) const;
    std::uint32_t short_right(const unsigned char* p, std::size_t n) const;
    std::uint32_t run_left(const unsigned char* p, std::size_t n) const;
    std::uint32_t run_right(const unsigned char* p, std::size_t n) const;
    std::uint64_t run_wide(const unsigned char* p, std::size_t n) const;

    int width_;
    bool reflect_in_, reflect_out_;
    std::uint64_t init_, xor_out_, mask_;
    union alignas(64) {
        std::uint16_t short_[16][256]; ///< up to 16 bits
        std::uint32_t table_[8][256];  ///< up to 32
    };
    std::vector<std::uint64_t> wide_;  ///< above
};

} // namespace chockside::framing
