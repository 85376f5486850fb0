#pragma once
// What an exchange with another end needs of a store: the own chain as it was signed, others' entries taken in, and notes of how far it
// came, in the one transaction.

#include <core/journal/store.h>

#include <map>
#include <string>
#include <vector>

namespace chockside::journal {

class Exchange {
public:
    /// The store outlives it, and is used on the same thread.
    explicit Exchange(Store& store) : store_(store) {}

    Store& store() { return store_; }
    /// With this device's key, which never leaves the store.
    Bytes sign(trust::Domain, ByteView message) const;
    bool unlocked() const;

    struct End {
        std::int64_t seq = 0;
        std::string hash; ///< hex; empty where there is no entry
    };
    Result<End> own_end();
    /// The own chain from after+1, in order, at most `most`; salt and body are empty while the vault is shut. Bodies stand as bytes only: `body`
    /// of an entry is null.
    Result<std::vector<Entry>> own(std::int64_t after, std::size_t most);
    /// Code: not_found.
    Result<std::string> own_hash(std::int64_t seq);

    struct Step {
        std::vector<Entry> entries;              ///< of others; one that is here is passed over
        std::map<std::string, std::string> keys; ///< their authors' public keys, hex
        std::map<std::string, std::string> notes; ///< an empty value removes
    };
    /// All or nothing, durable. Codes: fork (place author/seq: something else stands there), own_key_reused, disk_full, io_error (outcome
    /// unknown: read the notes).
    Status apply(const Step&);
    /// Those whose name begins so.
    Result<std::map<std::string, std::string>> notes(const std::string& prefix);

private:
    Status put(const Step&);
    Result<bool> is_new(std::int64_t id, const Entry&, bool own) const;
    Store& store_;
};

} // namespace chockside::journal
