#pragma once
// Which jobs hold all of some words. A word given is the beginning of one that is there; newest first. The index is rows of (job, word, when
// the job changed), so that a page is read from each word's newest end and never from all jobs that hold a common one.

#include <platform/shop/sql.h>

#include <set>

namespace chockside::shop {

class Search {
public:
    static Status make_tables(Connection&);
    /// In small letters, ASCII and beyond as they are; at most forty bytes each.
    static std::set<std::string> words(std::string_view text);
    static Params row(const std::string& job, const std::string& word, std::int64_t changed) { return {job, Blob{word}, changed}; }
    static Status put(Connection&, std::span<const Params> rows);
    /// Jobs from `skip` on, at most `most`; of a text without a word: none. More than eight words are not looked at.
    static Result<std::vector<std::string>> find(Connection&, std::string_view text, std::size_t skip, std::size_t most);
};

} // namespace chockside::shop
