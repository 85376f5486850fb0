#include <core/framing/crc.h>
#include <core/trend/detail/column.h>

#include <zstd.h>

#include <memory>

namespace chockside::trend::detail {

namespace {

struct Free {
    void operator()(ZSTD_CCtx* c) const { ZSTD_freeCCtx(c); }
    void operator()(ZSTD_DCtx* c) const { ZSTD_freeDCtx(c); }
};
constexpr int level = 1;

} // namespace

Bytes pack(ByteView plain)
{
    thread_local const std::unique_ptr<ZSTD_CCtx, Free> context(ZSTD_createCCtx());
    Bytes out;
    put_u64(plain.size(), 4, out);
    const std::size_t most = ZSTD_compressBound(plain.size());
    out.resize(4 + most);
    const std::size_t n = ZSTD_compressCCtx(context.get(), out.data() + 4, most, plain.data(), plain.size(), level);
    out.resize(ZSTD_isError(n) ? 0 : 4 + n);
    return out;
}

bool unpack(ByteView packed, std::size_t most, Bytes& plain)
{
    thread_local const std::unique_ptr<ZSTD_DCtx, Free> context(ZSTD_createDCtx());
    std::uint64_t size = 0;
    if (!take_u64(packed, 4, size) || size > most) return false;
    plain.resize(size);
    return ZSTD_decompressDCtx(context.get(), plain.data(), plain.size(), packed.data(), packed.size()) == size;
}

std::uint32_t crc32(ByteView bytes)
{
    static const framing::Crc crc(*framing::crc_by_name("CRC-32/ISO-HDLC"));
    return static_cast<std::uint32_t>(crc.of(bytes));
}

} // namespace chockside::trend::detail
