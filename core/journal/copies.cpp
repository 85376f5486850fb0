// Copies of a store: the backup, and what is saved out of a damaged one.
#include <core/journal/detail/inside.h>

#include <algorithm>
#include <optional>

namespace chockside::journal {

using detail::Statement;

namespace {

constexpr std::uint64_t attachment_most = std::uint64_t{1} << 30;
/// Many times what the writer of captures puts into one.
constexpr std::uint64_t capture_most = 64u << 20;

constexpr std::uint64_t profile_most = 4u << 20;
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

/// Sealed or in clear, the bytes that its name says; in a locked store nobody can say more of a sealed one than that it is there.
bool is_whole(trust::Vault& vault, ByteView bytes, const std::string& name)
{
    if (!trust::is_sealed(bytes)) return trust::sha256_hex(bytes) == name;
    const auto plain = trust::unseal_file(vault, bytes);
    return plain ? trust::sha256_hex(plain->bytes) == name : !vault.is_open() && plain.error().code == "pin_needed";
}

bool lies_whole(Disk& disk, trust::Vault& vault, const std::string& folder, const std::string& name)
{
    const auto bytes = disk.read(folder + "/" + name, attachment_most);
    return bytes && is_whole(vault, *bytes, name);
}

/// What a folder of the store holds by name, half written files apart; a folder that is not there holds nothing.
Result<std::vector<std::string>> names_in(Disk& disk, const std::string& folder)
{
    auto names = disk.list(folder);
    if (!names) return names.error().code == "not_found" ? Result<std::vector<std::string>>(std::vector<std::string>{}) : names;
    std::erase_if(*names, [](const std::string& name) { return name.ends_with(".part"); });
    std::sort(names->begin(), names->end());
    return names;
}

/// What could not be copied stays here, by its place in the folder: attachments/SHA, captures/JOB/NAME.
using Lost = std::vector<std::string>;

/// To `aside`, those that do not lie in `to` yet, as they lie; the names of those that belong into `to` from there.
Result<std::vector<std::string>> copy_attachments(Disk& disk, trust::Vault& vault, const std::string& from, const std::string& aside, const std::string& to, Lost& lost)
{
    const auto names = names_in(disk, from);
    if (!names || names->empty()) return names;
    for (const std::string& made : {aside, to})
        if (auto ok = disk.make_folder(made); !ok) return Unexpected{ok.error()};
    std::vector<std::string> copied;
    for (const std::string& name : *names) {
        if (name.size() != 64 || lies_whole(disk, vault, to, name)) continue;
        const auto bytes = disk.read(from + "/" + name, attachment_most);
        if (!bytes || !is_whole(vault, *bytes, name)) {
            lost.push_back("attachments/" + name);
            continue;
        }
        if (auto kept = disk.write_whole(aside + "/" + name, *bytes); !kept) return Unexpected{kept.error()};
        copied.push_back(name);
    }
    return copied;
}

bool begins(ByteView longer, ByteView with)
{
    return longer.size() >= with.size() && std::ranges::equal(longer.first(with.size()), with);
}

/// A capture only grows: what was copied before is its beginning, or one of the two is not what was written. Where the copy is the longer
/// one, it stays.
Status copy_capture(Disk& disk, const std::string& from, const std::string& to, const std::string& place, Lost& lost)
{
    const auto bytes = disk.read(from, capture_most), before = disk.read(to, capture_most);
    const bool fits = bytes && (before ? begins(*bytes, *before) || begins(*before, *bytes) : before.error().code == "not_found");
    if (!fits) return lost.push_back(place), Status{};
    return before && before->size() >= bytes->size() ? Status{} : disk.write_whole(to, *bytes);
}

/// File by file, byte for byte: they are sealed as they grow, and nothing of them needs the key.
Status copy_captures(Disk& disk, const std::string& from, const std::string& to, Lost& lost)
{
    const auto jobs = names_in(disk, from + "/captures");
    if (!jobs) return Unexpected{jobs.error()};
    for (const std::string& job : *jobs) {
        const std::string place = "captures/" + job;
        const auto names = names_in(disk, from + "/" + place);
        if (!names) {
            lost.push_back(place);
            continue;
        }
        for (const std::string& folder : {to + "/captures", to + "/" + place})
            if (auto made = disk.make_folder(folder); !made) return made;
        for (const std::string& name : *names)
            if (auto ok = copy_capture(disk, from + "/" + place + "/" + name, to + "/" + place + "/" + name, place + "/" + name, lost); !ok) return ok;
    }
    return {};
}

Status copy_small(Disk& disk, const std::string& from, const std::string& to, std::uint64_t most = 64u << 10)
{
    auto bytes = disk.read(from, most);
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

/// A shop's own profiles, which its jobs are read with.
Status copy_profiles(Disk& disk, const std::string& from, const std::string& to)
{
    const auto names = names_in(disk, from + "/profiles");
    if (!names || names->empty()) return names ? Status{} : Status(Unexpected{names.error()});
    if (auto made = disk.make_folder(to + "/profiles"); !made) return made;
    for (const std::string& name : *names)
        if (name.ends_with(".json"))
            if (auto ok = copy_small(disk, from + "/profiles/" + name, to + "/profiles/" + name, profile_most); !ok) return ok;
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

/// The pages and what opens them, in a folder of their own, looked at from there.
Result<VerifyReport> Store::Inside::proved_pages(const std::string& unproved)
{
    for (const char* old : {"/journal.db", "/journal.db-wal", "/journal.db-shm"}) (void)disk.remove(unproved + old);
    if (auto copied = copy_pages(db.get(), unproved + "/journal.db"); !copied) return Unexpected{copied.error()};
    if (auto ok = copy_openers(disk, options.folder, unproved, held); !ok) return Unexpected{ok.error()};
    auto copy = Store::open(disk, clock, random, {unproved, true});
    if (!copy) return Unexpected{copy.error()};
    if (Bytes secret = vault->secret(); !secret.empty()) {
        auto opened = (*copy)->in_->vault->open_with(secret);
        trust::wipe(secret);
        if (!opened) return Unexpected{opened.error()};
    }
    return (*copy)->verify();
}

Result<VerifyReport> Store::backup(const std::string& folder)
{
    Inside& in = *in_;
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    const std::string unproved = folder + "/unproved", &from = in.options.folder, files = folder + "/attachments";
    for (const std::string& made : {folder, unproved})
        if (auto ok = in.disk.make_folder(made); !ok) return Unexpected{ok.error()};
    const auto report = in.proved_pages(unproved);
    if (!report) return report;
    // One bad page or file does not keep the others from being copied.
    Lost lost;
    const auto copied = copy_attachments(in.disk, *in.vault, from + "/attachments", unproved + "/attachments", files, lost);
    if (!copied) return Unexpected{copied.error()};
    if (auto ok = copy_captures(in.disk, from, folder, lost); !ok) return Unexpected{ok.error()};
    if (auto ok = copy_profiles(in.disk, from, folder); !ok) return Unexpected{ok.error()};
    if (!report->ok) return fail("not_verified", report->first_bad->author + "/" + std::to_string(report->first_bad->seq), {{"what", report->first_bad->reason}});
    if (!lost.empty()) return fail("not_verified", lost.front(), {{"what", lost.front().substr(0, lost.front().find('/'))}, {"files", std::to_string(lost.size())}});
    for (const std::string& name : *copied)
        if (auto moved = in.disk.move(unproved + "/attachments/" + name, files + "/" + name); !moved) return Unexpected{moved.error()};
    // The proved pages take the old backup's place in one step.
    if (auto moved = in.disk.move(unproved + "/journal.db", folder + "/journal.db"); !moved) return Unexpected{moved.error()};
    for (const std::string& at : {unproved, folder})
        for (const char* old : {"/journal.db-wal", "/journal.db-shm"}) (void)in.disk.remove(at + old);
    (void)in.disk.erase(unproved + "/data.key");
    if (auto ok = copy_openers(in.disk, from, folder, in.held); !ok) return Unexpected{ok.error()};
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

Result<Bytes> plain_of(Reading& r, Result<Bytes> bytes)
{
    if (!bytes || !r.vault || !trust::is_sealed(*bytes)) return bytes;
    auto plain = trust::unseal_file(*r.vault, *bytes);
    return plain ? Result<Bytes>(std::move(plain->bytes)) : Result<Bytes>(Unexpected{plain.error()});
}

/// Under the new store's key; those without their digest stay behind.
Status reseal_attachments(Disk& disk, Reading& r, const std::string& from, Store& into, Lost& lost)
{
    const auto names = names_in(disk, from);
    if (!names) return Unexpected{names.error()};
    for (const std::string& name : *names) {
        if (name.size() != 64) continue;
        const auto bytes = plain_of(r, disk.read(from + "/" + name, attachment_most));
        if (!bytes || trust::sha256_hex(*bytes) != name) {
            lost.push_back("attachments/" + name);
            continue;
        }
        if (auto kept = into.put_attachment(name, *bytes, {}); !kept) return kept;
    }
    return {};
}

/// As it was sealed first: a chunk for each append, and its end once nothing follows.
Status reseal_capture(Disk& disk, trust::SealingDisk& sealing, const std::string& path, ByteView plain)
{
    {
        auto growing = sealing.append_to(path);
        if (!growing) return Unexpected{growing.error()};
        if (auto ok = (*growing)->append(plain); !ok) return ok;
    }
    auto ended = disk.append_to(path + trust::SealingDisk::ending);
    return ended ? (*ended)->sync() : Status(Unexpected{ended.error()});
}

/// One job's, under the new store's key, as far as each can be read.
Status reseal_captures(Disk& disk, Reading& r, const std::string& damaged, const std::string& into, const std::string& place, trust::SealingDisk& sealing, Lost& lost)
{
    const auto names = names_in(disk, damaged + "/" + place);
    if (!names) return lost.push_back(place), Status{};
    for (const std::string& folder : {into + "/captures", into + "/" + place})
        if (auto made = disk.make_folder(folder); !made) return made;
    const std::string ending = trust::SealingDisk::ending;
    for (const std::string& name : *names) {
        const auto plain = plain_of(r, disk.read(damaged + "/" + place + "/" + name, capture_most));
        if (!plain) {
            lost.push_back(place + "/" + name);
            continue;
        }
        const std::string bare = name.ends_with(ending) ? name.substr(0, name.size() - ending.size()) : name;
        if (auto ok = reseal_capture(disk, sealing, into + "/" + place + "/" + bare, *plain); !ok) return ok;
    }
    return {};
}

/// Attachments, captures and own profiles: what lies beside the journal.
Status save_files(Disk& disk, Reading& r, const std::string& damaged, const std::string& into, Store& store, Lost& lost)
{
    if (auto ok = reseal_attachments(disk, r, damaged + "/attachments", store, lost); !ok) return ok;
    const auto jobs = names_in(disk, damaged + "/captures");
    auto sealing = store.sealing_disk(disk);
    if (!jobs || !sealing) return Unexpected{!jobs ? jobs.error() : sealing.error()};
    for (const std::string& job : *jobs)
        if (auto ok = reseal_captures(disk, r, damaged, into, "captures/" + job, **sealing, lost); !ok) return ok;
    return copy_profiles(disk, damaged, into);
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
    if (auto ok = save_files(disk, *reading, damaged, into, **store, report.lost); !ok) return Unexpected{ok.error()};
    // Last: from then on the new store opens to the same people only.
    if (auto ok = copy_people(disk, damaged, into); !ok) return Unexpected{ok.error()};
    for (const std::string& holder : reading->holders)
        if (auto ok = (*store)->add_holder(holder); !ok) return Unexpected{ok.error()};
    return report;
}

} // namespace chockside::journal
