#include <core/sync/http.h>
#include <core/sync/wire.h>

#include <core/base/bytes.h>

namespace chockside::sync {

const std::string& header(const Headers& headers, std::string_view name)
{
    static const std::string none;
    const auto found = headers.find(std::string(name));
    return found == headers.end() ? none : found->second;
}

namespace {

bool decode(std::string_view text, std::string& out)
{
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '%') {
            out += text[i];
            continue;
        }
        const auto byte = from_hex(text.substr(i + 1, 2));
        if (!byte || byte->size() != 1) return false;
        out += static_cast<char>((*byte)[0]);
        i += 2;
    }
    return true;
}

} // namespace

Target split_target(std::string_view target)
{
    Target t;
    const auto mark = target.find('?');
    t.path = target.substr(0, mark);
    if (mark == std::string_view::npos) return t;
    for (std::string_view rest = target.substr(mark + 1); !rest.empty();) {
        const std::string_view one = rest.substr(0, rest.find('&'));
        rest.remove_prefix(one.size() < rest.size() ? one.size() + 1 : one.size());
        const auto is = one.find('=');
        std::string value;
        if (is == std::string_view::npos || !decode(one.substr(is + 1), value) || !t.query.emplace(one.substr(0, is), value).second) t.ok = false;
    }
    return t;
}

const char* name_of(WireFault f)
{
    switch (f) {
    case WireFault::no_route: return "no_route";
    case WireFault::stalled: return "stalled";
    case WireFault::cut: return "cut";
    case WireFault::not_shop: return "not_shop";
    case WireFault::too_long: return "too_long";
    }
    return "";
}

} // namespace chockside::sync
