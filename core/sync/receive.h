#pragma once
// The receiver's decisions, all of them, over a Ledger. HTTP only maps: it reads a request within the limits, calls check() on any
// thread, then answer_all() on the one that writes (or answer() on one with a reading connection), and sends what comes back after it came back.

#include <core/base/time.h>
#include <core/sync/ledger.h>

#include <functional>
#include <memory>
#include <span>

namespace chockside::sync {

struct ReceiveSettings {
    std::int64_t session_s = 12 * 3600;
    std::int64_t nonce_s = 60;
    std::int64_t code_s = 15 * 60;
    int retry_after_s = 2; ///< of a 503
};

/// A request that was looked at without the ledger: shape, limits, digests and signatures, which is nearly all of the work. Thread-safe, pure.
struct Checked {
    enum class Kind { enrol, nonce, session, heads, jobs, push, pull, refused };
    Kind kind = Kind::refused;
    Request request;          ///< a push's body is gone: it is in `lines`
    Answer refused;           ///< where kind is refused
    std::string author, job;
    Range range;
    std::int64_t after = 0;
    std::size_t limit = limits::batch_entries;
    int wait_s = 0;
    std::string author_key;   ///< header author-key of a push, hex; its author_id is `author`
    std::vector<Line> lines;
    std::vector<Stated> stated;
    /// The first line that may not be stored, with its reason; those before it are good as far as one can tell without the chain.
    std::optional<std::pair<std::size_t, std::string>> bad;
    bool writes() const { return kind == Kind::enrol || kind == Kind::session || kind == Kind::push; }
};
/// Calls work(first, end) for parts that together are 0..n, on as many threads as it likes, and returns when all are done.
using InParts = std::function<void(std::size_t n, const std::function<void(std::size_t first, std::size_t end)>& work)>;
void in_one_part(std::size_t n, const std::function<void(std::size_t first, std::size_t end)>& work);
Checked check(Request, const InParts& = in_one_part);

class Receive {
public:
    /// `key` is the receiver's; its streams' keys derive from its seed, the epoch and the device, so that a restored shop never forks a stream.
    Receive(Ledger&, const Clock&, Random&, const trust::KeyPair& key, ReceiveSettings = {});
    ~Receive();

    const std::string& id() const;  ///< receiver: trust::author_id of its key
    std::string key_hex() const;

    /// One transaction for all of them (group commit), reads included; each answer stands for itself, but for a commit that failed: then all are
    /// 503. Nothing is told before the commit. Requests of one author must stand in the order they came.
    std::vector<Answer> answer_all(std::span<const Checked>);
    Answer answer(const Checked& one) { return answer_all({&one, 1}).front(); }
    Answer answer(Request one) { return answer(check(std::move(one))); }

    /// For routes that the HTTP side owns (uploads, blobs): the enrolled, not revoked device behind `authorization`. The error is the
    /// refusal to send (401 no_session, 403 revoked, 503).
    Result<Device, Answer> who(const Headers&);
    /// Whether that device may read a blob.
    Result<bool> may_read(const Device&, const std::string& sha256);

    // The shop's own acts; each is a transaction of its own, durable when it returns. Codes: those of the ledger's, and the ones named.

    /// A one-time code: 32 hex digits, shown once.
    Result<std::string> make_code();
    /// What a QR of an enrolment says (PROTOCOL.md, "Enrolment code").
    std::string enrolment_text(const std::string& code, const std::string& url, const std::vector<std::string>& spki_pins) const;
    /// Writes into a device's stream, or to all where `device` is empty. Kind "assigned" shares its job with the device. Codes:
    /// not_enrolled, entry_refused.
    Result<Stored> say(const std::string& device, const std::string& job, const journal::Draft&);
    /// The entry "revoked" in the broadcast stream and the device's mark, in one transaction. Code: not_enrolled.
    Status revoke(const std::string& device, const std::string& person, const std::string& why);
    /// A suffix that came as file or QR: no session, but each author must be enrolled and not revoked. What is good is stored, and what a
    /// push would be answered is said per author (place: author). The receipts go back the same way (handover.h).
    Result<std::map<std::string, Answer>> take(const std::vector<Line>&);
    /// What the shop wrote for a device, to go back with the receipts: the streams, and the newest `most` entries of each. Code: not_enrolled.
    Result<std::pair<Streams, std::vector<Line>>> written_for(const std::string& device, std::int64_t most);
    Status archived(std::int64_t size);
    /// After a restore, before anything else is served.
    Result<std::string> new_epoch();

    Result<SignedHead> log_head();

private:
    struct Inside;
    std::unique_ptr<Inside> in_;
};

} // namespace chockside::sync
