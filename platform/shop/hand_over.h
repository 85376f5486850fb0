#pragma once
// What a tablet handed over without a network, taken in: for the command line and for the page.

#include <core/sync/receive.h>

#include <set>

namespace chockside::shop {

struct TakenOver {
    struct Of {
        std::optional<sync::Receipt> receipt; ///< it is here up to there
        std::string refusal;                  ///< else the answer's text
    };
    std::map<std::string, Of> authors;        ///< by author
    std::size_t refused = 0;                  ///< of them
    std::string receipts;                     ///< the file for the way back
};

/// Calls its argument where the receiver may write, and returns after it; a problem where that can't be.
using Act = std::function<Status(const std::function<Status(sync::Receive&)>&)>;

/// In parts of a batch each, so that tablets on the network are answered between them. What an author may not bring ends with him. Codes: those of
/// the ledger's and of `act`.
Result<TakenOver> take_over(const std::vector<sync::Line>&, const Act& act);

} // namespace chockside::shop
