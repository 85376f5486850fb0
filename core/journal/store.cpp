#include <core/journal/detail/sql.h>
#include <core/journal/store.h>

#include <algorithm>

namespace chockside::journal {

using detail::Db;
using detail::Statement;

struct Store::Inside {
    Disk& disk;
    const Clock& clock;
    Random& random;
    Options options;
    std::unique_ptr<Disk::Lock> lock;
    std::optional<trust::KeyPair> key;
    std::string author;
    Db db;
    Statement insert_entry, insert_command, find_command, insert_row, begin, commit, rollback;
    std::int64_t seq = 0;
    std::string prev;
    std::string seen_job;
    Vector seen;
    int since_checkpoint = 0;

    std::string path() const { return options.folder + "/journal.db"; }

    Status connect()
    {
        for (Statement* s : {&insert_entry, &insert_command, &find_command, &insert_row, &begin, &commit, &rollback}) *s = Statement();
        db.reset();
        auto opened = detail::open_database(path(), options.read_only);
        if (!opened) return Unexpected{opened.error()};
        db = std::move(*opened);
        if (options.read_only) return {};
        if (auto ok = detail::migrate(db.get()); !ok) return ok;
        insert_entry = Statement(db.get(), "INSERT INTO entry(author,seq,job,hash,envelope,signature,salt,body) VALUES(?,?,?,?,?,?,?,?)");
        insert_command = Statement(db.get(), "INSERT INTO command(id,author,first,last) VALUES(?,?,?,?)");
        find_command = Statement(db.get(), "SELECT author,first,last FROM command WHERE id=?");
        insert_row = Statement(db.get(), "INSERT INTO job(id,title,tail,status,opened,changed,entries,practice) VALUES(?,?,?,?,?,?,?,?) ON CONFLICT(id) DO UPDATE SET "
                                         "title=excluded.title,status=excluded.status,changed=excluded.changed,entries=excluded.entries");
        begin = Statement(db.get(), "BEGIN IMMEDIATE");
        commit = Statement(db.get(), "COMMIT");
        rollback = Statement(db.get(), "ROLLBACK");
        seen_job.clear();
        return head();
    }

    Status head()
    {
        Statement last(db.get(), "SELECT seq,hash FROM entry WHERE author=? ORDER BY seq DESC LIMIT 1");
        last.bind(1, author);
        seq = 0;
        prev.clear();
        if (last.step_row()) seq = last.number(0), prev = last.text(1);
        return {};
    }

    Status know(const std::string& job)
    {
        if (seen_job == job) return {};
        seen.clear();
        Statement all(db.get(), "SELECT author,max(seq) FROM entry WHERE job=? GROUP BY author");
        all.bind(1, job);
        while (all.step_row()) seen[all.text(0)] = all.number(1);
        if (!all.ended()) return detail::problem(db.get(), "seen");
        seen_job = job;
        return {};
    }

    /// After an error in a transaction nothing of it exists; the handle is not trusted again.
    Unexpected<Problem> give_up(const char* place)
    {
        auto bad = detail::problem(db.get(), place);
        rollback.step_done();
        rollback.reset();
        (void)connect();
        return bad;
    }

    bool put(Statement& s)
    {
        const bool ok = s.step_done();
        s.reset();
        return ok;
    }

    Result<std::vector<Entry>> select(const char* sql, std::initializer_list<std::string> text, std::initializer_list<std::int64_t> numbers = {})
    {
        Statement s(db.get(), sql);
        int at = 0;
        for (const auto& t : text) s.bind(++at, t);
        for (const auto n : numbers) s.bind(++at, n);
        std::vector<Entry> entries;
        while (s.step_row()) {
            auto e = open_entry(s.text(0), s.text(1), s.text(2), s.text(3), s.text(4));
            if (!e) return Unexpected{e.error()};
            entries.push_back(std::move(*e));
        }
        if (!s.ended()) return detail::problem(db.get(), "select");
        return entries;
    }
};

namespace {

constexpr const char* columns = "SELECT envelope,hash,signature,salt,body FROM entry ";

Result<trust::KeyPair> device_key(Disk& disk, Random& random, const std::string& path)
{
    auto seed = disk.read(path, 64);
    if (seed) return trust::KeyPair::from_seed(*seed);
    if (seed.error().code != "not_found") return Unexpected{seed.error()};
    trust::KeyPair key = trust::KeyPair::make(random);
    if (auto kept = disk.write_whole(path, key.seed()); !kept) return Unexpected{kept.error()};
    return key;
}

} // namespace

Store::Store(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}

Store::~Store()
{
    if (in_ && in_->db && !in_->options.read_only) (void)checkpoint();
}

Result<std::unique_ptr<Store>> Store::open(Disk& disk, const Clock& clock, Random& random, Options options)
{
    auto in = std::make_unique<Inside>(Inside{disk, clock, random, options, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, 0, {}, {}, {}, 0});
    if (!options.read_only) {
        if (auto made = disk.make_folder(options.folder); !made) return Unexpected{made.error()};
        auto lock = disk.lock(options.folder + "/lock");
        if (!lock) return Unexpected{lock.error()};
        in->lock = std::move(*lock);
        auto key = device_key(disk, random, options.folder + "/device.key");
        if (!key) return Unexpected{key.error()};
        in->key = std::move(*key);
        in->author = trust::author_id(in->key->public_key());
    }
    if (auto ok = in->connect(); !ok) return Unexpected{ok.error()};
    if (!options.read_only) {
        Statement known(in->db.get(), "INSERT OR IGNORE INTO author(id,public_key) VALUES(?,?)");
        known.bind(1, in->author).bind(2, to_hex(in->key->public_key()));
        if (!known.step_done()) return detail::problem(in->db.get(), "author");
    }
    return std::unique_ptr<Store>(new Store(std::move(in)));
}

const std::string& Store::author() const
{
    return in_->author;
}

std::string Store::public_key_hex() const
{
    return in_->key ? to_hex(in_->key->public_key()) : std::string();
}

Result<std::vector<Entry>> Store::append(const std::string& job, const std::string& command_id, std::span<const Draft> drafts)
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    in.find_command.bind(1, command_id);
    if (in.find_command.step_row()) {
        const std::string author = in.find_command.text(0);
        const std::int64_t first = in.find_command.number(1), last = in.find_command.number(2);
        in.find_command.reset();
        return in.select((std::string(columns) + "WHERE author=? AND seq BETWEEN ? AND ? ORDER BY seq").c_str(), {author}, {first, last});
    }
    in.find_command.reset();
    if (auto ok = in.know(job); !ok) return Unexpected{ok.error()};

    std::vector<Entry> sealed;
    Vector seen = in.seen;
    std::int64_t seq = in.seq;
    std::string prev = in.prev;
    const Now now = in.clock.now();
    for (const Draft& draft : drafts) {
        Envelope e{1, in.author, ++seq, prev, job, seen, draft.kind, draft.schema, {}, draft.att, draft.person, draft.meaning, now.utc_ms, now.boot, now.mono_ms, json::Value()};
        auto entry = seal(std::move(e), draft.body, *in.key, in.random);
        if (!entry) return Unexpected{entry.error()};
        prev = entry->hash;
        seen[in.author] = seq;
        sealed.push_back(std::move(*entry));
    }
    if (!in.put(in.begin)) return in.give_up("begin");
    for (const Entry& e : sealed) {
        in.insert_entry.bind(1, e.envelope.author).bind(2, e.envelope.seq).bind(3, job).bind(4, e.hash);
        in.insert_entry.bind(5, e.envelope_bytes).bind(6, e.signature).bind(7, e.salt).bind(8, e.body_bytes);
        if (!in.put(in.insert_entry)) return in.give_up("entry");
    }
    in.insert_command.bind(1, command_id).bind(2, in.author).bind(3, in.seq + 1).bind(4, seq);
    if (!in.put(in.insert_command)) return in.give_up("command");
    if (!in.put(in.commit)) return in.give_up("commit");
    in.seq = seq;
    in.prev = prev;
    in.seen = seen;
    if (++in.since_checkpoint >= 512) (void)checkpoint();
    return sealed;
}

Result<std::vector<Entry>> Store::entries(const std::string& job)
{
    auto found = in_->select((std::string(columns) + "WHERE job=?").c_str(), {job});
    if (!found) return found;
    std::vector<Entry> ordered;
    for (const Entry* e : causal_order(*found)) ordered.push_back(*e);
    return ordered;
}

Result<std::vector<Entry>> Store::all_entries()
{
    return in_->select((std::string(columns) + "ORDER BY author,seq").c_str(), {});
}

Result<std::vector<JobRow>> Store::jobs(std::size_t most, const std::string& search)
{
    Statement s(in_->db.get(), "SELECT id,title,tail,status,opened,changed,entries,practice FROM job WHERE ?1='' OR instr(lower(tail||' '||title),lower(?1))>0 ORDER BY changed DESC LIMIT ?2");
    if (!s.good()) return detail::problem(in_->db.get(), "jobs");
    s.bind(1, search).bind(2, static_cast<std::int64_t>(most));
    std::vector<JobRow> rows;
    while (s.step_row()) rows.push_back({s.text(0), s.text(1), s.text(2), s.text(3), s.number(4), s.number(5), static_cast<int>(s.number(6)), s.number(7) != 0});
    if (!s.ended()) return detail::problem(in_->db.get(), "jobs");
    return rows;
}

Status Store::set_row(const JobRow& r)
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    in.insert_row.bind(1, r.job).bind(2, r.title).bind(3, r.tail).bind(4, r.status).bind(5, r.opened_utc_ms).bind(6, r.changed_utc_ms);
    in.insert_row.bind(7, std::int64_t{r.entries}).bind(8, std::int64_t{r.practice});
    return in.put(in.insert_row) ? Status{} : Status(detail::problem(in.db.get(), "row"));
}

Result<std::map<std::string, std::string>> Store::keys()
{
    Statement s(in_->db.get(), "SELECT id,public_key FROM author");
    std::map<std::string, std::string> keys;
    while (s.step_row()) keys[s.text(0)] = s.text(1);
    if (!s.ended()) return detail::problem(in_->db.get(), "keys");
    return keys;
}

Status Store::put_attachment(const std::string& sha, ByteView bytes, const std::string&)
{
    if (trust::sha256_hex(bytes) != sha) return fail("hash_mismatch", sha);
    const std::string folder = in_->options.folder + "/attachments";
    if (auto made = in_->disk.make_folder(folder); !made) return made;
    if (auto there = in_->disk.read(folder + "/" + sha, bytes.size() + 1); there && there->size() == bytes.size()) return {};
    return in_->disk.write_whole(folder + "/" + sha, bytes);
}

Result<Bytes> Store::attachment(const std::string& sha)
{
    if (sha.size() != 64 || !from_hex(sha)) return fail("not_found", sha);
    auto bytes = in_->disk.read(in_->options.folder + "/attachments/" + sha, std::uint64_t{1} << 30);
    if (bytes && trust::sha256_hex(*bytes) != sha) return fail("hash_mismatch", sha);
    return bytes;
}

Status Store::checkpoint()
{
    in_->since_checkpoint = 0;
    const int rc = sqlite3_wal_checkpoint_v2(in_->db.get(), nullptr, SQLITE_CHECKPOINT_TRUNCATE, nullptr, nullptr);
    return rc == SQLITE_OK || rc == SQLITE_BUSY ? Status{} : Status(detail::problem(in_->db.get(), "checkpoint"));
}

Result<VerifyReport> Store::verify(const std::string& job)
{
    auto found = job.empty() ? all_entries() : entries(job);
    if (!found) return found.error().code == "entry_malformed" ? Result<VerifyReport>(VerifyReport{0, false, FirstBad{"", 0, "malformed"}}) : Result<VerifyReport>(Unexpected{found.error()});
    auto public_keys = keys();
    if (!public_keys) return Unexpected{public_keys.error()};
    return journal::verify(*found, *public_keys, job.empty());
}

} // namespace chockside::journal
