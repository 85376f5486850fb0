#include <core/framing/crc.h>

namespace chockside::framing {

namespace {

CrcValue reflect(CrcValue value, int bits)
{
    CrcValue out = 0;
    for (int i = 0; i < bits; ++i)
        if (value >> i & 1u) out |= CrcValue{1} << (bits - 1 - i);
    return out;
}

CrcValue ones(int width)
{
    return ~CrcValue{0} >> (128 - width);
}

/// One look-up a byte.
template <class Register>
Register by_bytes(const Register* table, Register r, bool right, const unsigned char* p, std::size_t n)
{
    if (right) {
        for (; n; --n, ++p) r = r >> 8 ^ table[static_cast<unsigned char>(r) ^ *p];
        return r;
    }
    for (; n; --n, ++p) r = r << 8 ^ table[static_cast<unsigned char>(r >> (sizeof r * 8 - 8)) ^ *p];
    return r;
}

/// What one byte does to an empty register: reflected CRCs run low bit first, the others in the register's top bits.
template <class Register>
Register byte_step(unsigned byte, Register poly, bool right)
{
    constexpr int bits = sizeof(Register) * 8;
    auto r = static_cast<Register>(right ? Register(byte) : Register(byte) << (bits - 8));
    for (int bit = 0; bit < 8; ++bit) {
        const bool out = (right ? r & 1u : r >> (bits - 1)) != 0;
        r = static_cast<Register>(right ? r >> 1 : r << 1);
        if (out) r = static_cast<Register>(r ^ poly);
    }
    return r;
}

} // namespace

bool is_crc(const CrcParameters& p)
{
    if (p.width < 3 || p.width > 128) return false;
    return ((p.poly | p.init | p.xor_out) & ~ones(p.width)) == 0;
}

template <class Register>
void Crc::fill(CrcValue poly, Register* tables, int count)
{
    constexpr int bits = sizeof(Register) * 8;
    for (unsigned i = 0; i < 256; ++i) tables[i] = byte_step(i, static_cast<Register>(poly), reflect_in_);
    for (int i = 256; i < count * 256; ++i) {
        const Register r = tables[i - 256];
        tables[i] = static_cast<Register>(reflect_in_ ? r >> 8 ^ tables[r & 255u] : r << 8 ^ tables[r >> (bits - 8)]);
    }
}

Crc::Crc(const CrcParameters& p)
    : width_(p.width), reflect_in_(p.reflect_in), reflect_out_(p.reflect_out), xor_out_(p.xor_out), mask_(ones(p.width))
{
    const int bits = width_ > 64 ? 128 : width_ > 32 ? 64 : width_ > 16 ? 32 : 16;
    const auto placed = [&](CrcValue v) { return reflect_in_ ? reflect(v, width_) : v << (bits - width_); };
    init_ = placed(p.init);
    if (bits == 128) {
        widest_.resize(256);
        fill(placed(p.poly), widest_.data(), 1);
    } else if (bits == 64) {
        wide_.resize(256);
        fill(placed(p.poly), wide_.data(), 1);
    } else if (bits == 32) {
        fill(placed(p.poly), &table_[0][0], 8);
    } else {
        fill(placed(p.poly), &short_[0][0], 16);
    }
    if (bits == 128 || !detail::Fold::possible()) return;
    const auto top = [&](CrcValue v) { return static_cast<std::uint64_t>(v << (64 - width_)); };
    fold_ = detail::Fold(top(p.poly), reflect_in_ ? static_cast<std::uint64_t>(init_) : top(p.init), reflect_in_);
    folds_from_ = detail::Fold::least;
}

namespace {

/// The fourteen of sixteen look-ups that do not wait for the bytes before.
template <class Table>
std::uint32_t free_of(const Table& t, const unsigned char* p)
{
    return t[13][p[2]] ^ t[12][p[3]] ^ t[11][p[4]] ^ t[10][p[5]] ^ t[9][p[6]] ^ t[8][p[7]] ^ t[7][p[8]] ^ t[6][p[9]] ^ t[5][p[10]] ^ t[4][p[11]] ^ t[3][p[12]] ^ t[2][p[13]] ^ t[1][p[14]]
        ^ t[0][p[15]];
}

/// The same six of eight.
template <class Table>
std::uint32_t rest_of_8(const Table& t, const unsigned char* p)
{
    return t[5][p[2]] ^ t[4][p[3]] ^ t[3][p[4]] ^ t[2][p[5]] ^ t[1][p[6]] ^ t[0][p[7]];
}

} // namespace

std::uint32_t Crc::short_left(const unsigned char* p, std::size_t n) const
{
    auto r = static_cast<std::uint32_t>(init_);
    const auto& t = short_;
#pragma GCC unroll 4
    for (; n >= 16; n -= 16, p += 16) {
        r = free_of(t, p) ^ t[15][p[0] ^ r >> 8] ^ t[14][p[1] ^ (r & 255u)];
    }
    // What is left goes by eight, four and two: each step waits for the one before.
    if (n >= 8) {
        r = rest_of_8(t, p) ^ t[7][p[0] ^ r >> 8] ^ t[6][p[1] ^ (r & 255u)];
        n -= 8, p += 8;
    }
    if (n >= 4) {
        r = static_cast<std::uint32_t>(t[1][p[2]] ^ t[0][p[3]] ^ t[3][p[0] ^ r >> 8] ^ t[2][p[1] ^ (r & 255u)]);
        n -= 4, p += 4;
    }
    if (n >= 2) {
        r = static_cast<std::uint32_t>(t[1][p[0] ^ r >> 8] ^ t[0][p[1] ^ (r & 255u)]);
        n -= 2, p += 2;
    }
    if (n) r = (r << 8 ^ t[0][r >> 8 ^ *p]) & 0xFFFFu;
    return r >> (16 - width_);
}

std::uint32_t Crc::short_right(const unsigned char* p, std::size_t n) const
{
    auto r = static_cast<std::uint32_t>(init_);
    const auto& t = short_;
#pragma GCC unroll 4
    for (; n >= 16; n -= 16, p += 16) {
        r = free_of(t, p) ^ t[15][p[0] ^ (r & 255u)] ^ t[14][p[1] ^ r >> 8];
    }
    if (n >= 8) {
        r = rest_of_8(t, p) ^ t[7][p[0] ^ (r & 255u)] ^ t[6][p[1] ^ r >> 8];
        n -= 8, p += 8;
    }
    if (n >= 4) {
        r = static_cast<std::uint32_t>(t[1][p[2]] ^ t[0][p[3]] ^ t[3][p[0] ^ (r & 255u)] ^ t[2][p[1] ^ r >> 8]);
        n -= 4, p += 4;
    }
    for (; n; --n, ++p) r = r >> 8 ^ t[0][(r ^ *p) & 255u];
    return r;
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

std::uint64_t Crc::run(const unsigned char* p, std::size_t n) const
{
    if (n >= folds_from_) [[likely]] {
        const std::uint64_t r = fold_(p, n);
        return reflect_in_ ? r : r >> (64 - width_);
    }
    if (width_ <= 16) return reflect_in_ ? short_right(p, n) : short_left(p, n);
    if (width_ <= 32) return reflect_in_ ? run_right(p, n) : run_left(p, n);
    const std::uint64_t r = by_bytes(wide_.data(), static_cast<std::uint64_t>(init_), reflect_in_, p, n);
    return reflect_in_ ? r : r >> (64 - width_);
}

[[gnu::flatten]] std::uint64_t Crc::of(ByteView bytes) const
{
    std::uint64_t r = run(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    if (reflect_in_ != reflect_out_) [[unlikely]] r = static_cast<std::uint64_t>(reflect(r, width_));
    return (r ^ static_cast<std::uint64_t>(xor_out_)) & static_cast<std::uint64_t>(mask_);
}

CrcValue Crc::value_of(ByteView bytes) const
{
    if (width_ <= 64) return of(bytes);
    CrcValue r = by_bytes(widest_.data(), init_, reflect_in_, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    if (!reflect_in_) r >>= 128 - width_;
    if (reflect_in_ != reflect_out_) r = reflect(r, width_);
    return (r ^ xor_out_) & mask_;
}

} // namespace chockside::framing
