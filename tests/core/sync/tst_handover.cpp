// File and QR series: what one tablet writes reaches the shop and the receipts come back, whatever happens to single symbols.
#include "sync_fixture.h"

#include <core/sync/carry.h>
#include <core/sync/handover.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::sync;
using tests::Pair;
using tests::Shop;

class TestHandover : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void base45_as_the_rfc_shows_it() // RFC 9285, sections 4.3 and 4.4
    {
        QCOMPARE(base45(as_bytes("AB")), std::string("BB8"));
        QCOMPARE(base45(as_bytes("Hello!!")), std::string("%69 VD92EX0"));
        QCOMPARE(base45(as_bytes("base-45")), std::string("UJCLQE7W581"));
        QCOMPARE(to_text(*from_base45("QED8WEX0")), std::string("ietf!"));
        QVERIFY(!from_base45("GGX")); // 65536
        QVERIFY(!from_base45("A"));
        QVERIFY(!from_base45("ab"));
    }

    void a_series_with_lost_doubled_damaged_and_reordered_symbols()
    {
        SeededRandom random(4);
        for (const std::size_t size : {0, 1, 599, 600, 601, 20'000}) {
            Bytes bytes(size);
            random.fill(bytes);
            const std::string file = to_text(bytes);
            auto symbols = *symbols_of(file);
            for (const auto& s : symbols)
                for (const char c : s) QVERIFY(std::string_view("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:").find(c) != std::string_view::npos);
            Series series;
            const auto other = *symbols_of(file + "x");
            for (std::size_t i = symbols.size(); i > 1; --i) std::swap(symbols[i - 1], symbols[random.below(i)]);
            for (std::size_t i = 0; i + 1 < symbols.size(); ++i) {
                QVERIFY(series.add(symbols[i]));
                QVERIFY(!series.add(symbols[i]));
                if (series.total() > 1) QVERIFY(!series.add(other[i]));
                std::string harmed = symbols[i];
                harmed[harmed.size() / 2] = harmed[harmed.size() / 2] == 'A' ? 'B' : 'A';
                QVERIFY(!series.add(harmed));
            }
            if (symbols.size() > 1) {
                QCOMPARE(series.whole().error().code, std::string("incomplete"));
                QCOMPARE(series.missing().size(), std::size_t(1));
            }
            QVERIFY(series.add(symbols.back()));
            QCOMPARE(*series.whole(), file);
        }
    }

    void a_tablet_without_network_gets_to_the_shop_and_its_receipts_back()
    {
        Shop shop;
        SeededRandom random(21);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        for (int i = 0; i < 4; ++i) tests::write(store, pair.clock, random, "J", "x");
        pair.run();
        for (int i = 0; i < 300; ++i) tests::write(store, pair.clock, random, "J", "no network");
        const std::int64_t acked = pair.tablet.view().at_shop;
        const std::string file = text(Handover{{{store.author(), store.public_key()}}, *store.own_lines(acked, 1000, 1 << 30)});
        Series series;
        const auto symbols = *symbols_of(file);
        for (const auto& s : symbols) (void)series.add(s);
        const auto read = handover_from(*series.whole());
        QVERIFY(read);
        const auto answers = shop.receive.take(read->lines);
        QVERIFY(answers);
        QCOMPARE(answers->at(store.author()).status, 200);
        const auto told = push_answer_from(answers->at(store.author()).body);
        const auto back = receipt_file_from(text(ReceiptFile{{*told->receipt}, {}, {}}));
        QVERIFY(back);
        QVERIFY(pair.tablet.take_receipts(back->receipts));
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(304));
        // Again by network: nothing is sent twice, nothing is stored twice.
        pair.tablet.try_now();
        pair.run();
        QCOMPARE(shop.ledger.state.chains[store.author()].size(), std::size_t(304));
        QVERIFY(!pair.tablet.view().went_back);
        // A forged receipt is nobody's.
        Receipt forged = *told->receipt;
        forged.seq = 1;
        QVERIFY(!pair.tablet.take_receipts({forged}));
    }

    void what_the_shop_wrote_comes_back_with_the_receipts()
    {
        Shop shop;
        SeededRandom random(29);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        pair.run();
        const auto say = [&](const std::string& device, const char* kind, const char* text) { return shop.receive.say(device, "J", {kind, 1, json::Object{{"text", text}}, {}, "keeper", {}}).has_value(); };
        QVERIFY(say(store.author(), "replied", "first"));
        pair.tablet.try_now();
        pair.run(); // by network
        QVERIFY(say(store.author(), "replied", "second"));
        QVERIFY(say({}, "notice", "to all"));
        QCOMPARE(shop.receive.written_for(std::string(32, '0'), 500).error().code, std::string("not_enrolled"));
        const auto written = shop.receive.written_for(store.author(), 500);
        QVERIFY(written);
        QCOMPARE(written->second.size(), std::size_t(3));
        const auto back = receipt_file_from(text(ReceiptFile{{}, written->first, written->second}));
        QVERIFY(back && back->streams);
        const auto has = [&](const char* text) {
            return std::ranges::any_of(store.others, [&](const auto& chain) { return std::ranges::any_of(chain.second, [&](const auto& e) { return e.second.first.body.find(text) != std::string::npos; }); });
        };
        QVERIFY(has("first") && !has("second"));

        // Changed on the way, or for somebody else: nothing of it is taken in.
        auto harmed = *back;
        harmed.lines[1].body = R"({"text":"sicond"})";
        QCOMPARE(pair.tablet.take_written(*harmed.streams, harmed.lines).error().code, std::string("not_shop"));
        auto other = *back->streams;
        other.device = std::string(32, '1');
        QVERIFY(pair.tablet.take_written(other, back->lines));
        auto forged = *back->streams;
        forged.broadcast_key = forged.device_key;
        QCOMPARE(pair.tablet.take_written(forged, back->lines).error().code, std::string("not_shop"));
        // One is missing between: the others wait for the next contact.
        QVERIFY(say(store.author(), "replied", "third"));
        const auto late = shop.receive.written_for(store.author(), 1);
        QVERIFY(pair.tablet.take_written(late->first, late->second));
        QVERIFY(!has("second") && !has("third") && has("to all"));

        QVERIFY(pair.tablet.take_written(*back->streams, back->lines));
        QVERIFY(has("second") && !has("third"));
        QVERIFY(pair.tablet.take_written(*back->streams, back->lines)); // again: nothing
        pair.tablet.try_now();
        pair.run();
        QVERIFY(has("third"));
        QVERIFY(pair.tablet.view().reason.empty() && pair.tablet.view().stopped.empty());
    }

    void what_is_carried_begins_after_the_receipt_and_fits()
    {
        Shop shop;
        SeededRandom random(23);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        QCOMPARE(to_carry(store, 1 << 20).error().code, std::string("nothing_new"));
        for (int i = 0; i < 5; ++i) tests::write(store, pair.clock, random, "J", "x");
        pair.run();
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(5));
        for (int i = 0; i < 1200; ++i) tests::write(store, pair.clock, random, "J", i % 7 ? "short" : std::string(3000, 'y'));
        const auto all = to_carry(store, std::size_t(1) << 30);
        QVERIFY(all && all->all);
        QCOMPARE(all->first, std::int64_t(6));
        QCOMPARE(all->last, std::int64_t(1205));
        QCOMPARE(all->handover.lines.size(), std::size_t(1200));
        for (const std::size_t most : {std::size_t(1), std::size_t(5000), std::size_t(200'000)}) {
            const auto some = to_carry(store, most);
            QVERIFY(some && !some->all && some->first == 6);
            std::size_t bytes = 0;
            for (std::size_t i = 0; i < some->handover.lines.size(); ++i) {
                QCOMPARE(text_of(some->handover.lines[i]), text_of(all->handover.lines[i]));
                bytes += text_of(some->handover.lines[i]).size() + 1;
            }
            QVERIFY(some->handover.lines.size() == 1 || bytes <= most);
            QCOMPARE(some->last, std::int64_t(5 + some->handover.lines.size()));
            // The shop joins even a part of it to what it has, and the rest to that.
            const auto read = brought(text(some->handover));
            QVERIFY(read);
            const auto answers = shop.receive.take(read->lines);
            QVERIFY(answers && answers->at(store.author()).status == 200);
        }
        const auto symbols = *symbols_of(text(to_carry(store, 3000)->handover), 200);
        std::string typed;
        for (auto s = symbols.rbegin(); s != symbols.rend(); ++s) typed += *s + "\r\n" + *s + "\r\nCS1:nonsense\r\n";
        QVERIFY(brought(typed));
        const auto lost = brought(typed.substr(typed.find("CS1:nonsense") + 14));
        QCOMPARE(lost.error().code, std::string("incomplete"));
        QCOMPARE(lost.error().args.front().second, std::to_string(symbols.size()));
    }

    void every_changed_byte_of_a_file_is_found()
    {
        SeededRandom random(22);
        sim::MemoryStore store(random);
        tests::SetClock clock;
        for (int i = 0; i < 3; ++i) tests::write(store, clock, random, "J", "x");
        const std::string file = text(Handover{{{store.author(), store.public_key()}}, store.own});
        QVERIFY(handover_from(file));
        for (std::size_t i = 0; i < file.size(); ++i) {
            std::string changed = file;
            changed[i] = static_cast<char>(changed[i] ^ 1);
            const auto read = handover_from(changed);
            // The keys alone are not under the digest: they prove themselves, as an author is the digest of the key.
            const bool keys_lie = read && std::any_of(read->keys.begin(), read->keys.end(), [](const auto& k) { return trust::author_id(*from_hex(k.second)) != k.first; });
            QVERIFY2(!read || keys_lie, qPrintable(QString::number(i)));
            QVERIFY(!handover_from(std::string_view(file).substr(0, i)));
        }
    }
};

CHOCKSIDE_TEST(TestHandover)
#include "tst_handover.moc"
