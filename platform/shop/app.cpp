#include <platform/shop/app.h>
#include <platform/shop/spread.h>

#include <charconv>

namespace chockside::shop {

namespace {

constexpr std::int64_t enrol_pause_ms = 15 * 60 * std::int64_t{1000};

sync::Headers headers_of(const Head& head)
{
    sync::Headers h;
    for (const auto& [name, value] : head.fields) h[name] = value;
    return h;
}

Response response_of(sync::Answer a)
{
    Response r;
    r.status = a.status;
    for (auto& [name, value] : a.headers) r.set(name, value);
    r.body = std::move(a.body);
    // A commit whose outcome nobody knows: the other end shall not send more into the same pipe.
    r.close = a.status == 503;
    return r;
}

Response busy(int wait_s = 2)
{
    return json_answer(503, R"({"code":"busy"})").set("Retry-After", std::to_string(wait_s)).set("Content-Digest", sync::content_digest(R"({"code":"busy"})")).set("Chockside-Protocol", "1");
}

/// `tablet`: with what every answer to one carries.
Response too_often(bool tablet, int wait_s)
{
    const std::string text = R"({"code":"too_often"})";
    Response r = tablet ? json_answer(429, text).set("Content-Digest", sync::content_digest(text)).set("Chockside-Protocol", "1") : plain(429);
    r.set("Retry-After", std::to_string(wait_s)).set("Cache-Control", "no-store");
    return r;
}

/// Clients of tus give an upload up at 429, and begin it anew where HEAD says 5xx.
Response too_often_uploading(const std::string& method, int wait_s)
{
    return plain(method == "HEAD" ? 423 : 503).set("Retry-After", std::to_string(wait_s)).set("Tus-Resumable", "1.0.0").set("Cache-Control", "no-store");
}

} // namespace

Result<std::string> sending_device(Reader& reader, const Head& head)
{
    auto device = reader.receive.who(headers_of(head));
    if (device) return device->author;
    return fail(device.error().status == 401 ? "unauthorized" : device.error().status == 403 ? "forbidden" : "no_database", "device");
}

std::optional<std::pair<std::uint64_t, std::uint64_t>> byte_range(std::string_view field, std::uint64_t size)
{
    if (!field.starts_with("bytes=") || size == 0) return {};
    field.remove_prefix(6);
    const auto dash = field.find('-');
    if (dash == std::string_view::npos) return {};
    const auto number = [](std::string_view t) -> std::optional<std::uint64_t> {
        std::uint64_t n = 0;
        const auto [end, ec] = std::from_chars(t.data(), t.data() + t.size(), n);
        return ec == std::errc{} && end == t.data() + t.size() && !t.empty() ? std::optional(n) : std::nullopt;
    };
    const auto first = number(field.substr(0, dash)), last = number(field.substr(dash + 1));
    if (!first && !last) return {};
    if (!first) return *last == 0 ? std::nullopt : std::optional(std::pair(size - std::min(size, *last), size - 1));
    if (*first >= size || (last && *last < *first) || (!last && dash + 1 != field.size())) return {};
    return std::pair(*first, std::min(last.value_or(size - 1), size - 1));
}

App::App(Writer& writer, Workers& readers, Workers& files, Workers& takers, Uploads& uploads, const Blobs& blobs, Site& site, Signatures& signatures, const Clock& clock, Database& database, AppSettings settings)
    : writer_(writer), readers_(readers), files_(files), blobs_(blobs), site_(site), signatures_(signatures), clock_(clock), database_(database), settings_(std::move(settings)),
      tus_(uploads, files, takers, sending_device, clock, "/v1/uploads"), guard_(settings_.guard)
{
}

Intake App::begin(const Head& head, Reply reply, Hangup hang_up)
{
    if (auto wait = slowed(head)) return {std::move(*wait)};
    if (head.path == "/v1/uploads" || head.path.starts_with("/v1/uploads/")) return tus_.begin(head, std::move(reply), std::move(hang_up));
    if (head.path.starts_with("/v1/blobs/")) return blob(head);
    if (head.path.starts_with("/v1/")) return tablet(head);
    if (head.path == "/healthz") return health(head);
    if (head.path == "/metrics") return metrics(head);
    return site_.begin(head, std::move(reply));
}

std::optional<Response> App::slowed(const Head& head)
{
    if (head.path == "/healthz") return {};
    const auto now = clock_.now().mono_ms;
    const bool upload = head.path == "/v1/uploads" || head.path.starts_with("/v1/uploads/");
    const int wait = upload ? guard_.admit_upload(head.peer, now) : guard_.admit(head.field("authorization"), head.peer, now);
    if (wait == 0) return {};
    ++slowed_;
    return upload ? too_often_uploading(head.method, wait) : too_often(head.path.starts_with("/v1/"), wait);
}

void App::learn(Reader& reader, const Head& head)
{
    const auto& authorization = head.field("authorization");
    if (authorization.empty() || guard_.knows(authorization)) return;
    if (auto device = reader.receive.who(headers_of(head))) guard_.learn(authorization, device->author);
}

void App::done(const Head& head, int status, std::uint64_t)
{
    ++by_class_[std::min(5, status / 100)];
    site_.done(head, status);
}

void App::remember(const sync::Checked& checked)
{
    const auto key = from_hex(checked.author_key);
    for (std::size_t i = 0; key && i < checked.lines.size(); ++i) {
        const auto hash = from_hex(checked.stated[i].hash), signature = from_hex(checked.lines[i].signature);
        if (hash && signature) signatures_.add(*hash, *signature, *key);
    }
}

Intake App::tablet(const Head& head)
{
    if (head.path == "/v1/enrol" && !may_enrol(head.peer)) return {busy(900)};
    return {{}, (1u << 20) + 1, {}, [this](Request&& request, Reply reply) {
                const auto began = clock_.now().mono_ms;
                auto shared = std::make_shared<Request>(std::move(request));
                const bool put = readers_.put([this, shared, reply, began](Reader& reader) {
                    learn(reader, *shared);
                    auto checked = sync::check({shared->method, shared->target, headers_of(*shared), std::move(shared->body)}, spread);
                    using Kind = sync::Checked::Kind;
                    if (checked.kind == Kind::push) remember(checked);
                    if (checked.kind == Kind::push && blobs_.free_share() < settings_.least_free_entries) {
                        const std::string full = R"({"code":"full"})";
                        return reply(json_answer(507, full).set("Retry-After", "60").set("Content-Digest", sync::content_digest(full)).set("Chockside-Protocol", "1"));
                    }
                    if (checked.kind == Kind::enrol)
                        return writer_.answer(std::move(checked), [this, reply, peer = shared->peer](sync::Answer a) {
                            enrolled(peer, a.status == 200);
                            reply(response_of(std::move(a)));
                        });
                    if (checked.writes()) return writer_.answer(std::move(checked), [reply](sync::Answer a) { reply(response_of(std::move(a))); });
                    const auto until = began + 1000 * checked.wait_s;
                    auto answer = reader.receive.answer(checked);
                    if (checked.kind == Kind::pull && checked.wait_s > 0 && answer.status == 200 && answer.body.find("\"index\":[]") != std::string::npos && clock_.now().mono_ms < until)
                        return decide(std::move(checked), reply, until);
                    reply(response_of(std::move(answer)));
                });
                if (!put) reply(busy());
            }};
}

/// A pull that found nothing and is willing to wait looks again now and then.
void App::decide(sync::Checked checked, Reply reply, std::int64_t until)
{
    auto held = std::make_shared<sync::Checked>(std::move(checked));
    server_->after(std::chrono::milliseconds(400), [this, held, reply, until] {
        const bool put = readers_.put([this, held, reply, until](Reader& reader) {
            auto answer = reader.receive.answer(*held);
            const bool nothing = answer.status == 200 && answer.body.find("\"index\":[]") != std::string::npos;
            if (nothing && clock_.now().mono_ms < until) return decide(std::move(*held), reply, until);
            reply(response_of(std::move(answer)));
        });
        if (!put) reply(busy());
    });
}

bool App::may_enrol(const std::string& peer)
{
    const std::lock_guard hold(mutex_);
    const auto at = tries_.find(address_group(peer));
    return at == tries_.end() || at->second.wrong < 5 || clock_.now().mono_ms - at->second.last_mono > enrol_pause_ms;
}

void App::enrolled(const std::string& peer, bool right)
{
    const std::lock_guard hold(mutex_);
    if (right) {
        tries_.erase(address_group(peer));
        return;
    }
    if (tries_.size() > 10'000) tries_.clear();
    auto& t = tries_[address_group(peer)];
    const auto now = clock_.now().mono_ms;
    if (now - t.last_mono > enrol_pause_ms) t.wrong = 0;
    ++t.wrong;
    t.last_mono = now;
}

Intake App::blob(const Head& head)
{
    const std::string sha = head.path.substr(10);
    if (head.method != "GET" && head.method != "HEAD") return {plain(405).set("Allow", "GET, HEAD")};
    if (!is_sha(sha)) return {plain(404)};
    return {{}, 0, {}, [this, sha](Request&& request, Reply reply) {
                auto held = std::make_shared<Request>(std::move(request));
                if (!files_.put([this, held, sha, reply](Reader& reader) { send_blob(reader, *held, sha, reply); })) reply(plain(503).set("Retry-After", "2"));
            }};
}

void App::send_blob(Reader& reader, const Request& request, const std::string& sha, const Reply& reply)
{
    auto device = reader.receive.who(headers_of(request));
    if (!device) return reply(response_of(device.error()));
    guard_.learn(request.field("authorization"), device->author);
    const auto size = blobs_.size(sha);
    Response r;
    r.set("Chockside-Protocol", "1").set("Cache-Control", "no-store");
    // That it is there tells nobody anything who does not know its digest already; its content is for those who share a job with it.
    if (request.method == "GET") {
        auto may = reader.receive.may_read(*device, sha);
        if (!may) return reply(busy());
        if (!*may) return reply(json_answer(403, R"({"code":"not_yours"})").set("Content-Digest", sync::content_digest(R"({"code":"not_yours"})")).set("Chockside-Protocol", "1"));
    }
    if (!size) return reply(json_answer(404, R"({"code":"not_found"})").set("Content-Digest", sync::content_digest(R"({"code":"not_found"})")).set("Chockside-Protocol", "1"));
    const auto digest = from_hex(sha);
    r.set("Content-Type", "application/octet-stream").set("Accept-Ranges", "bytes").set("Repr-Digest", "sha-256=:" + to_base64(*digest) + ":").set("X-Content-Type-Options", "nosniff");
    if (request.method == "HEAD") {
        r.head_length = *size;
        return reply(std::move(r));
    }
    auto file = blobs_.read(sha);
    if (!file) return reply(plain(404));
    FileBody body{std::shared_ptr<const int>(new int(file->release()), [](const int* fd) { Fd closed(*fd); delete fd; }), 0, *size};
    // Of nothing there is no range: who asks for one is given all of it.
    if (request.has("range") && *size > 0) {
        const auto range = byte_range(request.field("range"), *size);
        if (!range) {
            Response none = plain(416);
            none.set("Content-Range", "bytes */" + std::to_string(*size)).set("Chockside-Protocol", "1").set("Cache-Control", "no-store").set("Content-Digest", sync::content_digest(none.body));
            return reply(std::move(none));
        }
        r.status = 206;
        body.offset = range->first;
        body.length = range->second - range->first + 1;
        r.set("Content-Range", "bytes " + std::to_string(range->first) + "-" + std::to_string(range->second) + "/" + std::to_string(*size));
    }
    r.file = body;
    reply(std::move(r));
}

Intake App::health(const Head& head)
{
    if (head.method != "GET" && head.method != "HEAD") return {plain(405).set("Allow", "GET, HEAD")};
    const bool well = writer_.well();
    return {json_answer(well ? 200 : 503, well ? R"({"well":true})" : R"({"well":false})").set("Cache-Control", "no-store")};
}

Intake App::metrics(const Head& head)
{
    const bool near = head.peer == "127.0.0.1" || head.peer == "::1";
    const bool known = !settings_.metrics_token.empty() && same(head.field("authorization"), "Bearer " + settings_.metrics_token);
    if (!near && !known) return {plain(403)};
    return {{}, 0, {}, [this](Request&&, Reply reply) {
                const bool put = readers_.put([this, reply](Reader& reader) {
                    std::int64_t log = 0, size = 0, devices = 0;
                    if (Connection* c = reader.ledger.connection()) {
                        log = reader.ledger.log_size().value_or(0);
                        size = database_.size(*c).value_or(0);
                        if (auto all = reader.ledger.devices()) devices = static_cast<std::int64_t>(all->size());
                    }
                    const auto f = server_->figures();
                    std::string out;
                    const auto add = [&](const char* name, const char* type, std::uint64_t value, const char* help) {
                        const std::string family = std::string("chockside_shop_") + name;
                        out += "# TYPE " + family + " " + type + "\n# HELP " + family + " " + help + "\n" + family + (std::string_view(type) == "counter" ? "_total " : " ") + std::to_string(value) + "\n";
                    };
                    add("entries", "gauge", static_cast<std::uint64_t>(log), "Entries in the log.");
                    add("devices", "gauge", static_cast<std::uint64_t>(devices), "Devices enrolled, revoked ones too.");
                    add("database_bytes", "gauge", static_cast<std::uint64_t>(size), "Size of the database.");
                    add("connections", "gauge", f.connections, "Connections that stand.");
                    add("accepted", "counter", f.accepted, "Connections taken.");
                    add("requests", "counter", f.requests, "Requests whose head was read.");
                    add("refused", "counter", f.refused, "Requests and connections that broke a limit.");
                    add("slowed", "counter", slowed_, "Requests beyond a rate.");
                    add("received_bytes", "counter", f.bytes_in, "Bytes read.");
                    add("sent_bytes", "counter", f.bytes_out, "Bytes written.");
                    add("commits", "counter", writer_.commits(), "Transactions.");
                    add("works", "counter", writer_.works(), "Requests answered by them.");
                    add("failed", "counter", writer_.failed(), "Of these, not done.");
                    add("well", "gauge", writer_.well(), "1 while the database can be written.");
                    out += "# EOF\n";
                    Response r;
                    r.set("Content-Type", "application/openmetrics-text; version=1.0.0; charset=utf-8").set("Cache-Control", "no-store");
                    r.body = std::move(out);
                    reply(std::move(r));
                });
                if (!put) reply(plain(503));
            }};
}

} // namespace chockside::shop
