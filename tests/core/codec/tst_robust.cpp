// Damaged streams: nothing passes that its check should have stopped, and the decoder finds its way back.
#include "pairs_profile.h"

#include <core/base/random.h>
#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>
#include <tests/support/test_main.h>

#include <QtTest>

#include <cmath>
#include <set>

using namespace chockside;
using namespace chockside::tests;

namespace {

struct Kind {
    const char* framing;
    const char* check;
    int bits; ///< the check misses 2^-bits of the damage; exclusive-or misses two flips in one column, one pair in eight
};

constexpr Kind kinds[] = {{"slip", "crc16", 16}, {"cobs", "crc32", 32}, {"lines", "xor8", 3}, {"length", "crc16", 16}, {"bare_length", "crc24", 24},
    {"enclosed", "crc8", 8}, {"fixed", "crc16_little", 16}};

std::shared_ptr<const codec::Plan> plan_of(const Kind& k)
{
    QJsonObject c{{"framing", k.framing}, {"check", k.check}, {"field", "u32"}, {"bytes", 10}};
    const auto out = profile::load_half(pair_unit(c).toStdString(), profile::Half::unit);
    const auto plan = codec::Plan::compile(out.profile.unit);
    return plan ? *plan : nullptr;
}

/// Values of one frame, so that a frame that was never sent is known.
using Sent = std::vector<double>;

struct Stream {
    Bytes bytes;
    std::vector<Sent> sent;
};

Stream stream_of(const std::shared_ptr<const codec::Plan>& plan, std::size_t frames, SeededRandom& random)
{
    Stream out;
    const codec::Encoder encoder(plan);
    for (std::size_t i = 0; i < frames; ++i) {
        const Sent v{double(random.below(256)), double(random.below(0xFFFFFFFF)), double(random.below(65536))};
        const auto bytes = encoder.frame("f", {{"a", v[0]}, {"x", v[1]}, {"z", v[2]}});
        out.bytes.insert(out.bytes.end(), bytes->begin(), bytes->end());
        out.sent.push_back(v);
    }
    return out;
}

struct Read {
    std::vector<Sent> frames;
    codec::Counters counters;
};

Read read(const std::shared_ptr<const codec::Plan>& plan, ByteView stream, SeededRandom* split = nullptr)
{
    codec::Decoder decoder(plan);
    Read out;
    const auto sink = [&](const codec::FrameView& f) {
        Sent v;
        for (const auto& o : f.observations) v.push_back(std::isnan(o.value) ? -1e300 : o.value); // comparable
        out.frames.push_back(std::move(v));
    };
    for (std::size_t at = 0, n = 0; at < stream.size(); at += n) {
        n = split ? std::min<std::size_t>(1 + split->below(40), stream.size() - at) : stream.size();
        decoder.feed(stream.subspan(at, n), 0, sink);
    }
    out.counters = decoder.counters();
    return out;
}

std::size_t never_sent(const std::vector<Sent>& got, const std::vector<Sent>& sent)
{
    const std::set<Sent> known(sent.begin(), sent.end());
    return std::size_t(std::count_if(got.begin(), got.end(), [&](const Sent& s) { return !known.contains(s); }));
}

Bytes noisy(const Bytes& clean, double rate, SeededRandom& random)
{
    Bytes out = clean;
    for (std::byte& b : out)
        for (int bit = 0; bit < 8; ++bit)
            if (random.uniform(0, 1) < rate) b ^= static_cast<std::byte>(1 << bit);
    return out;
}

} // namespace

class TestRobust : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void every_cut_gives_the_frames_that_are_whole()
    {
        for (const Kind& k : kinds) {
            SeededRandom random(21);
            const auto plan = plan_of(k);
            QVERIFY2(plan != nullptr, k.framing);
            const Stream s = stream_of(plan, 8, random);
            std::size_t before = 0;
            for (std::size_t n = 0; n <= s.bytes.size(); ++n) {
                const Read r = read(plan, ByteView(s.bytes).first(n));
                QVERIFY2(never_sent(r.frames, s.sent) == 0, k.framing);
                QVERIFY2(r.frames.size() >= before && r.frames.size() <= before + 1, k.framing); // one more byte ends at most one frame
                before = r.frames.size();
            }
            QCOMPARE(before, s.sent.size());
        }
    }

    // Every CRC finds a single flipped bit, and so does exclusive-or; a flip can only cost frames. In a delimiter it costs two.
    void every_flipped_bit_costs_at_most_two_frames_and_invents_none()
    {
        for (const Kind& k : kinds) {
            SeededRandom random(22);
            const auto plan = plan_of(k);
            const Stream s = stream_of(plan, 6, random);
            std::size_t invented = 0, tries = s.bytes.size() * 8;
            for (std::size_t bit = 0; bit < tries; ++bit) {
                Bytes bad = s.bytes;
                bad[bit / 8] ^= static_cast<std::byte>(1u << bit % 8);
                const Bytes tail = stream_of(plan, 40, random).bytes; // what follows: a false length waits for it
                bad.insert(bad.end(), tail.begin(), tail.end());
                const Read r = read(plan, bad);
                std::set<Sent> got(r.frames.begin(), r.frames.end());
                const auto kept = std::count_if(s.sent.begin(), s.sent.end(), [&](const Sent& one) { return got.contains(one); });
                QVERIFY2(kept >= 4, k.framing);
                invented += r.frames.size() > s.sent.size() + 40 ? 1 : 0;
            }
            QCOMPARE(invented, 0u);
        }
    }

    // A damaged frame passes a check of w bits with odds of about 2^-w. Every frame or byte that was looked at and refused is one try; with
    // n tries the count of false ones is at most Poisson(n 2^-w); the bound is its mean + 6 of its deviations + 1, passed by chance less than
    // once in a million runs. Where the data themselves tell (a changed hexadecimal digit, a changed length) there are fewer.
    void noise_passes_no_more_than_the_checks_own_odds_data()
    {
        QTest::addColumn<int>("kind");
        QTest::addColumn<double>("rate");
        for (int k = 0; k < int(std::size(kinds)); ++k)
            for (double rate : {1e-5, 1e-4, 1e-3, 1e-2, 1e-1}) QTest::addRow("%s %g", kinds[k].framing, rate) << k << rate;
    }
    void noise_passes_no_more_than_the_checks_own_odds()
    {
        QFETCH(int, kind);
        QFETCH(double, rate);
        const Kind& k = kinds[kind];
        SeededRandom random(23 + std::uint64_t(kind));
        const auto plan = plan_of(k);
        const Stream s = stream_of(plan, qEnvironmentVariableIsSet("CHOCKSIDE_LONG") ? 200000 : 8000, random);
        const Read r = read(plan, noisy(s.bytes, rate, random), &random);
        const auto wrong = double(never_sent(r.frames, s.sent));
        const auto tries = double(r.counters.bad_checksum) + wrong;
        const double mean = tries * std::ldexp(1.0, -k.bits);
        QVERIFY2(wrong <= mean + 6 * std::sqrt(mean) + 1, qPrintable(QString("%1 of %2 tries, %3 expected").arg(wrong).arg(tries).arg(mean)));
        const double whole = std::pow(1 - rate, 8.0 * double(s.bytes.size()) / double(s.sent.size())); // frames without one flipped bit
        const double least = double(s.sent.size()) * whole * whole * 0.9 - 20; // its neighbour's end is needed too
        QVERIFY2(double(r.frames.size()) >= least, qPrintable(QString("%1 frames, %2 wanted").arg(r.frames.size()).arg(least)));
    }

    void any_split_of_a_noisy_stream_gives_the_same()
    {
        for (const Kind& k : kinds) {
            SeededRandom random(24);
            const auto plan = plan_of(k);
            const Bytes bad = noisy(stream_of(plan, 500, random).bytes, 3e-3, random);
            const Read whole = read(plan, bad);
            for (int i = 0; i < 20; ++i) {
                const Read parts = read(plan, bad, &random);
                QVERIFY2(parts.frames == whole.frames, k.framing);
                QVERIFY2(parts.counters == whole.counters, k.framing);
            }
        }
    }
};

CHOCKSIDE_TEST(TestRobust)
#include "tst_robust.moc"
