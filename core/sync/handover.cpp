#include <core/sync/handover.h>

#include <algorithm>
#include <charconv>

namespace chockside::sync {

namespace {

constexpr const char* entries_format = "chockside-handover/1";
constexpr const char* receipts_format = "chockside-receipts/1";
constexpr std::string_view alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

std::string upper_hex(ByteView bytes)
{
    std::string t = to_hex(bytes);
    for (char& c : t)
        if (c >= 'a') c = static_cast<char>(c - 'a' + 'A');
    return t;
}

std::string check_of(std::string_view head, ByteView chunk)
{
    trust::Sha256 sha;
    sha.add(as_bytes(head));
    sha.add(chunk);
    return upper_hex(ByteView(sha.done()).first(4));
}

std::string series_of(std::string_view file)
{
    return upper_hex(ByteView(trust::sha256(as_bytes(file))).first(8));
}

std::optional<std::size_t> number(std::string_view t)
{
    std::size_t n = 0;
    const auto [end, bad] = std::from_chars(t.data(), t.data() + t.size(), n);
    if (t.empty() || t[0] == '0' || bad != std::errc() || end != t.data() + t.size() || n > symbols_most) return {};
    return n;
}

} // namespace

std::string text(const Handover& h)
{
    std::string lines;
    for (const auto& l : h.lines) lines += text_of(l) + '\n';
    json::Value keys(json::Object{});
    for (const auto& [author, key] : h.keys) keys.at(author) = key;
    return json::write(json::Object{{"entries", static_cast<std::int64_t>(h.lines.size())}, {"format", entries_format}, {"keys", keys}, {"sha256", trust::sha256_hex(as_bytes(lines))}}) + '\n' + lines;
}

Result<Handover> handover_from(std::string_view file, std::size_t most_entries)
{
    const auto end = file.find('\n');
    json::ReadLimits narrow;
    narrow.bytes = limits::message;
    narrow.depth = limits::depth;
    const auto head = end == std::string_view::npos ? Result<json::Value>(fail("message_malformed")) : json::read(file.substr(0, end), narrow);
    if (!head || (*head)["format"].as_text() != entries_format || json::write(*head) != file.substr(0, end)) return fail("message_malformed", "format");
    if ((*head)["sha256"].as_text() != trust::sha256_hex(as_bytes(file.substr(end + 1)))) return fail("hash_mismatch");
    auto lines = lines_from(file.substr(end + 1), most_entries);
    if (!lines) return fail("message_malformed", lines.error().place);
    Handover h;
    h.lines = std::move(*lines);
    if ((*head)["entries"].as_int() != static_cast<std::int64_t>(h.lines.size())) return fail("message_malformed", "entries");
    if (!(*head)["keys"].is_object()) return fail("message_malformed", "keys");
    for (const auto& [author, key] : (*head)["keys"].as_object()) {
        if (!is_author(author) || !is_digest(key.as_text())) return fail("message_malformed", "keys");
        h.keys[author] = key.as_text();
    }
    return h;
}

std::string text(const ReceiptFile& f)
{
    json::Value receipts(json::Array{}), lines(json::Array{});
    for (const auto& r : f.receipts) receipts.push(text(r));
    for (const auto& l : f.lines) lines.push(text_of(l));
    json::Value v(json::Object{{"format", receipts_format}, {"receipts", receipts}, {"lines", lines}});
    if (f.streams) v.at("streams") = text(*f.streams);
    return json::write(v) + '\n';
}

Result<ReceiptFile> receipt_file_from(std::string_view t)
{
    json::ReadLimits narrow;
    narrow.bytes = limits::answer;
    narrow.depth = limits::depth;
    const auto v = json::read(t, narrow);
    if (!v || (*v)["format"].as_text() != receipts_format) return fail("message_malformed", "format");
    ReceiptFile f;
    for (const auto& item : (*v)["receipts"].as_array()) {
        auto r = receipt_from(item.as_text());
        if (!r) return Unexpected{r.error()};
        f.receipts.push_back(std::move(*r));
    }
    for (const auto& item : (*v)["lines"].as_array()) {
        auto l = line_from(item.as_text());
        if (!l) return fail("message_malformed", "lines");
        f.lines.push_back(std::move(*l));
    }
    if (v->has("streams")) {
        auto s = streams_from((*v)["streams"].as_text());
        if (!s) return Unexpected{s.error()};
        f.streams = std::move(*s);
    }
    return f;
}

std::string base45(ByteView bytes)
{
    std::string out;
    for (std::size_t i = 0; i < bytes.size(); i += 2) {
        const bool two = i + 1 < bytes.size();
        unsigned n = std::to_integer<unsigned>(bytes[i]);
        if (two) n = n * 256 + std::to_integer<unsigned>(bytes[i + 1]);
        out += alphabet[n % 45];
        out += alphabet[n / 45 % 45];
        if (two) out += alphabet[n / 2025];
    }
    return out;
}

std::optional<Bytes> from_base45(std::string_view text)
{
    if (text.size() % 3 == 1) return {};
    Bytes out;
    for (std::size_t i = 0; i < text.size(); i += 3) {
        const std::string_view group = text.substr(i, 3);
        unsigned n = 0, weight = 1;
        for (const char c : group) {
            const auto digit = alphabet.find(c);
            if (digit == std::string_view::npos) return {};
            n += static_cast<unsigned>(digit) * weight;
            weight *= 45;
        }
        if (n > (group.size() == 3 ? 0xFFFFu : 0xFFu)) return {};
        if (group.size() == 3) out.push_back(static_cast<std::byte>(n / 256));
        out.push_back(static_cast<std::byte>(n % 256));
    }
    return out;
}

Result<std::vector<std::string>> symbols_of(std::string_view file, std::size_t chunk)
{
    const std::size_t total = std::max<std::size_t>(1, (file.size() + chunk - 1) / chunk);
    if (total > symbols_most) return fail("too_long", "", {{"symbols", std::to_string(total)}});
    std::vector<std::string> symbols;
    const std::string series = series_of(file);
    for (std::size_t n = 1; n <= total; ++n) {
        const ByteView part = as_bytes(file.substr((n - 1) * chunk, chunk));
        const std::string head = series + ":" + std::to_string(n) + ":" + std::to_string(total) + ":";
        symbols.push_back("CS1:" + head + check_of(head, part) + ":" + base45(part));
    }
    return symbols;
}

bool Series::add(std::string_view symbol)
{
    const auto damaged = [this] { return ++damaged_, false; };
    std::string_view rest = symbol;
    std::string_view field[5];
    for (auto& f : field) {
        const auto colon = rest.find(':');
        if (colon == std::string_view::npos) return damaged();
        f = rest.substr(0, colon);
        rest.remove_prefix(colon + 1);
    }
    const auto n = number(field[2]), total = number(field[3]);
    const auto chunk = rest.size() > 8192 ? std::nullopt : from_base45(rest);
    if (field[0] != "CS1" || field[1].size() != 16 || !n || !total || *n > *total || !chunk) return damaged();
    const std::string head = std::string(field[1]) + ":" + std::string(field[2]) + ":" + std::string(field[3]) + ":";
    if (check_of(head, *chunk) != field[4]) return damaged();
    if (series_.empty()) series_ = field[1], total_ = *total;
    if (series_ != field[1] || total_ != *total) return false;
    return chunks_.emplace(*n, *chunk).second;
}

std::vector<std::size_t> Series::missing() const
{
    std::vector<std::size_t> out;
    for (std::size_t n = 1; n <= total_; ++n)
        if (!chunks_.contains(n)) out.push_back(n);
    return out;
}

Result<std::string> Series::whole() const
{
    if (total_ == 0 || chunks_.size() != total_) return fail("incomplete");
    std::string file;
    for (const auto& [n, chunk] : chunks_) file += to_text(chunk);
    return series_of(file) == series_ ? Result<std::string>(std::move(file)) : Result<std::string>(fail("hash_mismatch"));
}

} // namespace chockside::sync
