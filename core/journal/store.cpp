#include <core/base/planted.h>
#include <core/journal/detail/inside.h>

namespace chockside::journal {

Store::Store(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}

Store::~Store()
{
    if (!in_ || !in_->db || in_->options.read_only) return;
    // What fails here, for want of memory too, is done at the next start.
    try {
        (void)in_->repair_rows();
        (void)checkpoint();
    }
    catch (const std::bad_alloc&) {
    }
}

Result<std::unique_ptr<Store>> Store::open(Disk& disk, const Clock& clock, Random& random, Options options)
{
    auto in = std::make_unique<Inside>(Inside{disk, clock, random, std::move(options)});
    if (!in->options.read_only) {
        const std::string& folder = in->options.folder;
        if (auto made = disk.make_folder(folder); !made) return Unexpected{made.error()};
        auto lock = disk.lock(folder + "/lock");
        if (!lock) return Unexpected{lock.error()};
        in->lock = std::move(*lock);
        if (auto ok = in->own_key(); !ok) return Unexpected{ok.error()};
        in->author = trust::author_id(in->key->public_key());
    }
    if (auto ok = in->connect(); !ok) return Unexpected{ok.error()};
    if (auto ok = in->open_vault(); !ok) return Unexpected{ok.error()};
    if (!in->options.read_only) {
        // Syncs the names in the folder as well: SQLite passes over an error there, and a log without its name goes with the power.
        if (auto named = disk.make_folder(in->options.folder + "/attachments"); !named) return Unexpected{named.error()};
        if (auto ok = in->own_or_anew(); !ok) return Unexpected{ok.error()};
        if (auto ok = in->repair_rows(); !ok) return Unexpected{ok.error()};
        in->hold_reserve();
    }
    return std::unique_ptr<Store>(new Store(std::move(in)));
}

const std::string& Store::author() const
{
    return in_->author;
}

const std::string& Store::began_anew() const
{
    return in_->began_anew;
}

bool Store::key_in_keyring() const
{
    return in_->in_keyring;
}

std::string Store::public_key_hex() const
{
    return in_->key ? to_hex(in_->key->public_key()) : std::string();
}

Result<std::vector<Entry>> Store::append(const std::string& job, const std::string& command_id, std::span<const Draft> drafts, const std::optional<JobRow>& row)
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    if (auto done = in.find(job, command_id); !done) return Unexpected{done.error()};
    else if (*done) return in.range(**done);
    auto sealed = in.seal_all(job, drafts);
    if (!sealed) return sealed;

    Status written = in.write(command_id, *sealed, row);
    if (!written && written.error().code == "disk_full" && in.free_reserve()) written = in.write(command_id, *sealed, row);
    if (!written) {
        // A COMMIT that failed while syncing may be in the log all the same. It counts once a checkpoint has synced it, and never before.
        const auto found = in.find(job, command_id);
        if (found && *found && checkpoint()) return in.range(**found);
        return Unexpected{written.error()};
    }
    if (in.log_pages >= detail::log_pages_most) (void)checkpoint();
    return sealed;
}

Status Store::set_row(const JobRow& row)
{
    if (in_->options.read_only) return fail("read_only");
    if (auto ok = in_->ready(); !ok) return ok;
    if (auto ok = in_->keep_new_key(); !ok) return ok;
    if (!in_->put_row(row)) return detail::problem(in_->db.get(), "row");
    if (in_->log_pages >= detail::log_pages_most) (void)checkpoint();
    return {};
}

Status Store::checkpoint()
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    if (auto ok = in.ready(); !ok) return ok;
    const int rc = sqlite3_wal_checkpoint_v2(in.db.get(), nullptr, SQLITE_CHECKPOINT_PASSIVE, nullptr, nullptr);
    in.log_pages = 0;
    in.trouble.reset();
    in.keep_witness();
    // Busy means that a reader still looks at old pages: the rest goes over next time.
    if (PLANTED(checkpoint_not_looked_at) || rc == SQLITE_OK || (rc & 0xFF) == SQLITE_BUSY) return {};
    in.trouble = detail::problem(in.db.get(), "checkpoint").error;
    return Unexpected{*in.trouble};
}

const std::optional<Problem>& Store::trouble() const
{
    return in_->trouble;
}

Status Store::put_attachment(const std::string& sha, ByteView bytes, const std::string&)
{
    if (trust::sha256_hex(bytes) != sha) return fail("hash_mismatch", sha);
    if (in_->options.read_only) return fail("read_only");
    const std::string folder = in_->options.folder + "/attachments", path = folder + "/" + sha;
    if (auto made = in_->disk.make_folder(folder); !made) return made;
    if (attachment(sha)) return {};
    if (auto ok = in_->ready(); !ok) return ok;
    if (auto ok = in_->keep_new_key(); !ok) return ok;
    const auto sealed = trust::seal_file(*in_->vault, bytes);
    return sealed ? in_->disk.write_whole(path, *sealed) : Status(Unexpected{sealed.error()});
}

Result<Bytes> Store::attachment(const std::string& sha)
{
    if (sha.size() != 64 || !from_hex(sha)) return fail("not_found", sha);
    auto bytes = in_->disk.read(in_->options.folder + "/attachments/" + sha, std::uint64_t{1} << 30);
    if (bytes && trust::is_sealed(*bytes)) {
        auto plain = unseal_file(*bytes);
        if (!plain && plain.error().code == "bad_seal") return fail("hash_mismatch", sha);
        if (!plain) return Unexpected{plain.error()};
        bytes = std::move(plain->bytes);
    }
    if (bytes && trust::sha256_hex(*bytes) != sha) return fail("hash_mismatch", sha);
    return bytes;
}

} // namespace chockside::journal
