#include <platform/shop/book.h>
#include <platform/shop/search.h>

#include <core/job/isolate_model.h>
#include <core/job/open_items.h>
#include <core/profile/load.h>
#include <core/trust/trust.h>

#include <algorithm>
#include <set>

namespace chockside::shop {

namespace {

constexpr const char* index_form = "6";

std::string state_words(const job::JobState& s, const std::string& at)
{
    if (s.deferral && s.closed) return "Deferred: " + s.deferral->item;
    if (s.closed) return s.finding_kind == "not_proven" ? "Closed, not proven" : "Closed";
    if (!s.contradictions.empty()) return "Told two ways, asks you";
    if (s.finding_kind == "not_proven") return "Fits nothing well, asks you";
    if (s.signs.contains("released")) return "Released";
    return at;
}

} // namespace

Book::Book(const Blobs& blobs, const Clock& clock, Signatures& signatures) : blobs_(blobs), clock_(clock), signatures_(signatures) {}

Status Book::make_tables(Connection& c)
{
    for (const char* sql : {"CREATE TABLE IF NOT EXISTS job_row(job TEXT PRIMARY KEY, title TEXT NOT NULL, tail TEXT NOT NULL, unit TEXT NOT NULL, rail TEXT NOT NULL, mark TEXT NOT NULL, state TEXT NOT NULL, "
                            "written_by TEXT NOT NULL, changed BIGINT NOT NULL, entries BIGINT NOT NULL, practice BIGINT NOT NULL, closed BIGINT NOT NULL, asks BIGINT NOT NULL, whole BIGINT NOT NULL)",
             "CREATE INDEX IF NOT EXISTS job_row_changed ON job_row(changed)", "CREATE INDEX IF NOT EXISTS job_row_tail ON job_row(tail, changed)",
             "CREATE TABLE IF NOT EXISTS part_row(job TEXT PRIMARY KEY, tail TEXT NOT NULL, at BIGINT NOT NULL, off_number TEXT NOT NULL, off_serial TEXT NOT NULL, on_number TEXT NOT NULL, on_serial TEXT NOT NULL, "
             "reason TEXT NOT NULL)",
             "CREATE INDEX IF NOT EXISTS part_row_at ON part_row(at)", "CREATE INDEX IF NOT EXISTS part_row_tail ON part_row(tail, at)"})
        if (auto made = c.run(sql); !made) return Unexpected{made.error()};
    if (auto made = FleetIndex::make_tables(c); !made) return made;
    // An index of another form is made anew from the log.
    auto form = c.run("SELECT value FROM kept WHERE key='index_form'");
    if (!form) return Unexpected{form.error()};
    if (!form->empty() && form->text(0, 0) == index_form) return Search::make_tables(c);
    if (auto gone = c.run("DROP TABLE IF EXISTS job_word"); !gone) return Unexpected{gone.error()};
    if (auto made = Search::make_tables(c); !made) return made;
    for (const char* sql : {"DELETE FROM kept WHERE key='index'", "DELETE FROM job_fact"})
        if (auto gone = c.run(sql); !gone) return Unexpected{gone.error()};
    auto noted = c.run("INSERT INTO kept(key,value) VALUES('index_form',$1) ON CONFLICT(key) DO UPDATE SET value=excluded.value", {std::string(index_form)});
    return noted ? Status{} : Status(Unexpected{noted.error()});
}

Result<std::shared_ptr<const profile::Profile>> Book::check_bundle(const std::string& text)
{
    const auto bundle = json::read(text);
    if (!bundle) return Unexpected{bundle.error()};
    auto loaded = profile::load((*bundle)["main"].as_text(), [&](const std::string& use, profile::Half which) -> Result<std::string> {
        const auto& half = (*bundle)[use + (which == profile::Half::unit ? ".unit" : ".installation")];
        if (!half.is_text()) return fail("not_found", use);
        return half.as_text();
    });
    for (const auto& c : loaded.complaints)
        if (c.severity == profile::Severity::error) return fail("bad_profile", c.file, {{"line", std::to_string(c.line)}, {"code", c.code}, {"mend", c.mend}});
    return std::shared_ptr<const profile::Profile>(std::make_shared<profile::Profile>(std::move(loaded.profile)));
}

std::shared_ptr<const profile::Profile> Book::profile(const std::string& sha)
{
    const std::lock_guard hold(mutex_);
    if (const auto at = profiles_.find(sha); at != profiles_.end()) return at->second;
    const auto text = blobs_.bytes(sha, 4u << 20);
    const auto checked = text ? check_bundle(*text) : Result<std::shared_ptr<const profile::Profile>>(fail("not_found"));
    if (!checked) return nullptr;
    auto made = std::make_shared<profile::Profile>(**checked);
    made->sha256 = sha;
    if (profiles_.size() > 64) profiles_.clear();
    return profiles_[sha] = made;
}

/// What a job is folded from, as the database has it now.
struct Book::Material {
    Rows rows;
    std::map<std::string, std::string> keys;
    std::string digest; ///< of all of it
};

namespace {

void digest_text(std::string& all, const std::string& text)
{
    all += std::to_string(text.size()) + ':' + text;
}

std::vector<journal::Entry> entries_of(const Rows& rows)
{
    std::vector<journal::Entry> all, ordered;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        auto entry = sync::entry_of({rows.text(i, 3), to_hex(as_bytes(rows.text(i, 4))), to_hex(as_bytes(rows.text(i, 5))), rows.text(i, 6)});
        const bool agrees = entry && entry->envelope.author == rows.text(i, 1) && entry->envelope.seq == rows.number(i, 2);
        if (agrees) all.push_back(std::move(*entry)); // else strange, and kept as it is; no fold knows what it says
    }
    for (const auto* e : journal::causal_order(all)) ordered.push_back(*e);
    return ordered;
}

} // namespace

Result<Book::Material> Book::material(Connection& c, const std::string& job)
{
    auto rows = c.run("SELECT idx,author,seq,envelope,signature,salt,body,received_at FROM entry WHERE job=$1 ORDER BY author,seq", {job});
    if (!rows) return Unexpected{rows.error()};
    Material m{std::move(*rows), {}, {}};
    std::string all;
    for (std::size_t i = 0; i < m.rows.size(); ++i) {
        m.keys[m.rows.text(i, 1)];
        for (const std::size_t column : {1u, 3u, 4u, 5u, 6u}) digest_text(all, m.rows.text(i, column));
    }
    for (auto& [author, key] : m.keys) {
        if (auto known = c.run("SELECT public_key FROM author_key WHERE author=$1", {author}); known && !known->empty()) key = known->text(0, 0);
        digest_text(all, key);
    }
    m.digest = to_text(trust::sha256(as_bytes(all)));
    return m;
}

void Book::fold(Opened& o, const Rows& rows)
{
    o.entries = entries_of(rows);
    o.verified = journal::verify(o.entries, o.keys, false, [this](ByteView hash, ByteView signature, ByteView key) { return signatures_.hold(hash, signature, key); });
    for (const auto& e : o.entries)
        if (e.envelope.kind == "opened") {
            const auto& sha = e.body["profile_sha"].as_text();
            o.awaited = is_sha(sha) && !blobs_.size(sha) ? sha : std::string();
            o.profile = profile(sha);
        }
    static const profile::Profile none;
    o.state = job::fold(o.profile ? *o.profile : none, o.entries);
}

void Book::view(Opened& o)
{
    if (!o.profile) return;
    job::Context context;
    context.now = clock_.now();
    // A departure ahead is the one thing of which the view counts the minutes: no clock of a tablet's boot is known here, so no wait runs.
    if (o.state.departure > context.now.utc_ms) o.holds_until = context.now.utc_ms + 60'000;
    o.view = job::build_view(*o.profile, o.state, context, job::reason(*o.profile, o.state, context));
}

Result<std::shared_ptr<const Opened>> Book::open(Connection& c, const std::string& job, bool with_view)
{
    auto m = material(c, job);
    if (!m) return Unexpected{m.error()};
    const auto kept = shelf_.find(job);
    const bool same = kept && kept->digest == m->digest && (kept->awaited.empty() || !blobs_.size(kept->awaited));
    if (same && (!with_view || clock_.now().utc_ms < kept->holds_until)) return kept;
    auto o = same ? std::make_shared<Opened>(*kept) : std::make_shared<Opened>();
    if (!same) {
        o->digest = std::move(m->digest);
        o->keys = std::move(m->keys);
        fold(*o, m->rows);
        if (o->entries.empty()) return fail("not_found", "job");
    }
    if (with_view) {
        view(*o);
        shelf_.put(job, o, 1 + o->entries.size());
    }
    return std::shared_ptr<const Opened>(std::move(o));
}

Result<std::map<std::string, std::string>> Book::names(Connection& c)
{
    auto rows = c.run("SELECT author,name FROM device");
    if (!rows) return Unexpected{rows.error()};
    std::map<std::string, std::string> all;
    for (std::size_t i = 0; i < rows->size(); ++i) all[rows->text(i, 0)] = rows->text(i, 1);
    return all;
}

JobRow Book::row_of(const Opened& o, const std::map<std::string, std::string>& names) const
{
    const job::JobState& s = o.state;
    JobRow r;
    r.job = job_key(o.job());
    r.tail = s.tail;
    r.title = s.complaint.empty() ? o.entries.front().body["title"].as_text() : s.complaint;
    r.entries = static_cast<std::int64_t>(o.entries.size());
    r.practice = s.practice;
    r.closed = s.closed;
    r.whole = o.verified.ok;
    if (s.on && !s.on->serial.empty()) r.unit = s.on->number + ", " + s.on->serial;
    else if (const auto serial = s.identity.find("serial"); serial != s.identity.end()) r.unit = serial->second;
    std::set<std::string> who, where;
    for (const auto& e : o.entries) {
        r.changed = std::max(r.changed, e.envelope.wall);
        if (!e.envelope.person.empty() && names.contains(e.envelope.author)) who.insert(e.envelope.person);
        if (const auto at = names.find(e.envelope.author); at != names.end()) where.insert(at->second);
    }
    const auto listed = [](const std::set<std::string>& all) {
        std::string text;
        for (const auto& one : all) text += (text.empty() ? "" : ", ") + one;
        return text.substr(0, 200);
    };
    r.by = listed(who) + (where.empty() ? "" : (who.empty() ? "" : "; ") + listed(where));
    std::string at = "Begun";
    if (o.profile) {
        const auto here = job::stage_of_state(*o.profile, s);
        const auto items = job::open_items(*o.profile, s);
        for (int i = 0; i < job::stage_count; ++i) {
            const auto stage = static_cast<job::Stage>(i);
            const bool open = std::any_of(items.begin(), items.end(), [&](const auto& item) { return item.opened_in == stage; });
            r.rail += open ? 'g' : s.closed || stage < here ? 's' : stage == here ? 'w' : 'h';
        }
        at = job::title_of(here);
    }
    r.state = state_words(s, at);
    r.asks = !s.closed && r.state.ends_with("asks you");
    r.mark = s.closed ? (s.deferral ? "defer" : s.finding_kind == "not_proven" ? "unver" : "good") : r.asks ? "unver" : s.signs.contains("released") ? "good" : "run";
    return r;
}

namespace {

Result<std::int64_t> kept_number(Connection& c, const char* key, std::int64_t otherwise)
{
    auto r = c.run("SELECT value FROM kept WHERE key=$1", {std::string(key)});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? otherwise : std::atoll(r->text(0, 0).c_str());
}

Status keep_number(Connection& c, const char* key, std::int64_t value)
{
    auto kept = c.run("INSERT INTO kept(key,value) VALUES($1,$2) ON CONFLICT(key) DO UPDATE SET value=excluded.value", {std::string(key), std::to_string(value)});
    return kept ? Status{} : Status(Unexpected{kept.error()});
}

/// What one turn of the index looks at.
struct Turn {
    bool full = false;          ///< more waits behind it
    std::int64_t number = 0;    ///< grows with each
    std::int64_t upto = -1;     ///< place in the log, once it is done
    std::set<std::string> jobs;
    std::vector<Params> again;  ///< rows of job_again that it settles
};

Result<Turn> next_turn(Connection& c, std::int64_t most)
{
    Turn t;
    auto upto = kept_number(c, "index", -1), number = kept_number(c, "index_turn", 0);
    if (!upto || !number) return Unexpected{(!upto ? upto : number).error()};
    t.upto = *upto;
    t.number = *number + 1;
    // Asked before the entries are read: a body that comes meanwhile counts its row up, and the row stays.
    auto again = c.run("SELECT job,times FROM job_again WHERE profile='' ORDER BY job LIMIT $1", {most / 4});
    if (!again) return Unexpected{again.error()};
    for (std::size_t i = 0; i < again->size(); ++i) {
        t.jobs.insert(again->text(i, 0));
        t.again.push_back({again->text(i, 0), again->number(i, 1)});
    }
    auto fresh = c.run("SELECT idx,job FROM entry WHERE idx>$1 ORDER BY idx LIMIT $2", {t.upto, most});
    if (!fresh) return Unexpected{fresh.error()};
    for (std::size_t i = 0; i < fresh->size(); ++i) t.jobs.insert(fresh->text(i, 1));
    if (!fresh->empty()) t.upto = fresh->number(fresh->size() - 1, 0);
    t.full = static_cast<std::int64_t>(fresh->size()) == most || static_cast<std::int64_t>(again->size()) == most / 4;
    return t;
}

} // namespace

/// Rows of the index for some jobs.
struct Book::Indexed {
    std::vector<Params> rows, words, parts, facts, awaited;

    Status put(Connection& w) const
    {
        if (auto ok = w.run_each("INSERT INTO job_row(job,title,tail,unit,rail,mark,state,written_by,changed,entries,practice,closed,asks,whole) VALUES($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11,$12,$13,$14) ON CONFLICT(job) DO UPDATE "
                                 "SET title=excluded.title,tail=excluded.tail,unit=excluded.unit,rail=excluded.rail,mark=excluded.mark,state=excluded.state,written_by=excluded.written_by,changed=excluded.changed,"
                                 "entries=excluded.entries,practice=excluded.practice,closed=excluded.closed,asks=excluded.asks,whole=excluded.whole",
                rows);
            !ok)
            return ok;
        if (auto ok = Search::put(w, words); !ok) return ok;
        if (auto ok = w.run_each("INSERT INTO part_row(job,tail,at,off_number,off_serial,on_number,on_serial,reason) VALUES($1,$2,$3,$4,$5,$6,$7,$8) ON CONFLICT(job) DO UPDATE SET at=excluded.at,off_number=excluded.off_number,"
                                 "off_serial=excluded.off_serial,on_number=excluded.on_number,on_serial=excluded.on_serial,reason=excluded.reason",
                parts);
            !ok)
            return ok;
        if (auto ok = w.run_each("INSERT INTO job_again(job,profile,times) VALUES($1,$2,1) ON CONFLICT DO NOTHING", awaited); !ok) return ok;
        return FleetIndex::put(w, facts);
    }
};

void Book::index(const Opened& o, const std::map<std::string, std::string>& names, std::int64_t turn, Indexed& to) const
{
    const JobRow r = row_of(o, names);
    to.rows.push_back({r.job, cut(r.title, 500), cut(r.tail, 40), cut(r.unit, 80), r.rail, r.mark, cut(r.state, 200), cut(r.by, 300), r.changed, r.entries, std::int64_t{r.practice}, std::int64_t{r.closed},
        std::int64_t{r.asks}, std::int64_t{r.whole}});
    // What was assigned and nobody has begun is no job of the fleet's yet.
    if (std::any_of(o.entries.begin(), o.entries.end(), [](const auto& e) { return e.envelope.kind == "opened"; })) to.facts.push_back(FleetIndex::row(o, names, turn));
    std::string text = r.job;
    for (const auto& line : o.state.lines) text += " " + line.text;
    for (const auto& word : Search::words(r.tail + " " + r.title + " " + r.unit + " " + r.state + " " + r.by + " " + text)) to.words.push_back(Search::row(r.job, word, r.changed));
    if (!o.awaited.empty()) to.awaited.push_back({r.job, o.awaited});
    if (!o.state.off && !o.state.on) return;
    const job::Part off = o.state.off.value_or(job::Part{}), on = o.state.on.value_or(job::Part{});
    to.parts.push_back({r.job, cut(r.tail, 40), o.state.repaired ? o.state.repaired->wall : r.changed, cut(off.number, 80), cut(off.serial, 80), cut(on.number, 80), cut(on.serial, 80), cut(off.reason, 300)});
}

Result<bool> Book::follow(Reader& reader, Writer& writer, std::size_t most)
{
    Connection* c = reader.ledger.connection();
    if (!c) return fail("gone", "database");
    const auto turn = next_turn(*c, static_cast<std::int64_t>(most));
    if (!turn) return Unexpected{turn.error()};
    if (turn->jobs.empty()) return wake(*c, writer);
    auto known = names(*c);
    if (!known) return Unexpected{known.error()};
    Indexed made;
    for (const auto& job : turn->jobs) {
        if (job == "shop") continue;
        if (auto o = open(*c, job, false)) index(**o, *known, turn->number, made);
    }
    auto put = writer.put_and_wait([&](Connection& w) -> Status {
        if (auto ok = made.put(w); !ok) return ok;
        if (auto ok = w.run_each("DELETE FROM job_again WHERE profile='' AND job=$1 AND times=$2", turn->again); !ok) return ok;
        if (auto ok = keep_number(w, "index_turn", turn->number); !ok) return ok;
        return keep_number(w, "index", turn->upto);
    });
    if (!put) return Unexpected{put.error()};
    return turn->full;
}

// Profiles that jobs wait for come as files, of which the log says nothing.
Result<bool> Book::wake(Connection& c, Writer& writer)
{
    auto awaited = c.run("SELECT DISTINCT profile FROM job_again WHERE profile<>''");
    if (!awaited) return Unexpected{awaited.error()};
    std::vector<Params> come;
    for (std::size_t i = 0; i < awaited->size(); ++i)
        if (blobs_.size(awaited->text(i, 0))) come.push_back({awaited->text(i, 0)});
    if (come.empty()) return false;
    auto put = writer.put_and_wait([&](Connection& w) -> Status {
        if (auto ok = w.run_each("INSERT INTO job_again(job,profile,times) SELECT job,'',1 FROM job_again WHERE profile=$1 ON CONFLICT(profile,job) DO UPDATE SET times=job_again.times+1", come); !ok) return ok;
        return w.run_each("DELETE FROM job_again WHERE profile=$1", come);
    });
    if (!put) return Unexpected{put.error()};
    return true;
}

namespace {

constexpr const char* row_columns = "SELECT job,title,tail,unit,rail,mark,state,written_by,changed,entries,practice,closed,asks,whole FROM job_row ";

JobRow row_from(const Rows& r, std::size_t i)
{
    return {r.text(i, 0), r.text(i, 1), r.text(i, 2), r.text(i, 3), r.text(i, 4), r.text(i, 5), r.text(i, 6), r.text(i, 7), r.number(i, 8), r.number(i, 9), r.number(i, 10) != 0, r.number(i, 11) != 0, r.number(i, 12) != 0,
        r.number(i, 13) != 0};
}

} // namespace

Result<std::vector<JobRow>> Book::found(Connection& c, const std::string& search, std::size_t skip, std::size_t most)
{
    auto jobs = Search::find(c, search, skip, most);
    if (!jobs) return Unexpected{jobs.error()};
    std::vector<JobRow> all;
    for (const auto& job : *jobs) {
        auto r = c.run(std::string(row_columns) + "WHERE job=$1", {job});
        if (!r) return Unexpected{r.error()};
        if (!r->empty()) all.push_back(row_from(*r, 0));
    }
    return all;
}

Result<std::vector<JobRow>> Book::jobs(Connection& c, const std::string& search, const std::string& tail, std::size_t skip, std::size_t most)
{
    if (search.find_first_not_of(' ') != std::string::npos) return found(c, search, skip, most);
    const auto from = static_cast<std::int64_t>(skip), count = static_cast<std::int64_t>(most);
    auto r = tail.empty() ? c.run(std::string(row_columns) + "ORDER BY changed DESC LIMIT $1 OFFSET $2", {count, from})
                          : c.run(std::string(row_columns) + "WHERE tail=$1 ORDER BY changed DESC LIMIT $2 OFFSET $3", {tail, count, from});
    if (!r) return Unexpected{r.error()};
    std::vector<JobRow> all;
    for (std::size_t i = 0; i < r->size(); ++i) all.push_back(row_from(*r, i));
    return all;
}

// From aircraft to aircraft by the index: their jobs are not looked at.
Result<std::vector<std::string>> Book::tails(Connection& c, std::size_t skip, std::size_t most)
{
    std::vector<std::string> all;
    auto r = c.run("SELECT tail FROM job_row ORDER BY tail LIMIT 1");
    for (std::size_t n = 0; r && !r->empty() && n < skip + most; ++n) {
        const std::string tail = r->text(0, 0);
        if (n >= skip) all.push_back(tail);
        r = c.run("SELECT tail FROM job_row WHERE tail>$1 ORDER BY tail LIMIT 1", {tail});
    }
    if (!r) return Unexpected{r.error()};
    return all;
}

Result<std::vector<PartRow>> Book::parts(Connection& c, const std::string& tail, std::size_t skip, std::size_t most)
{
    const auto from = static_cast<std::int64_t>(skip), count = static_cast<std::int64_t>(most);
    auto r = tail.empty() ? c.run("SELECT job,tail,off_number,off_serial,on_number,on_serial,reason,at FROM part_row ORDER BY at DESC LIMIT $1 OFFSET $2", {count, from})
                          : c.run("SELECT job,tail,off_number,off_serial,on_number,on_serial,reason,at FROM part_row WHERE tail=$1 ORDER BY at DESC LIMIT $2 OFFSET $3", {tail, count, from});
    if (!r) return Unexpected{r.error()};
    std::vector<PartRow> all;
    for (std::size_t i = 0; i < r->size(); ++i) all.push_back({r->text(i, 0), r->text(i, 1), r->text(i, 2), r->text(i, 3), r->text(i, 4), r->text(i, 5), r->text(i, 6), r->number(i, 7)});
    return all;
}

} // namespace chockside::shop
