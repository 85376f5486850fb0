#include <core/trust/trust.h>

#include <sodium.h>

#include <cstdlib>

namespace chockside::trust {

namespace {

const unsigned char* raw(ByteView v)
{
    return reinterpret_cast<const unsigned char*>(v.data());
}

template <class T>
unsigned char* raw(T& v)
{
    return reinterpret_cast<unsigned char*>(v.data());
}

void ready()
{
    static const bool ok = sodium_init() >= 0;
    if (!ok) std::abort();
}

Bytes tagged(Domain domain, ByteView message)
{
    Bytes all = to_bytes(name_of(domain));
    all.push_back(std::byte{0});
    all.insert(all.end(), message.begin(), message.end());
    return all;
}

} // namespace

const char* name_of(Domain domain)
{
    switch (domain) {
    case Domain::entry: return "chockside/entry/1";
    case Domain::receipt: return "chockside/receipt/1";
    case Domain::head: return "chockside/head/1";
    case Domain::profile: return "chockside/profile/1";
    case Domain::enrolment: return "chockside/enrolment/1";
    case Domain::sign_off: return "chockside/sign-off/1";
    case Domain::session: return "chockside/session/1";
    }
    return "";
}

Digest sha256(ByteView bytes)
{
    Digest digest{};
    crypto_hash_sha256(raw(digest), raw(bytes), bytes.size());
    return digest;
}

std::string sha256_hex(ByteView bytes)
{
    return to_hex(sha256(bytes));
}

struct Sha256::State {
    crypto_hash_sha256_state s;
};

Sha256::Sha256() : state_(std::make_unique<State>())
{
    crypto_hash_sha256_init(&state_->s);
}

Sha256::~Sha256() = default;

void Sha256::add(ByteView bytes)
{
    crypto_hash_sha256_update(&state_->s, raw(bytes), bytes.size());
}

Digest Sha256::done()
{
    Digest digest{};
    crypto_hash_sha256_final(&state_->s, raw(digest));
    return digest;
}

SystemRandom::SystemRandom()
{
    ready();
}

void SystemRandom::fill(std::span<std::byte> out)
{
    randombytes_buf(out.data(), out.size());
}

void wipe(std::span<std::byte> secret)
{
    sodium_memzero(secret.data(), secret.size());
}

KeyPair KeyPair::make(Random& random)
{
    std::array<std::byte, 32> seed{};
    random.fill(seed);
    auto key = from_seed(seed);
    sodium_memzero(seed.data(), seed.size());
    return std::move(*key);
}

Result<KeyPair> KeyPair::from_seed(ByteView seed)
{
    ready();
    if (seed.size() != crypto_sign_SEEDBYTES) return fail("bad_key", "seed");
    KeyPair key;
    if (crypto_sign_seed_keypair(raw(key.public_), raw(key.secret_), raw(seed)) != 0) return fail("bad_key", "seed");
    return key;
}

KeyPair::KeyPair(KeyPair&& other) noexcept : public_(other.public_), secret_(other.secret_)
{
    sodium_memzero(other.secret_.data(), other.secret_.size());
}

KeyPair& KeyPair::operator=(KeyPair&& other) noexcept
{
    public_ = other.public_;
    secret_ = other.secret_;
    if (&other != this) sodium_memzero(other.secret_.data(), other.secret_.size());
    return *this;
}

KeyPair::~KeyPair()
{
    sodium_memzero(secret_.data(), secret_.size());
}

Bytes KeyPair::seed() const
{
    return {secret_.begin(), secret_.begin() + 32};
}

Bytes KeyPair::sign(Domain domain, ByteView message) const
{
    return sign_plain(tagged(domain, message));
}

Bytes KeyPair::sign_plain(ByteView message) const
{
    Bytes signature(crypto_sign_BYTES);
    crypto_sign_detached(raw(signature), nullptr, raw(message), message.size(), reinterpret_cast<const unsigned char*>(secret_.data()));
    return signature;
}

bool verify(Domain domain, ByteView message, ByteView signature, ByteView public_key)
{
    return verify_plain(tagged(domain, message), signature, public_key);
}

bool verify_plain(ByteView message, ByteView signature, ByteView public_key)
{
    ready();
    if (signature.size() != crypto_sign_BYTES || public_key.size() != crypto_sign_PUBLICKEYBYTES) return false;
    return crypto_sign_verify_detached(raw(signature), raw(message), message.size(), raw(public_key)) == 0;
}

std::string author_id(ByteView public_key)
{
    return sha256_hex(public_key).substr(0, 32);
}

} // namespace chockside::trust
