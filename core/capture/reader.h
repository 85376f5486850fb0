#pragma once
// Reads captures: our own and any other pcapng or classic pcap file of link type 250, either byte order. Nothing in the file is
// trusted: every length is checked before it is used, and memory stays within the size of the file.

#include <core/base/result.h>
#include <core/capture/packet.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chockside::capture {

class Reader {
public:
    /// The bytes must outlive the reader. Codes: capture_not_recognised, capture_empty.
    static Result<Reader> open(ByteView file);

    /// The next packet of link type 250; nothing at the end, or where the rest cannot be read (see `damage`).
    std::optional<Packet> next();

    /// Bytes after the last whole block: a cut tail, as after a power loss. 0 when the file ends as it should.
    std::uint64_t cut_tail() const { return cut_tail_; }
    /// Code of what stopped the reading before the end, empty: nothing. (block_length, section_byte_order, packet_length)
    const std::string& damage() const { return damage_; }
    /// Bytes of whole blocks that were read.
    std::size_t used() const { return at_; }
    /// Goes on with other bytes, which begin where used() ended.
    void go_on(ByteView rest);
    std::uint64_t other_packets() const { return other_; } ///< of another link type or shorter than the header

    struct Interface {
        int link_type = 0;
        std::uint64_t ticks_per_s = 1'000'000;
        std::int64_t offset_s = 0;
        std::string name, description;
    };
    const std::vector<Interface>& interfaces() const { return interfaces_; }
    const std::string& section_comment() const { return section_comment_; }

private:
    explicit Reader(ByteView file) : file_(file) {}
    struct Block {
        std::uint32_t type = 0;
        ByteView body;
    };
    std::optional<Block> next_block();
    bool begin_section(ByteView body);
    void begin_interface(ByteView body);
    std::optional<Packet> enhanced(ByteView body);
    std::optional<Packet> next_classic();
    std::uint32_t u32(ByteView b, std::size_t at) const;
    std::uint16_t u16(ByteView b, std::size_t at) const;
    template <class F> void options(ByteView b, F each) const;
    void stop(const char* code);

    ByteView file_;
    std::size_t at_ = 0;
    bool big_ = false, classic_ = false, done_ = false;
    std::uint64_t cut_tail_ = 0, other_ = 0;
    std::string damage_, section_comment_;
    std::vector<Interface> interfaces_;
};

/// All packets of a file at once, with what was cut off.
struct Read {
    std::vector<Packet> packets;
    std::uint64_t cut_tail = 0;
    std::string damage;
};
Result<Read> read_all(ByteView file);

} // namespace chockside::capture
