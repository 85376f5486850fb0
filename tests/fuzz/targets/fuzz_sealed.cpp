// A sealed file, a sealed body and a box, changed in any way, or any bytes at all: what opens is the text that was sealed, or its first
// chunks, and then it says that its end is missing.
#include "edits.h"

#include <core/trust/sealed_file.h>

using namespace chockside;

namespace {

constexpr std::string_view about = "body/a1/7";

struct Sound {
    trust::Vault vault;
    Bytes plain, file, body, box;
    trust::Key secret;
    std::vector<std::size_t> chunk_ends{0};
};

Sound make()
{
    SeededRandom random(20260712);
    Sound s{trust::Vault::make(random), {}, {}, {}, {}, {}};
    const auto key = s.vault.begin(random);
    const Bytes secret = s.vault.secret();
    std::ranges::copy(secret, s.secret.begin());
    s.box = key.box;
    const auto data_key = s.vault.data_key(key.number);
    fuzz::must(data_key.has_value());
    trust::SealingStream stream(*data_key, key.number);
    s.file = stream.header();
    for (const std::size_t size : {std::size_t{0}, std::size_t{1}, std::size_t{40}, std::size_t{200}}) {
        Bytes chunk(size);
        random.fill(chunk);
        s.plain.insert(s.plain.end(), chunk.begin(), chunk.end());
        s.chunk_ends.push_back(s.plain.size());
        const Bytes sealed = stream.push(chunk, size == 200);
        s.file.insert(s.file.end(), sealed.begin(), sealed.end());
    }
    s.body = s.vault.seal(about, s.plain, random);
    const auto back = trust::unseal_file(s.vault, s.file);
    fuzz::must(back && back->whole && back->bytes == s.plain);
    const auto body = s.vault.unseal(about, s.body);
    fuzz::must(body && *body == s.plain);
    return s;
}

void file(Sound& s, ByteView bytes)
{
    const auto opened = trust::unseal_file(s.vault, bytes);
    if (!opened) return;
    const Bytes& got = opened->bytes;
    fuzz::must(got.size() <= s.plain.size() && std::ranges::equal(got, ByteView(s.plain).first(got.size())));
    fuzz::must(std::ranges::find(s.chunk_ends, got.size()) != s.chunk_ends.end());
    fuzz::must(!opened->whole || got == s.plain);
}

void body(Sound& s, ByteView bytes)
{
    const auto opened = s.vault.unseal(about, bytes);
    fuzz::must(opened.has_value() == std::ranges::equal(bytes, s.body));
    fuzz::must(!s.vault.unseal("body/a1/8", bytes));
}

void box(Sound& s, ByteView bytes)
{
    const auto opened = trust::open_box(bytes, s.vault.public_key(), s.secret);
    fuzz::must(opened.has_value() == std::ranges::equal(bytes, s.box));
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    static Sound sound = make();
    if (size == 0) return 0;
    const ByteView rest = fuzz::view(data + 1, size - 1);
    const bool any = data[0] & 4u;
    switch (data[0] % 4) {
    case 0: body(sound, any ? Bytes(rest.begin(), rest.end()) : fuzz::edited(sound.body, rest)); break;
    case 1: box(sound, any ? Bytes(rest.begin(), rest.end()) : fuzz::edited(sound.box, rest)); break;
    default: file(sound, any ? Bytes(rest.begin(), rest.end()) : fuzz::edited(sound.file, rest));
    }
    return 0;
}
