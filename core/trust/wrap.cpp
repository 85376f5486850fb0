#include <core/trust/trust.h>
#include <core/trust/wrap.h>

#include <sodium.h>

#include <array>
#include <cstdlib>

namespace chockside::trust {

namespace {

constexpr std::size_t secret_size = 32;
using Key = std::array<std::byte, crypto_aead_xchacha20poly1305_ietf_KEYBYTES>;

const unsigned char* raw(ByteView v) { return reinterpret_cast<const unsigned char*>(v.data()); }
unsigned char* out(std::span<std::byte> v) { return reinterpret_cast<unsigned char*>(v.data()); }

bool stretch(Key& key, std::string_view pin, ByteView salt, const Stretch& cost)
{
    if (sodium_init() < 0) std::abort();
    return crypto_pwhash(out(std::span(key)), key.size(), pin.data(), pin.size(), raw(salt), cost.passes, static_cast<std::size_t>(cost.memory), crypto_pwhash_ALG_ARGON2ID13) == 0;
}

/// The cost is part of what the box is bound to: a cheaper one does not open it.
Bytes bound_to(const Stretch& cost)
{
    return to_bytes("chockside/wrap/1 " + std::to_string(cost.passes) + " " + std::to_string(cost.memory));
}

} // namespace

Result<Wrapped> wrap(ByteView secret, std::string_view pin, Random& random, Stretch cost)
{
    if (secret.size() != secret_size) return fail("bad_key", "wrap");
    Wrapped w{Bytes(crypto_pwhash_SALTBYTES), Bytes(crypto_aead_xchacha20poly1305_ietf_NPUBBYTES), Bytes(secret_size + crypto_aead_xchacha20poly1305_ietf_ABYTES), cost};
    random.fill(w.salt);
    random.fill(w.nonce);
    Key key{};
    if (!stretch(key, pin, w.salt, cost)) return fail("no_memory", "wrap");
    const Bytes bound = bound_to(cost);
    crypto_aead_xchacha20poly1305_ietf_encrypt(out(std::span(w.box)), nullptr, raw(secret), secret.size(), raw(bound), bound.size(), nullptr, raw(w.nonce), raw(key));
    wipe(key);
    return w;
}

Result<Bytes> unwrap(const Wrapped& w, std::string_view pin)
{
    Key key{};
    if (!stretch(key, pin, w.salt, w.stretch)) return fail("no_memory", "unwrap");
    const Bytes bound = bound_to(w.stretch);
    Bytes secret(secret_size);
    const bool open = crypto_aead_xchacha20poly1305_ietf_decrypt(out(std::span(secret)), nullptr, nullptr, raw(w.box), w.box.size(), raw(bound), bound.size(), raw(w.nonce), raw(key)) == 0;
    wipe(key);
    if (!open) return fail("wrong_pin", "unwrap");
    return secret;
}

json::Value to_json(const Wrapped& w)
{
    return json::Object{{"salt", to_hex(w.salt)}, {"nonce", to_hex(w.nonce)}, {"box", to_hex(w.box)}, {"passes", static_cast<std::int64_t>(w.stretch.passes)}, {"memory", static_cast<std::int64_t>(w.stretch.memory)}};
}

Result<Wrapped> wrapped_from(const json::Value& v)
{
    auto salt = from_hex(v["salt"].as_text()), nonce = from_hex(v["nonce"].as_text()), box = from_hex(v["box"].as_text());
    const std::int64_t passes = v["passes"].as_int(), memory = v["memory"].as_int();
    const bool sizes = salt && nonce && box && salt->size() == crypto_pwhash_SALTBYTES && nonce->size() == crypto_aead_xchacha20poly1305_ietf_NPUBBYTES && box->size() == secret_size + crypto_aead_xchacha20poly1305_ietf_ABYTES;
    // A file from elsewhere may not ask for a day of work or for all memory.
    if (!sizes || passes < 1 || passes > 64 || memory < static_cast<std::int64_t>(crypto_pwhash_MEMLIMIT_MIN) || memory > (std::int64_t{1} << 30)) return fail("bad_key", "wrap");
    return Wrapped{std::move(*salt), std::move(*nonce), std::move(*box), {static_cast<std::uint64_t>(passes), static_cast<std::uint64_t>(memory)}};
}

bool argon2id_matches(const std::string& encoded, std::string_view pin)
{
    if (sodium_init() < 0) std::abort();
    return crypto_pwhash_str_verify(encoded.c_str(), pin.data(), pin.size()) == 0;
}

} // namespace chockside::trust
