#include <platform/shop/tus.h>

#include <algorithm>

namespace chockside::shop {

std::optional<Fields> upload_metadata(std::string_view text)
{
    Fields out;
    while (!text.empty()) {
        const auto end = text.find(',');
        auto pair = text.substr(0, end);
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
        while (!pair.empty() && pair.front() == ' ') pair.remove_prefix(1);
        while (!pair.empty() && pair.back() == ' ') pair.remove_suffix(1);
        if (pair.empty()) return {};
        const auto space = pair.find(' ');
        const std::string key(pair.substr(0, space));
        const auto value = from_base64(space == std::string_view::npos ? std::string_view() : pair.substr(space + 1));
        const bool fine = value && std::all_of(key.begin(), key.end(), [](char c) { return c > 0x20 && c < 0x7f; });
        if (!fine || std::any_of(out.begin(), out.end(), [&](const auto& held) { return held.first == key; })) return {};
        out.emplace_back(key, to_text(*value));
    }
    return out;
}

std::optional<Checksum> upload_checksum(std::string_view text)
{
    const auto space = text.find(' ');
    if (space == std::string_view::npos) return {};
    const auto digest = from_base64(text.substr(space + 1));
    if (!digest || digest->empty()) return {};
    return Checksum{std::string(text.substr(0, space)), to_text(*digest)};
}

} // namespace chockside::shop
