#pragma once
// What a unit compiles to: flat tables of small operations, no strings but in the signal table.

#include <core/codec/detail/checksum.h>
#include <core/codec/observation.h>
#include <core/profile/model.h>

#include <array>
#include <map>
#include <memory>

namespace chockside::framing {
class Framer;
}

namespace chockside::codec::detail {

inline constexpr std::uint16_t none = 0xFFFF;

enum class OpKind : std::uint8_t {
    need,        ///< `bytes16` more bytes must follow the cursor
    load,        ///< integer, scaled
    real,        ///< IEEE 754
    bcd,
    text,
    words,       ///< ARINC words, as many as the register says
    loop,        ///< the next `body_ops`, as many times as the register says
    advance,     ///< cursor += bytes16
};

struct Op {
    OpKind kind = OpKind::need;
    std::uint8_t bytes = 0;
    std::uint8_t shift = 0;
    std::uint8_t width = 0;
    std::uint16_t offset = 0;
    SignalId signal = none;
    std::uint16_t scale = none;     ///< in Program::scales
    std::uint16_t limit = none;     ///< in Program::limits
    std::uint16_t invalid = none;   ///< in Program::invalids
    std::uint16_t first_bit = none; ///< in Program::bits
    std::uint8_t bit_count = 0;
    std::uint8_t flags = 0;
    std::uint16_t bytes16 = 0;
    std::uint16_t body_ops = 0;
    std::uint8_t reg = 0xFF;        ///< counting register that a load fills or a loop reads
    std::uint8_t most = 0;
};
static_assert(sizeof(Op) <= 28);

enum Flag : std::uint8_t { big_endian = 1, is_signed_value = 2, label_turned = 4, has_enum = 8 };

struct Scale {
    double factor = 1, offset = 0;
};
struct Limit {
    double low, high;
};
struct BitSignal {
    std::uint8_t bit;
    SignalId signal;
};

struct TextField {
    std::string name;
    std::string pad;
};

struct FrameProgram {
    std::string name;
    std::uint32_t id = 0;
    std::string id_text;
    std::size_t first_op = 0, op_count = 0;
    std::size_t worst_observations = 0;
    std::vector<TextField> texts;
    std::vector<profile::FieldType> token_types; ///< lines: type of each token's op
};

struct WordProgram {
    profile::Word::Coding coding = profile::Word::Coding::bnr;
    std::uint8_t left = 0, right = 0; ///< BNR: shifts that leave the signed field
    double step = 1;
    double turn = 0;                  ///< angles: one whole turn; else 0
    int digits = 0;
    SignalId signal = none;
    std::uint16_t first_bit = none;
    std::uint8_t bit_count = 0;
};

struct Program {
    profile::Unit unit;
    SignalTable signals;
    Check check;
    std::vector<Op> ops;
    std::vector<FrameProgram> frames;
    std::vector<Scale> scales;
    std::vector<Limit> limits;
    std::vector<std::vector<std::uint64_t>> invalids; ///< sorted; where has_enum: the codes that are listed
    std::vector<BitSignal> bits;
    std::vector<WordProgram> words;
    std::array<std::int16_t, 256> word_by_low_byte{}; ///< by the word's bits 1-8 as they stand
    std::array<std::int16_t, 256> frame_by_byte{};
    std::map<std::uint32_t, std::int16_t> frame_by_id; ///< selectors wider than a byte
    std::size_t worst_observations = 0;
    std::size_t select_at = 0;

    explicit Program(const profile::Unit& u) : unit(u), check(u.framing) {}
};

std::unique_ptr<framing::Framer> make_framer(const profile::Framing&);

} // namespace chockside::codec::detail
