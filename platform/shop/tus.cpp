#include <platform/shop/tus.h>

#include <openssl/evp.h>

#include <charconv>

namespace chockside::shop {

namespace {

constexpr const char* version = "1.0.0";

Response tus(int status)
{
    Response r;
    r.status = status;
    r.set("Tus-Resumable", version);
    return r;
}

Response refusal(int status, std::string why)
{
    Response r = plain(status, std::move(why));
    r.set("Tus-Resumable", version);
    return r;
}

/// What a problem of Uploads is on the wire. Never 429 and never 5xx on HEAD: clients would begin again from nothing.
Response refused(const Problem& p)
{
    if (p.code == "not_found") return refusal(404, "not_found");
    if (p.code == "gone") return refusal(410, "gone");
    if (p.code == "busy") return refusal(423, "busy");
    if (p.code == "too_long") return refusal(413, "too_long");
    if (p.code == "hash_mismatch") return refusal(460, "hash_mismatch");
    if (p.code == "unauthorized") return refusal(401, "unauthorized");
    if (p.code == "forbidden") return refusal(403, "forbidden");
    if (p.code == "too_many_open" || p.code == "day_full") return refusal(503, p.code).set("Retry-After", p.code == "day_full" ? "3600" : "60");
    if (p.code == "disk_full") return refusal(507, "disk_full");
    return refusal(503, p.code).set("Retry-After", "5");
}

std::optional<std::uint64_t> number(const std::string& text)
{
    std::uint64_t n = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), n);
    if (ec != std::errc{} || end != text.data() + text.size() || text.empty() || n > (std::uint64_t{1} << 62)) return {};
    return n;
}

struct EndSum {
    void operator()(EVP_MD_CTX* c) const { EVP_MD_CTX_free(c); }
};

/// A running checksum of one request's body.
class Sum {
public:
    explicit Sum(Checksum wanted) : wanted_(std::move(wanted)), context_(EVP_MD_CTX_new())
    {
        EVP_DigestInit_ex(context_.get(), wanted_.algorithm == "sha1" ? EVP_sha1() : EVP_sha256(), nullptr);
    }
    void add(std::string_view bytes) { EVP_DigestUpdate(context_.get(), bytes.data(), bytes.size()); }
    bool holds()
    {
        unsigned char out[EVP_MAX_MD_SIZE];
        unsigned length = 0;
        EVP_DigestFinal_ex(context_.get(), out, &length);
        return std::string_view(reinterpret_cast<const char*>(out), length) == wanted_.digest;
    }

private:
    Checksum wanted_;
    std::unique_ptr<EVP_MD_CTX, EndSum> context_;
};

} // namespace

/// The body of one PATCH, or of a POST that brings bytes along. Each step runs on a thread that may block; `ready` takes the lease first.
struct Tus::Upload final : Sink, std::enable_shared_from_this<Tus::Upload> {
    Upload(Tus& t, Reply r) : tus_(t), reply_(std::move(r)) {}

    void write(std::string bytes, std::function<void(bool)> next) override
    {
        run([self = shared_from_this(), bytes = std::move(bytes), next](Reader& c) { next(self->step(c, bytes)); }, next);
    }
    void end() override
    {
        run([self = shared_from_this()](Reader& c) { self->finish(c); }, [this](bool) { answer(refused({"busy_server", {}, {}})); });
    }
    void broken() override
    {
        const auto keep = [self = shared_from_this()](Reader&) {
            if (self->lease_ && !self->sum_) (void)self->tus_.uploads_.settle(self->lease_);
            self->lease_ = {};
        };
        if (lease_ && !tus_.files_.put(keep)) lease_ = {};
    }

    template <class Task, class Otherwise>
    void run(Task task, Otherwise otherwise)
    {
        Workers& threads = lease_ ? tus_.files_ : tus_.takers_;
        if (!threads.put(std::move(task))) otherwise(false);
    }
    void answer(Response r)
    {
        lease_ = {};
        ended_ = true;
        reply_(std::move(r));
    }
    bool step(Reader& c, std::string_view bytes)
    {
        if (ended_ || !prepare(c)) return false;
        auto put = sum_ ? tus_.uploads_.stage(lease_, bytes) : tus_.uploads_.append(lease_, bytes);
        if (sum_) sum_->add(bytes);
        if (put) return true;
        if (sum_) (void)tus_.uploads_.unstage(lease_, false);
        else (void)tus_.uploads_.settle(lease_);
        answer(refused(put.error()));
        return false;
    }
    bool prepare(Reader& c)
    {
        if (lease_) return true;
        if (auto is_ready = ready(*this, c); !is_ready) {
            answer(std::move(*refusal_));
            return false;
        }
        return true;
    }
    void finish(Reader& c)
    {
        if (ended_ || !prepare(c)) return;
        if (sum_) {
            const bool right = sum_->holds();
            auto counted = tus_.uploads_.unstage(lease_, right);
            if (!right) return answer(refused({"hash_mismatch", {}, {}}));
            if (!counted) return answer(refused(counted.error()));
        }
        if (auto kept = tus_.uploads_.settle(lease_); !kept) return answer(refused(kept.error()));
        if (lease_.offset() == lease_.info().length)
            if (auto named = tus_.uploads_.finish(lease_); !named) return answer(refused(named.error()));
        Response r = tus(created_ ? 201 : 204);
        if (created_) r.set("Location", tus_.base_ + "/" + lease_.info().id);
        r.set("Upload-Offset", std::to_string(lease_.offset()));
        r.set("Upload-Expires", http_date(lease_.info().expires_ms));
        answer(std::move(r));
    }
    bool refuse(Response r)
    {
        refusal_ = std::move(r);
        return false;
    }

    Tus& tus_;
    Reply reply_;
    Uploads::Lease lease_;
    std::optional<Sum> sum_;
    std::optional<Response> refusal_;
    std::function<bool(Upload&, Reader&)> ready;
    bool created_ = false, ended_ = false;
};

Tus::Tus(Uploads& uploads, Workers& files, Workers& takers, WhoSends who, const Clock& clock, std::string base)
    : uploads_(uploads), files_(files), takers_(takers), who_(std::move(who)), clock_(clock), base_(std::move(base))
{
}

Intake Tus::begin(const Head& head, Reply reply, Hangup hang_up)
{
    const auto& other = head.field("x-http-method-override");
    const std::string method = other.empty() ? head.method : other;
    if (method == "OPTIONS") {
        Response r = tus(204);
        r.set("Tus-Version", version).set("Tus-Extension", "creation,creation-with-upload,checksum,expiration,termination");
        r.set("Tus-Max-Size", std::to_string(uploads_.limits().blob)).set("Tus-Checksum-Algorithm", "sha1,sha256");
        return {std::move(r)};
    }
    if (head.field("tus-resumable") != version) return {refusal(412, "tus_version").set("Tus-Version", version)};
    const bool root = head.path == base_ || head.path == base_ + "/";
    const std::string id = root ? std::string() : head.path.substr(base_.size() + 1);
    if (root && method == "POST") return create(head, std::move(reply), std::move(hang_up));
    if (root) return {refusal(405, "method").set("Allow", "OPTIONS, POST")};
    if (method == "PATCH") return patch(head, id, std::move(reply), std::move(hang_up));
    if (method == "HEAD") return look(id, std::move(reply), std::move(hang_up));
    if (method == "DELETE") return end(id, std::move(reply), std::move(hang_up));
    return {refusal(405, "method").set("Allow", "OPTIONS, HEAD, PATCH, DELETE")};
}

Intake Tus::create(const Head& head, Reply reply, Hangup hang_up)
{
    const auto length = number(head.field("upload-length"));
    if (head.has("upload-concat") || head.has("upload-defer-length") || !length) return {refusal(400, "upload_length")};
    if (*length > uploads_.limits().blob) return {refusal(413, "too_long")};
    const auto metadata = upload_metadata(head.field("upload-metadata"));
    if (!metadata) return {refusal(400, "upload_metadata")};
    std::string sha;
    for (const auto& [key, value] : *metadata)
        if (key == "sha256") sha = value;
    if (!is_sha(sha)) return {refusal(400, "sha256")};
    const bool with_body = head.length.value_or(1) > 0;
    if (with_body && head.field("content-type") != "application/offset+octet-stream") return {refusal(415, "content_type")};
    const auto sum = upload_checksum(head.field("upload-checksum"));
    if (head.has("upload-checksum") && (!sum || (sum->algorithm != "sha1" && sum->algorithm != "sha256"))) return {refusal(400, "checksum")};

    auto sink = std::make_shared<Upload>(*this, std::move(reply));
    sink->created_ = true;
    if (sum) sink->sum_.emplace(*sum);
    sink->ready = [this, head, sha, length = *length, hang_up, with_body](Upload& u, Reader& c) {
        auto device = who_(c, head);
        if (!device) return u.refuse(refused(device.error()));
        auto id = uploads_.begin(*device, sha, length, head.field("upload-metadata"));
        if (!id) return u.refuse(refused(id.error()));
        auto lease = uploads_.take(*id, hang_up);
        if (!lease) return u.refuse(refused(lease.error()));
        u.lease_ = std::move(*lease);
        // It is there already and has bytes: what the body brings does not fit at its end.
        if (with_body && u.lease_.offset() > 0) return u.refuse(tus(201).set("Location", base_ + "/" + *id).set("Upload-Offset", std::to_string(u.lease_.offset())));
        return true;
    };
    return {{}, *length, sink, {}};
}

Intake Tus::patch(const Head& head, const std::string& id, Reply reply, Hangup hang_up)
{
    if (head.field("content-type") != "application/offset+octet-stream") return {refusal(415, "content_type")};
    const auto offset = number(head.field("upload-offset"));
    if (!offset) return {refusal(400, "upload_offset")};
    const auto sum = upload_checksum(head.field("upload-checksum"));
    if (head.has("upload-checksum") && (!sum || (sum->algorithm != "sha1" && sum->algorithm != "sha256"))) return {refusal(400, "checksum")};

    auto sink = std::make_shared<Upload>(*this, std::move(reply));
    if (sum) sink->sum_.emplace(*sum);
    sink->ready = [this, id, offset = *offset, hang_up, length = head.length](Upload& u, Reader&) {
        auto lease = uploads_.take(id, hang_up);
        if (!lease) return u.refuse(refused(lease.error()));
        if (lease->expired(clock_.now().utc_ms)) return u.refuse(refusal(410, "expired"));
        if (lease->offset() != offset) return u.refuse(refusal(409, "offset").set("Upload-Offset", std::to_string(lease->offset())));
        if (length && *length > lease->info().length - offset) return u.refuse(refusal(413, "too_long").set("Upload-Offset", std::to_string(offset)));
        u.lease_ = std::move(*lease);
        return true;
    };
    return {{}, uploads_.limits().blob, sink, {}};
}

Intake Tus::look(const std::string& id, Reply reply, Hangup hang_up)
{
    const bool put = takers_.put([this, id, reply, hang_up](Reader&) {
        auto lease = uploads_.take(id, hang_up);
        if (!lease) {
            const auto& code = lease.error().code;
            // Anything that may pass is "busy": a client told otherwise forgets what it has sent.
            return reply(refused(code == "not_found" || code == "gone" ? lease.error() : Problem{"busy", {}, {}}).set("Cache-Control", "no-store"));
        }
        if (lease->expired(clock_.now().utc_ms)) return reply(refusal(410, "expired").set("Cache-Control", "no-store"));
        Response r = tus(200);
        r.set("Cache-Control", "no-store").set("Upload-Offset", std::to_string(lease->offset())).set("Upload-Length", std::to_string(lease->info().length));
        if (!lease->info().metadata.empty()) r.set("Upload-Metadata", lease->info().metadata);
        r.set("Upload-Expires", http_date(lease->info().expires_ms));
        *lease = {};
        reply(std::move(r));
    });
    if (!put) return {refusal(423, "busy")};
    return {{}, 0, {}, [](Request&&, const Reply&) {}};
}

Intake Tus::end(const std::string& id, Reply reply, Hangup hang_up)
{
    const bool put = takers_.put([this, id, reply, hang_up](Reader&) {
        auto lease = uploads_.take(id, hang_up);
        if (!lease) return reply(refused(lease.error()));
        auto gone = uploads_.terminate(*lease);
        *lease = {};
        reply(gone ? tus(204) : refused(gone.error()));
    });
    if (!put) return {refusal(503, "busy").set("Retry-After", "5")};
    return {{}, 0, {}, [](Request&&, const Reply&) {}};
}

} // namespace chockside::shop
