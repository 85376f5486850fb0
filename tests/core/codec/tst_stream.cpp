#include "bench_unit.h"
#include "python_cases.h"

#include <core/base/random.h>
#include <tests/support/test_main.h>

#include <QtTest>

#include <cstdlib>
#include <new>

using namespace chockside;
using namespace chockside::tests;

namespace {

std::atomic<std::size_t> allocations{0};

} // namespace

[[gnu::noinline]] void* operator new(std::size_t n)
{
    ++allocations;
    if (void* p = std::malloc(n)) return p;
    throw std::bad_alloc();
}
// Qt asks in this way too, and gives back what it got by the plain delete below: all of one make, or a sanitizer complains.
[[gnu::noinline]] void* operator new(std::size_t n, const std::nothrow_t&) noexcept
{
    ++allocations;
    return std::malloc(n);
}
[[gnu::noinline]] void operator delete(void* p) noexcept { std::free(p); }
[[gnu::noinline]] void operator delete(void* p, std::size_t) noexcept { std::free(p); }

namespace {

std::vector<std::uint32_t> some_words(SeededRandom& random)
{
    std::vector<std::uint32_t> words;
    for (std::size_t i = random.below(9); i > 0; --i)
        words.push_back(codec::encode_word(word_named(i % 2 ? "heading" : "field_h"), random.uniform(0, 359), arinc429::Ssm(random.below(4))));
    return words;
}

Bytes stream_of(std::size_t frames, std::uint64_t seed)
{
    SeededRandom random(seed);
    const codec::Encoder encoder(bundled_plan());
    Bytes out;
    for (std::size_t i = 0; i < frames; ++i) {
        codec::FieldValues v{{"uptime", random.uniform(0, 4e8)}, {"supply", random.uniform(0, 50)}, {"pins", double(random.below(64))}};
        if (i % 3 == 1) v = {{"word", some_words(random)}};
        if (i % 3 == 2) v = {{"part", "PRU2-100-3"}, {"serial", std::to_string(random.below(100000))}, {"crc", double(random.below(1u << 30))}};
        const auto bytes = encoder.frame(std::array<const char*, 3>{"status", "words", "identity"}[i % 3], v);
        out.insert(out.end(), bytes->begin(), bytes->end());
    }
    return out;
}

struct Read {
    std::vector<std::string> lines;
    codec::Counters counters;
};

Read read(ByteView stream, std::size_t piece)
{
    codec::Decoder decoder(bundled_plan());
    Read out;
    for (std::size_t at = 0; at < stream.size(); at += piece)
        decoder.feed(stream.subspan(at, std::min(piece, stream.size() - at)), 0, [&](const codec::FrameView& f) {
            out.lines.push_back(std::to_string(f.frame_no));
            for (auto& line : lines_of(f, bundled_plan()->signal_table())) out.lines.push_back(std::move(line));
        });
    out.counters = decoder.counters();
    return out;
}

} // namespace

class TestStream : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void any_split_gives_the_same_observations()
    {
        const Bytes stream = stream_of(300, 3);
        const Read whole = read(stream, stream.size());
        QCOMPARE(whole.counters.frames, 300u);
        for (std::size_t piece : {1u, 2u, 3u, 7u, 31u, 64u, 1000u}) {
            const Read parts = read(stream, piece);
            QVERIFY(parts.lines == whole.lines);
            QVERIFY(parts.counters == whole.counters);
        }
    }

    // A frame that ends early, with its check made right again, is refused before anything comes out of it.
    void a_frame_cut_at_any_length_gives_nothing()
    {
        const framing_check check;
        for (const char* name : {"status", "words", "identity", "fault_page", "config", "self_test"}) {
            const Bytes body = check.body(name);
            for (std::size_t n = 0; n < body.size(); ++n) {
                const Read cut = read(check.framed(ByteView(body).first(n)), 1000);
                QVERIFY2(cut.lines.empty(), name);
                QCOMPARE(cut.counters.frames, 0u);
            }
            QCOMPARE(read(check.framed(body), 1000).counters.frames, 1u);
            Bytes longer = body;
            longer.push_back(std::byte{1});
            QCOMPARE(read(check.framed(longer), 1000).counters.too_long, 1u);
        }
    }

    // CRC-16 finds every single changed bit (any CRC does; Peterson and Brown, Proc. IRE 49, 1961).
    void every_flipped_bit_is_refused()
    {
        const framing_check check;
        for (const char* name : {"status", "words", "fault_page"}) {
            Bytes body = check.body(name);
            const Bytes good = check.checked(body);
            for (std::size_t bit = 0; bit < good.size() * 8; ++bit) {
                Bytes bad = good;
                bad[bit / 8] ^= static_cast<std::byte>(1u << bit % 8);
                const Read r = read(check.slip(bad), 1000);
                QVERIFY(r.lines.empty());
                QCOMPARE(r.counters.bad_checksum, 1u);
            }
        }
    }

    void a_word_with_even_parity_is_left_out_and_counted()
    {
        const codec::Encoder encoder(bundled_plan());
        const std::uint32_t good = codec::encode_word(word_named("heading"), 90);
        const Read r = read(*encoder.frame("words", {{"word", std::vector<std::uint32_t>{good, good ^ 0x400u, good}}}), 9);
        QCOMPARE(r.counters.parity_errors, 1u);
        QCOMPARE(r.lines.size(), 5u); // number, frame, n, two headings
    }

    void noise_never_stops_it()
    {
        SeededRandom random(99);
        Bytes noise(200000);
        random.fill(noise);
        for (std::byte& b : noise)
            if (random.below(30) == 0) b = std::byte{0xC0};
        const Read r = read(noise, 777);
        QCOMPARE(r.counters.bytes, 200000u);
        QVERIFY(r.counters.bad_checksum > 100);
        Bytes then = noise;
        const Bytes good = stream_of(30, 5);
        then.insert(then.end(), good.begin(), good.end());
        QCOMPARE(read(then, 4096).counters.frames, r.counters.frames + 30);
    }

    void no_allocation_once_warm()
    {
        const Bytes stream = stream_of(600, 8);
        codec::Decoder decoder(bundled_plan());
        double sum = 0;
        const std::function<void(const codec::FrameView&)> sink = [&](const codec::FrameView& f) {
            for (const auto& o : f.observations) sum += o.value;
        };
        decoder.feed(stream, 0, sink);
        const std::size_t before = allocations;
        for (std::size_t at = 0; at < stream.size(); at += 61) decoder.feed(ByteView(stream).subspan(at, std::min<std::size_t>(61, stream.size() - at)), 0, sink);
        QCOMPARE(allocations.load() - before, 0u);
        QVERIFY(sum > 0);
    }

    // Every bundled unit: texts of changing length, optional fields, groups that change their number, text lines.
    void no_allocation_once_warm_in_any_bundled_unit()
    {
        std::map<QString, Bytes> streams;
        for (const QJsonObject& c : python_cases("tests/data/units/wire.py")) {
            const Bytes more = *from_hex(c["hex"].toString().toStdString());
            Bytes& stream = streams[c["unit"].toString()];
            if (c.contains("frame")) stream.insert(stream.end(), more.begin(), more.end());
        }
        QCOMPARE(streams.size(), 3u);
        for (const auto& [id, stream] : streams) {
            const auto unit = profile::load_half(text_of(("assets/profiles/" + id + ".unit.json").toUtf8().constData()), profile::Half::unit);
            codec::Decoder decoder(*codec::Plan::compile(unit.profile.unit));
            std::size_t texts = 0;
            const std::function<void(const codec::FrameView&)> sink = [&](const codec::FrameView& f) { texts += f.texts.size(); };
            const auto feed = [&] {
                for (std::size_t at = 0; at < stream.size(); at += 47) decoder.feed(ByteView(stream).subspan(at, std::min<std::size_t>(47, stream.size() - at)), 0, sink);
            };
            feed();
            const std::size_t before = allocations;
            feed();
            QCOMPARE(allocations.load() - before, 0u);
            QVERIFY(texts > 0 && decoder.counters().frames > 200);
        }
    }

private:
    // Frames made from parts, so that a test can spoil one of them.
    struct framing_check {
        framing::Crc crc{*framing::crc_by_name("CRC-16/IBM-3740")};

        Bytes body(const std::string& frame) const
        {
            const auto hex = [](const char* text) { return *from_hex(text); };
            if (frame == "status") return hex("90000030340abe0d");
            if (frame == "words") return hex("9102e80000d0200000d4");
            if (frame == "identity") return hex("a3505255322d3130302d33202030303432202020200000abcd");
            if (frame == "fault_page") return hex("a1000101020400110000" "03e81401");
            if (frame == "config") return hex("a451342d544c4e202001ff83003201");
            return hex("92010010");
        }
        Bytes checked(ByteView b) const
        {
            Bytes out(b.begin(), b.end());
            const std::uint64_t c = crc.of(b);
            out.push_back(static_cast<std::byte>(c >> 8));
            out.push_back(static_cast<std::byte>(c & 0xFF));
            return out;
        }
        Bytes slip(ByteView b) const
        {
            Bytes out{std::byte{0xC0}};
            for (std::byte v : b) {
                const bool special = v == std::byte{0xC0} || v == std::byte{0xDB};
                if (special) out.push_back(std::byte{0xDB});
                out.push_back(!special ? v : v == std::byte{0xC0} ? std::byte{0xDC} : std::byte{0xDD});
            }
            out.push_back(std::byte{0xC0});
            return out;
        }
        Bytes framed(ByteView b) const { return slip(checked(b)); }
    };
};

CHOCKSIDE_TEST(TestStream)
#include "tst_stream.moc"
