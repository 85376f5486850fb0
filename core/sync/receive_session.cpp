// Enrolment, nonces, sessions: none of it looks at a clock of the device.
#include <core/sync/detail/receiving.h>

namespace chockside::sync {

using detail::answer_with;
using detail::refusal;

namespace {

constexpr std::size_t nonce_digits = 48;

std::string nonce_message(std::string_view stem)
{
    return "nonce:" + std::string(stem);
}

std::string random_hex(Random& random, std::size_t bytes)
{
    Bytes b(bytes);
    random.fill(b);
    return to_hex(b);
}

} // namespace

Result<Answer> Receive::Inside::enrol(const Checked& c)
{
    const auto r = enrol_request_from(c.request.body);
    if (!r) return refusal(400, "bad_request", r.error().place.c_str());
    const std::string hash = trust::sha256_hex(as_bytes(r->code));
    const auto code = ledger.code(hash);
    if (!code) return Unexpected{code.error()};
    const bool again = *code && (*code)->used_by == r->key;
    if (!*code) return refusal(410, "code_ended");
    if (!again && !(*code)->used_by.empty()) return refusal(409, "code_used");
    const std::int64_t now = clock.now().utc_ms;
    if (!again && now - (*code)->made_at > settings.code_s * 1000) return refusal(410, "code_ended");
    if (!trust::verify(trust::Domain::enrolment, as_bytes(enrolment_statement(r->code, r->key, id)), *from_hex(r->proof), *from_hex(r->key))) return refusal(403, "not_enrolled", "proof");
    const std::string author = trust::author_id(*from_hex(r->key));
    const auto known = ledger.device(author);
    const auto epoch = ledger.epoch();
    if (!known || !epoch) return Unexpected{!known ? known.error() : epoch.error()};
    if (*known && (*known)->revoked_at) return refusal(403, "revoked");
    if (!*known) {
        if (auto ok = ledger.put_device({author, r->key, r->name, now, 0}); !ok) return Unexpected{ok.error()};
        if (auto ok = ledger.put_key(author, r->key); !ok) return Unexpected{ok.error()};
    }
    if (!again)
        if (auto ok = ledger.use_code(hash, r->key); !ok) return Unexpected{ok.error()};
    return answer_with(200, text(EnrolAnswer{author, id, key_hex, *epoch}));
}

Answer Receive::Inside::nonce()
{
    Bytes stem(24);
    random.fill(stem);
    std::uint64_t now = static_cast<std::uint64_t>(clock.now().utc_ms);
    for (std::size_t i = 24; i-- > 16; now >>= 8) stem[i] = static_cast<std::byte>(now & 255);
    const std::string hex = to_hex(stem);
    return answer_with(200, text(NonceAnswer{hex + "." + to_hex(key.sign(trust::Domain::session, as_bytes(nonce_message(hex)))), id}));
}

bool Receive::Inside::nonce_holds(const std::string& nonce) const
{
    if (nonce.size() != nonce_digits + 129 || nonce[nonce_digits] != '.') return false;
    const std::string stem = nonce.substr(0, nonce_digits);
    const auto signature = from_hex(std::string_view(nonce).substr(nonce_digits + 1)), bytes = from_hex(stem);
    if (!signature || !bytes || !trust::verify(trust::Domain::session, as_bytes(nonce_message(stem)), *signature, key.public_key())) return false;
    std::uint64_t made = 0;
    for (std::size_t i = 16; i < 24; ++i) made = made << 8 | std::to_integer<std::uint64_t>((*bytes)[i]);
    const std::int64_t age = clock.now().utc_ms - static_cast<std::int64_t>(made);
    return age >= 0 && age <= settings.nonce_s * 1000;
}

Result<Answer> Receive::Inside::session(const Checked& c)
{
    const auto r = session_request_from(c.request.body);
    if (!r) return refusal(400, "bad_request", r.error().place.c_str());
    if (!nonce_holds(r->nonce)) return refusal(401, "no_session", "nonce");
    const auto device = ledger.device(r->author);
    const auto epoch = ledger.epoch();
    if (!device || !epoch) return Unexpected{!device ? device.error() : epoch.error()};
    if (!*device) return refusal(403, "not_enrolled");
    if ((*device)->revoked_at) return refusal(403, "revoked");
    if (!trust::verify(trust::Domain::session, as_bytes(session_statement(r->author, r->nonce, id)), *from_hex(r->proof), *from_hex((*device)->key))) return refusal(403, "not_enrolled", "proof");
    const std::int64_t now = clock.now().utc_ms;
    SessionAnswer a{random_hex(random, 32), id, *epoch, settings.session_s, r->sent, now, now, 1, 1};
    auto put = ledger.put_session({trust::sha256_hex(as_bytes(a.token)), r->nonce.substr(0, nonce_digits), r->author, now + settings.session_s * 1000});
    if (!put && put.error().code == "exists") return refusal(401, "no_session", "nonce");
    if (!put) return Unexpected{put.error()};
    if (auto ok = ledger.forget_sessions(now - 2 * settings.nonce_s * 1000); !ok) return Unexpected{ok.error()};
    return answer_with(200, text(a));
}

} // namespace chockside::sync
