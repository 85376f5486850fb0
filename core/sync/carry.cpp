#include <core/sync/carry.h>

namespace chockside::sync {

namespace {

constexpr std::size_t at_once = 500, most_entries = 100'000;

std::string listed(const std::vector<std::size_t>& numbers)
{
    std::string text;
    for (std::size_t i = 0; i < numbers.size() && i < 20; ++i) text += (i ? ", " : "") + std::to_string(numbers[i]);
    return text;
}

} // namespace

Result<Carried> to_carry(TabletStore& store, std::size_t most_bytes)
{
    const auto known = store.known();
    const auto head = store.own_head();
    if (!known || !head) return Unexpected{!known ? known.error() : head.error()};
    const std::int64_t after = known->receipt ? known->receipt->seq : 0;
    if (head->seq <= after) return fail("nothing_new");
    Carried c;
    c.handover.keys[store.author()] = store.public_key();
    c.first = after + 1;
    c.last = after;
    std::size_t bytes = 0;
    while (c.last < head->seq && c.handover.lines.size() < most_entries) {
        auto lines = store.own_lines(c.last, at_once, most_bytes - bytes);
        if (!lines) return Unexpected{lines.error()};
        if (lines->empty()) return fail("not_found", "own");
        for (auto& line : *lines) {
            const std::size_t size = text_of(line).size() + 1;
            if (c.last >= c.first && bytes + size > most_bytes) {
                c.all = false;
                return c;
            }
            bytes += size;
            ++c.last;
            c.handover.lines.push_back(std::move(line));
        }
        if (bytes >= most_bytes) break;
    }
    c.all = c.last >= head->seq;
    return c;
}

Result<Handover> brought(std::string_view text)
{
    if (!text.starts_with("CS1:")) return handover_from(text);
    Series series;
    while (!text.empty()) {
        const auto end = text.find('\n');
        auto symbol = text.substr(0, end);
        while (!symbol.empty() && symbol.back() == '\r') symbol.remove_suffix(1);
        (void)series.add(symbol);
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    auto file = series.whole();
    if (file) return handover_from(*file);
    if (file.error().code != "incomplete") return Unexpected{file.error()};
    return fail("incomplete", "series", {{"missing", listed(series.missing())}});
}

} // namespace chockside::sync
