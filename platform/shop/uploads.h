#pragma once
// Uploads that may be interrupted anywhere, without a word of HTTP: what is begun, how far each came, and the moment when it becomes a blob.
// The offset is what is on the disk (fdatasync) and never goes back. An upload's id is a secret of 128 bits: who knows it may go on.
// Several receivers may share the folder: who writes to an upload holds a lock on its file, but can't hang up a connection to another receiver.

#include <core/base/random.h>
#include <core/base/time.h>
#include <platform/shop/files.h>

#include <chrono>
#include <condition_variable>
#include <functional>
#include <map>
#include <memory>
#include <mutex>

namespace chockside::shop {

struct UploadInfo {
    std::string id, device, sha;
    std::string metadata;      ///< as it was sent
    std::uint64_t length = 0;
    std::int64_t begun_ms = 0, expires_ms = 0; ///< UTC
    enum class State { open, done, gone } state = State::open;
};

struct UploadLimits {
    std::uint64_t blob = 512u << 20;            ///< bytes
    std::size_t open = 8;                       ///< for each device
    std::uint64_t day = std::uint64_t{2} << 30; ///< bytes begun by a device within 24 h
    std::int64_t keep_ms = 7 * 24 * 3600 * std::int64_t{1000};
    double least_free = 0.10;                   ///< of the disk
    std::uint64_t sync_every = 1u << 20;        ///< bytes that an interruption may cost
};

/// All calls may block (disk, or up to five seconds for another connection to let go).
class Uploads {
    using Steady = std::chrono::steady_clock;
    struct Held;

public:
    /// Who may write to an upload; let go with the object.
    class Lease {
    public:
        Lease() = default;
        Lease(Lease&&) noexcept = default;
        Lease& operator=(Lease&& o) noexcept
        {
            std::swap(uploads_, o.uploads_);
            std::swap(held_, o.held_);
            return *this;
        }
        ~Lease();
        explicit operator bool() const { return held_ != nullptr; }
        const UploadInfo& info() const;
        std::uint64_t offset() const; ///< durable
        bool expired(std::int64_t now_ms) const;

    private:
        friend class Uploads;
        Lease(Uploads& uploads, std::shared_ptr<Held> held) : uploads_(&uploads), held_(std::move(held)) {}
        Uploads* uploads_ = nullptr;
        std::shared_ptr<Held> held_;
    };

    Uploads(Folder, const Blobs&, const Clock&, Random&, UploadLimits);

    /// A known (device, sha) answers with the upload that is there; for a blob that is there nothing is kept. The disk must have room beyond
    /// least_free for all that was promised. Codes: too_long, too_many_open, day_full, disk_full, io_error.
    Result<std::string> begin(const std::string& device, const std::string& sha, std::uint64_t length, const std::string& metadata);
    /// Whoever holds it is hung up. Codes: not_found, gone, busy (it did not let go in time), and those of files: then try again.
    Result<Lease> take(const std::string& id, std::function<void()> hang_up);
    /// Beyond the length: too_long, and nothing is written. Codes: disk_full (also below least_free), io_error.
    Status append(Lease&, std::string_view bytes);
    /// Makes what was appended count. After an error it does not, and is to be sent again.
    Status settle(Lease&);
    /// Bytes that count only when `keep`: for a chunk whose checksum is not known before its end.
    Status stage(Lease&, std::string_view bytes);
    Status unstage(Lease&, bool keep);
    /// With all bytes there: verified, then named. Codes: hash_mismatch (the upload is gone), disk_full, io_error.
    Status finish(Lease&);
    Status terminate(Lease&);
    /// Removes what has expired.
    void sweep();
    const UploadLimits& limits() const { return limits_; }

private:
    Status keep(const Held&);
    /// As the folder has it.
    Result<UploadInfo> noted(const std::string& id) const;
    Status learn(const std::string& id);
    /// Learns what other receivers began or ended since.
    void look_around();
    Result<std::shared_ptr<Held>> find(const std::string& id);
    /// An upload that was done, or "".
    std::string whole(const std::string& device, const std::string& sha, std::uint64_t length) const;
    /// An upload under way, or "" where one may be begun.
    Result<std::string> known(const std::string& device, const std::string& sha, std::uint64_t length) const;
    Status lay_hold(Held&, Steady::time_point until);
    Status missed(Held&);
    void let_go(Held&);

    Folder folder_;
    const Blobs& blobs_;
    const Clock& clock_;
    Random& random_;
    UploadLimits limits_;
    std::mutex mutex_;
    std::condition_variable free_;
    std::map<std::string, std::shared_ptr<Held>> all_;
};

} // namespace chockside::shop
