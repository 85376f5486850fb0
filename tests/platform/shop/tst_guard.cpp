#include <platform/shop/guard.h>
#include <tests/support/test_main.h>

using namespace chockside::shop;

// Buckets of tokens by the definition: never more than burst + rate * time in any span, and whoever waits as long as told is let in.
class TestGuard : public QObject {
    Q_OBJECT

private slots:
    void no_span_takes_more_than_burst_and_rate()
    {
        Buckets b({10, 50});
        std::vector<std::int64_t> taken;
        std::uint64_t word = 7;
        std::int64_t now = 0;
        for (int n = 0; n < 20'000; ++n) {
            word = word * 6364136223846793005u + 1442695040888963407u;
            now += static_cast<std::int64_t>(word >> 58);
            const int wait = b.take("a", now);
            QVERIFY(wait >= 0);
            if (wait == 0) taken.push_back(now);
        }
        for (std::size_t i = 0; i < taken.size(); ++i)
            for (std::size_t j = i; j < std::min(taken.size(), i + 400); ++j) QVERIFY(static_cast<double>(j - i + 1) <= 50 + 0.01 * static_cast<double>(taken[j] - taken[i]) + 1e-6);
        QVERIFY(static_cast<double>(taken.size()) >= 0.99 * static_cast<double>(now) / 100);
    }
    void who_waits_as_told_is_let_in()
    {
        for (const double rate : {0.3, 1.0, 7.0, 10.0, 1000.0}) {
            Buckets b({rate, 3});
            std::int64_t now = 1'000;
            for (int n = 0; n < 3; ++n) QCOMPARE(b.take("a", now), 0);
            const int wait = b.take("a", now);
            QVERIFY(wait >= 1);
            QCOMPARE(b.take("b", now), 0);
            now += 1000 * wait;
            QCOMPARE(b.take("a", now), 0);
        }
    }
    void a_clock_that_stands_or_steps_back_gives_nothing_away()
    {
        Buckets b({10, 2});
        QCOMPARE(b.take("a", 5'000), 0);
        QCOMPARE(b.take("a", 4'000), 0);
        QVERIFY(b.take("a", 3'000) > 0);
        QVERIFY(b.take("a", 5'000) > 0);
    }
    void memory_is_bounded_and_full_buckets_make_room()
    {
        Buckets b({1, 2}, 100);
        for (int n = 0; n < 10'000; ++n) (void)b.take("k" + std::to_string(n), 0);
        QVERIFY(b.size() <= 101);
        QVERIFY(b.take("one more", 0) > 0); // shares the bucket of all that found no room
        QCOMPARE(b.take("one more", 10'000), 0);
        QVERIFY(b.size() <= 2);
    }
    void addresses_data()
    {
        QTest::addColumn<QString>("address");
        QTest::addColumn<QString>("group");
        QTest::newRow("v4") << "192.0.2.7" << "192.0.2.7";
        QTest::newRow("v4 as v6") << "::ffff:192.0.2.7" << "192.0.2.7";
        QTest::newRow("v6") << "2001:db8:1:2:3:4:5:6" << "2001:db8:1:2::/64";
        QTest::newRow("same line") << "2001:db8:1:2::9" << "2001:db8:1:2::/64";
        QTest::newRow("next line") << "2001:db8:1:3::9" << "2001:db8:1:3::/64";
        QTest::newRow("scope") << "fe80::1%eth0" << "fe80::/64";
        QTest::newRow("loopback") << "::1" << "::/64";
        QTest::newRow("other") << "odd" << "odd";
    }
    void addresses()
    {
        QFETCH(QString, address);
        QFETCH(QString, group);
        QCOMPARE(QString::fromStdString(address_group(address.toStdString())), group);
    }
    void a_token_counts_as_its_address_until_it_is_known()
    {
        GuardSettings s;
        s.device = {1, 5};
        s.visitor = {1, 2};
        Guard g(s);
        QCOMPARE(g.admit("Bearer a", "192.0.2.1", 0), 0);
        QCOMPARE(g.admit("Bearer b", "192.0.2.1", 0), 0);
        QVERIFY(g.admit("Bearer c", "192.0.2.1", 0) > 0);
        QCOMPARE(g.admit("", "192.0.2.2", 0), 0);
        g.learn("Bearer a", "device");
        g.learn("Bearer a2", "device"); // another session of the same tablet
        QVERIFY(g.knows("Bearer a") && !g.knows("Bearer b") && !g.knows(""));
        int in = 0;
        for (int n = 0; n < 20; ++n) in += g.admit(n % 2 ? "Bearer a" : "Bearer a2", "192.0.2.1", 0) == 0;
        QCOMPARE(in, 5);
    }
};

CHOCKSIDE_TEST(TestGuard)

#include "tst_guard.moc"
