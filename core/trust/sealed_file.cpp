#include <core/trust/sealed_file.h>

#include <sodium.h>

#include <algorithm>
#include <cstdlib>

namespace chockside::trust {

namespace {

constexpr std::string_view magic = "chkseal1";
constexpr std::size_t header_size = crypto_secretstream_xchacha20poly1305_HEADERBYTES;
constexpr std::size_t extra = crypto_secretstream_xchacha20poly1305_ABYTES;
constexpr std::size_t prefix = 8 + 4 + header_size;
constexpr std::size_t chunk_most = std::size_t{1} << 20;
constexpr std::size_t chunk_usual = std::size_t{64} << 10;

const unsigned char* raw(ByteView v) { return reinterpret_cast<const unsigned char*>(v.data()); }
unsigned char* out(std::span<std::byte> v) { return reinterpret_cast<unsigned char*>(v.data()); }

void put_u32(std::span<std::byte> to, std::uint32_t v)
{
    for (std::size_t i = 0; i < 4; ++i) to[i] = static_cast<std::byte>(v >> (8 * i));
}

std::uint32_t u32(ByteView at)
{
    std::uint32_t v = 0;
    for (std::size_t i = 0; i < 4; ++i) v |= std::to_integer<std::uint32_t>(at[i]) << (8 * i);
    return v;
}

} // namespace

struct SealingStream::State {
    crypto_secretstream_xchacha20poly1305_state stream;
    ~State() { sodium_memzero(&stream, sizeof stream); }
};

SealingStream::SealingStream(const Key& data_key, std::uint32_t number) : state_(std::make_unique<State>())
{
    if (sodium_init() < 0) std::abort();
    header_ = Bytes(prefix);
    std::ranges::copy(as_bytes(magic), header_.begin());
    put_u32(std::span(header_).subspan(magic.size()), number);
    crypto_secretstream_xchacha20poly1305_init_push(&state_->stream, out(std::span(header_).subspan(prefix - header_size)), raw(data_key));
}

SealingStream::~SealingStream() = default;
SealingStream::SealingStream(SealingStream&&) noexcept = default;
SealingStream& SealingStream::operator=(SealingStream&&) noexcept = default;

Bytes SealingStream::push(ByteView chunk, bool last)
{
    Bytes sealed(4 + chunk.size() + extra);
    put_u32(sealed, static_cast<std::uint32_t>(chunk.size() + extra));
    const unsigned char tag = last ? crypto_secretstream_xchacha20poly1305_TAG_FINAL : crypto_secretstream_xchacha20poly1305_TAG_MESSAGE;
    crypto_secretstream_xchacha20poly1305_push(&state_->stream, out(std::span(sealed).subspan(4)), nullptr, raw(chunk), chunk.size(), nullptr, 0, tag);
    return sealed;
}

bool is_sealed(ByteView file)
{
    return file.size() >= prefix && std::ranges::equal(file.first(magic.size()), as_bytes(magic));
}

Result<Unsealed> unseal_file(Vault& vault, ByteView file)
{
    if (!is_sealed(file)) return fail("bad_seal", "file");
    const auto key = vault.data_key(u32(file.subspan(magic.size())));
    if (!key) return Unexpected{key.error()};
    crypto_secretstream_xchacha20poly1305_state stream;
    if (crypto_secretstream_xchacha20poly1305_init_pull(&stream, raw(file.subspan(prefix - header_size)), raw(*key)) != 0) return fail("bad_seal", "file");
    Unsealed done;
    for (ByteView rest = file.subspan(prefix); rest.size() >= 4 && !done.whole; ) {
        const std::size_t size = u32(rest);
        if (size < extra || size > chunk_most + extra) return fail("bad_seal", "file");
        if (rest.size() < 4 + size) return done;
        const std::size_t before = done.bytes.size();
        done.bytes.resize(before + size - extra);
        unsigned char tag = 0;
        if (crypto_secretstream_xchacha20poly1305_pull(&stream, out(std::span(done.bytes).subspan(before)), nullptr, &tag, raw(rest.subspan(4)), size, nullptr, 0) != 0) return fail("bad_seal", "file");
        done.whole = tag == crypto_secretstream_xchacha20poly1305_TAG_FINAL;
        rest = rest.subspan(4 + size);
        if (done.whole && !rest.empty()) return fail("bad_seal", "file");
    }
    return done;
}

Result<Bytes> seal_file(Vault& vault, ByteView plain)
{
    if (!vault.can_write()) return fail("pin_needed", "file");
    const auto key = vault.data_key(vault.writing());
    if (!key) return Unexpected{key.error()};
    SealingStream stream(*key, vault.writing());
    Bytes file = stream.header();
    do {
        const ByteView chunk = plain.first(std::min(plain.size(), chunk_usual));
        plain = plain.subspan(chunk.size());
        const Bytes sealed = stream.push(chunk, plain.empty());
        file.insert(file.end(), sealed.begin(), sealed.end());
    } while (!plain.empty());
    return file;
}

} // namespace chockside::trust
