#include <core/base/random.h>
#include <core/journal/entry.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <set>

using namespace chockside;
using journal::Entry;

namespace {

using Name = std::pair<std::string, std::int64_t>;

Name name(const Entry& e)
{
    return {e.envelope.author, e.envelope.seq};
}

/// Three devices that write and now and then hand all they have to another. What each knew is kept as plain sets, apart from `seen`.
struct History {
    std::vector<Entry> entries;
    std::map<Name, std::set<Name>> known;

    explicit History(std::uint64_t seed)
    {
        SeededRandom random(seed);
        const std::string authors[] = {"aa", "bb", "cc"};
        std::set<Name> have[3];
        std::int64_t seq[3] = {0, 0, 0};
        for (int step = 0; step < 40; ++step) {
            const std::size_t me = random.below(3), other = random.below(3);
            if (random.uniform() < 0.3) {
                have[me].insert(have[other].begin(), have[other].end());
                continue;
            }
            seq[me] += 1 + static_cast<std::int64_t>(random.below(3)); // numbers in between belong to other jobs
            Entry e;
            e.envelope.author = authors[me];
            e.envelope.seq = seq[me];
            for (const auto& [author, at] : have[me]) e.envelope.seen[author] = std::max(e.envelope.seen[author], at);
            e.hash = authors[me] + std::to_string(seq[me]);
            known[name(e)] = have[me];
            have[me].insert(name(e));
            entries.push_back(e);
        }
    }
};

std::vector<Name> names(const std::vector<const Entry*>& order)
{
    std::vector<Name> all;
    for (const Entry* e : order) all.push_back(name(*e));
    return all;
}

} // namespace

class TestOrder : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Happened-before of Lamport (1978), with vectors as Fidge and Mattern describe (1988): the model is the set each writer really had.
    void the_vector_says_what_the_writer_had()
    {
        for (std::uint64_t seed = 1; seed <= 200; ++seed) {
            const History h(seed);
            for (const Entry& later : h.entries)
                for (const Entry& earlier : h.entries) QCOMPARE(journal::knew(later, earlier), h.known.at(name(later)).contains(name(earlier)));
        }
    }

    void the_order_does_not_depend_on_arrival()
    {
        for (std::uint64_t seed = 1; seed <= 200; ++seed) {
            History h(seed);
            const auto expected = names(journal::causal_order(h.entries));
            SeededRandom random(seed);
            for (int shuffle = 0; shuffle < 5; ++shuffle) {
                for (std::size_t i = h.entries.size(); i > 1; --i) std::swap(h.entries[i - 1], h.entries[random.below(i)]);
                QVERIFY(names(journal::causal_order(h.entries)) == expected);
            }
        }
    }

    void every_entry_comes_after_all_that_its_writer_had()
    {
        for (std::uint64_t seed = 1; seed <= 200; ++seed) {
            const History h(seed);
            std::set<Name> before;
            for (const Entry* e : journal::causal_order(h.entries)) {
                for (const Name& n : h.known.at(name(*e))) QVERIFY(before.contains(n));
                QVERIFY(before.insert(name(*e)).second);
            }
            QCOMPARE(before.size(), h.entries.size());
        }
    }

    void a_part_of_a_history_is_still_ordered()
    {
        for (std::uint64_t seed = 1; seed <= 100; ++seed) {
            History h(seed);
            SeededRandom random(seed);
            std::erase_if(h.entries, [&](const Entry&) { return random.uniform() < 0.3; });
            const auto order = journal::causal_order(h.entries);
            QCOMPARE(order.size(), h.entries.size());
            for (std::size_t i = 0; i < order.size(); ++i)
                for (std::size_t k = i + 1; k < order.size(); ++k) QVERIFY(!h.known.at(name(*order[i])).contains(name(*order[k])));
        }
    }

    void circles_and_forks_still_end()
    {
        std::vector<Entry> entries(3);
        entries[0].envelope.author = "aa", entries[0].envelope.seq = 1, entries[0].envelope.seen = {{"bb", 1}}, entries[0].hash = "1";
        entries[1].envelope.author = "bb", entries[1].envelope.seq = 1, entries[1].envelope.seen = {{"aa", 1}}, entries[1].hash = "2";
        entries[2] = entries[1];
        entries[2].hash = "0";
        const auto order = journal::causal_order(entries);
        QCOMPARE(order.size(), std::size_t(3));
        std::vector<std::string> one, other;
        for (const Entry* e : order) one.push_back(e->envelope.author + e->hash);
        std::reverse(entries.begin(), entries.end());
        for (const Entry* e : journal::causal_order(entries)) other.push_back(e->envelope.author + e->hash);
        QVERIFY(one == other);
        QVERIFY(journal::causal_order({}).empty());
    }
};

CHOCKSIDE_TEST(TestOrder)
#include "tst_order.moc"
