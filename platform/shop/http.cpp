#include <platform/shop/http.h>

#include <ctime>

namespace chockside::shop {

namespace {

int hex_digit(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

/// Calls `each(name, value)` for the pairs of a query or form; false where it is malformed.
template <class Each>
bool pairs(std::string_view text, Each each)
{
    while (!text.empty()) {
        const auto end = text.find('&');
        const auto pair = text.substr(0, end);
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
        if (pair.empty()) continue;
        const auto equals = pair.find('=');
        auto name = percent_decoded(pair.substr(0, equals), true);
        auto value = percent_decoded(equals == std::string_view::npos ? std::string_view() : pair.substr(equals + 1), true);
        if (!name || !value) return false;
        each(std::move(*name), std::move(*value));
    }
    return true;
}

} // namespace

const std::string& Head::field(std::string_view name) const
{
    static const std::string none;
    for (const auto& [key, value] : fields)
        if (key == name) return value;
    return none;
}

bool Head::has(std::string_view name) const
{
    for (const auto& pair : fields)
        if (pair.first == name) return true;
    return false;
}

std::string Head::value(std::string_view name) const
{
    std::string found;
    int times = 0;
    const bool whole = pairs(query, [&](std::string key, std::string v) {
        if (key != name) return;
        found = std::move(v);
        ++times;
    });
    return whole && times == 1 ? found : std::string();
}

Response plain(int status, std::string text)
{
    Response r;
    r.status = status;
    if (text.empty() && status >= 400) text = reason(status);
    if (!text.empty()) r.set("Content-Type", "text/plain; charset=utf-8");
    r.body = std::move(text);
    return r;
}

Response json_answer(int status, std::string text)
{
    Response r;
    r.status = status;
    r.set("Content-Type", "application/json");
    r.body = std::move(text);
    return r;
}

const char* reason(int status)
{
    switch (status) {
    case 100: return "Continue";
    case 200: return "OK";
    case 201: return "Created";
    case 204: return "No Content";
    case 206: return "Partial Content";
    case 303: return "See Other";
    case 304: return "Not Modified";
    case 400: return "Bad Request";
    case 401: return "Unauthorized";
    case 403: return "Forbidden";
    case 404: return "Not Found";
    case 405: return "Method Not Allowed";
    case 408: return "Request Timeout";
    case 409: return "Conflict";
    case 410: return "Gone";
    case 411: return "Length Required";
    case 412: return "Precondition Failed";
    case 413: return "Content Too Large";
    case 414: return "URI Too Long";
    case 415: return "Unsupported Media Type";
    case 416: return "Range Not Satisfiable";
    case 422: return "Unprocessable Content";
    case 423: return "Locked";
    case 429: return "Too Many Requests";
    case 431: return "Request Header Fields Too Large";
    case 460: return "Checksum Mismatch";
    case 500: return "Internal Server Error";
    case 501: return "Not Implemented";
    case 503: return "Service Unavailable";
    case 507: return "Insufficient Storage";
    default: return "Answer";
    }
}

std::optional<std::string> percent_decoded(std::string_view text, bool plus)
{
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (plus && text[i] == '+') {
            out += ' ';
        } else if (text[i] != '%') {
            out += text[i];
        } else {
            const int high = i + 2 < text.size() ? hex_digit(text[i + 1]) : -1;
            const int low = high >= 0 ? hex_digit(text[i + 2]) : -1;
            if (low < 0) return {};
            out += static_cast<char>(high * 16 + low);
            i += 2;
        }
    }
    return out;
}

std::string percent_encoded(std::string_view text)
{
    static const char* digits = "0123456789ABCDEF";
    std::string out;
    for (const char c : text) {
        const bool plain_char = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '.' || c == '_' || c == '~';
        if (plain_char) {
            out += c;
        } else {
            out += '%';
            out += digits[static_cast<unsigned char>(c) >> 4];
            out += digits[static_cast<unsigned char>(c) & 15];
        }
    }
    return out;
}

std::optional<Fields> form_fields(std::string_view body)
{
    Fields fields;
    const bool whole = pairs(body, [&](std::string name, std::string value) { fields.emplace_back(std::move(name), std::move(value)); });
    return whole && fields.size() <= 200 ? std::optional(std::move(fields)) : std::nullopt;
}

std::string http_date(std::int64_t utc_ms)
{
    const std::time_t t = static_cast<std::time_t>(utc_ms / 1000);
    std::tm parts{};
    gmtime_r(&t, &parts);
    char text[64];
    static const char* days[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    static const char* months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    std::snprintf(text, sizeof text, "%s, %02d %s %04d %02d:%02d:%02d GMT", days[parts.tm_wday], parts.tm_mday, months[parts.tm_mon], parts.tm_year + 1900, parts.tm_hour, parts.tm_min,
        parts.tm_sec);
    return text;
}

std::string cookie(std::string_view field, std::string_view name)
{
    std::string found;
    int times = 0;
    while (!field.empty()) {
        const auto end = field.find(';');
        auto pair = field.substr(0, end);
        field = end == std::string_view::npos ? std::string_view() : field.substr(end + 1);
        while (!pair.empty() && pair.front() == ' ') pair.remove_prefix(1);
        if (pair.size() <= name.size() || pair.substr(0, name.size()) != name || pair[name.size()] != '=') continue;
        found = pair.substr(name.size() + 1);
        ++times;
    }
    return times == 1 ? found : std::string();
}

bool same(std::string_view a, std::string_view b)
{
    unsigned char different = a.size() == b.size() ? 0 : 1;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) different |= static_cast<unsigned char>(a[i] ^ b[i]);
    return different == 0;
}

} // namespace chockside::shop
