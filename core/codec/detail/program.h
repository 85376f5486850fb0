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
    need,      ///< `bytes16` more bytes must follow the cursor
    load,      ///< integer, scaled
    real,      ///< IEEE 754
    bcd,
    text,
    digits,    ///< whole number as decimal text
    decimal,   ///< number as decimal text
    hex,       ///< whole number as hexadecimal text
    letter,    ///< one character
    words,     ///< ARINC words: one in its place, or as many as the register says or as fit
    loop,      ///< the next `body_ops`, as many times as the register says or as there is something left
    guard,     ///< the next `body_ops` only where the register's value is right
    free_text, ///< text whose length the register or a zero byte tells, or all that is left
    advance,   ///< cursor += bytes16
};

struct Op {
    OpKind kind = OpKind::need;
    std::uint8_t flags = 0;
    std::uint8_t bytes = 0;
    std::uint8_t shift = 0;         ///< of an integer; the bit that a guard looks at
    std::uint8_t width = 0;         ///< bits of an integer, digits of a decimal
    std::uint8_t bit_count = 0;
    bool quick = false;             ///< lines: a number that has no codes, bits or register
    bool bare = false;              ///< it has neither scale nor limits
    std::uint16_t offset = 0;
    SignalId signal = none;         ///< of a text: its number in FrameProgram::texts
    std::uint16_t scale = none;     ///< in Program::scales
    std::uint16_t limit = none;     ///< in Program::limits
    std::uint16_t invalid = none;   ///< in Program::codes: what is (or, with has_enum, is not) an invalid code; of a guard: what is right
    std::uint16_t first_bit = none; ///< in Program::bits
    std::uint16_t bytes16 = 0;
    std::uint16_t body_ops = 0;
    std::uint16_t reg = none;       ///< register that a load fills, or a loop, text or guard reads
    std::uint16_t most = 0;
};
static_assert(sizeof(Op) <= 28);

enum Flag : std::uint8_t { big_endian = 1, twos = 2, label_turned = 4, has_enum = 8, to_end = 16, magnitude = 32, last_nibble = 64, wants_clear = 128 };

struct Limit {
    double low, high;
};
struct Factor {
    double factor, offset;
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
    std::uint64_t id_key = 0; ///< eight_of(id_text), where it is no longer than that
    bool plain_line = false;  ///< a text line without groups and conditions
    std::size_t index = 0; ///< in Program::frames
    std::size_t first_op = 0, op_count = 0;
    std::size_t worst_observations = 0;
    std::vector<TextField> texts;
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

/// What a BNR word without named bits needs, found by the byte that carries its label: one look-up a word. The word times `lift`, of that what
/// `field` leaves, is the signed field at the top of 32 bits.
struct WordLane {
    double step = 1;          ///< of the lowest of those 32 bits
    double turn[2] = {0, 0};  ///< to add: from 0 up, below 0
    std::uint32_t lift = 1, field = 0;
    std::uint32_t flip = 0;   ///< makes bits 1-8 as they stand in a word
    SignalId signal = none;
    bool plain = false;       ///< false: any other word
};

struct Program {
    profile::Unit unit;
    SignalTable signals;
    Check check;
    std::vector<Op> ops;
    std::vector<FrameProgram> frames;
    std::vector<Factor> scales;
    std::vector<Limit> limits;
    std::vector<std::vector<std::uint64_t>> codes; ///< each sorted
    std::vector<BitSignal> bits;
    std::vector<WordProgram> words;
    std::array<std::int16_t, 256> word_by_low_byte{}; ///< by the word's bits 1-8 as they stand
    std::array<WordLane, 256> lanes, turned_lanes; ///< by bits 1-8, and by the label as it is written
    std::array<std::int16_t, 256> frame_by_byte{};
    std::map<std::uint32_t, std::int16_t> frame_by_id; ///< selectors wider than a byte
    std::size_t worst_observations = 0;
    std::size_t select_at = 0;
    std::uint16_t registers = 0;

    explicit Program(const profile::Unit& u) : unit(u), check(u.framing) {}
    bool lines() const { return unit.framing.kind == profile::Framing::Kind::lines; }
};

std::unique_ptr<framing::Framer> make_framer(const profile::Unit&);
/// How long one byte takes on the line.
std::int64_t byte_ns(const profile::Line&);

} // namespace chockside::codec::detail
