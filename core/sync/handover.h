#pragma once
// The same lines without a network: a file, or the file as a series of QR symbols. PROTOCOL.md, "Without a network".

#include <core/sync/messages.h>

#include <set>

namespace chockside::sync {

struct Handover {
    std::map<std::string, std::string> keys; ///< author -> public key, hex
    std::vector<Line> lines;
};

/// The file's text.
std::string text(const Handover&);
/// Codes: message_malformed (place), hash_mismatch (the digest in its first line is not that of what follows).
Result<Handover> handover_from(std::string_view, std::size_t most_entries = 100'000);

/// What the shop gives back: receipts, its streams' keys, its new entries.
struct ReceiptFile {
    std::vector<Receipt> receipts;
    std::optional<Streams> streams;
    std::vector<Line> lines;
};
std::string text(const ReceiptFile&);
Result<ReceiptFile> receipt_file_from(std::string_view);

/// RFC 9285.
std::string base45(ByteView);
std::optional<Bytes> from_base45(std::string_view);

constexpr std::size_t symbols_most = 4096;
/// One text a symbol, in the alphanumeric set. `chunk` bytes in each: 600 is read well from a tablet's screen. Code: too_long.
Result<std::vector<std::string>> symbols_of(std::string_view file, std::size_t chunk = 600);

/// Puts a series together, in whatever order and however often its symbols come.
class Series {
public:
    /// True where the symbol was new. False: known already, of another series, or damaged (`damaged()` counts).
    bool add(std::string_view symbol);
    std::size_t total() const { return total_; }
    std::size_t have() const { return chunks_.size(); }
    /// Numbers from 1.
    std::vector<std::size_t> missing() const;
    std::size_t damaged() const { return damaged_; }
    /// The file, once all is there. Codes: incomplete, hash_mismatch.
    Result<std::string> whole() const;

private:
    std::string series_;
    std::size_t total_ = 0, damaged_ = 0;
    std::map<std::size_t, Bytes> chunks_;
};

} // namespace chockside::sync
