#include <core/sync/detail/receiving.h>

#include <core/base/planted.h>

namespace chockside::sync {

namespace detail {

Answer answer_with(int status, std::string body, const char* media)
{
    Answer a;
    a.status = status;
    a.headers = {{"chockside-protocol", "1"}, {"cache-control", "no-store"}, {"content-type", media}, {"content-digest", content_digest(body)}};
    a.body = std::move(body);
    return a;
}

Answer refusal(const Refusal& r, int status)
{
    return answer_with(status, text(r));
}

Answer refusal(int status, const char* code, const char* what)
{
    Refusal r;
    r.code = code;
    r.what = what;
    return refusal(r, status);
}

Answer unavailable(const Problem& p, int retry_after_s)
{
    const bool full = p.code == "full" || p.code == "disk_full";
    Answer a = refusal(full ? 507 : 503, full ? "full" : "busy");
    a.headers["retry-after"] = std::to_string(retry_after_s);
    return a;
}

} // namespace detail

using detail::answer_with;
using detail::refusal;
using Kind = Checked::Kind;

Receive::Receive(Ledger& ledger, const Clock& clock, Random& random, const trust::KeyPair& key, ReceiveSettings settings)
{
    Bytes seed = key.seed();
    auto own = trust::KeyPair::from_seed(seed);
    trust::wipe(seed);
    in_ = std::make_unique<Inside>(Inside{ledger, clock, random, std::move(*own), settings});
    in_->id = trust::author_id(in_->key.public_key());
    in_->key_hex = to_hex(in_->key.public_key());
}

Receive::~Receive() = default;

const std::string& Receive::id() const { return in_->id; }
std::string Receive::key_hex() const { return in_->key_hex; }

std::vector<Answer> Receive::answer_all(std::span<const Checked> requests)
{
    Inside& in = *in_;
    std::vector<Answer> answers;
    const auto all = [&](const Problem& why) { return std::vector<Answer>(requests.size(), detail::unavailable(why, in.settings.retry_after_s)); };
    bool writes = false;
    for (const auto& c : requests) writes = writes || c.writes();
    if (auto ok = in.ledger.begin(writes); !ok) return all(ok.error());
    for (const auto& c : requests) {
        if (auto ok = c.writes() ? in.ledger.mark() : Status{}; !ok) {
            in.ledger.rollback();
            in.nodes.clear();
            return all(ok.error());
        }
        auto done = in.one(c);
        if (done) {
            answers.push_back(std::move(*done));
            continue;
        }
        answers.push_back(detail::unavailable(done.error(), in.settings.retry_after_s));
        in.nodes.clear();
        if (auto ok = c.writes() ? in.ledger.back() : Status{}; !ok) {
            in.ledger.rollback();
            return all(ok.error());
        }
    }
    if (PLANTED(answer_before_commit)) {
        (void)in.ledger.commit();
        return answers;
    }
    if (auto ok = in.ledger.commit(); !ok) {
        in.nodes.clear();
        return all(ok.error());
    }
    return answers;
}

Result<Answer> Receive::Inside::one(const Checked& c)
{
    switch (c.kind) {
    case Kind::refused: return c.refused;
    case Kind::enrol: return enrol(c);
    case Kind::nonce: return nonce();
    case Kind::session: return session(c);
    case Kind::push: return push(c);
    default: break;
    }
    auto asked = who(c.request.headers);
    if (!asked) return Unexpected{asked.error()};
    if (!*asked) return asked->error();
    if (c.kind == Kind::heads) return heads(c, **asked);
    return c.kind == Kind::jobs ? jobs(c, **asked) : pull(c, **asked);
}

Result<Result<Device, Answer>> Receive::Inside::who(const Headers& headers)
{
    using Told = Result<Device, Answer>;
    const auto refused = [](int status, const char* code) { return Told(Unexpected<Answer>{refusal(status, code)}); };
    const std::string& given = header(headers, "authorization");
    if (given.size() != 71 || !given.starts_with("Bearer ")) return refused(401, "no_session");
    const auto found = ledger.session(trust::sha256_hex(as_bytes(std::string_view(given).substr(7))));
    if (!found) return Unexpected{found.error()};
    if (!*found || (*found)->ends_at <= clock.now().utc_ms) return refused(401, "no_session");
    const auto device = ledger.device((*found)->author);
    if (!device) return Unexpected{device.error()};
    if (!*device) return refused(403, "not_enrolled");
    if (!PLANTED(revoked_served) && (*device)->revoked_at) return refused(403, "revoked");
    return Told(**device);
}

Result<Device, Answer> Receive::who(const Headers& headers)
{
    const auto failed = [&](const Problem& p) { return Result<Device, Answer>(Unexpected<Answer>{detail::unavailable(p, in_->settings.retry_after_s)}); };
    if (auto ok = in_->ledger.begin(false); !ok) return failed(ok.error());
    auto asked = in_->who(headers);
    in_->ledger.rollback();
    return asked ? std::move(*asked) : failed(asked.error());
}

Result<bool> Receive::may_read(const Device& device, const std::string& sha256)
{
    if (auto ok = in_->ledger.begin(false); !ok) return Unexpected{ok.error()};
    auto epoch = in_->ledger.epoch();
    Result<bool> may = Unexpected{Problem{}};
    if (epoch) {
        const auto& keys = in_->streams_of(device.author, *epoch);
        may = in_->ledger.names_blob(device.author, {keys.device_author, keys.broadcast_author}, sha256);
    }
    else may = Unexpected{epoch.error()};
    in_->ledger.rollback();
    return may;
}

trust::KeyPair Receive::Inside::stream_key(const std::string& epoch, const std::string& whose) const
{
    using namespace std::string_view_literals;
    Bytes seed = key.seed();
    trust::Sha256 sha;
    sha.add(as_bytes("stream/1\0"sv));
    sha.add(seed);
    sha.add(as_bytes(epoch));
    sha.add(as_bytes(whose));
    trust::wipe(seed);
    auto derived = sha.done();
    auto pair = trust::KeyPair::from_seed(derived);
    trust::wipe(derived);
    return std::move(*pair);
}

const Receive::Inside::Keys& Receive::Inside::streams_of(const std::string& device, const std::string& epoch)
{
    const std::pair which{epoch, device};
    if (const auto known = streams.find(which); known != streams.end()) return known->second;
    if (streams.size() >= 1000) streams.clear();
    const trust::KeyPair own = stream_key(epoch, device), all = stream_key(epoch, "all");
    Keys k{trust::author_id(own.public_key()), trust::author_id(all.public_key()), {id, epoch, device, to_hex(own.public_key()), to_hex(all.public_key()), {}}};
    sign(k.streams, key);
    return streams.emplace(which, std::move(k)).first->second;
}

FindNode Receive::Inside::find()
{
    return [this](NodeName name) -> Result<Digest> {
        if (const auto known = nodes.find(name); known != nodes.end()) return known->second;
        auto found = ledger.node(name);
        if (found && nodes.size() < 4096) nodes[name] = *found;
        return found;
    };
}

Result<SignedHead> Receive::Inside::signed_head(const char* what, std::int64_t size)
{
    const auto epoch = ledger.epoch();
    const auto root = root_of(size, find());
    if (!epoch || !root) return Unexpected{!epoch ? epoch.error() : root.error()};
    SignedHead& h = signed_heads[what];
    if (h.epoch == *epoch && h.size == size && h.root == to_hex(*root)) return h;
    h = {what, id, *epoch, size, to_hex(*root), clock.now().utc_ms, {}};
    sign(h, key);
    return h;
}

Result<SignedHead> Receive::log_head()
{
    if (auto ok = in_->ledger.begin(false); !ok) return Unexpected{ok.error()};
    const auto size = in_->ledger.log_size();
    auto head = size ? in_->signed_head("head", *size) : Result<SignedHead>(Unexpected{size.error()});
    in_->ledger.rollback();
    return head;
}

} // namespace chockside::sync
