#include <platform/shop/backup.h>

#include <filesystem>
#include <future>
#include <sys/stat.h>

namespace chockside::shop {

namespace {

Result<trust::KeyPair> key_of(Disk& disk, Random& random, const std::string& path)
{
    auto kept = disk.read(path, 64);
    if (!kept && kept.error().code == "not_found") {
        auto made = trust::KeyPair::make(random);
        Bytes seed = made.seed();
        auto put = disk.write_whole(path, seed);
        trust::wipe(seed);
        if (!put) return Unexpected{put.error()};
        ::chmod(path.c_str(), 0600);
        return made;
    }
    if (!kept) return Unexpected{kept.error()};
    auto key = trust::KeyPair::from_seed(*kept);
    trust::wipe(*kept);
    return key;
}

/// Tables with what can't be made again; the index is not among them.
struct Copied {
    const char* select;
    const char* insert;
    std::vector<bool> bytes; ///< which columns are no text
};

const std::vector<Copied>& copied()
{
    static const std::vector<Copied> all = {
        {"SELECT key,value FROM kept WHERE key<>'index' ORDER BY key", "INSERT INTO kept(key,value) VALUES($1,$2) ON CONFLICT(key) DO UPDATE SET value=excluded.value", {false, false}},
        {"SELECT author,public_key,name,enrolled_at,revoked_at FROM device ORDER BY author", "INSERT INTO device(author,public_key,name,enrolled_at,revoked_at) VALUES($1,$2,$3,$4,$5)", {false, false, false, false, false}},
        {"SELECT author,public_key FROM author_key ORDER BY author", "INSERT INTO author_key(author,public_key) VALUES($1,$2)", {false, false}},
        {"SELECT hash,made_at,used_by FROM code ORDER BY hash", "INSERT INTO code(hash,made_at,used_by) VALUES($1,$2,$3)", {false, false, false}},
        {"SELECT device,job FROM share ORDER BY device,job", "INSERT INTO share(device,job) VALUES($1,$2)", {false, false}},
        {"SELECT job,author,last FROM job_author ORDER BY job,author", "INSERT INTO job_author(job,author,last) VALUES($1,$2,$3)", {false, false, false}},
        {"SELECT sha,author,job FROM att ORDER BY sha,author,job", "INSERT INTO att(sha,author,job) VALUES($1,$2,$3)", {false, false, false}},
        {"SELECT hash,author,seq,has,line,received_at FROM quarantine ORDER BY hash", "INSERT INTO quarantine(hash,author,seq,has,line,received_at) VALUES($1,$2,$3,$4,$5,$6)", {false, false, false, false, true, false}},
        {"SELECT level,idx,digest FROM node ORDER BY level,idx", "INSERT INTO node(level,idx,digest) VALUES($1,$2,$3)", {false, false, true}},
        {"SELECT name,role,open,password,made FROM account ORDER BY name", "INSERT INTO account(name,role,open,password,made) VALUES($1,$2,$3,$4,$5)", {false, false, false, false, false}},
    };
    return all;
}

Params params_of(const Rows& rows, std::size_t row, const std::vector<bool>& bytes)
{
    Params p;
    for (std::size_t i = 0; i < rows.width_; ++i) {
        const auto& cell = rows.cells_[row * rows.width_ + i];
        if (const auto* n = std::get_if<std::int64_t>(&cell)) p.emplace_back(*n);
        else if (bytes[i]) p.emplace_back(Blob{rows.text(row, i)});
        else p.emplace_back(rows.text(row, i));
    }
    return p;
}

Status copy_entries(Connection& from, Connection& to)
{
    for (std::int64_t after = -1;;) {
        auto rows = from.run("SELECT idx,author,seq,job,hash,envelope,signature,salt,body,received_at FROM entry WHERE idx>$1 ORDER BY idx LIMIT 2000", {after});
        if (!rows) return Unexpected{rows.error()};
        if (rows->empty()) return {};
        std::vector<Params> all;
        for (std::size_t i = 0; i < rows->size(); ++i) all.push_back(params_of(*rows, i, {false, false, false, false, false, true, true, true, true, false}));
        after = rows->number(rows->size() - 1, 0);
        if (auto put = to.run_each("INSERT INTO entry(idx,author,seq,job,hash,envelope,signature,salt,body,received_at) VALUES($1,$2,$3,$4,$5,$6,$7,$8,$9,$10)", all); !put) return put;
    }
}

/// One snapshot of `from` into `to`, which has tables and nothing else; `last` belongs to the same transaction.
Status copy_tables(Connection& from, Connection& to, const std::function<Status()>& last)
{
    if (auto begun = from.begin(false); !begun) return begun;
    auto done = in_transaction(to, [&]() -> Status {
        for (const auto& table : copied()) {
            auto rows = from.run(table.select);
            if (!rows) return Unexpected{rows.error()};
            std::vector<Params> all;
            for (std::size_t i = 0; i < rows->size(); ++i) all.push_back(params_of(*rows, i, table.bytes));
            if (auto put = to.run_each(table.insert, all); !put) return put;
        }
        if (auto put = copy_entries(from, to); !put) return put;
        return last();
    });
    from.rollback();
    return done;
}

/// In a folder that is being filled by a backup or a restore, from before the first byte until all of it is there.
constexpr const char* unfinished = "unfinished";

Status copy_blobs(const Blobs& from, const Blobs& to)
{
    for (const auto& sha : from.list()) {
        if (to.has(sha)) continue;
        auto bytes = from.bytes(sha, std::uint64_t{1} << 30);
        if (!bytes) return Unexpected{bytes.error()};
        if (auto put = to.put(*bytes); !put) return Unexpected{put.error()};
    }
    return {};
}

Status finished(const Folder& folder)
{
    if (auto gone = folder.remove(unfinished); !gone) return gone;
    return folder.sync();
}

} // namespace

Result<std::unique_ptr<House>> House::open(const std::string& folder, const std::string& database, bool filling)
{
    system::SystemDisk disk;
    trust::SystemRandom random;
    auto made = Folder::open(folder);
    if (!made) return Unexpected{made.error()};
    if (!filling && made->has(unfinished)) return fail("unfinished", folder);
    // SQLite: one process writes. Receivers on one PostgreSQL share the folder (key and blobs), each with a lock-free start.
    auto lock = database.empty() ? disk.lock(folder + "/lock") : Result<std::unique_ptr<Disk::Lock>>(std::unique_ptr<Disk::Lock>());
    if (!lock) return Unexpected{lock.error()};
    auto key = key_of(disk, random, folder + "/receiver.key");
    if (!key) return Unexpected{key.error()};
    auto blobs = Blobs::open(folder + "/blobs");
    if (!blobs) return Unexpected{blobs.error()};
    auto uploads = Folder::open(folder + "/uploads");
    if (!uploads) return Unexpected{uploads.error()};
    auto house = std::make_unique<House>(folder, std::move(*key), database.empty() ? sqlite_database(folder + "/shop.db") : postgres_database(database), std::move(*blobs), std::move(*uploads));
    house->lock = std::move(*lock);
    return house;
}

Status House::start()
{
    if (auto made = ledger.make_tables(); !made) return made;
    Connection* c = ledger.connection();
    if (!c) return fail("gone", "database");
    auto more = in_transaction(*c, [&]() -> Status {
        if (auto made = Accounts::make_tables(*c); !made) return made;
        return Book::make_tables(*c);
    });
    if (!more) return more;
    if (auto begun = ledger.begin(false); !begun) return begun;
    auto epoch = ledger.epoch();
    ledger.rollback();
    if (!epoch) return Unexpected{epoch.error()};
    if (epoch->empty())
        if (auto fresh = receive.new_epoch(); !fresh) return Unexpected{fresh.error()};
    writer = std::make_unique<Writer>(ledger, receive, Writer::Options{});
    readers = std::make_unique<Workers>(3, [this] { return reader(); });
    files = std::make_unique<Workers>(4, [this] { return reader(); });
    takers = std::make_unique<Workers>(4, [this] { return reader(); });
    return {};
}

void House::stop()
{
    if (readers) readers->stop();
    if (takers) takers->stop();
    if (files) files->stop();
    if (writer) writer->stop();
}

Result<Whole> verify_all(House& h)
{
    Whole whole;
    auto own = h.reader();
    Connection* c = own->ledger.connection();
    if (!c) return fail("gone", "database");
    if (auto begun = c->begin(false); !begun) return Unexpected{begun.error()};
    std::map<std::string, sync::Head> heads;
    std::map<std::string, sync::AuthorKey> keys;
    const auto bad = [&](const std::string& what, const Rows& rows, std::size_t i) {
        if (whole.bad.empty()) whole.bad = what + " at " + rows.text(i, 1) + "/" + std::to_string(rows.number(i, 2)) + ", log " + std::to_string(rows.number(i, 0));
    };
    for (std::int64_t after = -1;;) {
        auto rows = c->run("SELECT idx,author,seq,envelope,signature,salt,body,received_at,hash FROM entry WHERE idx>$1 ORDER BY idx LIMIT 2000", {after});
        if (!rows) return Unexpected{rows.error()};
        if (rows->empty()) break;
        for (std::size_t i = 0; i < rows->size(); ++i, ++whole.entries) {
            if (rows->number(i, 0) != whole.entries) bad("a place in the log lacks", *rows, i);
            auto stored = stored_from(*rows, i);
            if (!stored) {
                bad("malformed", *rows, i);
                continue;
            }
            auto key = keys.find(rows->text(i, 1));
            if (key == keys.end()) key = keys.emplace(rows->text(i, 1), own->ledger.key(rows->text(i, 1)).value_or("")).first;
            auto& head = heads[rows->text(i, 1)];
            const auto why = sync::flaw(stored->line, stored->stated, key->second);
            if (!why.empty()) bad(why, *rows, i);
            if (stored->stated.seq != head.seq + 1 || stored->stated.prev != head.hash) bad("chain", *rows, i);
            if (stored->stated.hash != rows->text(i, 8)) bad("hash", *rows, i);
            const auto leaf = own->ledger.node({0, rows->number(i, 0)});
            if (!leaf || *leaf != sync::leaf_digest(*from_hex(stored->stated.hash))) bad("leaf of the log", *rows, i);
            head = {stored->stated.seq, stored->stated.hash};
        }
        after = rows->number(rows->size() - 1, 0);
    }
    auto inner = c->run("SELECT level,idx,digest FROM node WHERE level>0 ORDER BY level,idx");
    if (!inner) return Unexpected{inner.error()};
    for (std::size_t i = 0; i < inner->size(); ++i) {
        const int level = static_cast<int>(inner->number(i, 0));
        const auto left = own->ledger.node({level - 1, 2 * inner->number(i, 1)}), right = own->ledger.node({level - 1, 2 * inner->number(i, 1) + 1});
        if ((!left || !right || to_text(sync::node_digest(*left, *right)) != inner->text(i, 2)) && whole.bad.empty()) whole.bad = "tree of the log, level " + std::to_string(level);
    }
    // More leaves than entries: the end was cut off.
    if (own->ledger.node({0, whole.entries}) && whole.bad.empty()) whole.bad = "the log ends at " + std::to_string(whole.entries) + ", its tree does not";
    c->rollback();
    for (const auto& sha : h.blobs.list()) {
        ++whole.blobs;
        auto file = h.blobs.read(sha);
        if ((!file || sha256_of(file->get()).value_or("") != sha) && whole.bad.empty()) whole.bad = "blob " + sha;
    }
    return whole;
}

Result<Whole> back_up(House& h, const std::string& folder)
{
    if (std::filesystem::exists(folder + "/shop.db")) return fail("exists", folder);
    auto made = Folder::open(folder);
    if (!made) return Unexpected{made.error()};
    if (auto begun = made->write_whole(unfinished, {}); !begun) return Unexpected{begun.error()};
    // The receiver's key goes along: without it a restored shop would be another shop to every tablet.
    auto seed = h.disk.read(h.folder + "/receiver.key", 64);
    if (!seed) return Unexpected{seed.error()};
    if (auto put = h.disk.write_whole(folder + "/receiver.key", *seed); !put) return Unexpected{put.error()};
    ::chmod((folder + "/receiver.key").c_str(), 0600);
    trust::wipe(*seed);
    auto copy = House::open(folder, {}, true);
    if (!copy) return Unexpected{copy.error()};
    if (auto tables = (*copy)->start(); !tables) return Unexpected{tables.error()};
    (*copy)->stop();
    auto from = h.database->connect(true);
    Connection* to = (*copy)->ledger.connection();
    if (!from || !to) return fail("gone", "database");
    if (auto copied_all = copy_tables(**from, *to, [] { return Status{}; }); !copied_all) return Unexpected{copied_all.error()};
    if (auto copied_all = copy_blobs(h.blobs, (*copy)->blobs); !copied_all) return Unexpected{copied_all.error()};
    auto whole = verify_all(**copy);
    if (!whole) return whole;
    if (!whole->bad.empty()) return fail("not_verified", folder, {{"what", whole->bad}});
    if (auto ended = finished(*made); !ended) return Unexpected{ended.error()};
    auto marked = std::make_shared<std::promise<Status>>();
    h.writer->act([marked, n = whole->entries](sync::Receive& r) { marked->set_value(r.archived(n)); });
    if (auto kept = marked->get_future().get(); !kept) return Unexpected{kept.error()};
    return whole;
}

Result<std::string> restore_copy(const std::string& from, const std::string& folder, const std::string& database)
{
    const bool begun = std::filesystem::exists(folder + "/" + unfinished);
    if (!begun && (std::filesystem::exists(folder + "/receiver.key") || std::filesystem::exists(folder + "/shop.db"))) return fail("exists", folder);
    if (!std::filesystem::exists(from + "/shop.db")) return fail("not_found", from);
    auto source = House::open(from, {});
    if (!source) return Unexpected{source.error()};
    auto whole = verify_all(**source);
    if (!whole) return Unexpected{whole.error()};
    if (!whole->bad.empty()) return fail("not_verified", from, {{"what", whole->bad}});
    auto made = Folder::open(folder);
    if (!made) return Unexpected{made.error()};
    if (auto put = made->write_whole(unfinished, {}); !put) return Unexpected{put.error()};
    auto seed = (*source)->disk.read(from + "/receiver.key", 64);
    if (!seed) return Unexpected{seed.error()};
    if (auto put = (*source)->disk.write_whole(folder + "/receiver.key", *seed); !put) return Unexpected{put.error()};
    ::chmod((folder + "/receiver.key").c_str(), 0600);
    trust::wipe(*seed);
    auto target = House::open(folder, database, true);
    if (!target) return Unexpected{target.error()};
    if (auto tables = (*target)->start(); !tables) return Unexpected{tables.error()};
    (*target)->stop();
    auto read = (*source)->database->connect(true);
    Connection* to = (*target)->ledger.connection();
    if (!read || !to) return fail("gone", "database");
    auto held = to->run("SELECT idx FROM entry LIMIT 1");
    if (!held) return Unexpected{held.error()};
    if (!held->empty()) return fail("exists", "database");
    // Entries come last and with their new epoch: under the old one they would be taken for all that the shop ever had.
    if (auto copied_all = copy_blobs((*source)->blobs, (*target)->blobs); !copied_all) return Unexpected{copied_all.error()};
    Bytes random(16);
    (*target)->random.fill(random);
    const std::string epoch = to_hex(random);
    auto copied_all = copy_tables(**read, *to, [&]() -> Status {
        if (auto put = (*target)->ledger.set_epoch(epoch); !put) return put;
        return (*target)->ledger.set_archived(0);
    });
    if (!copied_all) return Unexpected{copied_all.error()};
    if (auto ended = finished(*made); !ended) return Unexpected{ended.error()};
    return epoch;
}

} // namespace chockside::shop
