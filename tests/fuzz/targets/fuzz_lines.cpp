// An export of two authors, changed in any way, or any text at all: whatever verifies says nothing that its authors did not sign.
#include "edits.h"

#include <core/journal/seal.h>
#include <core/journal/store.h>

#include <set>
#include <string>

using namespace chockside;

namespace {

struct Sound {
    std::string text;
    std::set<std::pair<std::string, std::string>> signed_by_their_authors; ///< envelope, body
};

Sound make()
{
    SeededRandom random(20260711);
    const auto a = trust::KeyPair::make(random), b = trust::KeyPair::make(random);
    std::vector<journal::Entry> entries;
    std::map<std::string, std::string> keys;
    journal::Vector seen;
    for (const trust::KeyPair* key : {&a, &a, &b, &b}) {
        journal::Envelope e;
        e.author = trust::author_id(key->public_key());
        keys[e.author] = to_hex(key->public_key());
        e.seq = seen[e.author] + 1;
        if (e.seq > 1) e.prev = entries.back().hash;
        e.job = "j1";
        e.seen = seen;
        std::erase_if(e.seen, [](const auto& known) { return known.second == 0; });
        e.kind = "note";
        e.boot = "boot-1";
        json::Value body(json::Object{});
        body.at("words") = "entry " + std::to_string(entries.size());
        auto entry = journal::seal(std::move(e), body, *key, random);
        fuzz::must(entry.has_value());
        seen[entry->envelope.author] = entry->envelope.seq;
        entries.push_back(std::move(*entry));
    }
    Sound s{journal::lines_of(entries, keys), {}};
    for (const auto& e : entries) s.signed_by_their_authors.emplace(e.envelope_bytes, e.body_bytes);
    const auto report = journal::verify_lines(s.text);
    fuzz::must(report && report->ok && report->entries == 4);
    return s;
}

/// A body may be withheld; nothing else may differ.
bool was_signed(const Sound& sound, const std::string& envelope, const std::string& body)
{
    return std::ranges::any_of(sound.signed_by_their_authors, [&](const auto& e) { return e.first == envelope && (body.empty() || e.second == body); });
}

void check(const Sound& sound, std::string_view text)
{
    const auto report = journal::verify_lines(text);
    fuzz::must(report.has_value() && report->ok == !report->first_bad);
    if (!report->ok) return;
    std::int64_t entries = 0;
    for (std::size_t at = 0; at < text.size(); ) {
        const auto end = std::min(text.find('\n', at), text.size());
        const auto line = json::read(text.substr(at, end - at));
        if (line && line->has("envelope")) {
            ++entries;
            fuzz::must(was_signed(sound, (*line)["envelope"].as_text(), (*line)["body"].as_text()));
        }
        at = end + 1;
    }
    // A first line that has an envelope too is read as the head alone.
    fuzz::must(report->entries == entries || report->entries + 1 == entries);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    static const Sound sound = make();
    if (size == 0) return 0;
    if (data[0] % 4 == 0) {
        check(sound, {reinterpret_cast<const char*>(data + 1), size - 1});
        return 0;
    }
    const ByteView before = as_bytes(sound.text);
    const Bytes after = fuzz::edited({before.begin(), before.end()}, fuzz::view(data + 1, size - 1));
    check(sound, {reinterpret_cast<const char*>(after.data()), after.size()});
    return 0;
}
