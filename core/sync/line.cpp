#include <core/sync/line.h>

#include <core/journal/seal.h>
#include <core/sync/detail/hex.h>

#include <algorithm>
#include <array>
#include <map>

namespace chockside::sync {

namespace {

Result<std::string> hex_of(std::string_view base64, std::size_t size)
{
    const auto bytes = from_base64(base64); // which knows one spelling only
    if (!bytes || bytes->size() != size) return fail("line_malformed", "", {{"what", "base64"}});
    return to_hex(*bytes);
}

std::string base64_of(const std::string& hex)
{
    const auto bytes = from_hex(hex);
    return bytes ? to_base64(*bytes) : std::string();
}

Unexpected<Problem> malformed(const char* what)
{
    return fail("line_malformed", "", {{"what", what}});
}

} // namespace

std::string text_of(const Line& l)
{
    std::string text;
    text.reserve(l.envelope.size() + l.body.size() + 140);
    return text.append(l.envelope).append("\t").append(base64_of(l.signature)).append("\t").append(base64_of(l.salt)).append("\t").append(l.body);
}

Result<Line> line_from(std::string_view text)
{
    if (text.size() > limits::line) return fail("line_too_long");
    std::array<std::string_view, 4> field;
    for (std::size_t i = 0; i < 4; ++i) {
        const auto end = text.find('\t');
        if ((end == std::string_view::npos) != (i == 3)) return malformed("fields");
        field[i] = text.substr(0, end);
        text.remove_prefix(i < 3 ? end + 1 : 0);
    }
    const auto raw = [](std::string_view t) { return std::any_of(t.begin(), t.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }); };
    if (raw(field[0]) || raw(field[3])) return malformed("control");
    if (field[0].size() > limits::envelope || field[3].size() > limits::body) return fail("line_too_long");
    if (field[2].empty() != field[3].empty()) return malformed("salt");
    auto signature = hex_of(field[1], 64);
    if (!signature) return Unexpected{signature.error()};
    Line line{std::string(field[0]), std::move(*signature), {}, std::string(field[3])};
    if (field[2].empty()) return line;
    auto salt = hex_of(field[2], 32);
    if (!salt) return Unexpected{salt.error()};
    line.salt = std::move(*salt);
    return line;
}

Result<std::vector<Line>> lines_from(std::string_view text, std::size_t most)
{
    std::vector<Line> lines;
    while (!text.empty()) {
        const auto end = text.find('\n');
        const std::string place = std::to_string(lines.size());
        if (lines.size() == most) return fail("too_many", place);
        if (end == std::string_view::npos) return fail("line_malformed", place, {{"what", "end"}});
        auto line = line_from(text.substr(0, end));
        if (!line) return fail(line.error().code, place, line.error().args);
        lines.push_back(std::move(*line));
        text.remove_prefix(end + 1);
    }
    return lines;
}

Line line_of(const journal::Entry& e)
{
    return {e.envelope_bytes, e.signature, e.body_bytes.empty() ? std::string() : e.salt, e.body_bytes};
}

Result<journal::Entry> entry_of(const Line& l)
{
    return journal::open_entry(l.envelope, journal::entry_hash(l.envelope), l.signature, l.salt, l.body);
}

namespace {

bool all_of_kind(const json::Value& v, json::Kind kind)
{
    const auto& items = v.as_array();
    const auto& members = v.as_object();
    return std::all_of(items.begin(), items.end(), [&](const auto& item) { return item.kind() == kind; }) && std::all_of(members.begin(), members.end(), [&](const auto& m) { return m.second.kind() == kind; });
}

/// Whether this program would have written these bytes: an envelope's members, no other, in their canonical text.
bool is_strange(const json::Value& v, std::string_view bytes)
{
    using Kind = json::Kind;
    static const std::map<std::string, Kind, std::less<>> members = {{"att", Kind::array}, {"author", Kind::text}, {"body_sha", Kind::text}, {"boot", Kind::text}, {"clk", Kind::null}, {"job", Kind::text}, {"kind", Kind::text},
        {"meaning", Kind::text}, {"mono", Kind::integer}, {"person", Kind::text}, {"prev", Kind::text}, {"schema", Kind::integer}, {"seen", Kind::object}, {"seq", Kind::integer}, {"v", Kind::integer}, {"wall", Kind::integer}};
    const auto& has = v.as_object();
    const bool known = has.size() == members.size() && std::equal(has.begin(), has.end(), members.begin(), [](const auto& a, const auto& b) { return a.first == b.first && (a.first == "clk" || a.second.kind() == b.second); });
    if (!known || v["v"].as_int() != 1 || v["schema"].as_int() != static_cast<int>(v["schema"].as_int())) return true;
    return !all_of_kind(v["att"], Kind::text) || !all_of_kind(v["seen"], Kind::integer) || json::write(v) != bytes;
}

} // namespace

Result<Stated> stated(std::string_view envelope)
{
    json::ReadLimits narrow;
    narrow.bytes = limits::envelope;
    narrow.depth = limits::depth;
    const auto v = json::read(envelope, narrow);
    if (!v || !v->is_object()) return fail("entry_malformed", "envelope");
    Stated s;
    s.author = (*v)["author"].as_text();
    s.seq = (*v)["seq"].kind() == json::Kind::integer ? (*v)["seq"].as_int() : 0;
    s.prev = (*v)["prev"].as_text();
    s.job = (*v)["job"].as_text();
    s.body_sha = (*v)["body_sha"].as_text();
    if (!lower_hex(s.author, 32)) return fail("entry_malformed", "author");
    if (s.seq < 1 || s.seq >= std::int64_t{1} << 40) return fail("entry_malformed", "seq");
    if (!(s.prev.empty() || lower_hex(s.prev, 64)) || !(*v)["prev"].is_text()) return fail("entry_malformed", "prev");
    // PostgreSQL's TEXT knows no U+0000: a shop over it would refuse the entry at every try, and all that follow in its chain.
    if (!(*v)["job"].is_text() || s.job.find('\0') != std::string::npos) return fail("entry_malformed", "job");
    if (!lower_hex(s.body_sha, 64)) return fail("entry_malformed", "body_sha");
    for (const auto& a : (*v)["att"].as_array())
        if (lower_hex(a.as_text(), 64)) s.att.push_back(a.as_text());
    s.hash = journal::entry_hash(envelope);
    s.strange = is_strange(*v, envelope);
    return s;
}

AuthorKey::AuthorKey(std::string_view hex)
{
    if (auto key = from_hex(hex)) {
        author = trust::author_id(*key);
        bytes = std::move(*key);
    }
}

std::string flaw(const Line& l, const Result<Stated>& s, const AuthorKey& key)
{
    const auto signature = from_hex(l.signature), salt = from_hex(l.salt);
    if (!s || !signature) return "malformed";
    if (key.author != s->author) return "author";
    if (!trust::verify(trust::Domain::entry, *from_hex(s->hash), *signature, key.bytes)) return "signature";
    if (l.body.empty()) return l.salt.empty() ? "" : "body";
    return salt && salt->size() == 32 && journal::body_digest(*salt, l.body) == s->body_sha ? "" : "body";
}

} // namespace chockside::sync
