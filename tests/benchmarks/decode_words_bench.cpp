// links: core_codec core_profile core_framing core_base
// Target 7: ARINC words to observations against a plain loop to records, and against Python's struct, in one run on one core.
#include "bench.h"

#include <core/arinc429/word.h>
#include <core/base/random.h>
#include <core/base/processor.h>
#include <core/codec/detail/reader.h>
#include <core/codec/encoder.h>
#include <core/codec/plan.h>
#include <core/profile/load.h>

#include <bit>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <string>

using namespace chockside;

namespace {

constexpr std::size_t words_in_all = 4096, rounds_of_words = 64;

std::shared_ptr<const codec::Plan> plan()
{
    const char* text = R"({"id": "u", "kind": "other", "channels": ["c"], "timings": {"self_test_s": [0, 1], "warm_up_s": 0}, "line": {"rate": 9600},
      "framing": {"kind": "slip", "max_bytes": 60000, "order": "little", "select": {"type": "u8"}},
      "frames": {"w": {"id": "1", "fields": [{"name": "w", "type": "arinc429", "repeat": {"to": "end"}}]}},
      "words": {"a": {"label": "320", "bnr": {"msb": 28, "lsb": 11, "full_scale": 180}, "unit": "deg"}, "b": {"label": "324", "bnr": {"msb": 28, "lsb": 11, "full_scale": 180}, "unit": "deg"},
                "c": {"label": "325", "bnr": {"msb": 28, "lsb": 11, "full_scale": 180}, "unit": "deg"}, "d": {"label": "321", "bnr": {"msb": 28, "lsb": 11, "full_scale": 180}, "unit": "deg"}}})";
    const auto loaded = profile::load_half(text, profile::Half::unit);
    const auto made = codec::Plan::compile(loaded.profile.unit);
    if (!made) std::exit(3);
    return *made;
}

struct Record {
    double value;
    std::uint8_t label, sdi, ssm, ok;
};

/// Python's words a second, one loop: unpack, label, parity, value.
double python_rate(const std::string& file)
{
    const std::string program = "import struct,time;w=open('" + file + "','rb').read();rev=[int(f'{i:08b}'[::-1],2) for i in range(256)]\n"
        "def f():\n s=0.0\n for (x,) in struct.iter_unpack('<I',w):\n  l=rev[x&255];p=bin(x).count('1')&1;v=x>>10&0x7FFFF;v-=(v&0x40000)<<1;s+=v*0.0006866455078125\n return s\n"
        "r=[]\nfor _ in range(5):\n t=time.perf_counter();f();r.append(len(w)/4/(time.perf_counter()-t))\nprint(max(r))";
    FILE* python = popen(("python3 -c \"" + program + "\"").c_str(), "r");
    double rate = 0;
    if (!python || fscanf(python, "%lf", &rate) != 1) rate = 0;
    if (python) pclose(python);
    return rate;
}

} // namespace

int main()
{
    const auto p = plan();
    SeededRandom random(7);
    std::vector<std::uint32_t> words;
    for (std::size_t i = 0; i < words_in_all; ++i) words.push_back(codec::encode_word(p->unit().words[random.below(4)], random.uniform(-179, 179)));
    Bytes frame(1 + 4 * words.size(), std::byte{1});
    std::memcpy(frame.data() + 1, words.data(), 4 * words.size());
    double scale[256];
    std::uint8_t turned[256];
    for (unsigned i = 0; i < 256; ++i) {
        turned[i] = arinc429::mirror_label(static_cast<std::uint8_t>(i));
        scale[i] = 180.0 / (1 << 18);
    }
    std::vector<Record> records(words_in_all);
    codec::detail::Reader reader(p->program(), newer_processor());
    const auto& program = p->program().frames.front();
    const auto ours = [&] {
        if (reader.run(program, frame, 0, 1) != codec::detail::Reader::Outcome::good) std::exit(3);
        bench::keep(reader.observations()[5]);
    };
    const auto floor = [&] {
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::uint32_t x = words[i];
            const std::uint8_t label = turned[x & 255];
            records[i] = {static_cast<double>(static_cast<std::int32_t>(x << 3) >> 13) * scale[label], label, static_cast<std::uint8_t>(x >> 8 & 3),
                static_cast<std::uint8_t>(x >> 29 & 3), static_cast<std::uint8_t>(std::popcount(x) & 1)};
        }
        bench::keep(records[5]);
    };
    ours();
    floor();
    for (std::size_t i = 0; i < words.size(); ++i)
        if (reader.observations()[i].value != records[i].value) return 3;
    bench::print_line(7, "ARINC words to observations over the record loop", bench::ratio_ab(floor, ours, rounds_of_words), 0.9,
        "4096 words in cache; an observation has 32 bytes, a record 16; median of 31 turns");
    const std::string file = "words.bench";
    std::ofstream out(file, std::ios::binary);
    for (std::size_t i = 0; i < 64; ++i) out.write(reinterpret_cast<const char*>(words.data()), std::streamsize(words.size() * 4));
    out.close();
    const double peer = python_rate(file);
    std::remove(file.c_str());
    if (peer <= 0) return 3;
    auto timed = ours;
    const double rate = double(words_in_all) * 2000 / bench::seconds(timed, 2000);
    bench::print_line(7, "ARINC words over Python struct", rate / peer, 75, "2000 rounds of 4096 words; Python: the best of 5 over 262144 words");
}
