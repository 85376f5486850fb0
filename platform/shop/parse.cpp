#include <platform/shop/detail/parse.h>

#include <algorithm>

namespace chockside::shop::detail {

namespace {

/// Fields of which a second one could mean something else to whoever reads the first.
bool once_only(std::string_view name)
{
    return name == "host" || name == "content-length" || name == "authorization" || name == "cookie" || name == "upload-offset" || name == "upload-length" || name == "upload-metadata"
        || name == "upload-checksum" || name == "tus-resumable" || name == "range" || name == "content-type" || name == "x-http-method-override" || name == "content-digest";
}

/// Empty where it is malformed or would lead somewhere else than it reads.
std::string clean_path(std::string_view text)
{
    auto path = percent_decoded(text);
    if (!path || path->empty() || path->front() != '/') return {};
    const auto odd = [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == '\\' || c == 0x7f; };
    if (std::any_of(path->begin(), path->end(), odd)) return {};
    for (std::size_t at = 0; at < path->size();) {
        const auto end = std::min(path->find('/', at + 1), path->size());
        const auto part = std::string_view(*path).substr(at + 1, end - at - 1);
        if (part == "." || part == ".." || (part.empty() && end < path->size())) return {};
        at = end;
    }
    return *path;
}

int add_field(const Parser::value_type::value_type& f, Head& head)
{
    std::string name(f.name_string());
    std::transform(name.begin(), name.end(), name.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    const std::string value(f.value());
    for (auto& [key, held] : head.fields) {
        if (key != name) continue;
        if (once_only(name)) return 400;
        held += ", " + value;
        return 0;
    }
    head.fields.emplace_back(std::move(name), value);
    return 0;
}

} // namespace

int read_head(const Parser::value_type& message, const ServerOptions& options, Head& head)
{
    if (message.version() != 11 && message.version() != 10) return 400;
    head.method = std::string(message.method_string());
    head.target = std::string(message.target());
    if (head.target.size() > options.limits.target_bytes) return 414;
    std::size_t count = 0;
    for (const auto& field : message) {
        if (++count > options.limits.head_fields) return 431;
        if (const int status = add_field(field, head)) return status;
    }
    if (message.version() == 11 && !head.has("host")) return 400;
    if (const auto& coding = head.field("content-encoding"); !coding.empty() && coding != "identity") return 415;
    if (const auto& length = head.field("content-length"); !length.empty()) head.length = std::strtoull(length.c_str(), nullptr, 10);
    else if (!head.has("transfer-encoding")) head.length = 0;
    const auto question = head.target.find('?');
    head.path = clean_path(std::string_view(head.target).substr(0, question));
    if (question != std::string::npos) head.query = head.target.substr(question + 1);
    return head.path.empty() && head.target != "*" ? 400 : 0;
}

std::string peer_of(Head& head, const ServerOptions& options, const std::string& peer)
{
    if (!options.behind_proxy || (peer != "127.0.0.1" && peer != "::1")) return peer;
    head.secure = head.field("x-forwarded-proto") == "https";
    const auto& chain = head.field("x-forwarded-for");
    const auto last = chain.find_last_of(", ");
    const std::string said = last == std::string::npos ? chain : chain.substr(last + 1);
    const bool address = !said.empty() && said.size() <= 45 && std::all_of(said.begin(), said.end(), [](char c) { return std::isxdigit(static_cast<unsigned char>(c)) || c == '.' || c == ':'; });
    return address ? said : peer;
}

int status_of(const boost::system::error_code& ec)
{
    if (ec == http::error::header_limit) return 431;
    if (ec == http::error::body_limit) return 413;
    return 400;
}

std::string head_text(const Response& r, bool keep, bool head_only)
{
    std::string out;
    out.reserve(256 + r.body.size());
    out += "HTTP/1.1 ";
    out += std::to_string(r.status);
    out += ' ';
    out += reason(r.status);
    out += "\r\n";
    for (const auto& [name, value] : r.fields) {
        out += name;
        out += ": ";
        // A line break in a value would be a field of its own.
        for (const char c : value) out += static_cast<unsigned char>(c) < 0x20 && c != '\t' ? ' ' : c;
        out += "\r\n";
    }
    if (r.status != 204 && r.status != 304) {
        const auto length = head_only && r.head_length ? r.head_length : r.file ? r.file->length : r.body.size();
        out += "Content-Length: " + std::to_string(length) + "\r\n";
    }
    if (!keep) out += "Connection: close\r\n";
    out += "\r\n";
    return out;
}

} // namespace chockside::shop::detail
