#pragma once

#include <core/base/bytes.h>
#include <core/framing/detail/fold.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chockside::framing {

/// A register of any width: the widest of the catalogue has 82 bits.
__extension__ typedef unsigned __int128 CrcValue;

/// Rocksoft-model parameters as the public CRC catalogue gives them; widths 3 to 128.
struct CrcParameters {
    std::string name;
    int width = 16;
    CrcValue poly = 0x1021;
    CrcValue init = 0xFFFF;
    bool reflect_in = false;
    bool reflect_out = false;
    CrcValue xor_out = 0;
    bool operator==(const CrcParameters&) const = default;
};

/// Parameters by catalogue name ("CRC-16/IBM-3740"), or nothing.
std::optional<CrcParameters> crc_by_name(const std::string& name);
/// Every name that crc_by_name() knows, in the order of the table: the whole catalogue.
std::vector<std::string> crc_names();
/// Width 3 to 128, and no parameter wider than that.
bool is_crc(const CrcParameters&);

/// Engine for one parameter set; its tables are built once per object. Up to 64 bits and from sixteen bytes on it multiplies without carry
/// where the processor can. Else tables: up to 16 bits sixteen bytes a step, up to 32 eight, above one.
class Crc {
public:
    explicit Crc(const CrcParameters&);
    /// Width at most 64.
    std::uint64_t of(ByteView) const;
    /// Any width.
    CrcValue value_of(ByteView) const;
    int bytes() const { return (width_ + 7) / 8; }
    /// From now on by tables alone, as on a processor that can't multiply without carry.
    void use_tables() { folds_from_ = ~std::size_t{0}; }

private:
    template <class Register> void fill(CrcValue poly, Register* tables, int count);
    std::uint64_t run(const unsigned char* p, std::size_t n) const;
    std::uint32_t short_left(const unsigned char* p, std::size_t n) const;
    std::uint32_t short_right(const unsigned char* p, std::size_t n) const;
    std::uint32_t run_left(const unsigned char* p, std::size_t n) const;
    std::uint32_t run_right(const unsigned char* p, std::size_t n) const;

    int width_;
    bool reflect_in_, reflect_out_;
    CrcValue init_, xor_out_, mask_;
    std::size_t folds_from_ = ~std::size_t{0}; ///< bytes
    detail::Fold fold_;
    union alignas(64) {
        std::uint16_t short_[16][256]; ///< up to 16 bits
        std::uint32_t table_[8][256];  ///< up to 32
    };
    std::vector<std::uint64_t> wide_; ///< up to 64
    std::vector<CrcValue> widest_;    ///< above
};

} // namespace chockside::framing
