#pragma once

#include <cstddef>
#include <cstdint>

namespace chockside::framing::detail {

/// The remainder of a message by carry-less multiplication, sixteen bytes a step, for every CRC of up to 64 bits. Needs a processor that has
/// PCLMULQDQ and PSHUFB. Method: V. Gopal et al., "Fast CRC Computation for Generic Polynomials Using PCLMULQDQ Instruction", 2009.
class Fold {
public:
    static constexpr std::size_t least = 16; ///< bytes that a message must have

    /// Whether this processor can.
    static bool possible();
    Fold() = default;
    /// poly: without its highest term, in the top bits of the number, highest power first. init: in the register as reflected says, which
    /// has the first bit on the line lowest where reflected, else highest.
    Fold(std::uint64_t poly, std::uint64_t init, bool reflected);
    /// The 64-bit register behind n bytes, n at least `least`; laid out as init.
    std::uint64_t operator()(const unsigned char* p, std::size_t n) const;

private:
    struct alignas(16) Pair {
        std::uint64_t low = 0, high = 0;
    };
    template <bool reflected> std::uint64_t run(const unsigned char* p, std::size_t n) const;

    Pair by_[4];       ///< what moves sixteen bytes on by 1, 2, 3, 4 times sixteen
    Pair last_, poly_; ///< the power and the reciprocal of the last division; the divisor
    alignas(16) unsigned char init_[32] = {}; ///< as bytes of the message, nothing behind
    bool reflected_ = false;
};

} // namespace chockside::framing::detail
