#pragma once
// What Receive keeps, and one request at a time within a transaction.

#include <core/sync/detail/answers.h>

namespace chockside::sync {

struct Receive::Inside {
    struct Keys {
        std::string device_author, broadcast_author;
        Streams streams; ///< signed
    };

    Ledger& ledger;
    const Clock& clock;
    Random& random;
    trust::KeyPair key;
    ReceiveSettings settings;
    std::string id = {}, key_hex = {};
    /// Digests of whole subtrees never change once committed; forgotten after whatever was taken back.
    std::map<NodeName, Digest> nodes = {};
    std::map<std::pair<std::string, std::string>, Keys> streams = {};
    std::map<std::string, SignedHead> signed_heads = {}; ///< the last of each kind: nothing new, no new signature

    /// The answer, or the ledger's error: then nothing of the request may stay.
    Result<Answer> one(const Checked&);
    Result<Answer> enrol(const Checked&);
    Answer nonce();
    Result<Answer> session(const Checked&);
    Result<Answer> heads(const Checked&, const Device&);
    Result<Answer> jobs(const Checked&, const Device&);
    Result<Answer> pull(const Checked&, const Device&);
    Result<Answer> push(const Checked&);

    /// A refusal in the first, the ledger's error in the second.
    Result<Result<Device, Answer>> who(const Headers&);
    bool nonce_holds(const std::string&) const;

    /// Derived and signed once for each device and epoch, and then remembered.
    const Keys& streams_of(const std::string& device, const std::string& epoch);
    trust::KeyPair stream_key(const std::string& epoch, const std::string& whose) const;

    FindNode find();
    Result<SignedHead> signed_head(const char* what, std::int64_t size);
    Result<Receipt> receipt(const std::string& author, const Head&, std::int64_t log_size);
    /// Puts entries at the end of their chain and of the log.
    Status append(std::span<const Stored>);
    Status append_with_jobs(const std::string& author, std::span<const Stored>);
    Result<Stored> say(const std::string& device, const std::string& job, const journal::Draft&);
    Result<Answer> fork(const Checked&, std::size_t at, const Head& there, PushAnswer before);
    Result<Answer> finish(const Checked&, PushAnswer, const Head&, std::int64_t log_size);

    /// One transaction around `act`, for the shop's own.
    template <class T, class Act>
    Result<T> within(Act act)
    {
        if (auto ok = ledger.begin(true); !ok) return Unexpected{ok.error()};
        Result<T> done = act();
        if (!done) {
            ledger.rollback();
            nodes.clear();
            return done;
        }
        if (auto ok = ledger.commit(); !ok) {
            nodes.clear();
            return Unexpected{ok.error()};
        }
        return done;
    }
};

} // namespace chockside::sync
