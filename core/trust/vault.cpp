#include <core/trust/vault.h>

#include <sodium.h>

#include <algorithm>
#include <cstdlib>

namespace chockside::trust {

namespace {

constexpr std::size_t number_size = 4;
constexpr std::size_t nonce_size = crypto_aead_xchacha20poly1305_ietf_NPUBBYTES;
constexpr std::size_t tag_size = crypto_aead_xchacha20poly1305_ietf_ABYTES;

const unsigned char* raw(ByteView v) { return reinterpret_cast<const unsigned char*>(v.data()); }
unsigned char* out(std::span<std::byte> v) { return reinterpret_cast<unsigned char*>(v.data()); }

void ready()
{
    if (sodium_init() < 0) std::abort();
}

std::uint32_t number_of(ByteView sealed)
{
    std::uint32_t n = 0;
    for (std::size_t i = 0; i < number_size; ++i) n |= std::to_integer<std::uint32_t>(sealed[i]) << (8 * i);
    return n;
}

} // namespace

Bytes box_to(ByteView public_key, ByteView secret, Random& random)
{
    ready();
    std::array<std::byte, crypto_box_SEEDBYTES> seed;
    random.fill(seed);
    std::array<std::byte, 32> one_public, one_secret;
    crypto_box_seed_keypair(out(one_public), out(one_secret), raw(seed));
    std::array<unsigned char, crypto_box_NONCEBYTES> nonce;
    crypto_generichash_state state;
    crypto_generichash_init(&state, nullptr, 0, nonce.size());
    crypto_generichash_update(&state, raw(one_public), one_public.size());
    crypto_generichash_update(&state, raw(public_key), public_key.size());
    crypto_generichash_final(&state, nonce.data(), nonce.size());
    Bytes box(crypto_box_SEALBYTES + secret.size());
    std::copy(one_public.begin(), one_public.end(), box.begin());
    const bool made = crypto_box_easy(out(std::span(box).subspan(32)), raw(secret), secret.size(), nonce.data(), raw(public_key), raw(one_secret)) == 0;
    wipe(one_secret);
    wipe(seed);
    return made ? box : Bytes{};
}

Result<Bytes> open_box(ByteView box, ByteView public_key, ByteView secret_key)
{
    ready();
    if (box.size() < crypto_box_SEALBYTES || public_key.size() != 32 || secret_key.size() != 32) return fail("bad_seal", "box");
    Bytes secret(box.size() - crypto_box_SEALBYTES);
    if (crypto_box_seal_open(out(secret), raw(box), box.size(), raw(public_key), raw(secret_key)) != 0) return fail("bad_seal", "box");
    return secret;
}

Result<Bytes> box_to_person(ByteView ed25519_public, ByteView secret, Random& random)
{
    ready();
    std::array<std::byte, 32> montgomery;
    if (ed25519_public.size() != 32 || crypto_sign_ed25519_pk_to_curve25519(out(montgomery), raw(ed25519_public)) != 0) return fail("bad_key", "person");
    return box_to(montgomery, secret, random);
}

Result<Bytes> open_persons_box(ByteView box, const KeyPair& person)
{
    ready();
    Bytes seed = person.seed();
    std::array<std::byte, 64> whole;
    std::array<std::byte, 32> ed, montgomery, secret;
    crypto_sign_seed_keypair(out(ed), out(whole), raw(seed));
    crypto_sign_ed25519_sk_to_curve25519(out(secret), raw(whole));
    crypto_scalarmult_base(out(montgomery), raw(secret));
    wipe(seed);
    wipe(whole);
    auto opened = open_box(box, montgomery, secret);
    wipe(secret);
    return opened;
}

Vault Vault::make(Random& random)
{
    ready();
    Vault v;
    std::array<std::byte, crypto_box_SEEDBYTES> seed;
    random.fill(seed);
    v.secret_.emplace();
    crypto_box_seed_keypair(out(v.public_), out(*v.secret_), raw(seed));
    wipe(seed);
    return v;
}

Result<Vault> Vault::from_secret(ByteView secret)
{
    ready();
    Vault v;
    if (secret.size() != v.public_.size()) return fail("bad_key", "vault");
    crypto_scalarmult_base(out(v.public_), raw(secret));
    if (auto ok = v.open_with(secret); !ok) return Unexpected{ok.error()};
    return v;
}

Result<Vault> Vault::with_public_key(ByteView key)
{
    Vault v;
    if (key.size() != v.public_.size()) return fail("bad_key", "vault");
    std::copy(key.begin(), key.end(), v.public_.begin());
    return v;
}

Vault::~Vault()
{
    shut();
}

Status Vault::open_with(ByteView secret)
{
    ready();
    Key derived;
    if (secret.size() != derived.size()) return fail("bad_key", "vault");
    crypto_scalarmult_base(out(derived), raw(secret));
    if (derived != public_) return fail("bad_key", "vault");
    secret_.emplace();
    std::copy(secret.begin(), secret.end(), secret_->begin());
    return {};
}

Vault Vault::for_reading() const
{
    Vault other;
    other.public_ = public_;
    other.secret_ = secret_;
    other.boxes_ = boxes_;
    other.keys_ = keys_;
    return other;
}

void Vault::shut()
{
    if (secret_) wipe(*secret_);
    secret_.reset();
    for (auto& [number, key] : keys_) wipe(key);
    keys_.clear();
    writing_ = 0;
}

Bytes Vault::secret() const
{
    return secret_ ? Bytes(secret_->begin(), secret_->end()) : Bytes{};
}

Vault::NewKey Vault::begin(Random& random)
{
    const std::uint32_t number = boxes_.empty() ? 1 : boxes_.rbegin()->first + 1;
    Key key;
    random.fill(key);
    Bytes box = box_to(public_, key, random);
    boxes_[number] = box;
    keys_[number] = key;
    wipe(key);
    writing_ = number;
    return {number, std::move(box)};
}

bool Vault::go_on()
{
    if (!secret_ || boxes_.empty()) return false;
    const std::uint32_t newest = boxes_.rbegin()->first;
    if (!data_key(newest)) return false;
    writing_ = newest;
    return true;
}

Result<Key> Vault::data_key(std::uint32_t number)
{
    if (const auto known = keys_.find(number); known != keys_.end()) return known->second;
    if (!secret_) return fail("pin_needed", "vault");
    const auto box = boxes_.find(number);
    if (box == boxes_.end()) return fail("bad_seal", "vault");
    auto opened = open_box(box->second, public_, *secret_);
    if (!opened || opened->size() != 32) return fail("bad_seal", "vault");
    Key key;
    std::copy(opened->begin(), opened->end(), key.begin());
    wipe(*opened);
    return keys_[number] = key;
}

Bytes Vault::seal(std::string_view about, ByteView plain, Random& random) const
{
    const auto key = keys_.find(writing_);
    if (key == keys_.end()) return {};
    Bytes sealed(number_size + nonce_size + plain.size() + tag_size);
    for (std::size_t i = 0; i < number_size; ++i) sealed[i] = static_cast<std::byte>(writing_ >> (8 * i));
    const auto nonce = std::span(sealed).subspan(number_size, nonce_size);
    random.fill(nonce);
    crypto_aead_xchacha20poly1305_ietf_encrypt(out(std::span(sealed).subspan(number_size + nonce_size)), nullptr, raw(plain), plain.size(), raw(as_bytes(about)), about.size(), nullptr, raw(nonce), raw(key->second));
    return sealed;
}

Result<Bytes> Vault::unseal(std::string_view about, ByteView sealed)
{
    if (sealed.size() < number_size + nonce_size + tag_size) return fail("bad_seal", std::string(about));
    const auto key = data_key(number_of(sealed));
    if (!key) return Unexpected{key.error()};
    const ByteView nonce = sealed.subspan(number_size, nonce_size), text = sealed.subspan(number_size + nonce_size);
    Bytes plain(text.size() - tag_size);
    const bool open = crypto_aead_xchacha20poly1305_ietf_decrypt(out(plain), nullptr, nullptr, raw(text), text.size(), raw(as_bytes(about)), about.size(), raw(nonce), raw(*key)) == 0;
    return open ? Result<Bytes>(std::move(plain)) : Result<Bytes>(fail("bad_seal", std::string(about)));
}

} // namespace chockside::trust
