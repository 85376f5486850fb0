#include "journal_fixture.h"

#include <tests/support/test_main.h>

using namespace chockside;
using journal::Entry;

namespace {

/// Twenty entries of one device in one job, as export gives them: a head line and one line an entry.
std::vector<std::string> exported()
{
    tests::Place place;
    auto store = place.store();
    for (int i = 0; i < 20; ++i) (void)tests::put(*store, "job", "c" + std::to_string(i), "reading " + std::to_string(i));
    const std::string text = *store->export_job("job");
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = text.find('\n', at);
        lines.push_back(text.substr(at, end - at + 1));
        at = end + 1;
    }
    return lines;
}

std::string joined(const std::vector<std::string>& lines)
{
    std::string text;
    for (const auto& line : lines) text += line;
    return text;
}

/// One line alone lacks what it had seen, and holds all the same.
bool good(const std::string& text)
{
    const auto report = journal::verify_lines(text);
    return report && (report->ok || report->first_bad->reason == "missing");
}

std::string reason(const std::vector<std::string>& lines)
{
    const auto report = journal::verify_lines(joined(lines));
    return report->first_bad ? report->first_bad->reason : std::string();
}

} // namespace

class TestVerify : public QObject {
    Q_OBJECT

private slots:
    void initTestCase()
    {
        QTest::failOnWarning(QRegularExpression(".*"));
        lines_ = exported();
        QCOMPARE(lines_.size(), std::size_t(21));
        const auto report = journal::verify_lines(joined(lines_));
        QVERIFY(report->ok);
        QCOMPARE(report->entries, std::int64_t(20));
        QCOMPARE(report->withheld, std::int64_t(0));
    }

    void a_line_left_out_is_missed_by_those_who_saw_it()
    {
        for (std::size_t out = 1; out + 1 < lines_.size(); ++out) {
            auto lines = lines_;
            lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(out));
            QCOMPARE(reason(lines), std::string("missing"));
        }
    }

    // Each entry is judged by itself, so that a flip found beside the head alone is found in the whole as well.
    void every_flipped_bit_is_found()
    {
        std::int64_t flips = 0;
        for (std::size_t i = 1; i < lines_.size(); ++i) {
            std::string pair = lines_[0] + lines_[i];
            QVERIFY(good(pair));
            for (std::size_t bit = lines_[0].size() * 8; bit < pair.size() * 8; ++bit, ++flips) {
                pair[bit / 8] = static_cast<char>(pair[bit / 8] ^ (1 << (bit % 8)));
                if (good(pair)) QFAIL(qPrintable(QString("entry %1, bit %2: %3").arg(i).arg(bit).arg(QString::fromStdString(pair))));
                pair[bit / 8] = static_cast<char>(pair[bit / 8] ^ (1 << (bit % 8)));
            }
        }
        QVERIFY(flips > 100000);
    }

    void every_flipped_bit_of_the_head_is_found()
    {
        std::string pair = lines_[0] + lines_[1];
        for (std::size_t bit = 0; bit < lines_[0].size() * 8; ++bit) {
            pair[bit / 8] = static_cast<char>(pair[bit / 8] ^ (1 << (bit % 8)));
            QVERIFY2(!good(pair), pair.substr(0, lines_[0].size()).c_str());
            pair[bit / 8] = static_cast<char>(pair[bit / 8] ^ (1 << (bit % 8)));
        }
    }

    // Bytes overwritten, dropped, doubled or moved at random in the whole text.
    void random_damage_is_found()
    {
        const std::string text = joined(lines_);
        SeededRandom random(11);
        const int trials = qEnvironmentVariableIsSet("CHOCKSIDE_LONG") ? 100000 : 10000;
        for (int trial = 0; trial < trials; ++trial) {
            std::string damaged = text;
            const std::size_t at = random.below(damaged.size() - 1), n = 1 + random.below(std::min<std::size_t>(8, damaged.size() - at - 1));
            switch (random.below(3)) {
            case 0: damaged[at] = static_cast<char>(random.below(256)); break;
            case 1: damaged.erase(at, n); break;
            default: damaged.insert(at, damaged.substr(at, n)); break;
            }
            // A cut at a line's end leaves a shorter chain, which only a receipt can tell; an insertion may repeat a line break.
            if (damaged == text || damaged + "\n" == text || damaged == text + "\n") continue;
            const auto report = journal::verify_lines(damaged);
            const bool same = report && report->ok && report->entries == 20 && damaged.find("\n\n") != std::string::npos;
            if (report && report->ok && !same) QFAIL(qPrintable(QString("trial %1").arg(trial)));
        }
    }

    void doubled_entries_are_found()
    {
        for (std::size_t i = 1; i < lines_.size(); ++i) {
            auto doubled = lines_;
            doubled.insert(doubled.begin() + static_cast<std::ptrdiff_t>(i), lines_[i]);
            QCOMPARE(reason(doubled), std::string("duplicate"));
        }
    }

    void a_dropped_entry_of_a_whole_chain_is_a_gap()
    {
        tests::Place place;
        auto store = place.store();
        for (int i = 0; i < 5; ++i) (void)tests::put(*store, "job", "c" + std::to_string(i));
        const auto all = *store->all_entries();
        const auto keys = *store->keys();
        QVERIFY(journal::verify(all, keys).ok);
        for (std::size_t i = 0; i + 1 < all.size(); ++i) {
            auto fewer = all;
            fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
            const auto report = journal::verify(fewer, keys);
            QVERIFY(!report.ok);
            QCOMPARE(report.first_bad->reason, std::string("gap"));
            QCOMPARE(report.first_bad->seq, std::int64_t(i + 2));
        }
        auto swapped = all;
        std::swap(swapped[1], swapped[3]);
        QVERIFY(journal::verify(swapped, keys).ok); // order of rows is no statement; numbers are
    }

    void a_second_entry_under_one_number_is_a_fork()
    {
        SeededRandom random(4);
        const auto key = trust::KeyPair::make(random);
        journal::Envelope e;
        e.author = trust::author_id(key.public_key());
        e.seq = 1;
        e.job = "j";
        e.kind = "found";
        std::vector<Entry> two{*journal::seal(e, json::Value(json::Object{{"a", 1}}), key, random), *journal::seal(e, json::Value(json::Object{{"a", 2}}), key, random)};
        const auto report = journal::verify(two, {{e.author, to_hex(key.public_key())}});
        QVERIFY(!report.ok);
        QCOMPARE(report.first_bad->reason, std::string("fork"));
    }

    void a_forged_entry_has_no_signature()
    {
        SeededRandom random(4);
        const auto mine = trust::KeyPair::make(random), other = trust::KeyPair::make(random);
        journal::Envelope e;
        e.author = trust::author_id(other.public_key());
        e.seq = 1;
        e.job = "j";
        e.kind = "released";
        Entry forged = *journal::seal(e, json::Value(json::Object{}), other, random);
        forged.signature = to_hex(mine.sign(trust::Domain::entry, *from_hex(forged.hash)));
        const std::vector<Entry> one{forged};
        QCOMPARE(journal::verify(one, {{e.author, to_hex(other.public_key())}}).first_bad->reason, std::string("signature"));
        QCOMPARE(journal::verify(one, {{e.author, to_hex(mine.public_key())}}).first_bad->reason, std::string("key"));
        QCOMPARE(journal::verify(one, {}).first_bad->reason, std::string("key"));
    }

    void a_withheld_body_leaves_the_chain_whole_and_is_counted()
    {
        auto lines = lines_;
        auto v = *json::read(std::string_view(lines[3]));
        v.at("body") = "";
        lines[3] = json::write(v) + "\n";
        QCOMPARE(reason(lines), std::string("body")); // a salt without its body
        v.at("salt") = "";
        lines[3] = json::write(v) + "\n";
        const auto report = journal::verify_lines(joined(lines));
        QVERIFY(report->ok);
        QCOMPARE(report->withheld, std::int64_t(1));
    }

    void hostile_lines_end_in_a_report()
    {
        for (const std::string& bad : {std::string("x"), std::string("{}\n"), std::string(100000, '['), std::string("\0\0", 2), lines_[1], lines_[0] + "{\"envelope\":5}\n", lines_[0] + "null\n"}) QVERIFY(!good(bad));
    }

private:
    std::vector<std::string> lines_;
};

CHOCKSIDE_TEST(TestVerify)
#include "tst_verify.moc"
