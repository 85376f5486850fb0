#include <platform/desk/from_shop.h>

#include <algorithm>
#include <limits>

namespace chockside::desk {

namespace {

using journal::Entry;

GivenWriteUp write_up_of(journal::Store& store, const Entry& e)
{
    GivenWriteUp w{e.envelope.job, e.body["tail"].as_text(), e.body["title"].as_text(), e.body["text"].as_text(), e.envelope.person, e.envelope.wall, false};
    const auto entries = store.entries(w.job);
    // Its entries may come after the word that it is given: what others work is not opened a second time.
    w.opened = e.body["opened"].as_bool() || (entries && opening_of(*entries));
    return w;
}

ShopWord word_of(journal::Store& store, const Entry& e)
{
    ShopWord w{e.envelope.kind == "notice" ? std::string() : e.envelope.job, {}, e.body["text"].as_text(), e.envelope.person, e.envelope.wall};
    const auto entries = w.job.empty() ? Result<std::vector<Entry>>(std::vector<Entry>()) : store.entries(w.job);
    if (const Entry* opened = entries ? opening_of(*entries) : nullptr) w.tail = opened->body["tail"].as_text();
    return w;
}

void take(std::vector<PublishedProfile>& all, const Entry& e)
{
    const PublishedProfile p{e.body["name"].as_text(), e.body["sha256"].as_text(), static_cast<int>(e.body["revision"].as_int())};
    const auto same = std::ranges::find(all, p.id, &PublishedProfile::id);
    if (same == all.end()) all.push_back(p);
    else if (p.revision >= same->revision) *same = p;
}

} // namespace

const Entry* opening_of(const std::vector<Entry>& entries)
{
    const auto at = std::ranges::find_if(entries, [](const Entry& e) { return e.envelope.kind == "opened"; });
    return at == entries.end() ? nullptr : &*at;
}

Result<FromShop> from_shop(journal::Store& store, const std::vector<std::string>& shop_authors)
{
    FromShop out;
    for (const std::string& author : shop_authors) {
        const auto chain = store.chain(author, 1, std::numeric_limits<std::int64_t>::max());
        if (!chain) return Unexpected{chain.error()};
        for (const Entry& e : *chain) {
            const std::string& kind = e.envelope.kind;
            if (!e.body.is_object()) continue;
            if (kind == "assigned") out.write_ups.push_back(write_up_of(store, e));
            if (kind == "replied" || kind == "notice") out.words.push_back(word_of(store, e));
            if (kind == "profile") take(out.profiles, e);
        }
    }
    std::ranges::stable_sort(out.write_ups, std::greater(), &GivenWriteUp::utc_ms);
    std::ranges::stable_sort(out.words, std::greater(), &ShopWord::utc_ms);
    return out;
}

Result<bool> published(journal::Store& store, const std::vector<std::string>& shop_authors, const std::string& sha256)
{
    for (const std::string& author : shop_authors) {
        const auto chain = store.chain(author, 1, std::numeric_limits<std::int64_t>::max());
        if (!chain) return Unexpected{chain.error()};
        if (std::ranges::any_of(*chain, [&](const Entry& e) { return e.envelope.kind == "profile" && e.body.is_object() && e.body["sha256"].as_text() == sha256; })) return true;
    }
    return false;
}

} // namespace chockside::desk
