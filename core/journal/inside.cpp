#include <core/base/planted.h>
#include <core/journal/detail/inside.h>

#include <algorithm>

namespace chockside::journal {

using detail::author_step;

Status Store::Inside::connect()
{
    for (Statement* s : {&insert_entry, &insert_row, &insert_run, &insert_key, &begin, &commit, &rollback}) *s = Statement();
    db.reset();
    seen_job.clear();
    auto opened = detail::open_database(options.folder + "/journal.db", options.read_only);
    if (!opened) return Unexpected{opened.error()};
    db = std::move(*opened);
    if (options.read_only) return detail::same_schema(db.get());
    if (auto ok = detail::migrate(db.get()); !ok) return ok;
    sqlite3_wal_hook(db.get(), [](void* pages, sqlite3*, const char*, int n) { return *static_cast<int*>(pages) = n, SQLITE_OK; }, &log_pages);
    if (auto ok = prepare(); !ok) return ok;
    if (auto ok = head(); !ok) return ok;
    begin = Statement(db.get(), "BEGIN IMMEDIATE"); // last: without it nothing is ready, and the next call tries again
    return begin.good() ? Status{} : Status(detail::problem(db.get(), "prepare"));
}

Status Store::Inside::ready()
{
    return (options.read_only ? db != nullptr : begin.good()) ? Status{} : connect();
}

Status Store::Inside::prepare()
{
    sqlite3* d = db.get();
    insert_entry = Statement(d, "INSERT INTO entry(id,job,command,hash,envelope,signature,salt,body) VALUES(?,?,?,?,?,?,?,?)");
    insert_row = Statement(d, "INSERT OR REPLACE INTO job(id,title,tail,status,opened,changed,entries,practice) VALUES(?,?,?,?,?,?,?,?)");
    insert_run = Statement(d, "INSERT OR IGNORE INTO run(id,job) VALUES(?,?)");
    insert_key = Statement(d, "INSERT OR IGNORE INTO data_key(no,box) VALUES(?,?)");
    commit = Statement(d, "COMMIT");
    rollback = Statement(d, "ROLLBACK");
    for (const Statement* s : {&insert_entry, &insert_row, &insert_run, &insert_key, &commit, &rollback})
        if (!s->good()) return detail::problem(d, "prepare");
    return {};
}

Store::Inside::Unfinished::~Unfinished()
{
    if (!in.db || PLANTED(told_before_commit) || sqlite3_get_autocommit(in.db.get())) return;
    in.rollback.run_once();
    in.begin = Statement();
}

Result<std::int64_t> Store::Inside::number_of(const std::string& id, const std::string& public_key, bool own)
{
    Statement put(db.get(), "INSERT INTO author(id,public_key,own) SELECT ?1,?2,?3 WHERE NOT EXISTS(SELECT 1 FROM author WHERE id=?1)");
    put.bind(1, id).bind(2, public_key).bind(3, std::int64_t{own});
    Statement get(db.get(), "SELECT no FROM author WHERE id=?");
    get.bind(1, id);
    if (!put.step_done() || !get.step_row()) return detail::problem(db.get(), "author");
    return get.number(0);
}

Status Store::Inside::head()
{
    const auto number = number_of(author, to_hex(key->public_key()), true);
    if (!number) return Unexpected{number.error()};
    author_no = *number;
    seq = 0;
    prev.clear();
    last_job.clear();
    Statement last(db.get(), "SELECT id%1099511627776,lower(hex(hash)),job FROM entry WHERE id BETWEEN ? AND ? ORDER BY id DESC LIMIT 1");
    last.bind(1, author_no * author_step).bind(2, (author_no + 1) * author_step - 1);
    if (last.step_row()) seq = last.number(0), prev = last.text(1), last_job = last.text(2);
    else if (!last.ended()) return detail::problem(db.get(), "head");
    return {};
}

Status Store::Inside::know(const std::string& job)
{
    if (seen_job == job) return {};
    seen.clear();
    Statement all(db.get(), ("SELECT a.id,max(e.id%1099511627776) FROM " + std::string(detail::job_entries) + "GROUP BY a.id").c_str());
    all.bind(1, job);
    while (all.step_row()) seen[all.text(0)] = all.number(1);
    if (!all.ended()) return detail::problem(db.get(), "seen");
    commands.clear();
    Statement given(db.get(), ("SELECT e.command,min(e.id),max(e.id) FROM " + std::string(detail::job_entries) + "AND e.command<>'' GROUP BY e.command").c_str());
    given.bind(1, job);
    while (given.step_row()) commands[given.text(0)] = {given.number(1), given.number(2)};
    if (!given.ended()) return detail::problem(db.get(), "commands");
    seen_job = job;
    return {};
}

Result<std::optional<Store::Inside::Range>> Store::Inside::find(const std::string& job, const std::string& command_id)
{
    if (auto ok = know(job); !ok) return Unexpected{ok.error()};
    if (PLANTED(repeat_not_known)) return std::optional<Range>();
    const auto found = commands.find(command_id);
    return found == commands.end() ? std::optional<Range>() : std::optional<Range>(found->second);
}

Result<std::vector<Entry>> Store::Inside::seal_all(const std::string& job, std::span<const Draft> drafts)
{
    if (auto ok = know(job); !ok) return Unexpected{ok.error()};
    std::vector<Entry> sealed;
    Vector known = seen;
    std::int64_t at = seq;
    std::string before = prev;
    const Now now = clock.now();
    for (const Draft& draft : drafts) {
        Envelope e{1, author, ++at, before, job, known, draft.kind, draft.schema, {}, draft.att, draft.person, draft.meaning, now.utc_ms, now.boot, now.mono_ms, json::Value()};
        auto entry = seal(std::move(e), draft.body, *key, random);
        if (!entry) return Unexpected{entry.error()};
        before = entry->hash;
        known[author] = at;
        sealed.push_back(std::move(*entry));
    }
    return sealed;
}

bool Store::Inside::put_entry(std::int64_t number, const Entry& e, const std::string& command_id)
{
    insert_entry.bind(1, number * author_step + e.envelope.seq).bind(2, e.envelope.job).bind(3, command_id).bind(4, *from_hex(e.hash));
    // A withheld body came without its salt, and goes in as nothing.
    const Bytes sealed = e.salt.empty() ? Bytes() : seal_body(e.envelope.author + "/" + std::to_string(e.envelope.seq), e.salt, e.body_bytes);
    insert_entry.bind(5, e.envelope_bytes).bind(6, *from_hex(e.signature)).bind(7, ByteView()).bind(8, ByteView(sealed));
    return (e.salt.empty() || !sealed.empty()) && insert_entry.run_once();
}

bool Store::Inside::put_run(std::int64_t id, const std::string& job)
{
    insert_run.bind(1, id).bind(2, job);
    return insert_run.run_once();
}

bool Store::Inside::fit_run(std::int64_t id, const std::string& job)
{
    const std::int64_t first = id / author_step * author_step;
    Statement before(db.get(), "SELECT job FROM entry WHERE id<? AND id>? ORDER BY id DESC LIMIT 1");
    before.bind(1, id).bind(2, first);
    const bool begins = !before.step_row() || before.text(0) != job;
    Statement after(db.get(), "SELECT id,job FROM entry WHERE id>? AND id<? ORDER BY id LIMIT 1");
    after.bind(1, id).bind(2, first + author_step);
    const bool cuts = after.step_row() && after.text(1) != job;
    return (!begins || put_run(id, job)) && (!cuts || put_run(after.number(0), after.text(1)));
}

bool Store::Inside::put_row(const JobRow& r)
{
    json::Array says{r.title, r.tail};
    if (!r.about.is_null()) says.push_back(r.about);
    if (!put_new_key()) return false;
    const Bytes sealed = vault->seal("job " + r.job, as_bytes(json::write(json::Value(std::move(says)))), random);
    insert_row.bind(1, r.job).bind(2, ByteView(sealed)).bind(3, "").bind(4, r.status).bind(5, r.opened_utc_ms).bind(6, r.changed_utc_ms);
    insert_row.bind(7, std::int64_t{r.entries}).bind(8, std::int64_t{r.practice});
    return insert_row.run_once();
}

Status Store::Inside::write(const std::string& command_id, const std::vector<Entry>& sealed, const std::optional<JobRow>& row)
{
    const Unfinished unfinished{*this};
    if (PLANTED(told_before_commit) && !sqlite3_get_autocommit(db.get()) && !commit.run_once()) return give_up("commit");
    if (!begin.run_once()) return give_up("begin");
    if (!put_new_key()) return give_up("key");
    const std::int64_t base = author_no * author_step, last = seq + static_cast<std::int64_t>(sealed.size());
    std::string_view run = last_job;
    for (const Entry& e : sealed) {
        if (!put_entry(author_no, e, command_id)) return give_up("entry");
        if ((seq == 0 && &e == sealed.data()) || run != e.envelope.job)
            if (!put_run(base + e.envelope.seq, e.envelope.job)) return give_up("run");
        run = e.envelope.job;
    }
    if (PLANTED(row_apart) && !(commit.run_once() && begin.run_once())) return give_up("apart");
    if (row && !put_row(*row)) return give_up("row");
    if (!PLANTED(told_before_commit) && !commit.run_once()) return give_up("commit");
    new_key.reset();
    if (sealed.empty()) return {};
    if (!command_id.empty()) commands[command_id] = {base + seq + 1, base + last};
    seq = last;
    prev = sealed.back().hash;
    last_job = sealed.back().envelope.job;
    seen[author] = last;
    return {};
}

Unexpected<Problem> Store::Inside::give_up(const char* place)
{
    auto bad = detail::problem(db.get(), place);
    rollback.run_once();
    if (auto again = connect(); !again) return Unexpected{again.error()};
    return bad;
}

namespace {

// Per author a range of the one B-tree: what was written since the last start, whoever's it is.
constexpr const char* uncounted_jobs = R"(
SELECT f.job, (SELECT count(*) FROM run r CROSS JOIN entry e ON e.id>=r.id AND e.id<coalesce((SELECT min(x.id) FROM run x WHERE x.id>r.id),9223372036854775807) WHERE r.job=f.job) n, coalesce(j.entries,-1)
FROM (SELECT DISTINCT e.job FROM author a CROSS JOIN entry e ON e.id BETWEEN a.no*1099511627776+a.counted+1 AND (a.no+1)*1099511627776-1) f
LEFT JOIN job j ON j.id=f.job WHERE j.id IS NULL OR j.entries<>n)";
constexpr const char* mark_counted = R"(
UPDATE author SET counted=m.seq FROM (SELECT a.no no, coalesce((SELECT max(id) FROM entry WHERE id BETWEEN a.no*1099511627776 AND (a.no+1)*1099511627776-1)%1099511627776,0) seq
  FROM author a) m WHERE m.no=author.no AND m.seq<>author.counted)";

} // namespace

Status Store::Inside::restore_row(JobRow r)
{
    Statement s(db.get(), (std::string(detail::entry_columns) + detail::job_entries).c_str());
    s.bind(1, r.job);
    while (s.step_row()) {
        const auto e = row(s);
        if (!e) continue; // verify() names it
        const std::int64_t wall = e->envelope.wall;
        r.opened_utc_ms = r.opened_utc_ms ? std::min(r.opened_utc_ms, wall) : wall;
        r.changed_utc_ms = std::max(r.changed_utc_ms, wall);
    }
    return put_row(r) ? Status{} : Status(detail::problem(db.get(), "repair"));
}

bool Store::Inside::uncount(std::int64_t number, std::int64_t at)
{
    Statement s(db.get(), "UPDATE author SET counted=?1-1 WHERE no=?2 AND counted>=?1");
    s.bind(1, at).bind(2, number);
    return s.step_done();
}

Status Store::Inside::repair_rows()
{
    Statement lost(db.get(), uncounted_jobs);
    std::vector<std::pair<JobRow, bool>> found; // with: has its row
    while (lost.step_row()) {
        JobRow r;
        r.job = r.title = lost.text(0);
        r.entries = static_cast<int>(lost.number(1));
        found.emplace_back(std::move(r), lost.number(2) >= 0);
    }
    if (!lost.ended()) return detail::problem(db.get(), "repair");
    for (auto& [r, known] : found) {
        if (!known) {
            if (auto ok = restore_row(std::move(r)); !ok) return ok;
            continue;
        }
        Statement count(db.get(), "UPDATE job SET entries=? WHERE id=?");
        count.bind(1, std::int64_t{r.entries}).bind(2, r.job);
        if (!count.step_done()) return detail::problem(db.get(), "repair");
    }
    return detail::run(db.get(), mark_counted, "repair");
}

void Store::Inside::hold_reserve()
{
    const std::string path = options.folder + "/reserve";
    if (options.reserve_bytes == 0) return;
    const auto room = disk.free_bytes(options.folder);
    // Taking the last of a small disk would bring about what the reserve is for.
    const auto names = disk.list(options.folder);
    if (names && std::find(names->begin(), names->end(), "reserve") != names->end()) reserve_held = true;
    else if (room && *room > 4 * options.reserve_bytes) reserve_held = disk.reserve(path, options.reserve_bytes).has_value();
}

bool Store::Inside::free_reserve()
{
    if (!reserve_held || !db) return false;
    reserve_held = false;
    return disk.remove(options.folder + "/reserve").has_value();
}

} // namespace chockside::journal
