#pragma once
// A tablet's store in memory: what was applied is there after a crash, and an apply may fail with its outcome untold.

#include <core/base/time.h>
#include <core/journal/seal.h>
#include <core/sync/tablet_store.h>

#include <functional>
#include <map>

namespace chockside::sim {

enum class ApplyFault { none, undone, unknown };

class MemoryStore final : public sync::TabletStore {
public:
    explicit MemoryStore(Random& random) : key(trust::KeyPair::make(random)) {}

    trust::KeyPair key;
    bool locked = false, full = false; ///< full: of attachments
    std::vector<sync::Line> own;
    std::vector<std::string> own_hashes;
    std::map<std::string, std::map<std::int64_t, std::pair<sync::Line, std::string>>> others; ///< author -> seq -> line, job
    std::map<std::string, journal::Vector> seen;                                              ///< job -> what is known of it
    sync::Known durable;
    std::vector<sync::Receipt> receipts;
    std::map<std::string, Bytes> blobs;
    std::vector<sync::Blob> named;
    std::set<std::string> there;
    std::vector<std::string> wanted;
    std::function<ApplyFault()> apply_fault = [] { return ApplyFault::none; };
    long effects = 0, repeats = 0;

    /// Seals one entry onto the own chain; it counts as shown as saved.
    void write(const std::string& job, const json::Value& body, const Now&, Random&, const std::vector<std::string>& attachments = {});

    std::string author() override { return trust::author_id(key.public_key()); }
    std::string public_key() override { return to_hex(key.public_key()); }
    Bytes sign(trust::Domain d, ByteView m) override { return key.sign(d, m); }
    bool unlocked() override { return !locked; }
    Result<sync::Head> own_head() override { return own.empty() ? sync::Head{} : sync::Head{static_cast<std::int64_t>(own.size()), own_hashes.back()}; }
    Result<std::vector<sync::Line>> own_lines(std::int64_t after, std::size_t most, std::size_t) override;
    Result<std::string> own_hash(std::int64_t seq) override;
    Result<sync::Known> known() override { return durable; }
    Status apply(const sync::Change&) override;
    Result<std::vector<sync::Blob>> blobs_to_send(std::size_t) override;
    Result<Bytes> read_blob(const std::string&, std::int64_t, std::size_t) override;
    Result<std::vector<std::string>> blobs_wanted(std::size_t most) override;
    Status put_blob(const std::string& sha, ByteView bytes) override;
};

} // namespace chockside::sim
