// The head of a request as it comes over a connection: any bytes through the parser that the receiver uses, whole and in pieces. What is let
// through has one meaning: fields that decide are there once, the path leads nowhere else than it reads. The second half of the input is the
// text of an answer's field, which must not begin another.
#include "pieces.h"

#include <platform/shop/detail/parse.h>

#include <algorithm>
#include <map>

using namespace chockside;
using namespace chockside::shop;

namespace {

struct Read {
    int status = 0; ///< 0: let through; -1: not whole
    Head head;
    bool operator==(const Read& o) const { return status == o.status && head.method == o.head.method && head.path == o.head.path && head.query == o.head.query && head.fields == o.head.fields && head.length == o.head.length; }
};

Read read(std::string_view bytes, std::size_t piece)
{
    const ServerOptions options;
    detail::Parser parser;
    parser.header_limit(static_cast<std::uint32_t>(options.limits.head_bytes));
    parser.body_limit(boost::none);
    std::string held;
    boost::system::error_code ec;
    for (std::size_t at = 0; at < bytes.size() && !parser.is_header_done();) {
        const auto n = std::min(piece, bytes.size() - at);
        held.append(bytes.substr(at, n));
        at += n;
        ec = {};
        const auto used = parser.put(boost::asio::buffer(held), ec);
        held.erase(0, used);
        if (ec && ec != detail::http::error::need_more) return {detail::status_of(ec), {}};
    }
    if (!parser.is_header_done()) return {-1, {}};
    Read r;
    r.status = detail::read_head(parser.get(), options, r.head);
    return r;
}

void holds(const Head& h)
{
    std::map<std::string, int> times;
    for (const auto& [name, value] : h.fields) {
        fuzz::must(name.find_first_of("\r\n: ") == std::string::npos && value.find_first_of("\r\n") == std::string::npos);
        fuzz::must(std::none_of(name.begin(), name.end(), [](char c) { return c >= 'A' && c <= 'Z'; }));
        fuzz::must(++times[name] == 1);
    }
    fuzz::must(h.target == "*" || (h.path.starts_with('/') && h.path.find_first_of("\\\r\n") == std::string::npos && h.path.find('\0') == std::string::npos));
    fuzz::must((h.path + '/').find("/../") == std::string::npos && (h.path + '/').find("/./") == std::string::npos && h.path.find("//") == std::string::npos);
    Head behind = h;
    ServerOptions options;
    fuzz::must(detail::peer_of(behind, options, "192.0.2.7") == "192.0.2.7");
    options.behind_proxy = true;
    const auto peer = detail::peer_of(behind, options, "127.0.0.1");
    fuzz::must(!peer.empty() && peer.size() <= 45 && peer.find_first_not_of("0123456789abcdefABCDEF.:") == std::string::npos);
    (void)behind.value("q");
}

void answer(std::string_view text)
{
    Response r;
    r.body = "x";
    r.set("Location", std::string(text));
    const auto lines = [](const std::string& t) { return std::count(t.begin(), t.end(), '\n'); };
    const std::string out = detail::head_text(r, true, false);
    fuzz::must(lines(out) == 4 && out.ends_with("\r\n\r\n") && std::count(out.begin(), out.end(), '\r') == 4);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view all(reinterpret_cast<const char*>(data), size);
    const Read whole = read(all, std::max<std::size_t>(size, 1));
    fuzz::must(whole.status == -1 || whole.status == 0 || (whole.status >= 400 && whole.status < 500));
    if (whole.status == 0) {
        holds(whole.head);
        fuzz::must(read(all, 7) == whole);
    }
    answer(all.substr(size / 2));
    return 0;
}
