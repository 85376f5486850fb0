// The shelf against a plain model of it: the last used are kept, as far as the weight goes.
#include <platform/shop/shelf.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <random>
#include <thread>
#include <vector>

using namespace chockside::shop;

class TestShopShelf : public QObject {
    Q_OBJECT

private slots:
    void keeps_what_was_used_last()
    {
        struct Row {
            std::string name;
            int value;
            std::size_t weight;
        };
        constexpr std::size_t most = 100;
        std::mt19937 random(20261127);
        Shelf<int> shelf(most);
        std::vector<Row> model; // newest use last
        int hits = 0, misses = 0;
        for (int turn = 0; turn < 5000; ++turn) {
            const std::string name = "job-" + std::to_string(random() % 30);
            const auto at = std::find_if(model.begin(), model.end(), [&](const Row& r) { return r.name == name; });
            if (random() % 2) {
                const auto found = shelf.find(name);
                QCOMPARE(found != nullptr, at != model.end());
                ++(found ? hits : misses);
                if (!found) continue;
                QCOMPARE(*found, at->value);
                std::rotate(at, at + 1, model.end());
                continue;
            }
            if (at != model.end()) model.erase(at);
            const std::size_t weight = 1 + random() % (turn % 50 == 0 ? 200 : 20);
            shelf.put(name, std::make_shared<const int>(turn), weight);
            if (weight <= most) {
                model.push_back({name, turn, weight});
                const auto sum = [&] {
                    std::size_t all = 0;
                    for (const auto& r : model) all += r.weight;
                    return all;
                };
                while (sum() > most) model.erase(model.begin());
                QCOMPARE(shelf.weight(), sum());
            }
        }
        QVERIFY(hits > 300 && misses > 300);
    }

    void from_many_threads()
    {
        Shelf<int> shelf(50);
        std::vector<std::thread> threads;
        std::atomic<int> strange{0};
        for (int t = 0; t < 4; ++t)
            threads.emplace_back([&, t] {
                for (int i = 0; i < 3000; ++i) {
                    const int n = (i * 7 + t) % 90;
                    if (const auto found = shelf.find(std::to_string(n)); found && *found != n) ++strange;
                    shelf.put(std::to_string(n), std::make_shared<const int>(n), 1 + static_cast<std::size_t>(n % 5));
                }
            });
        for (auto& t : threads) t.join();
        QCOMPARE(strange.load(), 0);
        QVERIFY(shelf.weight() <= 50);
    }
};

CHOCKSIDE_TEST(TestShopShelf)
#include "tst_shelf.moc"
