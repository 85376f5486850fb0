#pragma once
// Captures on the disk: segments by size, each sealed when complete. The bytes of a segment are whole blocks at every flush, so a cut
// tail loses at most its last block.

#include <core/base/disk.h>
#include <core/capture/packet.h>
#include <core/trust/trust.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace chockside::capture {

struct About {
    std::string port;        ///< interface name in the file
    std::string description; ///< "115200 8N1"
    std::uint64_t bit_rate = 0;
    std::string comment;     ///< of the whole section: job, unit, practice mark
};

/// The blocks, apart from any file. Little-endian; layout: pcapng (IETF draft-ietf-opsawg-pcapng), header of LINKTYPE_RTAC_SERIAL
/// (tcpdump.org link-layer header types): seconds and microseconds as 32-bit big-endian, event, line states, two bytes of 0.
void write_section(const About& about, Bytes& out);
/// Payloads above most_payload are the caller's to split.
void write_packet(const Packet& packet, Bytes& out);
inline constexpr std::size_t most_payload = 65'536;

struct Seal {
    std::string path;
    std::string sha256;
    std::uint64_t bytes = 0, packets = 0;
};

struct WriterOptions {
    std::string folder;
    std::string stem = "capture";
    std::uint64_t segment_bytes = 8u << 20;
    std::size_t buffer_bytes = 64u << 10;
    About about;
};

/// One thread. After a failed write or sync nothing more goes to the disk: `stopped()` gives the code, later packets count as lost.
class Writer {
public:
    Writer(Disk& disk, WriterOptions options);
    ~Writer();

    /// Makes the folder and the first segment. Codes: those of Disk.
    Status start();
    Status add(const Packet& packet);
    /// Buffer to the file; `sync` also to the medium.
    Status flush(bool sync);
    /// Ends the running segment. Seals of finished segments wait in take_seals().
    Status finish();
    std::vector<Seal> take_seals();

    const std::string& path() const { return path_; }
    std::uint64_t bytes() const { return total_ + buffer_.size(); }
    std::uint64_t lost() const { return lost_; }
    const std::string& stopped() const { return stopped_; }

private:
    Status begin_segment();
    Status end_segment();
    Status halt(const Problem& problem);
    std::string next_path();

    Disk& disk_;
    WriterOptions options_;
    std::unique_ptr<AppendFile> file_;
    std::unique_ptr<trust::Sha256> digest_;
    Bytes buffer_;
    std::string path_, stopped_;
    std::uint64_t in_segment_ = 0, packets_ = 0, total_ = 0, lost_ = 0;
    std::int64_t last_t_ns_ = 0;
    int number_ = 0;
    std::vector<Seal> seals_;
};

} // namespace chockside::capture
