// What is verified bit by bit while the app has nothing else to do.
#include <core/journal/detail/inside.h>

namespace chockside::journal {

using detail::Statement;

namespace {

struct Unlooked {
    std::int64_t no = 0, from = 0;
    std::string id, key;
    bool own = false;
};

/// The first author with entries beyond the mark.
std::optional<Unlooked> next_author(sqlite3* db)
{
    Statement s(db, "SELECT a.no,a.verified,a.id,a.public_key,a.own FROM author a WHERE EXISTS(SELECT 1 FROM entry WHERE id BETWEEN a.no*1099511627776+a.verified+1 AND (a.no+1)*1099511627776-1) LIMIT 1");
    if (!s.step_row()) return std::nullopt;
    return Unlooked{s.number(0), s.number(1), s.text(2), s.text(3), s.number(4) != 0};
}

} // namespace

Result<Store::Looked> Store::verify_next(std::size_t most)
{
    Inside& in = *in_;
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    if (!in.vault->is_open()) return Looked{}; // a mark would stand for bodies that nobody saw
    sqlite3* db = in.db.get();
    const auto author = next_author(db);
    if (!author) return Looked{};
    // With the one before, which the first new one names.
    const std::int64_t base = author->no * detail::author_step;
    Statement s(db, (std::string(detail::entry_columns) + detail::every_entry + "WHERE e.id BETWEEN ? AND ? ORDER BY e.id LIMIT ?").c_str());
    s.bind(1, base + std::max<std::int64_t>(author->from, 1)).bind(2, base + detail::author_step - 1).bind(3, static_cast<std::int64_t>(most + 1));
    auto found = in.rows(s);
    if (!found && found.error().code == "entry_malformed") return Looked{false, FirstBad{author->id, author->from + 1, "row"}};
    if (!found && found.error().code == "damaged") return Looked{false, FirstBad{author->id, author->from + 1, "damaged"}};
    if (!found) return Unexpected{found.error()};
    if (found->empty()) return Looked{false, FirstBad{author->id, author->from + 1, "row"}};
    // A chain that is looked at from its middle starts wherever it starts; from its beginning it starts with number 1.
    const bool dense = author->own && author->from == 0;
    const VerifyReport report = journal::verify(*found, {{author->id, author->key}}, dense);
    if (!report.ok) return Looked{false, report.first_bad};
    if (author->own && found->back().envelope.seq - found->front().envelope.seq + 1 != static_cast<std::int64_t>(found->size()))
        return Looked{false, FirstBad{author->id, found->front().envelope.seq + 1, "gap"}};
    if (in.options.read_only) return Looked{};
    Statement mark(db, "UPDATE author SET verified=? WHERE no=?");
    mark.bind(1, found->back().envelope.seq).bind(2, author->no);
    if (!mark.step_done()) return detail::problem(db, "verified");
    return Looked{next_author(db).has_value(), std::nullopt};
}

} // namespace chockside::journal
