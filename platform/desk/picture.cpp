#include <platform/desk/picture.h>

#include <core/trust/trust.h>

#include <algorithm>
#include <array>

namespace chockside::desk {

namespace {

constexpr std::uint64_t most_bytes = std::uint64_t{64} << 20;

/// By what the file begins with: a name proves nothing. JPEG: ISO/IEC 10918-1, B.1.1.3 (SOI, then a marker); PNG: ISO/IEC 15948, 5.2.
std::string media_of(ByteView bytes)
{
    static constexpr std::array<unsigned char, 3> jpeg{0xFF, 0xD8, 0xFF};
    static constexpr std::array<unsigned char, 8> png{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    const auto begins = [&](const auto& with) {
        return bytes.size() > with.size() && std::equal(with.begin(), with.end(), bytes.begin(), [](unsigned char a, std::byte b) { return std::byte{a} == b; });
    };
    return begins(jpeg) ? "image/jpeg" : begins(png) ? "image/png" : "";
}

} // namespace

Status attach_picture(Disk& disk, journal::Store& store, job::Command& command)
{
    if (!command.args.is_object() || !command.args.has("path")) return {};
    const std::string path = command.args["path"].as_text();
    json::Object kept = command.args.as_object();
    kept.erase("path");
    command.args = json::Value(std::move(kept));
    const auto bytes = disk.read(path, most_bytes);
    if (!bytes) return Unexpected{bytes.error()};
    const std::string media = media_of(*bytes), sha = trust::sha256_hex(*bytes);
    if (media.empty()) return fail("bad_picture");
    if (auto ok = store.put_attachment(sha, *bytes, media); !ok) return ok;
    command.args.at("sha") = sha;
    command.args.at("media") = media;
    return {};
}

} // namespace chockside::desk
