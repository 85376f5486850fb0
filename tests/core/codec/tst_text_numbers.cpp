#include <core/base/random.h>
#include <core/codec/detail/decimal_newer.h>
#include <core/codec/detail/tokens.h>
#include <core/framing/sums.h>

#include <tests/support/test_main.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <numeric>
#include <string>

#include <QtTest>

using namespace chockside;
using namespace chockside::codec::detail;

namespace {

// The standard library on the same text (C++17 [charconv.from.chars]); ours allows one + in front, and no infinity.
template <class T>
bool standard(std::string_view t, T& out)
{
    if (t.size() > 1 && t[0] == '+' && t[1] != '-') t.remove_prefix(1);
    const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), out);
    return error == std::errc{} && stop == t.data() + t.size();
}

// Both ways to read a short number take the same texts, and see the same number in them.
bool newer_agrees(std::string_view t, std::string_view around)
{
#ifdef CHOCKSIDE_NEWER
    if (!newer_processor()) return true;
    Decimal a, b;
    double value = 0;
    const bool old_way = read_short(t, around, a), new_way = read_short_newer(t, around, b, value);
    if (!old_way || !new_way) return old_way == new_way;
    return std::bit_cast<std::uint64_t>(value_of(a)) == std::bit_cast<std::uint64_t>(value) && a.digits == b.digits && a.behind == b.behind && a.minus == b.minus && a.point == b.point;
#else
    return t.data() >= around.data();
#endif
}

bool agrees(const std::string& text, std::string_view around, std::size_t at)
{
    const std::string_view t = around.substr(at, text.size());
    if (!newer_agrees(t, around)) return false;
    double a = 0, b = 0;
    const bool right = standard(t, b) && std::isfinite(b), ours = read_number(t, around, a);
    std::int64_t c = 0, d = 0;
    const bool whole = standard(t, d), our_whole = read_whole(t, around, c);
    return right == ours && (!right || std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b)) && whole == our_whole && (!whole || c == d);
}

// Alone, and with as much beside it as makes each way of loading it the one taken; what lies beside must not matter.
bool agrees_anywhere(const std::string& text)
{
    for (const char* beside : {"", "9", "99", "9.9999999", "\xFF\xFE,-+.*A~"}) {
        const std::string all = beside + text + beside, behind = beside + text, before = text + beside;
        const std::size_t n = std::string_view(beside).size();
        if (!agrees(text, all, n) || !agrees(text, behind, n) || !agrees(text, before, 0)) return false;
    }
    return true;
}

std::string printed(const char* format, int places, double v)
{
    char text[400];
    std::snprintf(text, sizeof text, format, places, v);
    return text;
}

} // namespace

class TestTextNumbers : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void every_short_text()
    {
        const std::string alphabet = "09.-+e ";
        std::vector<std::string> last{""};
        for (int length = 1; length <= 5; ++length) {
            std::vector<std::string> next;
            for (const std::string& begun : last)
                for (char c : alphabet) next.push_back(begun + c);
            for (const std::string& t : next) QVERIFY2(agrees(t, t, 0) && agrees(t, "0000000" + t + "0000000", 7), t.c_str());
            last = std::move(next);
        }
    }

    void decimals_as_units_send_them()
    {
        SeededRandom random(81);
        for (int i = 0; i < 20000; ++i) {
            const std::string t = printed("%.*f", static_cast<int>(random.below(8)), random.uniform(-1, 1) * std::pow(10, static_cast<double>(random.below(9))));
            QVERIFY2(agrees_anywhere(t), t.c_str());
        }
    }

    void digits_of_any_length()
    {
        SeededRandom random(82);
        for (int i = 0; i < 20000; ++i) {
            std::string t = random.below(3) ? "" : "-";
            const std::size_t n = 1 + random.below(24), point = random.below(30);
            for (std::size_t k = 0; k < n; ++k) {
                if (k == point) t += '.';
                t += static_cast<char>('0' + (random.below(4) ? random.below(10) : random.below(2) * 9));
            }
            QVERIFY2(agrees_anywhere(t), t.c_str());
        }
    }

    // Halfway cases and neighbours of powers of two, where a wrong rounding shows.
    void hard_decimals()
    {
        SeededRandom random(83);
        for (int i = 0; i < 5000; ++i) {
            const auto m = (std::uint64_t{1} << 53) + random.below(1u << 30);
            const double near = std::ldexp(static_cast<double>(m), -static_cast<int>(random.below(60)));
            for (const std::string& t : {std::to_string(m), std::to_string(m | 1), printed("%.*f", static_cast<int>(random.below(20)), near),
                     printed("%.*e", 17, random.uniform(0, 1)), printed("%.*g", 17, random.uniform(-180, 180))})
                QVERIFY2(agrees_anywhere(t), t.c_str());
        }
        for (const char* t : {"9007199254740993", "9007199254740992", "9007199254740991", "0.1", "0.3", "1e22", "1e23", "123456789012345678",
                 "999999999999999999", "0.000000000000000001", "-0", "-0.0", "1.", ".5", ".", "-", "-.", "", "+", "+-1", "--1", "1..2",
                 "1.2.3", "inf", "nan", "1e400", "4.9e-324", "2.2250738585072011e-308", "0x10", "12345678", "1234567.8", "99999999",
                 "999999999"})
            QVERIFY2(agrees_anywhere(t), t);
    }

    void tokens_are_what_lies_between_separators()
    {
        SeededRandom random(84);
        for (int i = 0; i < 20000; ++i) {
            std::string frame;
            for (std::size_t n = random.below(i % 2 ? 64 : 200); frame.size() < n;) frame += random.below(5) ? 'x' : ',';
            const std::size_t from = random.below(frame.size() + 1), n = random.below(frame.size() - from + 1);
            const std::string line = frame.substr(from, n);
            std::vector<std::string> right(1);
            for (char c : line)
                if (c == ',') right.emplace_back();
                else right.back() += c;
            const ByteView all = as_bytes(frame), part = all.subspan(from, n);
            std::vector<std::string> found;
            for (Tokens t(part, all.data(), std::byte{','}); t.left();) found.emplace_back(as_text(t.next()));
            QCOMPARE(found, right);
            if (frame.size() >= 64) continue;
            found.clear();
            for (ShortTokens t(part, frame, std::byte{','}); t.left();) found.emplace_back(as_text(t.next()));
            QCOMPARE(found, right);
        }
    }

    void exclusive_or_of_any_length()
    {
        SeededRandom random(85);
        for (std::size_t n = 0; n < 70; ++n) {
            Bytes b(n);
            for (std::byte& one : b) one = static_cast<std::byte>(random.below(256));
            const auto right = std::accumulate(b.begin(), b.end(), std::byte{}, [](std::byte x, std::byte y) { return x ^ y; });
            QCOMPARE(framing::xor_of(b), std::to_integer<std::uint8_t>(right));
        }
    }
};

CHOCKSIDE_TEST(TestTextNumbers)
#include "tst_text_numbers.moc"
