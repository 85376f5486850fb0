#include <core/framing/crc.h>

namespace chockside::framing {

namespace {

std::uint64_t reflect(std::uint64_t value, int bits)
{
    std::uint64_t out = 0;
    for (int i = 0; i < bits; ++i)
        if (value >> i & 1u) out |= std::uint64_t{1} << (bits - 1 - i);
    return out;
}

std::uint64_t ones(int width)
{
    return width == 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << width) - 1;
}

/// What one byte does to an empty register: reflected CRCs run low bit first, the others in the register's top bits.
template <class Register>
Register byte_step(unsigned byte, Register poly, bool right)
{
    constexpr int bits = sizeof(Register) * 8;
    Register r = right ? Register{byte} : static_cast<Register>(Register{byte} << (bits - 8));
    for (int bit = 0; bit < 8; ++bit) {
        const bool out = (right ? r & 1u : r >> (bits - 1)) != 0;
        r = static_cast<Register>(right ? r >> 1 : r << 1);
        if (out) r ^= poly;
    }
    return r;
}

} // namespace

bool is_crc(const CrcParameters& p)
{
    if (p.width < 3 || p.width > 64) return false;
    return ((p.poly | p.init | p.xor_out) & ~ones(p.width)) == 0;
}

Crc::Crc(const CrcParameters& p)
    : width_(p.width), reflect_in_(p.reflect_in), reflect_out_(p.reflect_out), xor_out_(p.xor_out), mask_(ones(p.width))
{
    const int bits = width_ > 32 ? 64 : 32;
    const auto placed = [&](std::uint64_t v) { return reflect_in_ ? reflect(v, width_) : v << (bits - width_); };
    const std::uint64_t poly = placed(p.poly);
    init_ = placed(p.init);
    if (width_ > 32) {
        for (unsigned i = 0; i < 256; ++i) wide_.push_back(byte_step(i, poly, reflect_in_));
        return;
    }
    for (unsigned i = 0; i < 256; ++i) table_[0][i] = byte_step(i, static_cast<std::uint32_t>(poly), reflect_in_);
    for (int k = 1; k < 8; ++k)
        for (unsigned i = 0; i < 256; ++i) {
            const std::uint32_t r = table_[k - 1][i];
            table_[k][i] = reflect_in_ ? r >> 8 ^ table_[0][r & 255u] : r << 8 ^ table_[0][r >> 24];
        }
}

// Slice by eight: eight table look-ups that do not wait for one another.
std::uint32_t Crc::run_right(const unsigned char* p, std::size_t n) const
{
    auto r = static_cast<std::uint32_t>(init_);
    for (; n >= 8; n -= 8, p += 8) {
        const std::uint32_t low = r ^ (std::uint32_t{p[0]} | std::uint32_t{p[1]} << 8 | std::uint32_t{p[2]} << 16 | std::uint32_t{p[3]} << 24);
        r = table_[7][low & 255u] ^ table_[6][low >> 8 & 255u] ^ table_[5][low >> 16 & 255u] ^ table_[4][low >> 24] ^ table_[3][p[4]] ^ table_[2][p[5]] ^ table_[1][p[6]] ^ table_[0][p[7]];
    }
    for (; n; --n, ++p) r = r >> 8 ^ table_[0][(r ^ *p) & 255u];
    return r;
}

std::uint32_t Crc::run_left(const unsigned char* p, std::size_t n) const
{
    auto r = static_cast<std::uint32_t>(init_);
    for (; n >= 8; n -= 8, p += 8) {
        const std::uint32_t high = r ^ (std::uint32_t{p[0]} << 24 | std::uint32_t{p[1]} << 16 | std::uint32_t{p[2]} << 8 | std::uint32_t{p[3]});
        r = table_[7][high >> 24] ^ table_[6][high >> 16 & 255u] ^ table_[5][high >> 8 & 255u] ^ table_[4][high & 255u] ^ table_[3][p[4]] ^ table_[2][p[5]] ^ table_[1][p[6]] ^ table_[0][p[7]];
    }
    for (; n; --n, ++p) r = r << 8 ^ table_[0][(r >> 24 ^ *p) & 255u];
    return r >> (32 - width_);
}

std::uint64_t Crc::run_wide(const unsigned char* p, std::size_t n) const
{
    std::uint64_t r = init_;
    if (reflect_in_) {
        for (; n; --n, ++p) r = r >> 8 ^ wide_[(r ^ *p) & 255u];
        return r;
    }
    for (; n; --n, ++p) r = r << 8 ^ wide_[(r >> 56 ^ *p) & 255u];
    return r >> (64 - width_);
}

std::uint64_t Crc::of(ByteView bytes) const
{
    const auto* p = reinterpret_cast<const unsigned char*>(bytes.data());
    std::uint64_t r = width_ > 32 ? run_wide(p, bytes.size()) : reflect_in_ ? run_right(p, bytes.size()) : run_left(p, bytes.size());
    if (reflect_in_ != reflect_out_) r = reflect(r, width_);
    return (r ^ xor_out_) & mask_;
}

} // namespace chockside::framing
