// Nothing readable at rest: bodies, titles and attachments lie sealed, envelopes in clear, so that a locked device still verifies and sends.
#include <core/journal/detail/inside.h>

namespace chockside::journal {

using detail::Statement;

namespace {

std::string secret_file(const std::string& folder)
{
    return folder + "/data.key";
}

Bytes blob(const Statement& s, int column)
{
    return to_bytes(s.text(column));
}

} // namespace

Status detail::know_keys(sqlite3* db, trust::Vault& vault)
{
    Statement keys(db, "SELECT no,box FROM data_key");
    while (keys.step_row()) vault.know(static_cast<std::uint32_t>(keys.number(0)), blob(keys, 1));
    return keys.ended() ? Status{} : Status(problem(db, "data_key"));
}

Status detail::open_for(sqlite3* db, trust::Vault& vault, const trust::KeyPair& person)
{
    const std::string own = to_hex(person.public_key());
    Statement s(db, "SELECT box FROM holder WHERE public_key=?");
    s.bind(1, own);
    if (!s.step_row()) return s.ended() ? Status(fail("not_a_holder", own)) : Status(problem(db, "holder"));
    auto secret = trust::open_persons_box(blob(s, 0), person);
    if (!secret) return Unexpected{secret.error()};
    auto opened = vault.open_with(*secret);
    trust::wipe(*secret);
    return opened ? Status{} : Status(fail("bad_seal", "holder"));
}

Status detail::open_with_beside(Disk& disk, trust::Vault& vault, const std::string& folder)
{
    auto secret = disk.read(secret_file(folder), 64);
    if (!secret) return Unexpected{secret.error()};
    auto opened = vault.open_with(*secret);
    trust::wipe(*secret);
    return opened;
}

Status Store::Inside::open_vault()
{
    Statement kept(db.get(), "SELECT public_key FROM vault");
    const bool there = kept.step_row();
    if (!there && !kept.ended()) return detail::problem(db.get(), "vault");
    if (!there && options.read_only) return fail("older_schema", "vault");
    Statement used(db.get(), "SELECT 1 FROM data_key LIMIT 1");
    if (!there && used.step_row()) return fail("damaged", "vault");
    if (!there) return used.ended() ? make_vault() : Status(detail::problem(db.get(), "vault"));
    auto known = trust::Vault::with_public_key(blob(kept, 0));
    if (!known) return fail("damaged", "vault");
    vault = std::move(*known);
    return read_vault();
}

Status Store::Inside::read_vault()
{
    if (auto ok = detail::know_keys(db.get(), *vault); !ok) return ok;
    Statement people(db.get(), "SELECT count(*) FROM holder");
    if (!people.step_row()) return detail::problem(db.get(), "holder");
    held = people.number(0) > 0;
    if (!held) {
        // Without it the envelopes still stand, and what comes can still be kept.
        const Status opened = detail::open_with_beside(disk, *vault, options.folder);
        if (!opened && opened.error().code == "bad_key") return fail("damaged", "vault"); // one of the two is not what was written
        if (!opened && opened.error().code != "not_found") return opened;
    }
    else if (!options.read_only) (void)disk.erase(secret_file(options.folder)); // a kill may have left it
    writable();
    return {};
}

/// The secret is on the disk before the first thing that only it can read.
Status Store::Inside::make_vault()
{
    const std::string path = secret_file(options.folder);
    auto secret = disk.read(path, 64);
    auto made = secret ? trust::Vault::from_secret(*secret) : Result<trust::Vault>(trust::Vault::make(random));
    if (!secret && secret.error().code != "not_found") return Unexpected{secret.error()};
    if (!made) return Unexpected{made.error()};
    vault = std::move(*made);
    if (!secret) {
        Bytes fresh = vault->secret();
        auto kept = disk.write_whole(path, fresh);
        trust::wipe(fresh);
        if (!kept) return kept;
    }
    else trust::wipe(*secret);
    writable();
    return seal_old();
}

void Store::Inside::writable()
{
    if (options.read_only || vault->can_write() || vault->go_on()) return;
    new_key = vault->begin(random);
}

bool Store::Inside::put_new_key()
{
    writable();
    if (!new_key) return true;
    insert_key.bind(1, std::int64_t{new_key->number}).bind(2, ByteView(new_key->box));
    return insert_key.run_once();
}

Status Store::Inside::keep_new_key()
{
    if (!put_new_key()) return detail::problem(db.get(), "data_key");
    new_key.reset();
    return {};
}

Bytes Store::Inside::seal_body(const std::string& place, std::string_view salt_hex, std::string_view body) const
{
    const auto salt = from_hex(salt_hex);
    if (!salt || salt->size() != 32) return {};
    Bytes whole = *salt;
    const auto text = as_bytes(body);
    whole.insert(whole.end(), text.begin(), text.end());
    return vault->seal("entry " + place, whole, random);
}

Status Store::Inside::unseal_body(const std::string& sealed, Entry& e, bool read)
{
    if (sealed.empty()) return {};
    const std::string place = e.envelope.author + "/" + std::to_string(e.envelope.seq);
    const auto whole = vault->unseal("entry " + place, as_bytes(sealed));
    if (!whole && whole.error().code == "pin_needed") return {};
    if (!whole || whole->size() <= 32) return fail("entry_malformed", place, {{"what", "body"}});
    e.salt = to_hex(ByteView(*whole).first(32));
    e.body_bytes = to_text(ByteView(*whole).subspan(32));
    if (!read) return {};
    json::ReadLimits narrow;
    narrow.refuse_floats = true;
    auto body = json::read(e.body_bytes, narrow);
    if (!body) return fail("entry_malformed", place, {{"what", "body"}});
    e.body = std::move(*body);
    return {};
}

Status Store::Inside::unseal_row(const std::string& sealed, JobRow& r)
{
    r.title.clear();
    const auto plain = vault->unseal("job " + r.job, as_bytes(sealed));
    if (!plain && plain.error().code == "pin_needed") return {};
    const auto says = plain ? json::read(to_text(*plain)) : Result<json::Value>(fail("bad_seal"));
    // The row is an index: a damaged one costs its words, and the job itself says them.
    if (!says || says->as_array().size() < 2) return r.title = r.job, Status{};
    r.title = says->as_array()[0].as_text();
    r.tail = says->as_array()[1].as_text();
    if (says->as_array().size() > 2) r.about = says->as_array()[2];
    return {};
}

Status Store::Inside::seal_old_entries()
{
    Statement old(db.get(), "SELECT e.id,a.id,e.salt,e.body FROM entry e JOIN author a ON a.no=e.id/1099511627776 WHERE length(e.salt)>0");
    Statement put(db.get(), "UPDATE entry SET salt=x'',body=? WHERE id=?");
    if (!old.good() || !put.good()) return detail::problem(db.get(), "seal");
    while (old.step_row()) {
        const std::string place = old.text(1) + "/" + std::to_string(old.number(0) % detail::author_step);
        put.bind(1, ByteView(seal_body(place, to_hex(as_bytes(old.text(2))), old.text(3)))).bind(2, old.number(0));
        if (!put.run_once()) return detail::problem(db.get(), "seal");
    }
    return old.ended() ? Status{} : Status(detail::problem(db.get(), "seal"));
}

Status Store::Inside::seal_old_rows()
{
    Statement old(db.get(), "SELECT id,title,tail,status,opened,changed,entries,practice FROM job");
    std::vector<JobRow> rows;
    while (old.step_row()) rows.push_back({old.text(0), old.text(1), old.text(2), old.text(3), old.number(4), old.number(5), static_cast<int>(old.number(6)), old.number(7) != 0});
    if (!old.ended()) return detail::problem(db.get(), "seal");
    for (const JobRow& r : rows)
        if (!put_row(r)) return detail::problem(db.get(), "seal");
    return {};
}

Status Store::Inside::seal_old()
{
    constexpr const char* no_update = "CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END";
    Statement any(db.get(), "SELECT 1 FROM entry LIMIT 1");
    const bool some = any.step_row();
    if (!some && !any.ended()) return detail::problem(db.get(), "seal");
    any.reset();
    // What is overwritten is zeroed, in the file and then in the log.
    if (auto ok = detail::run(db.get(), "PRAGMA secure_delete=ON; BEGIN IMMEDIATE; DROP TRIGGER entry_no_update", "seal"); !ok) return ok;
    const auto all = [&]() -> Status {
        if (auto ok = seal_old_entries(); !ok) return ok;
        if (auto ok = seal_old_rows(); !ok) return ok;
        Statement own(db.get(), "INSERT INTO vault(public_key) VALUES(?)");
        own.bind(1, ByteView(vault->public_key()));
        if (!own.step_done() || !put_new_key()) return detail::problem(db.get(), "vault");
        return detail::run(db.get(), no_update, "seal");
    };
    auto done = all();
    if (done) done = detail::run(db.get(), "COMMIT", "seal");
    if (!done) return (void)detail::run(db.get(), "ROLLBACK", "seal"), done;
    new_key.reset();
    if (some) (void)sqlite3_wal_checkpoint_v2(db.get(), nullptr, SQLITE_CHECKPOINT_TRUNCATE, nullptr, nullptr);
    return {};
}

bool Store::locked() const
{
    return !in_->vault->is_open();
}

Status Store::lock()
{
    if (!in_->held) return fail("nobody_has_a_pin");
    // Begun while it is still known which numbers are taken; the next entry brings it along.
    in_->vault->shut();
    in_->new_key.reset();
    in_->writable();
    return {};
}

Status Store::unlock(const trust::KeyPair& person)
{
    Inside& in = *in_;
    if (auto ok = in.ready(); !ok) return ok;
    if (auto opened = detail::open_for(in.db.get(), *in.vault, person); !opened) return opened;
    if (auto known = detail::know_keys(in.db.get(), *in.vault); !known) return known;
    if (!in.options.read_only) (void)in.settle_successor(to_hex(person.public_key())); // what fails is done at the next unlock
    return {};
}

Result<bool> Store::Inside::is_holder(const std::string& public_key_hex) const
{
    Statement s(db.get(), "SELECT 1 FROM holder WHERE public_key=?");
    s.bind(1, public_key_hex);
    if (s.step_row()) return true;
    return s.ended() ? Result<bool>(false) : Result<bool>(detail::problem(db.get(), "holder"));
}

/// Whose PIN opens the new key has it in their file: nothing needs the old one any more.
Status Store::Inside::settle_successor(const std::string& new_hex)
{
    Statement waits(db.get(), "SELECT substr(name,?) FROM note WHERE name>=? AND name<?||x'7F' AND value=?");
    const std::string_view all = detail::successor_note;
    waits.bind(1, static_cast<std::int64_t>(all.size()) + 1).bind(2, all).bind(3, all).bind(4, new_hex);
    if (!waits.step_row()) return waits.ended() ? Status{} : Status(detail::problem(db.get(), "note"));
    const std::string old_hex = waits.text(0);
    waits.reset();
    const Unfinished unfinished{*this};
    if (!begin.run_once()) return give_up("begin");
    if (!drop_holder(old_hex)) return give_up("holder");
    return commit.run_once() ? Status{} : Status(give_up("commit"));
}

bool Store::Inside::drop_holder(const std::string& public_key_hex)
{
    Statement gone(db.get(), "DELETE FROM holder WHERE public_key=?"), settled(db.get(), "DELETE FROM note WHERE name=?");
    gone.bind(1, public_key_hex);
    settled.bind(1, detail::successor_note + public_key_hex);
    return gone.step_done() && settled.step_done();
}

Result<Bytes> Store::Inside::box_for(const std::string& public_key_hex)
{
    if (!vault->is_open()) return fail("pin_needed", "holder");
    const auto theirs = from_hex(public_key_hex);
    Bytes secret = vault->secret();
    auto box = theirs ? trust::box_to_person(*theirs, secret, random) : Result<Bytes>(fail("bad_key", "holder"));
    trust::wipe(secret);
    return box;
}

bool Store::Inside::put_holder(const std::string& public_key_hex, ByteView box)
{
    Statement put(db.get(), "INSERT OR REPLACE INTO holder(public_key,box) VALUES(?,?)");
    put.bind(1, public_key_hex).bind(2, box);
    return put.step_done();
}

Status Store::add_holder(const std::string& public_key_hex)
{
    return replace_holder({}, public_key_hex);
}

Status Store::add_successor(const std::string& old_hex, const std::string& new_hex)
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    if (auto ok = in.ready(); !ok) return ok;
    const auto box = in.box_for(new_hex);
    if (!box) return Unexpected{box.error()};
    const auto opens = in.is_holder(old_hex);
    if (!opens) return Unexpected{opens.error()};
    if (!*opens) return {}; // a first holder before their file is written would shut the store for ever
    Statement before(in.db.get(), "DELETE FROM holder WHERE public_key=(SELECT value FROM note WHERE name=?)");
    before.bind(1, detail::successor_note + old_hex);
    Statement waits(in.db.get(), "INSERT OR REPLACE INTO note(name,value) VALUES(?,?)");
    waits.bind(1, detail::successor_note + old_hex).bind(2, new_hex);
    const Inside::Unfinished unfinished{in};
    if (!in.begin.run_once()) return in.give_up("begin");
    const bool put = before.run_once() && in.put_holder(new_hex, *box) && waits.run_once();
    if (!put) return in.give_up("holder");
    return in.commit.run_once() ? Status{} : Status(in.give_up("commit"));
}

Status Store::replace_holder(const std::string& old_hex, const std::string& new_hex)
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    if (auto ok = in.ready(); !ok) return ok;
    const auto box = in.box_for(new_hex);
    if (!box) return Unexpected{box.error()};
    const Inside::Unfinished unfinished{in};
    if (!in.begin.run_once()) return in.give_up("begin");
    if (!in.drop_holder(old_hex) || !in.put_holder(new_hex, *box)) return in.give_up("holder");
    if (!in.commit.run_once()) return in.give_up("commit");
    in.held = true;
    return in.disk.erase(secret_file(in.options.folder)).has_value() ? Status{} : Status(fail("io_error", "data.key"));
}

Result<std::vector<std::string>> Store::holders()
{
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    Statement s(in_->db.get(), "SELECT public_key FROM holder");
    std::vector<std::string> all;
    while (s.step_row()) all.push_back(s.text(0));
    if (!s.ended()) return detail::problem(in_->db.get(), "holder");
    return all;
}

Result<Bytes> Store::seal_note(const std::string& about, ByteView plain)
{
    if (in_->options.read_only) return fail("read_only");
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    if (auto ok = in_->keep_new_key(); !ok) return Unexpected{ok.error()};
    return in_->vault->seal("note " + about, plain, in_->random);
}

Result<Bytes> Store::unseal_note(const std::string& about, ByteView sealed)
{
    return in_->vault->unseal("note " + about, sealed);
}

Result<std::unique_ptr<trust::SealingDisk>> Store::sealing_disk(Disk& under)
{
    if (in_->options.read_only) return fail("read_only");
    if (auto ok = in_->ready(); !ok) return Unexpected{ok.error()};
    if (auto ok = in_->keep_new_key(); !ok) return Unexpected{ok.error()};
    const auto key = in_->vault->data_key(in_->vault->writing());
    if (!key) return Unexpected{key.error()};
    return std::make_unique<trust::SealingDisk>(under, *key, in_->vault->writing());
}

Result<trust::Unsealed> Store::unseal_file(ByteView file)
{
    return trust::unseal_file(*in_->vault, file);
}

Result<std::shared_ptr<trust::Vault>> Store::reading_vault() const
{
    if (!in_->vault || !in_->vault->is_open()) return fail("pin_needed", "store");
    return std::make_shared<trust::Vault>(in_->vault->for_reading());
}

} // namespace chockside::journal
