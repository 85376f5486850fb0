#pragma once
// What the shop wrote for this tablet, as the journal holds it: write-ups, words to a job or to all, and profiles.

#include <core/journal/store.h>

#include <cstdint>
#include <string>
#include <vector>

namespace chockside::desk {

/// A write-up that the shop gave to this device. `opened`: somebody works it already.
struct GivenWriteUp {
    std::string job, tail, title, text, by;
    std::int64_t utc_ms = 0;
    bool opened = false;
};

/// `job`, `tail`: what it is about; empty: it is meant for all.
struct ShopWord {
    std::string job, tail, text, by;
    std::int64_t utc_ms = 0;
};

/// A profile that the shop published; `sha256` names the attachment.
struct PublishedProfile {
    std::string id, sha256;
    int revision = 0;
};

/// Each newest first; of a profile its highest revision alone.
struct FromShop {
    std::vector<GivenWriteUp> write_ups;
    std::vector<ShopWord> words;
    std::vector<PublishedProfile> profiles;
};

/// Out of the chains of the shop's authors. What can't be read now, as the store is locked, is left out. Codes: those of Store::chain.
Result<FromShop> from_shop(journal::Store&, const std::vector<std::string>& shop_authors);

/// Whether the shop published a profile of this digest, in whichever revision: it stands in a chain that the shop signed. Codes: as above.
Result<bool> published(journal::Store&, const std::vector<std::string>& shop_authors, const std::string& sha256);

/// The first entry that opens the job, or null.
const journal::Entry* opening_of(const std::vector<journal::Entry>&);

} // namespace chockside::desk
