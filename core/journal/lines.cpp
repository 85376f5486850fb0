// Entries as plain JSON lines that a person can verify with public tools.
#include <core/journal/detail/sql.h>
#include <core/journal/store.h>

namespace chockside::journal {

namespace {

json::Value line_of(const Entry& e)
{
    json::Value v(json::Object{});
    v.at("envelope") = e.envelope_bytes;
    v.at("hash") = e.hash;
    v.at("signature") = e.signature;
    v.at("salt") = e.salt;
    v.at("body") = e.body_bytes;
    return v;
}

struct Taken {
    std::map<std::string, std::string> keys;
    std::vector<Entry> entries;
};

Result<Taken> take(std::string_view text)
{
    Taken taken;
    int number = 0;
    for (std::size_t at = 0; at < text.size(); ) {
        const auto end = std::min(text.find('\n', at), text.size());
        const std::string_view line = text.substr(at, end - at);
        at = end + 1;
        ++number;
        if (line.empty()) continue;
        auto v = json::read(line);
        if (!v) return fail("entry_malformed", "line " + std::to_string(number));
        if (v->has("keys")) {
            for (const auto& [author, key] : (*v)["keys"].as_object()) taken.keys[author] = key.as_text();
            continue;
        }
        auto e = open_entry((*v)["envelope"].as_text(), (*v)["hash"].as_text(), (*v)["signature"].as_text(), (*v)["salt"].as_text(), (*v)["body"].as_text());
        if (!e) return fail("entry_malformed", "line " + std::to_string(number));
        taken.entries.push_back(std::move(*e));
    }
    return taken;
}

} // namespace

Result<std::string> Store::export_job(const std::string& job)
{
    auto found = entries(job);
    if (!found) return Unexpected{found.error()};
    if (found->empty()) return fail("not_found", job);
    auto public_keys = keys();
    if (!public_keys) return Unexpected{public_keys.error()};
    json::Value head(json::Object{});
    json::Value& named = head.at("keys");
    for (const Entry& e : *found) named.at(e.envelope.author) = (*public_keys)[e.envelope.author];
    head.at("format") = "chockside-journal/1";
    std::string text = json::write(head) + "\n";
    for (const Entry& e : *found) text += json::write(line_of(e)) + "\n";
    return text;
}

Result<VerifyReport> verify_lines(std::string_view lines)
{
    auto taken = take(lines);
    if (!taken) return VerifyReport{0, false, FirstBad{"", 0, "malformed"}};
    return verify(taken->entries, taken->keys, false);
}

} // namespace chockside::journal
