// links: core_codec core_profile core_framing core_base
// Target 8: text lines with three numbers and a check against a loop of std::from_chars and one of sscanf, in one run on one core.
#include "bench.h"

#include <core/base/random.h>
#include <core/codec/decoder.h>
#include <core/profile/load.h>

#include <charconv>
#include <cstdlib>
#include <cstring>
#include <string>

using namespace chockside;

namespace {

constexpr std::size_t line_count = 4000;

std::string some_lines()
{
    SeededRandom random(8);
    std::string out;
    char line[96];
    for (std::size_t i = 0; i < line_count; ++i) {
        int n = std::snprintf(line, sizeof line, "$T,%zu,%.3f,%.2f*", random.below(64), random.uniform(0, 32), random.uniform(-20, 70));
        unsigned x = 0;
        for (int k = 1; k < n - 1; ++k) x ^= static_cast<unsigned char>(line[k]);
        n += std::snprintf(line + n, 8, "%02X\r\n", x);
        out.append(line, static_cast<std::size_t>(n));
    }
    return out;
}

unsigned exclusive(const char* p)
{
    unsigned x = 0;
    for (; *p != '*'; ++p) x ^= static_cast<unsigned char>(*p);
    return x;
}

double by_from_chars(const std::string& text)
{
    double sum = 0;
    const char *p = text.data(), *const e = p + text.size();
    while (p < e) {
        const char* nl = static_cast<const char*>(std::memchr(p, '\n', static_cast<std::size_t>(e - p)));
        if (!nl) break;
        unsigned ch = 0, told = 0;
        double v = 0, t = 0;
        const unsigned x = exclusive(p + 1);
        const auto a = std::from_chars(p + 3, nl, ch);
        const auto b = std::from_chars(a.ptr + 1, nl, v);
        const auto c = std::from_chars(b.ptr + 1, nl, t);
        std::from_chars(c.ptr + 1, nl, told, 16);
        if (x == told) sum += v + t + ch;
        p = nl + 1;
    }
    return sum;
}

double by_sscanf(const std::string& text)
{
    double sum = 0;
    char line[128];
    for (std::size_t at = 0, n = 0; (n = text.find('\n', at)) != std::string::npos; at = n + 1) {
        std::memcpy(line, text.data() + at, n - at);
        line[n - at] = 0;
        unsigned ch = 0, told = 0;
        double v = 0, t = 0;
        const unsigned x = exclusive(line + 1);
        if (std::sscanf(line, "$T,%u,%lf,%lf*%x", &ch, &v, &t, &told) == 4 && x == told) sum += v + t + ch;
    }
    return sum;
}

} // namespace

int main()
{
    const char* unit = R"({"id": "u", "kind": "other", "channels": ["c"], "timings": {"self_test_s": [0, 1], "warm_up_s": 0}, "line": {"rate": 9600},
      "framing": {"kind": "lines", "max_bytes": 80, "start": "$", "checksum": {"sum": "xor8"}, "select": {"type": "text"}},
      "frames": {"t": {"id": "T", "fields": [{"name": "ch", "type": "u8"}, {"name": "v", "type": "number_text"}, {"name": "t", "type": "number_text"}]}}})";
    const auto plan = codec::Plan::compile(profile::load_half(unit, profile::Half::unit).profile.unit);
    if (!plan) return 3;
    const std::string text = some_lines();
    codec::Decoder decoder(*plan);
    double sum = 0;
    const std::function<void(const codec::FrameView&)> take = [&](const codec::FrameView& f) { sum += f.observations[1].value + f.observations[2].value + f.observations[0].value; };
    const auto ours = [&] { decoder.feed(as_bytes(text), 0, take); };
    const auto chars = [&] { bench::keep(by_from_chars(text)); };
    const auto scanned = [&] { bench::keep(by_sscanf(text)); };
    ours();
    if (decoder.counters().frames != line_count || sum != by_from_chars(text) || sum != by_sscanf(text)) return 3;
    bench::print_line(8, "text lines over a from_chars loop", bench::ratio_ab(chars, ours, 4), 1.0, "4000 lines, equal doubles; median of 31 turns");
    bench::print_line(8, "text lines over a sscanf loop", bench::ratio_ab(scanned, ours, 2), 6, "4000 lines, equal doubles; median of 31 turns");
}
