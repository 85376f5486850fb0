#include <core/journal/sign_off.h>
#include <core/trust/trust.h>

namespace chockside::journal {

std::string sign_off_statement(const std::string& job, const std::string& person, const json::Value& body)
{
    json::Object said = body.as_object();
    said.erase("key");
    said.erase("signature");
    return json::write(json::Object{{"job", job}, {"person", person}, {"sign", json::Value(std::move(said))}});
}

std::string sign_off_flaw(const std::string& job, const std::string& person, const json::Value& body)
{
    if (!body.has("key") || !body.has("signature")) return "unsigned";
    const auto key = from_hex(body["key"].as_text()), signature = from_hex(body["signature"].as_text());
    if (!key || !signature || to_hex(*key) != body["key"].as_text() || to_hex(*signature) != body["signature"].as_text()) return "person_signature";
    return trust::verify(trust::Domain::sign_off, as_bytes(sign_off_statement(job, person, body)), *signature, *key) ? "" : "person_signature";
}

} // namespace chockside::journal
