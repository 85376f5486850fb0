#include <core/journal/detail/inside.h>

#include <set>

namespace chockside::journal {

using detail::Statement;

namespace {

std::string lower(std::string text)
{
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

} // namespace

Result<Entry> Store::Inside::row(const Statement& s, bool read_bodies)
{
    const auto hex = [&](int column) { return to_hex(as_bytes(s.text(column))); };
    const std::string place = s.text(7) + "/" + std::to_string(s.number(6));
    auto e = open_entry(s.text(0), hex(1), hex(2), {}, {});
    if (!e) return fail("entry_malformed", place);
    const Envelope& says = e->envelope;
    if (says.job != s.text(5) || says.seq != s.number(6) || says.author != s.text(7)) return fail("entry_malformed", place, {{"what", "row"}});
    if (auto ok = unseal_body(s.text(4), *e, read_bodies); !ok) return Unexpected{ok.error()};
    return e;
}

Result<std::vector<Entry>> Store::Inside::rows(Statement& s, bool read_bodies)
{
    std::vector<Entry> entries;
    while (s.step_row()) {
        auto e = row(s, read_bodies);
        if (!e) return Unexpected{e.error()};
        entries.push_back(std::move(*e));
    }
    if (!s.ended()) return detail::problem(db.get(), "select");
    return entries;
}

Result<std::vector<Entry>> Store::Inside::range(const Range& r, bool read_bodies)
{
    Statement s(db.get(), (std::string(detail::entry_columns) + detail::every_entry + "WHERE e.id BETWEEN ? AND ? ORDER BY e.id").c_str());
    s.bind(1, r.first).bind(2, r.last);
    return rows(s, read_bodies);
}

Result<std::vector<Entry>> Store::entries(const std::string& job)
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    Statement s(in_->db.get(), (std::string(detail::entry_columns) + detail::job_entries).c_str());
    s.bind(1, job);
    auto found = in_->rows(s);
    if (!found) return found;
    std::vector<Entry> ordered;
    ordered.reserve(found->size());
    for (const Entry* e : causal_order(*found)) ordered.push_back(*e);
    return ordered;
}

Result<std::vector<Entry>> Store::all_entries()
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    Statement s(in_->db.get(), (std::string(detail::entry_columns) + detail::every_entry + "ORDER BY e.id").c_str());
    return in_->rows(s);
}

Result<std::vector<Entry>> Store::chain(const std::string& author, std::int64_t first, std::int64_t last)
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    Statement s(in_->db.get(), (std::string(detail::entry_columns) + detail::every_entry + "WHERE a.id=?1 AND e.id BETWEEN a.no*1099511627776+?2 AND a.no*1099511627776+?3 ORDER BY e.id").c_str());
    s.bind(1, author).bind(2, first).bind(3, last);
    return in_->rows(s);
}

Result<std::vector<JobRow>> Store::jobs(std::size_t most, const std::string& search)
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    Statement s(in_->db.get(), "SELECT id,title,tail,status,opened,changed,entries,practice FROM job ORDER BY changed DESC");
    std::vector<JobRow> rows;
    bool more = true;
    while (rows.size() < most && (more = s.step_row())) {
        JobRow r{s.text(0), s.text(1), s.text(2), s.text(3), s.number(4), s.number(5), static_cast<int>(s.number(6)), s.number(7) != 0};
        if (s.is_blob(1))
            if (auto ok = in_->unseal_row(s.text(1), r); !ok) return Unexpected{ok.error()};
        if (search.empty() || lower(r.tail + " " + r.title).find(lower(search)) != std::string::npos) rows.push_back(std::move(r));
    }
    if (!more && !s.ended()) return detail::problem(in_->db.get(), "jobs");
    return rows;
}

Result<std::int64_t> Store::count_jobs()
{
    Statement s(in_->db.get(), "SELECT count(*) FROM job");
    return s.step_row() ? Result<std::int64_t>(s.number(0)) : Result<std::int64_t>(detail::problem(in_->db.get(), "jobs"));
}

Result<std::map<std::string, std::string>> Store::keys()
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    Statement s(in_->db.get(), "SELECT id,public_key FROM author");
    std::map<std::string, std::string> keys;
    while (s.step_row()) keys[s.text(0)] = s.text(1);
    if (!s.ended()) return detail::problem(in_->db.get(), "keys");
    return keys;
}

namespace {

/// SQLite's own look at the file: pages, indexes against tables.
std::string structure(sqlite3* db)
{
    return detail::pragma(db, "integrity_check(1)");
}

Result<std::set<std::string>> own_authors(sqlite3* db)
{
    Statement s(db, "SELECT id FROM author WHERE own=1");
    std::set<std::string> own;
    while (s.step_row()) own.insert(s.text(0));
    if (!s.ended()) return detail::problem(db, "authors");
    return own;
}

FirstBad place_of(const Problem& p)
{
    const auto slash = p.place.find('/');
    return {p.place.substr(0, slash), slash == std::string::npos ? 0 : std::atoll(p.place.c_str() + slash + 1), p.args.empty() ? "malformed" : p.args.front().second};
}

} // namespace

Result<VerifyReport> Store::verify(const std::string& job)
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    sqlite3* db = in_->db.get();
    if (job.empty() && structure(db) != "ok") return VerifyReport{0, 0, false, FirstBad{"", 0, "damaged"}};
    auto found = job.empty() ? all_entries() : entries(job);
    if (!found && found.error().code == "entry_malformed") return VerifyReport{0, 0, false, place_of(found.error())};
    if (!found && found.error().code == "damaged") return VerifyReport{0, 0, false, FirstBad{"", 0, "damaged"}};
    if (!found) return Unexpected{found.error()};
    const auto public_keys = keys();
    const auto own = own_authors(db);
    if (!public_keys || !own) return Unexpected{!public_keys ? public_keys.error() : own.error()};
    // A row whose author is unknown never meets the join; one outside its job's runs would be read by nobody.
    Statement count(db, job.empty() ? "SELECT count(*) FROM entry" : "SELECT count(*) FROM run r CROSS JOIN entry e ON e.id>=r.id AND e.id<coalesce((SELECT min(n.id) FROM run n WHERE n.id>r.id),9223372036854775807) WHERE r.job=?");
    if (!job.empty()) count.bind(1, job);
    Statement astray(db, "SELECT id FROM entry e WHERE (SELECT job FROM run WHERE id<=e.id ORDER BY id DESC LIMIT 1) IS NOT e.job LIMIT 1");
    if (!count.step_row()) return detail::problem(db, "count");
    if (count.number(0) != static_cast<std::int64_t>(found->size()) || (job.empty() && astray.step_row())) return VerifyReport{count.number(0), 0, false, FirstBad{"", 0, "row"}};
    VerifyReport report = journal::verify(*found, *public_keys, [&](const std::string& author) { return job.empty() && own->contains(author); });
    if (report.ok && !job.empty()) report.first_bad = missing_entry(*found);
    report.ok = !report.first_bad;
    return report;
}

} // namespace chockside::journal
