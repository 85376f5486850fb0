// What can be said of a request without the ledger.
#include <core/sync/detail/answers.h>

#include <algorithm>
#include <charconv>

namespace chockside::sync {

using detail::refusal;

namespace {

std::optional<std::int64_t> number(std::string_view t)
{
    std::int64_t n = 0;
    const auto [end, bad] = std::from_chars(t.data(), t.data() + t.size(), n);
    if (bad != std::errc() || end != t.data() + t.size() || n < 0 || n >= std::int64_t{1} << 40) return {};
    return n;
}

Checked refused(Checked c, int status, const char* code, const char* what)
{
    c.kind = Checked::Kind::refused;
    c.refused = refusal(status, code, what);
    return c;
}

std::optional<Range> range_of(std::string_view t)
{
    const auto dash = t.find('-');
    if (dash == std::string_view::npos) return {};
    const auto first = number(t.substr(0, dash)), last = number(t.substr(dash + 1));
    if (!first || !last || *first < 1 || *last < *first) return {};
    return Range{*first, *last};
}

/// Empty where the line may go on the chain after the one before it in its batch.
std::string misplaced(const Checked& c, const Stated& s)
{
    if (s.author != c.author) return "author";
    if (s.seq != c.range.first + static_cast<std::int64_t>(c.stated.size())) return "seq";
    if (!c.stated.empty() && s.prev != c.stated.back().hash) return "prev";
    return s.seq == 1 && !s.prev.empty() ? "prev" : "";
}

/// Lines as far as they can be read and follow each other; the last may be the one that is out of its place.
void read_lines(Checked& c, std::string_view body)
{
    while (!body.empty() && !c.bad) {
        const auto end = body.find('\n');
        auto line = end == std::string_view::npos ? Result<Line>(fail("line_malformed")) : line_from(body.substr(0, end));
        auto s = line ? stated(line->envelope) : Result<Stated>(fail("entry_malformed", "of a tablet"));
        if (!s) {
            c.bad = {c.lines.size(), "malformed"};
            return;
        }
        if (auto why = misplaced(c, *s); !why.empty()) c.bad = {c.lines.size(), std::move(why)};
        c.lines.push_back(std::move(*line));
        c.stated.push_back(std::move(*s));
        body.remove_prefix(end + 1);
    }
}

/// Signatures and bodies are nearly all of the work, and no line's depends on another's.
void look_at_signatures(Checked& c, const AuthorKey& key, const InParts& in_parts)
{
    std::vector<std::string> why(c.lines.size());
    in_parts(why.size(), [&](std::size_t first, std::size_t end) {
        for (std::size_t i = first; i < end; ++i) why[i] = flaw(c.lines[i], c.stated[i], key);
    });
    const auto flawed = std::find_if(why.begin(), why.end(), [](const std::string& w) { return !w.empty(); });
    if (flawed != why.end()) c.bad = {static_cast<std::size_t>(flawed - why.begin()), *flawed};
    if (!c.bad) return;
    c.lines.resize(c.bad->first);
    c.stated.resize(c.bad->first);
}

Checked check_push(Checked c, std::string_view numbers, const InParts& in_parts)
{
    const auto range = range_of(numbers);
    if (!range) return refused(std::move(c), 400, "bad_request", "range");
    const std::string body = std::move(c.request.body);
    c.request.body.clear();
    if (body.size() > limits::batch_bytes || range->last - range->first >= static_cast<std::int64_t>(limits::batch_entries)) return refused(std::move(c), 413, "too_long", "batch");
    if (!digest_holds(c.request.headers, body)) return refused(std::move(c), 400, "bad_request", "digest");
    c.range = *range;
    c.author_key = header(c.request.headers, "author-key");
    const AuthorKey key(c.author_key);
    if (key.bytes.size() != 32 || key.author != c.author) return refused(std::move(c), 400, "bad_request", "author-key");
    read_lines(c, body);
    look_at_signatures(c, key, in_parts);
    if (!c.bad && static_cast<std::int64_t>(c.lines.size()) != range->last - range->first + 1) return refused(std::move(c), 400, "bad_request", "lines");
    c.kind = Checked::Kind::push;
    return c;
}

Checked check_pull(Checked c, const Target& t)
{
    const auto value = [&](const char* name, std::int64_t other) { return t.query.contains(name) ? number(t.query.at(name)) : std::optional<std::int64_t>(other); };
    const auto after = value("after", 0), limit = value("limit", 200), wait = value("wait", 0);
    if (!after || !limit || !wait || *limit < 1) return refused(std::move(c), 400, "bad_request", "query");
    c.after = *after;
    c.limit = static_cast<std::size_t>(std::min<std::int64_t>(*limit, 200));
    c.wait_s = static_cast<int>(std::min<std::int64_t>(*wait, 25));
    c.job = t.query.contains("job") ? t.query.at("job") : std::string();
    c.kind = Checked::Kind::pull;
    return c;
}

Checked check_authors(Checked c, const Target& t, const InParts& in_parts)
{
    const std::string_view rest = std::string_view(t.path).substr(12);
    c.author = rest.substr(0, 32);
    const std::string_view after = rest.size() > 32 ? rest.substr(32) : std::string_view();
    if (!is_author(c.author) || !after.starts_with("/entries")) return refused(std::move(c), 404, "not_found", "route");
    const bool one = after == "/entries";
    if (!one && !after.starts_with("/entries/")) return refused(std::move(c), 404, "not_found", "route");
    if (c.request.method != (one ? "GET" : "PUT")) return refused(std::move(c), 405, "bad_request", "method");
    return one ? check_pull(std::move(c), t) : check_push(std::move(c), after.substr(9), in_parts);
}

} // namespace

void in_one_part(std::size_t n, const std::function<void(std::size_t, std::size_t)>& work)
{
    work(0, n);
}

Checked check(Request request, const InParts& in_parts)
{
    using Kind = Checked::Kind;
    static const std::map<std::string, std::pair<const char*, Kind>> plain = {{"/v1/enrol", {"POST", Kind::enrol}}, {"/v1/nonce", {"POST", Kind::nonce}}, {"/v1/session", {"POST", Kind::session}},
        {"/v1/heads", {"GET", Kind::heads}}, {"/v1/jobs", {"GET", Kind::jobs}}};
    Checked c;
    c.request = std::move(request);
    const Target t = split_target(c.request.target);
    if (!t.ok) return refused(std::move(c), 400, "bad_request", "query");
    if (!header(c.request.headers, "content-encoding").empty()) return refused(std::move(c), 415, "bad_request", "content-encoding");
    if (t.path.starts_with("/v1/authors/")) return check_authors(std::move(c), t, in_parts);
    const auto route = plain.find(t.path);
    if (route == plain.end()) return refused(std::move(c), 404, "not_found", "route");
    if (c.request.method != route->second.first) return refused(std::move(c), 405, "bad_request", "method");
    if (c.request.body.size() > 16384) return refused(std::move(c), 413, "too_long", "request");
    c.kind = route->second.second;
    if (c.kind == Kind::heads && t.query.contains("size")) {
        const auto size = number(t.query.at("size"));
        if (!size) return refused(std::move(c), 400, "bad_request", "query");
        c.after = *size;
        c.job = t.query.contains("epoch") ? t.query.at("epoch") : std::string();
    }
    if (c.kind == Kind::jobs && t.query.contains("after")) c.job = t.query.at("after");
    return c;
}

} // namespace chockside::sync
