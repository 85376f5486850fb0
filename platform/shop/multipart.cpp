#include <platform/shop/http.h>

#include <algorithm>
#include <cctype>

namespace chockside::shop {

namespace {

constexpr std::size_t parts_most = 20, head_most = 2048;

std::string lower(std::string_view text)
{
    std::string out(text);
    for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return out;
}

/// RFC 2046, section 5.1.1, less the characters that would need quotes.
std::string_view boundary_of(std::string_view content_type)
{
    constexpr std::string_view mark = "multipart/form-data; boundary=";
    if (lower(content_type.substr(0, mark.size())) != mark) return {};
    const auto b = content_type.substr(mark.size());
    const bool good = !b.empty() && b.size() <= 70 && std::all_of(b.begin(), b.end(), [](char c) { return std::isalnum(static_cast<unsigned char>(c)) || std::string_view("'+_-.").find(c) != std::string_view::npos; });
    return good ? b : std::string_view();
}

/// Of a part's head; the name that a file had elsewhere is of no use here.
std::optional<std::string> name_of(std::string_view head)
{
    std::optional<std::string> found;
    while (!head.empty()) {
        const auto line = head.substr(0, head.find("\r\n"));
        head.remove_prefix(std::min(head.size(), line.size() + 2));
        const std::string lowered = lower(line);
        if (lowered.starts_with("content-transfer-encoding:")) return {};
        if (!lowered.starts_with("content-disposition:")) continue;
        constexpr std::string_view mark = "content-disposition: form-data; name=\"";
        if (found || !lowered.starts_with(mark)) return {};
        const auto rest = line.substr(mark.size());
        const auto end = rest.find('"');
        if (end == std::string_view::npos) return {};
        found = std::string(rest.substr(0, end));
    }
    return found;
}

} // namespace

std::optional<Fields> multipart_fields(std::string_view content_type, std::string_view body)
{
    const auto boundary = boundary_of(content_type);
    const std::string first = "--" + std::string(boundary), between = "\r\n" + first;
    if (boundary.empty() || !body.starts_with(first)) return {};
    body.remove_prefix(first.size());
    Fields fields;
    while (body != "--" && body != "--\r\n") {
        const auto head = body.substr(0, std::min(body.find("\r\n\r\n"), head_most));
        if (!body.starts_with("\r\n") || !body.substr(head.size()).starts_with("\r\n\r\n") || fields.size() == parts_most) return {};
        const auto name = name_of(head.substr(std::min<std::size_t>(2, head.size())));
        body.remove_prefix(head.size() + 4);
        const auto end = body.find(between);
        if (!name || end == std::string_view::npos) return {};
        fields.emplace_back(*name, body.substr(0, end));
        body.remove_prefix(end + between.size());
    }
    return fields;
}

} // namespace chockside::shop
