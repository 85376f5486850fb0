#include <platform/shop/uploads.h>

#include <core/base/json.h>

#include <atomic>
#include <chrono>
#include <sys/file.h>
#include <thread>
#include <unistd.h>

namespace chockside::shop {

struct Uploads::Held {
    UploadInfo info = {};
    Fd part = {}, staged = {};
    std::atomic<std::uint64_t> offset = 0; ///< durable
    std::uint64_t unsynced = 0;
    bool kept = true;           ///< has a file of its own; what was whole when it was asked for needs none
    bool taken = false;
    std::uint64_t turn = 0;     ///< counts who asked; only the newest waits
    std::function<void()> hang_up = {};
};

namespace {

constexpr std::chrono::seconds patience{5};
constexpr std::chrono::milliseconds between_tries{50};
constexpr std::int64_t day_ms = 24 * 3600 * std::int64_t{1000};

const char* const state_names[] = {"open", "done", "gone"};

std::string text_of(const UploadInfo& i)
{
    json::Value v(json::Object{});
    v.at("id") = i.id;
    v.at("device") = i.device;
    v.at("sha") = i.sha;
    v.at("metadata") = i.metadata;
    v.at("length") = static_cast<std::int64_t>(i.length);
    v.at("begun") = i.begun_ms;
    v.at("expires") = i.expires_ms;
    v.at("state") = state_names[static_cast<int>(i.state)];
    return json::write(v);
}

UploadInfo info_from(const json::Value& v)
{
    UploadInfo i{v["id"].as_text(), v["device"].as_text(), v["sha"].as_text(), v["metadata"].as_text(), static_cast<std::uint64_t>(v["length"].as_int()), v["begun"].as_int(), v["expires"].as_int(),
        UploadInfo::State::gone};
    for (int s = 0; s < 3; ++s)
        if (v["state"].as_text() == state_names[s]) i.state = static_cast<UploadInfo::State>(s);
    return i;
}

bool is_id(const std::string& id)
{
    return id.size() == 32 && id.find_first_not_of("0123456789abcdef") == std::string::npos;
}

} // namespace

Uploads::Lease::~Lease()
{
    if (held_) uploads_->let_go(*held_);
}
const UploadInfo& Uploads::Lease::info() const
{
    return held_->info;
}
std::uint64_t Uploads::Lease::offset() const
{
    return held_->info.state == UploadInfo::State::done ? held_->info.length : held_->offset.load();
}
bool Uploads::Lease::expired(std::int64_t now_ms) const
{
    return held_->info.state == UploadInfo::State::open && now_ms > held_->info.expires_ms;
}

Uploads::Uploads(Folder folder, const Blobs& blobs, const Clock& clock, Random& random, UploadLimits limits)
    : folder_(std::move(folder)), blobs_(blobs), clock_(clock), random_(random), limits_(limits)
{
    look_around();
}

Status Uploads::keep(const Held& h)
{
    return h.kept ? folder_.write_whole(h.info.id + ".json", text_of(h.info)) : Status{};
}

Result<UploadInfo> Uploads::noted(const std::string& id) const
{
    const auto text = is_id(id) ? folder_.text(id + ".json", 1u << 16) : Result<std::string>(fail("not_found", "upload"));
    if (!text) return Unexpected{text.error()};
    const auto value = json::read(*text);
    if (!value || (*value)["id"].as_text() != id) return fail("io_error", "upload");
    return info_from(*value);
}

Status Uploads::learn(const std::string& id)
{
    auto info = noted(id);
    if (!info) return Unexpected{info.error()};
    auto held = std::make_shared<Held>();
    held->info = std::move(*info);
    held->offset = folder_.size(id + ".part").value_or(0);
    all_[id] = std::move(held);
    return {};
}

void Uploads::look_around()
{
    for (const auto& name : folder_.list())
        if (const auto id = name.substr(0, 32); name == id + ".json" && !all_.contains(id)) (void)learn(id);
    for (auto& [id, held] : all_) {
        Held& h = *held;
        if (h.taken || h.info.state != UploadInfo::State::open) continue;
        if (const auto info = noted(id)) h.info.state = info->state;
        h.offset = folder_.size(id + ".part").value_or(h.offset);
    }
}

std::string Uploads::whole(const std::string& device, const std::string& sha, std::uint64_t length) const
{
    for (const auto& [id, held] : all_)
        if (held->info.state == UploadInfo::State::done && held->info.device == device && held->info.sha == sha && held->info.length == length) return id;
    return {};
}

Result<std::string> Uploads::known(const std::string& device, const std::string& sha, std::uint64_t length) const
{
    const auto now = clock_.now().utc_ms;
    std::size_t open = 0;
    std::uint64_t day = length, promised = length;
    for (const auto& [id, held] : all_) {
        const bool is_open = held->info.state == UploadInfo::State::open && now <= held->info.expires_ms;
        if (is_open) promised += held->info.length - std::min<std::uint64_t>(held->info.length, held->offset);
        if (held->info.device != device) continue;
        if (is_open && held->info.sha == sha && held->info.length == length) return id;
        if (is_open) ++open;
        if (held->kept && held->info.begun_ms > now - day_ms) day += held->info.length;
    }
    if (open >= limits_.open) return fail("too_many_open", device);
    if (day > limits_.day) return fail("day_full", device);
    if (blobs_.free_share(promised) < limits_.least_free) return fail("disk_full", "uploads");
    return std::string();
}

Result<std::string> Uploads::begin(const std::string& device, const std::string& sha, std::uint64_t length, const std::string& metadata)
{
    if (length > limits_.blob) return fail("too_long", "upload");
    const std::lock_guard hold(mutex_);
    const bool is_whole = blobs_.size(sha) == length;
    if (auto id = is_whole ? whole(device, sha, length) : std::string(); !id.empty()) return id;
    if (!is_whole) {
        look_around();
        auto there = known(device, sha, length);
        if (!there || !there->empty()) return there;
    }
    Bytes id(16);
    random_.fill(id);
    const auto now = clock_.now().utc_ms;
    auto held = std::make_shared<Held>();
    held->info = {to_hex(id), device, sha, metadata, length, now, now + limits_.keep_ms, is_whole ? UploadInfo::State::done : UploadInfo::State::open};
    held->kept = !is_whole;
    if (!is_whole)
        if (auto part = folder_.append(held->info.id + ".part", true); !part) return Unexpected{part.error()};
    if (auto kept = keep(*held); !kept) return Unexpected{kept.error()};
    all_[held->info.id] = held;
    return held->info.id;
}

Result<std::shared_ptr<Uploads::Held>> Uploads::find(const std::string& id)
{
    if (!all_.contains(id))
        if (auto known = learn(id); !known) return Unexpected{known.error()};
    const auto at = all_.find(id);
    if (at->second->info.state == UploadInfo::State::gone) return fail("gone", "upload");
    return at->second;
}

Result<Uploads::Lease> Uploads::take(const std::string& id, std::function<void()> hang_up)
{
    std::unique_lock hold(mutex_);
    auto held = find(id);
    if (!held) return Unexpected{held.error()};
    Held& h = **held;
    const auto mine = ++h.turn;
    const auto until = Steady::now() + patience;
    if (h.taken && h.hang_up) h.hang_up();
    free_.notify_all(); // an older one that waits gives up
    const bool got = free_.wait_until(hold, until, [&] { return !h.taken || h.turn != mine; });
    if (!got || h.turn != mine) return fail("busy", "upload");
    if (h.info.state == UploadInfo::State::gone) return fail("gone", "upload");
    h.taken = true;
    h.unsynced = 0;
    h.hang_up = std::move(hang_up);
    hold.unlock();
    Lease lease(*this, *held);
    if (auto ready = lay_hold(h, until); !ready) return Unexpected{ready.error()};
    if (h.info.state == UploadInfo::State::gone) return fail("gone", "upload");
    return lease;
}

Status Uploads::lay_hold(Held& h, Steady::time_point until)
{
    if (h.info.state != UploadInfo::State::open) return {};
    const std::string name = h.info.id + ".part";
    for (;;) {
        auto part = folder_.append(name, false);
        // Anything else than its absence may pass, and says nothing of the upload.
        if (!part) return part.error().code == "not_found" ? missed(h) : Status(Unexpected{part.error()});
        // Another receiver on this folder may have it; while we waited it may have been made a blob, which is no longer ours to write to.
        const bool alone = ::flock(part->get(), LOCK_EX | LOCK_NB) == 0;
        if (alone && folder_.is(name, part->get())) {
            h.part = std::move(*part);
            break;
        }
        if (Steady::now() >= until) return fail("busy", "upload");
        if (!alone) std::this_thread::sleep_for(between_tries);
    }
    // After a kill the kernel still has what was written: it counts once it is on the disk.
    if (auto kept = sync_data(h.part.get()); !kept) return kept;
    h.offset = std::min(size_of(h.part.get()), h.info.length);
    return {};
}

/// Its bytes are not under its name: another receiver was done with it, or a kill came between naming the blob and noting it, or somebody
/// took the file away.
Status Uploads::missed(Held& h)
{
    const auto info = noted(h.info.id);
    if (!info && info.error().code != "not_found") return Unexpected{info.error()};
    const bool is_whole = blobs_.size(h.info.sha) == h.info.length;
    const std::lock_guard hold(mutex_);
    h.info.state = is_whole ? UploadInfo::State::done : UploadInfo::State::gone;
    if (info && info->state == UploadInfo::State::open) (void)keep(h);
    return {};
}

void Uploads::let_go(Held& h)
{
    const std::lock_guard hold(mutex_);
    h.taken = false;
    h.unsynced = 0;
    h.hang_up = nullptr;
    h.staged = Fd();
    h.part = Fd();
    free_.notify_all();
}

Status Uploads::append(Lease& lease, std::string_view bytes)
{
    Held& h = *lease.held_;
    if (bytes.size() > h.info.length - h.offset - h.unsynced) return fail("too_long", "upload");
    if (blobs_.free_share(bytes.size()) < limits_.least_free) return fail("disk_full", "upload");
    if (auto put = write_all(h.part.get(), bytes); !put) {
        // What part of it came, the file's size tells the next one who takes it.
        h.unsynced = 0;
        return put;
    }
    h.unsynced += bytes.size();
    return h.unsynced >= limits_.sync_every ? settle(lease) : Status{};
}

Status Uploads::settle(Lease& lease)
{
    Held& h = *lease.held_;
    if (h.unsynced == 0) return {};
    const auto fresh = std::exchange(h.unsynced, 0);
    if (auto kept = sync_data(h.part.get()); !kept) {
        // The kernel may have dropped these bytes and call the next sync a success: they are to be sent again.
        (void)::ftruncate(h.part.get(), static_cast<off_t>(h.offset));
        return kept;
    }
    h.offset += fresh;
    return {};
}

Status Uploads::stage(Lease& lease, std::string_view bytes)
{
    Held& h = *lease.held_;
    const std::string name = h.info.id + ".stage";
    if (blobs_.free_share(bytes.size()) < limits_.least_free) return fail("disk_full", "upload");
    if (!h.staged) {
        if (auto gone = folder_.remove(name); !gone) return gone;
        auto made = folder_.append(name, true);
        if (!made) return Unexpected{made.error()};
        h.staged = std::move(*made);
    }
    if (bytes.size() > h.info.length - h.offset - std::min(h.info.length - h.offset, size_of(h.staged.get()))) return fail("too_long", "upload");
    return write_all(h.staged.get(), bytes);
}

Status Uploads::unstage(Lease& lease, bool keep_it)
{
    Held& h = *lease.held_;
    const Fd staged = std::move(h.staged);
    const std::string name = h.info.id + ".stage";
    std::string piece(1u << 20, '\0');
    for (off_t at = 0; keep_it && staged;) {
        const auto n = ::pread(staged.get(), piece.data(), piece.size(), at);
        if (n < 0) return fail("io_error", name);
        if (n == 0) break;
        if (auto put = append(lease, std::string_view(piece.data(), static_cast<std::size_t>(n))); !put) return put;
        at += n;
    }
    if (keep_it)
        if (auto kept = settle(lease); !kept) return kept;
    return folder_.remove(name);
}

Status Uploads::finish(Lease& lease)
{
    Held& h = *lease.held_;
    if (h.info.state == UploadInfo::State::done) return {};
    auto sum = sha256_of(h.part.get());
    if (!sum) return Unexpected{sum.error()};
    if (*sum != h.info.sha) {
        if (auto gone = terminate(lease); !gone) return gone;
        return fail("hash_mismatch", "upload");
    }
    if (auto kept = ::fsync(h.part.get()) == 0 ? Status{} : Status(fail("io_error", "fsync")); !kept) return kept;
    if (auto named = blobs_.take(folder_, h.info.id + ".part", h.info.sha); !named) return named;
    {
        const std::lock_guard hold(mutex_);
        h.info.state = UploadInfo::State::done;
    }
    return keep(h);
}

Status Uploads::terminate(Lease& lease)
{
    Held& h = *lease.held_;
    const auto was = h.info.state;
    const auto now_is = [&](UploadInfo::State state) {
        const std::lock_guard hold(mutex_);
        h.info.state = state;
    };
    now_is(UploadInfo::State::gone);
    if (auto kept = keep(h); !kept) {
        now_is(was);
        return kept;
    }
    (void)folder_.remove(h.info.id + ".stage");
    return folder_.remove(h.info.id + ".part");
}

void Uploads::sweep()
{
    const std::lock_guard hold(mutex_);
    const auto now = clock_.now().utc_ms;
    for (auto at = all_.begin(); at != all_.end();) {
        Held& h = *at->second;
        // The name stays a second term, so that "gone" is not mistaken for "never was".
        const bool out = now > h.info.expires_ms && !h.taken;
        if (out && h.info.state == UploadInfo::State::open) {
            h.info.state = UploadInfo::State::gone;
            (void)keep(h);
            (void)folder_.remove(h.info.id + ".part");
        }
        if (out && now > h.info.expires_ms + limits_.keep_ms) {
            (void)folder_.remove(h.info.id + ".json");
            at = all_.erase(at);
        } else {
            ++at;
        }
    }
}

} // namespace chockside::shop
