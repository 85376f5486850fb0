#pragma once
// The tablet's store over the journal itself: positions, receipts and what was taken in move in the journal's own transactions.

#include <core/journal/exchange.h>
#include <core/sync/tablet_store.h>

#include <set>
#include <utility>

namespace chockside::sync {

class JournalStore final : public TabletStore {
public:
    /// The store outlives it, and is used on the same thread.
    explicit JournalStore(journal::Store& store) : exchange_(store) {}

    std::string author() override;
    std::string public_key() override;
    Bytes sign(trust::Domain, ByteView message) override;
    bool unlocked() override;
    Result<Head> own_head() override;
    Result<std::vector<Line>> own_lines(std::int64_t after, std::size_t most, std::size_t most_bytes) override;
    Result<std::string> own_hash(std::int64_t seq) override;
    Result<Known> known() override;
    Status apply(const Change&) override;
    Result<std::vector<Blob>> blobs_to_send(std::size_t most) override;
    Result<Bytes> read_blob(const std::string& sha256, std::int64_t offset, std::size_t most) override;
    Result<std::vector<std::string>> blobs_wanted(std::size_t most) override;
    Status put_blob(const std::string& sha256, ByteView) override;

    /// Lines that the journal of this version can't hold; kept byte for byte for one that can.
    Result<std::vector<Line>> set_aside();
    /// The jobs of which entries or attachments came since this was asked before; an attachment counts as the job "".
    std::set<std::string> came() { return std::exchange(came_, {}); }

private:
    journal::Exchange exchange_;
    std::set<std::string> came_;
    std::string blob_;   ///< the one that is being sent
    Bytes blob_bytes_;
};

} // namespace chockside::sync
