// A hand-over file, a receipt file and a series of symbols: any text, or sound ones changed, lost, doubled and reordered. A series gives
// the file that was cut or nothing; a file that is read was not changed since its digest was made.
#include "edits.h"

#include <core/sync/handover.h>

#include <string>

using namespace chockside;
using namespace chockside::sync;

namespace {

struct Sound {
    std::string file;
    std::vector<std::string> symbols;
};

Sound make()
{
    Handover h;
    h.keys[std::string(32, 'a')] = std::string(64, 'b');
    for (int n = 0; n < 3; ++n) h.lines.push_back({R"({"n":)" + std::to_string(n) + "}", std::string(128, 'c'), std::string(64, 'd'), R"({"words":"x"})"});
    Sound s{text(h), {}};
    auto cut = symbols_of(s.file, 40);
    fuzz::must(cut && cut->size() > 5);
    s.symbols = std::move(*cut);
    return s;
}

void file(std::string_view t)
{
    if (const auto h = handover_from(t, 1000)) {
        const std::string one = text(*h);
        const auto second = handover_from(one, 1000);
        fuzz::must(second && text(*second) == one);
    }
    if (const auto r = receipt_file_from(t)) {
        const std::string one = text(*r);
        const auto second = receipt_file_from(one);
        fuzz::must(second && text(*second) == one);
    }
}

/// Each byte says which symbol comes next; now and then one that was changed.
void series(const Sound& s, ByteView how)
{
    Series put;
    std::size_t fresh = 0;
    for (std::size_t i = 0; i < how.size(); ++i) {
        const auto b = std::to_integer<std::size_t>(how[i]);
        std::string symbol = s.symbols[b % s.symbols.size()];
        const bool harm = b > 220 && i + 8 < how.size();
        if (harm) {
            const ByteView before = as_bytes(symbol);
            symbol = to_text(fuzz::edited({before.begin(), before.end()}, how.subspan(i + 1, 8)));
            i += 8;
        }
        fresh += put.add(symbol);
    }
    fuzz::must(put.have() == fresh && (put.total() == 0 || put.missing().size() + put.have() == put.total()));
    const auto whole = put.whole();
    fuzz::must(!whole || *whole == s.file);
    if (put.have() > 0 && put.total() == s.symbols.size() && put.missing().empty()) fuzz::must(whole.has_value());
}

void any_series(std::string_view t)
{
    Series put;
    while (!t.empty()) {
        const auto end = std::min(t.find('\n'), t.size());
        put.add(t.substr(0, end));
        t.remove_prefix(std::min(t.size(), end + 1));
    }
    fuzz::must(put.have() <= symbols_most);
    if (put.total() <= symbols_most) (void)put.missing();
    (void)put.whole();
}

void base(std::string_view t, ByteView bytes)
{
    if (const auto b = from_base45(t)) fuzz::must(base45(*b) == t);
    const auto back = from_base45(base45(bytes));
    fuzz::must(back && std::ranges::equal(*back, bytes));
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    static const Sound sound = make();
    if (size == 0) return 0;
    const ByteView rest = fuzz::view(data + 1, size - 1);
    const std::string t = to_text(rest);
    switch (data[0] % 5) {
    case 0: file(t); break;
    case 1: {
        const ByteView before = as_bytes(sound.file);
        const std::string changed = to_text(fuzz::edited({before.begin(), before.end()}, rest));
        file(changed);
        const auto read = handover_from(changed, 1000);
        // The digest is of the lines; of the first line only the keys may differ, and they are believed by nobody.
        if (read) fuzz::must(changed.substr(changed.find('\n')) == sound.file.substr(sound.file.find('\n')) || read->lines.empty());
        break;
    }
    case 2: series(sound, rest); break;
    case 3: any_series(t); break;
    default: base(t, rest);
    }
    return 0;
}
