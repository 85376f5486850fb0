#pragma once

#include <core/journal/seal.h>

#include <functional>

namespace chockside::journal {

struct FirstBad {
    std::string author;
    std::int64_t seq = 0;
    std::string reason; ///< malformed not_canonical version hash key signature body person_signature seen gap prev duplicate fork row damaged missing
};

struct VerifyReport {
    std::int64_t entries = 0;
    std::int64_t withheld = 0; ///< bodies that are not here; their envelopes still stand
    bool ok = true;
    std::optional<FirstBad> first_bad;
};

/// Trusts nothing: canonical bytes, digests, signatures by the given keys (author -> public key hex), chains per author, no forks.
/// `whole` false: entries of one job only, whose authors' sequence numbers may leave places for other jobs. A chain cannot show that
/// its newest entries are missing: that takes a receipt.
VerifyReport verify(std::span<const Entry>, const std::map<std::string, std::string>& keys, bool whole = true);
/// Whether a signature over an entry's hash holds under a key; for who remembers what he has worked out.
using SignatureHolds = std::function<bool(ByteView hash, ByteView signature, ByteView public_key)>;
VerifyReport verify(std::span<const Entry>, const std::map<std::string, std::string>& keys, bool whole, const SignatureHolds&);
/// The same; `dense` says of an author whether every number from 1 must be there.
VerifyReport verify(std::span<const Entry>, const std::map<std::string, std::string>& keys, const std::function<bool(const std::string&)>& dense);

/// An entry that another one of the same job had seen and that is not here: left out of an export, or lost. The newest, which nobody has
/// seen yet, can't be missed so.
std::optional<FirstBad> missing_entry(std::span<const Entry>);

} // namespace chockside::journal
