// Copies of a store: the backup, and what is saved out of a damaged one.
#include <core/journal/detail/inside.h>

#include <algorithm>
#include <optional>

namespace chockside::journal {

using detail::Statement;

namespace {

constexpr std::uint64_t attachment_most = std::uint64_t{1} << 30;

constexpr std::uint64_t journal_most = std::uint64_t{1} << 34;

Status copy_pages(sqlite3* from, const std::string& path)
{
    sqlite3* raw = nullptr;
    const int rc = sqlite3_open_v2(path.c_str(), &raw, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, nullptr);
    const detail::Db to(raw);
    if (rc != SQLITE_OK) return to ? Status(detail::problem(to.get(), "backup")) : Status(fail("io_error", path));
    if (auto ok = detail::run(to.get(), "PRAGMA synchronous=FULL", "backup"); !ok) return ok;
    sqlite3_backup* backup = sqlite3_backup_init(to.get(), "main", from, "main");
    if (!backup) return detail::problem(to.get(), "backup");
    const int step = sqlite3_backup_step(backup, -1), end = sqlite3_backup_finish(backup);
    return step == SQLITE_DONE && end == SQLITE_OK ? Status{} : Status(detail::problem(to.get(), "backup"));
}

/// Sealed or in clear, the bytes that its name says; without the key nobody can say more of a sealed one than that it is there.
bool is_whole(trust::Vault& vault, ByteView bytes, const std::string& name)
{
    if (!trust::is_sealed(bytes)) return trust::sha256_hex(bytes) == name;
    const auto plain = trust::unseal_file(vault, bytes);
    return plain ? trust::sha256_hex(plain->bytes) == name : plain.error().code == "pin_needed";
}

/// Those that still have their digest and are not there yet, as they lie.
Status copy_attachments(Disk& disk, trust::Vault& vault, const std::string& from, const std::string& to)
{
    const auto names = disk.list(from);
    if (!names) return names.error().code == "not_found" ? Status{} : Status(Unexpected{names.error()});
    if (auto made = disk.make_folder(to); !made) return made;
    for (const std::string& name : *names) {
        if (name.size() != 64) continue;
        if (const auto there = disk.read(to + "/" + name, attachment_most); there && is_whole(vault, *there, name)) continue;
        const auto bytes = disk.read(from + "/" + name, attachment_most);
        if (!bytes || !is_whole(vault, *bytes, name)) continue;
        if (auto kept = disk.write_whole(to + "/" + name, *bytes); !kept) return kept;
    }
    return {};
}

Status copy_small(Disk& disk, const std::string& from, const std::string& to)
{
    auto bytes = disk.read(from, 64u << 10);
    if (!bytes) return bytes.error().code == "not_found" ? Status{} : Status(Unexpected{bytes.error()});
    auto kept = disk.write_whole(to, *bytes);
    trust::wipe(*bytes);
    return kept;
}

Status copy_people(Disk& disk, const std::string& from, const std::string& to)
{
    const auto names = disk.list(from + "/people");
    if (!names) return names.error().code == "not_found" ? Status{} : Status(Unexpected{names.error()});
    if (auto made = disk.make_folder(to + "/people"); !made) return made;
    for (const std::string& name : *names)
        if (name.ends_with(".person"))
            if (auto ok = copy_small(disk, from + "/people/" + name, to + "/people/" + name); !ok) return ok;
    return {};
}

/// What opens the copy: the people's files, or the secret that lies beside a store that nobody locks.
Status copy_openers(Disk& disk, const std::string& from, const std::string& to, bool held)
{
    if (auto ok = held ? Status{} : copy_small(disk, from + "/data.key", to + "/data.key"); !ok) return ok;
    if (held) (void)disk.erase(to + "/data.key"); // of an earlier copy
    return copy_people(disk, from, to);
}

} // namespace

Result<VerifyReport> Store::backup(const std::string& folder)
{
    Inside& in = *in_;
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    const std::string unproved = folder + "/unproved";
    for (const std::string& made : {folder, unproved})
        if (auto ok = in.disk.make_folder(made); !ok) return Unexpected{ok.error()};
    for (const char* old : {"/journal.db", "/journal.db-wal", "/journal.db-shm"}) (void)in.disk.remove(unproved + old);
    if (auto copied = copy_pages(in.db.get(), unproved + "/journal.db"); !copied) return Unexpected{copied.error()};
    if (auto ok = copy_openers(in.disk, in.options.folder, unproved, in.held); !ok) return Unexpected{ok.error()};
    auto copy = Store::open(in.disk, in.clock, in.random, {unproved, true});
    if (!copy) return Unexpected{copy.error()};
    if (Bytes secret = in.vault->secret(); !secret.empty()) {
        auto opened = (*copy)->in_->vault->open_with(secret);
        trust::wipe(secret);
        if (!opened) return Unexpected{opened.error()};
    }
    const auto report = (*copy)->verify();
    if (!report) return report;
    if (!report->ok) return fail("not_verified", report->first_bad->author + "/" + std::to_string(report->first_bad->seq), {{"what", report->first_bad->reason}});
    copy->reset();
    // The proved pages take the old backup's place in one step.
    if (auto moved = in.disk.move(unproved + "/journal.db", folder + "/journal.db"); !moved) return Unexpected{moved.error()};
    for (const std::string& at : {unproved, folder})
        for (const char* old : {"/journal.db-wal", "/journal.db-shm"}) (void)in.disk.remove(at + old);
    (void)in.disk.erase(unproved + "/data.key");
    if (auto ok = copy_openers(in.disk, in.options.folder, folder, in.held); !ok) return Unexpected{ok.error()};
    if (auto ok = copy_attachments(in.disk, *in.vault, in.options.folder + "/attachments", folder + "/attachments"); !ok) return Unexpected{ok.error()};
    return report;
}

namespace {

/// A damaged store is read from a copy of its files: opening the original would already change its log.
struct Reading {
    detail::Db db;
    std::map<std::string, std::string> keys;
    std::map<std::int64_t, std::string> authors;
    std::optional<trust::Vault> vault;  ///< none: a store from before there was one
    std::vector<std::string> holders;
};

Status read_vault(Disk& disk, Reading& r, const std::string& damaged, const trust::KeyPair* person)
{
    Statement own(r.db.get(), "SELECT public_key FROM vault");
    if (!own.step_row()) return {};
    auto vault = trust::Vault::with_public_key(to_bytes(own.text(0)));
    if (!vault) return fail("damaged", damaged);
    r.vault = std::move(*vault);
    if (auto ok = detail::know_keys(r.db.get(), *r.vault); !ok) return ok;
    Statement people(r.db.get(), "SELECT public_key FROM holder");
    while (people.step_row()) r.holders.push_back(people.text(0));
    if (detail::open_with_beside(disk, *r.vault, damaged)) return {};
    return person ? detail::open_for(r.db.get(), *r.vault, *person) : Status(fail("pin_needed", damaged));
}

Result<Reading> read_copy(Disk& disk, const std::string& damaged, const std::string& at, const trust::KeyPair* person)
{
    if (auto made = disk.make_folder(at); !made) return Unexpected{made.error()};
    for (const char* name : {"/journal.db", "/journal.db-wal"}) {
        const auto bytes = disk.read(damaged + name, journal_most);
        if (!bytes && std::string(name) == "/journal.db") return Unexpected{bytes.error()};
        if (!bytes) continue;
        if (auto kept = disk.write_whole(at + name, *bytes); !kept) return Unexpected{kept.error()};
    }
    sqlite3* raw = nullptr;
    const int rc = sqlite3_open_v2((at + "/journal.db").c_str(), &raw, SQLITE_OPEN_READWRITE, nullptr);
    Reading r{detail::Db(raw), {}, {}, {}, {}};
    if (rc != SQLITE_OK) return fail("damaged", damaged);
    Statement s(r.db.get(), "SELECT no,id,public_key FROM author");
    while (s.step_row()) {
        r.authors[s.number(0)] = s.text(1);
        r.keys[s.text(1)] = s.text(2);
    }
    if (r.authors.empty()) return fail("damaged", damaged);
    if (auto ok = read_vault(disk, r, damaged, person); !ok) return Unexpected{ok.error()};
    return r;
}

/// One author's entries in order, up to the first that can't be read or does not verify; own chains have no holes, others may.
std::vector<Entry> good_chain(Reading& r, std::int64_t number, std::vector<FirstBad>& broken)
{
    std::vector<Entry> chain;
    const std::string& author = r.authors.at(number);
    Statement s(r.db.get(), "SELECT envelope,hash,signature,salt,body,id%1099511627776 FROM entry WHERE id BETWEEN ? AND ? ORDER BY id");
    s.bind(1, number * detail::author_step).bind(2, (number + 1) * detail::author_step - 1);
    const auto hex = [&](int column) { return to_hex(as_bytes(s.text(column))); };
    while (s.step_row()) {
        std::string salt = hex(3), body = s.text(4);
        if (r.vault && salt.empty() && !body.empty()) {
            const auto plain = r.vault->unseal("entry " + author + "/" + std::to_string(s.number(5)), as_bytes(body));
            if (!plain || plain->size() <= 32) return broken.push_back({author, s.number(5), "body"}), chain;
            salt = to_hex(ByteView(*plain).first(32));
            body = to_text(ByteView(*plain).subspan(32));
        }
        auto e = open_entry(s.text(0), hex(1), hex(2), std::move(salt), std::move(body));
        if (!e || e->envelope.seq != s.number(5) || e->envelope.author != author) {
            broken.push_back({author, s.number(5), "malformed"});
            return chain;
        }
        chain.push_back(std::move(*e));
        const std::size_t n = chain.size();
        const auto report = journal::verify(std::span(chain).subspan(n > 1 ? n - 2 : 0), r.keys, false);
        if (report.ok) continue;
        broken.push_back(*report.first_bad);
        chain.pop_back();
        return chain;
    }
    if (!s.ended()) broken.push_back({author, chain.empty() ? 1 : chain.back().envelope.seq + 1, "damaged"});
    return chain;
}

/// Under the new store's key; those without their digest stay behind.
Status reseal_attachments(Disk& disk, Reading& r, const std::string& from, Store& into)
{
    const auto names = disk.list(from);
    if (!names) return names.error().code == "not_found" ? Status{} : Status(Unexpected{names.error()});
    for (const std::string& name : *names) {
        auto bytes = name.size() == 64 ? disk.read(from + "/" + name, attachment_most) : Result<Bytes>(fail("not_found"));
        if (bytes && r.vault && trust::is_sealed(*bytes)) {
            auto plain = trust::unseal_file(*r.vault, *bytes);
            if (!plain) continue;
            bytes = std::move(plain->bytes);
        }
        if (!bytes || trust::sha256_hex(*bytes) != name) continue;
        if (auto kept = into.put_attachment(name, *bytes, {}); !kept) return kept;
    }
    return {};
}

} // namespace

Result<SalvageReport> salvage(Disk& disk, const Clock& clock, Random& random, const std::string& damaged, const std::string& into, const trust::KeyPair* person)
{
    if (disk.read(into + "/journal.db", journal_most)) return fail("exists", into);
    auto reading = read_copy(disk, damaged, into + "/damaged", person);
    if (!reading) return Unexpected{reading.error()};
    auto store = Store::open(disk, clock, random, {into});
    if (!store) return Unexpected{store.error()};
    SalvageReport report;
    std::map<std::string, std::vector<Entry>> jobs;
    for (const auto& [number, author] : reading->authors)
        for (Entry& e : good_chain(*reading, number, report.broken)) {
            report.last[author] = std::max(report.last[author], e.envelope.seq);
            jobs[e.envelope.job].push_back(std::move(e));
        }
    for (const auto& [job, entries] : jobs) {
        auto taken = (*store)->import_lines(lines_of(entries, reading->keys), Holes::allowed);
        if (!taken) return Unexpected{taken.error()};
        report.kept += taken->added;
    }
    if (auto ok = reseal_attachments(disk, *reading, damaged + "/attachments", **store); !ok) return Unexpected{ok.error()};
    // Last: from then on the new store opens to the same people only.
    if (auto ok = copy_people(disk, damaged, into); !ok) return Unexpected{ok.error()};
    for (const std::string& holder : reading->holders)
        if (auto ok = (*store)->add_holder(holder); !ok) return Unexpected{ok.error()};
    return report;
}

} // namespace chockside::journal
