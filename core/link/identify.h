#pragma once
// An unknown stream: which rate, which framing, which checksum? Bytes taken at several rates are tried against every framing and every
// checksum of the catalogue; what fits far beyond chance is told.

#include <core/base/bytes.h>

#include <cstdint>
#include <string>
#include <vector>

namespace chockside::link {

struct RateSample {
    int rate = 0;
    Bytes bytes;
    std::uint64_t line_errors = 0; ///< framing errors, where the port tells them
};

struct StreamGuess {
    int rate = 0;
    std::string framing;   ///< slip cobs lines
    std::string checksum;  ///< catalogue name, xor8, sum8, or none
    bool big_endian = true;
    std::uint64_t frames = 0, valid = 0; ///< as framed; of these with the right checksum
    double bits_beyond_chance = 0;       ///< log2 of how unlikely this is for noise, after paying for all the combinations tried
};

/// Best first; only guesses of at least 16 bits beyond chance and with half of the frames valid. Readable lines without any checksum
/// come last with `none`. The checksum is expected behind the content, over all of it (lines: between start character and star).
/// Rates rank by what they make valid; a sample with fewer than 3 frames says nothing.
std::vector<StreamGuess> identify(const std::vector<RateSample>& samples);

} // namespace chockside::link
