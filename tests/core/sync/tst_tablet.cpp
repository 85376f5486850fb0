// The tablet's end against the receiver's, message by message.
#include "sync_fixture.h"

#include <tests/support/test_main.h>

#include <set>

using namespace chockside;
using namespace chockside::sync;
using tests::Pair;
using tests::Shop;

namespace {

std::string kind_of(const Request& r)
{
    const std::string path = split_target(r.target).path;
    if (path.starts_with("/v1/authors/")) return r.method + " entries";
    if (path.starts_with("/v1/uploads/")) return r.method + " upload";
    if (path.starts_with("/v1/blobs/")) return r.method + " blob";
    return r.method + " " + path;
}

/// Two tablets that share a job: what `from` names, `to` wants.
struct Colleagues {
    Shop shop;
    SeededRandom random{21};
    sim::MemoryStore kept_from{random}, kept_to{random};
    Pair from, to;

    explicit Colleagues(TabletSettings s = {}) : from(shop, kept_from, s), to(shop, kept_to, s)
    {
        from.enrol();
        to.enrol();
        from.run();
        to.run();
        tests::write(kept_to, to.clock, random, "J", "here as well");
    }
    /// At the shop already, unless it is only named.
    std::string name(const std::string& bytes, bool there = true)
    {
        const std::string sha = trust::sha256_hex(as_bytes(bytes));
        if (there) shop.blobs.blobs[sha] = bytes;
        tests::write(kept_from, from.clock, random, "J", "look", {sha});
        from.tablet.entries_written();
        from.run(2'000);
        return sha;
    }
    bool has(const std::string& sha, const std::string& bytes) const
    {
        const auto found = kept_to.blobs.find(sha);
        return found != kept_to.blobs.end() && found->second == to_bytes(bytes);
    }
};

/// The one with the least or the largest digest of the 26 that are one letter over and over.
std::string by_digest(std::size_t n, bool least)
{
    std::map<std::string, std::string> all;
    for (char c = 'a'; c <= 'z'; ++c) all[trust::sha256_hex(as_bytes(std::string(n, c)))] = std::string(n, c);
    return least ? all.begin()->second : all.rbegin()->second;
}

WireAnswer untouched(const Request&, Answer a) { return {{}, std::move(a)}; }
bool fetches(const Request& r) { return r.method == "GET" && r.target.starts_with("/v1/blobs/"); }

} // namespace

class TestTablet : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Figure R7: the first answer of each kind comes cut after 0 bytes, then after 1, and so on; each time the engine must notice, keep
    // what it has, and ask again. At the end nothing is lost or doubled.
    void an_answer_cut_at_every_byte()
    {
        Shop shop;
        SeededRandom random(5);
        sim::MemoryStore a(random), b(random);
        Bytes photo(3000);
        random.fill(photo);
        b.blobs[trust::sha256_hex(photo)] = photo;
        Pair colleague(shop, b);
        colleague.enrol();
        tests::write(b, colleague.clock, random, "J", "seen by the night shift", {trust::sha256_hex(photo)});
        colleague.run();
        Pair pair(shop, a);
        tests::write(a, pair.clock, random, "J", "hello");
        std::map<std::string, std::size_t> cut;
        long cuts = 0;
        bool assigned = false;
        std::set<std::string> whole; // kinds whose answers had every cut
        pair.wire.harm = [&](const Request& r, Answer answer) {
            if (r.target == "/v1/session" && !std::exchange(assigned, true)) // the job is shared before anything is asked for
                static_cast<void>(shop.receive.say(a.author(), "J", {"assigned", 1, json::Object{{"text", "x"}}, {}, "LT", {}}));
            const auto at = cut[kind_of(r)]++;
            if (at >= answer.body.size()) return whole.insert(kind_of(r)), WireAnswer{{}, std::move(answer)};
            ++cuts;
            answer.body.resize(at);
            return WireAnswer{{}, std::move(answer)};
        };
        pair.enrol();
        for (long before = -1; before != cuts;) { // until two waits of the longest kind bring no more
            before = cuts;
            pair.run(700'000);
        }
        for (const char* kind : {"POST /v1/enrol", "POST /v1/nonce", "POST /v1/session", "GET /v1/heads", "PUT entries", "GET entries", "GET /v1/jobs", "GET blob"}) QVERIFY2(whole.contains(kind), kind);
        qInfo("%ld cuts", cuts);
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(1));
        QCOMPARE(shop.ledger.state.chains[a.author()].size(), std::size_t(1));
        QVERIFY(a.others[b.author()].contains(1));
        QCOMPARE(a.repeats, 0L);
        QVERIFY(a.blobs.contains(trust::sha256_hex(photo)));
    }

    // Figure R13 on a simulated wire: 256 kbit/s and 200 ms there and back. Payload are the bytes an entry is made of: envelope, body,
    // signature (64) and salt (32); what travels is every byte of HTTP both ways.
    void ten_thousand_entries_over_a_slow_link()
    {
        Shop shop;
        SeededRandom random(8);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        std::size_t payload = 0;
        for (int i = 0; i < 10'000; ++i) {
            tests::write(store, pair.clock, random, "J-" + std::to_string(i / 100), "pin 7 of the connector on the unit, 27.4 V, breaker in, loaded");
            payload += store.own.back().envelope.size() + store.own.back().body.size() + 96;
        }
        pair.enrol();
        pair.run();
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(10'000));
        QCOMPARE(shop.ledger.state.chains[store.author()].size(), std::size_t(10'000));
        const double ratio = static_cast<double>(pair.wire.bytes) / static_cast<double>(payload);
        const double seconds = static_cast<double>(pair.wire.bytes) * 8 / 256'000 + static_cast<double>(pair.wire.requests) * 0.2;
        qInfo("10,000 entries: payload %zu, on the wire %zu (%.3f x), %ld requests, %.0f s at 256 kbit/s and 200 ms", payload, pair.wire.bytes, ratio, pair.wire.requests, seconds);
        QVERIFY(ratio <= 1.3);
    }

    void waits_are_drawn_from_the_formula_and_retry_after_is_a_floor()
    {
        Shop shop;
        SeededRandom random(9);
        sim::MemoryStore store(random);
        std::map<int, std::vector<std::int64_t>> waits;
        for (std::uint64_t seed = 0; seed < 400; ++seed) {
            Pair pair(shop, store);
            pair.random = SeededRandom(seed);
            pair.wire.harm = [](const Request&, Answer) { return WireAnswer{WireFault::no_route, {}}; };
            pair.enrol();
            for (int n = 0; n < 12; ++n) {
                pair.run();
                waits[n].push_back(*pair.tablet.next_wake() - pair.clock.mono);
                pair.clock.mono = *pair.tablet.next_wake();
            }
        }
        // U(0, min(300 s, 1 s * 2^n)): never beyond; mean of 400 within 4.5 standard errors (a bound of chance, the seeds are fixed).
        for (const auto& [n, all] : waits) {
            const double top = std::min(300'000.0, 1000.0 * (1 << n));
            double sum = 0;
            for (const auto w : all) {
                QVERIFY(w >= 0 && static_cast<double>(w) <= top);
                sum += static_cast<double>(w);
            }
            QVERIFY(std::abs(sum / 400 - top / 2) < 4.5 * top / std::sqrt(12.0 * 400));
        }
        Pair pair(shop, store);
        pair.wire.harm = [](const Request&, Answer) { return WireAnswer{{}, {503, {{"retry-after", "40"}}, {}}}; };
        pair.enrol();
        pair.run();
        QVERIFY(*pair.tablet.next_wake() - pair.clock.mono >= 40'000);
        pair.tablet.link_up();
        QVERIFY(*pair.tablet.next_wake() - pair.clock.mono >= 40'000);
        pair.tablet.try_now();
        QVERIFY(!pair.tablet.next_wake() || *pair.tablet.next_wake() - pair.clock.mono < 41'000);
    }

    void too_many_requests_wait_as_long_as_they_are_told_but_an_hour_at_most()
    {
        for (const auto& [said, least, most] : {std::tuple<const char*, std::int64_t, std::int64_t>{"7", 7'000, 8'000}, {"999999", 3'600'000, 3'600'000}, {"soon", 0, 1'000}, {"-3", 0, 1'000}}) {
            Shop shop;
            SeededRandom random(11);
            sim::MemoryStore store(random);
            Pair pair(shop, store);
            pair.wire.harm = [said = said](const Request&, Answer) { return WireAnswer{{}, {429, {{"retry-after", said}, {"chockside-protocol", "1"}}, {}}}; };
            pair.enrol();
            pair.run();
            const auto wait = *pair.tablet.next_wake() - pair.clock.mono;
            QVERIFY2(wait >= least && wait <= most, said);
            QCOMPARE(pair.tablet.view().reason, std::string("busy"));
            pair.wire.harm = [](const Request&, Answer a) { return WireAnswer{{}, std::move(a)}; };
            pair.clock.mono += wait;
            pair.run();
            QCOMPARE(pair.tablet.view().reason, std::string());
        }
    }

    void what_is_on_the_give_up_list_is_shown_and_not_repeated()
    {
        for (const int status : {400, 403, 413, 422}) {
            Shop shop;
            SeededRandom random(10);
            sim::MemoryStore store(random);
            Pair pair(shop, store);
            tests::write(store, pair.clock, random, "J", "x");
            pair.wire.harm = [&](const Request& r, Answer a) {
                if (r.method != "PUT") return WireAnswer{{}, std::move(a)};
                Refusal no;
                no.code = status == 400 ? "bad_request" : status == 403 ? "revoked" : status == 413 ? "too_long" : "bad_entry";
                Answer said{status, {{"content-digest", content_digest(text(no))}}, text(no)};
                return WireAnswer{{}, std::move(said)};
            };
            pair.enrol();
            long pushes = 0;
            const auto harm = pair.wire.harm;
            pair.wire.harm = [&](const Request& r, Answer a) { return pushes += r.method == "PUT", harm(r, std::move(a)); };
            pair.run(3'600'000);
            QVERIFY(!pair.tablet.view().stopped.empty());
            QCOMPARE(pushes, 1L);
            pair.wire.harm = [](const Request&, Answer a) { return WireAnswer{{}, std::move(a)}; };
            pair.tablet.try_now();
            pair.run();
            QCOMPARE(pair.tablet.view().at_shop, std::int64_t(1));
        }
    }

    void a_restored_shop_gets_everything_again_and_the_old_receipts_stay()
    {
        Shop shop;
        SeededRandom random(12);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        for (int i = 0; i < 5; ++i) tests::write(store, pair.clock, random, "J", "x");
        pair.run();
        const auto backup = shop.ledger.state;
        for (int i = 0; i < 5; ++i) tests::write(store, pair.clock, random, "J", "y");
        pair.tablet.try_now();
        pair.run();
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(10));
        const auto receipts = store.receipts.size();
        shop.ledger.state = backup;
        QVERIFY(shop.receive.new_epoch());
        pair.tablet.try_now();
        pair.run();
        QVERIFY(pair.tablet.view().went_back);
        QCOMPARE(shop.ledger.state.chains[store.author()].size(), std::size_t(10));
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(10));
        QVERIFY(store.receipts.size() > receipts);
    }

    void a_rewritten_log_in_the_same_epoch_is_seen()
    {
        Shop shop;
        SeededRandom random(13);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        for (int i = 0; i < 6; ++i) tests::write(store, pair.clock, random, "J", "x");
        pair.run();
        // Whoever owns the shop's disk changes one leaf, and the tree above it, and says nothing.
        auto& nodes = shop.ledger.state.nodes;
        nodes[{0, 2}][0] ^= std::byte{1};
        nodes[{1, 1}] = node_digest(nodes[{0, 2}], nodes[{0, 3}]);
        nodes[{2, 0}] = node_digest(nodes[{1, 0}], nodes[{1, 1}]);
        Receive again(shop.ledger, shop.clock, shop.random, shop.key);
        const auto head = again.log_head();
        QVERIFY(head && head->root != store.durable.log_root);
        pair.wire.harm = [&](const Request& r, Answer a) { return WireAnswer{{}, r.target.starts_with("/v1/heads") ? again.answer(r) : std::move(a)}; };
        pair.tablet.try_now();
        pair.run();
        QVERIFY(pair.tablet.view().went_back);
    }

    // A file that is named meanwhile stands before the one that was cut: neither is asked for from where the other stands.
    void a_download_goes_on_where_it_was_cut()
    {
        TabletSettings settings;
        settings.range = 100'000;
        Colleagues two(settings);
        const std::string big = by_digest(500'000, false), small = by_digest(1000, true);
        const std::string big_sha = two.name(big);
        int asked = 0;
        two.to.wire.harm = [&](const Request& r, Answer a) { return fetches(r) && ++asked > 3 ? WireAnswer{WireFault::cut, {}} : WireAnswer{{}, std::move(a)}; };
        two.to.run(61'000);
        QVERIFY(asked > 3);
        const std::string small_sha = two.name(small);
        QVERIFY(small_sha < big_sha);
        std::size_t bytes = 0;
        two.to.wire.harm = [&](const Request& r, Answer a) { return bytes += fetches(r) ? a.body.size() : 0, WireAnswer{{}, std::move(a)}; };
        two.to.run(600'000);
        QVERIFY(two.has(small_sha, small));
        QVERIFY(two.has(big_sha, big));
        QCOMPARE(bytes, big.size() - 300'000 + small.size()); // what had come is not asked for again
        QCOMPARE(two.to.tablet.view().reason, std::string());
    }

    void an_empty_attachment_comes_and_stops_no_other()
    {
        Colleagues two;
        const std::string empty = two.name({});
        std::vector<std::pair<std::string, std::string>> others;
        for (const char* text : {"a", "b", "c", "d"}) others.emplace_back(two.name(text), text);
        two.to.run(120'000);
        QVERIFY(two.has(empty, {}));
        for (const auto& [sha, text] : others) QVERIFY(two.has(sha, text));
    }

    // Its tablet sends it when it can: that it was not there is no reason to stop asking.
    void an_attachment_that_comes_later_is_fetched_by_itself()
    {
        Colleagues two;
        const std::string late = two.name("later", false), there = two.name("there");
        two.to.run(120'000);
        QVERIFY(two.has(there, "there"));
        QVERIFY(!two.kept_to.blobs.contains(late));
        two.shop.blobs.blobs[late] = "later";
        two.to.run(120'000);
        QVERIFY(two.has(late, "later"));
    }

    void many_that_are_long_in_coming_keep_nobody_waiting()
    {
        Colleagues two;
        std::set<std::string> absent;
        for (int i = 0; i < 150; ++i) absent.insert(two.name("absent " + std::to_string(i), false));
        std::string text = "there";
        while (trust::sha256_hex(as_bytes(text)) < *absent.rbegin()) text += '.';
        const std::string there = two.name(text);
        two.to.run(300'000);
        QVERIFY(two.has(there, text));
    }

    void a_file_that_is_no_other_than_its_name_says_is_asked_for_once()
    {
        TabletSettings settings;
        settings.range = 1000;
        Colleagues two(settings);
        const std::string sha = two.name(std::string(3000, 'x')), good = two.name("good");
        two.shop.blobs.blobs[sha][7] = 'y';
        long asked = 0;
        two.to.wire.harm = [&](const Request& r, Answer a) { return asked += fetches(r) && r.target.ends_with(sha), WireAnswer{{}, std::move(a)}; };
        two.to.run(3'600'000);
        QVERIFY(!two.kept_to.blobs.contains(sha));
        QVERIFY(two.has(good, "good"));
        QVERIFY(asked <= 5);
    }

    void a_wrong_code_leaves_the_request_under_way()
    {
        Shop shop;
        SeededRandom random(15);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        pair.run();
        tests::write(store, pair.clock, random, "J", "x");
        pair.tablet.try_now();
        QVERIFY(pair.tablet.view().busy);
        QCOMPARE(pair.tablet.enrol("no code").error().code, std::string("bad_code"));
        pair.run();
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(1));
    }

    void a_code_that_could_not_be_kept_ends_nothing()
    {
        Shop shop;
        SeededRandom random(16);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        pair.run();
        tests::write(store, pair.clock, random, "J", "x");
        pair.tablet.try_now();
        QVERIFY(pair.tablet.view().busy);
        store.apply_fault = [] { return sim::ApplyFault::undone; };
        QVERIFY(!pair.tablet.enrol(shop.receive.enrolment_text(*shop.receive.make_code(), "https://shop.example", {})));
        store.apply_fault = [] { return sim::ApplyFault::none; };
        QVERIFY(pair.tablet.next_wake());
        pair.run(5'000);
        QCOMPARE(pair.tablet.view().at_shop, std::int64_t(1));
    }

    // What the shop does not take stays here and is said so, until somebody tries anew.
    void a_refused_attachment_is_told()
    {
        Shop shop;
        SeededRandom random(18);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        pair.run();
        const Bytes photo = to_bytes("a photo"), other = to_bytes("another");
        for (const Bytes& each : {photo, other}) store.blobs[trust::sha256_hex(each)] = each;
        std::string refuses = trust::sha256_hex(photo);
        pair.wire.harm = [&](const Request& r, Answer a) {
            const auto meta = r.headers.find("upload-metadata");
            if (r.method == "POST" && meta != r.headers.end() && meta->second.find(to_base64(as_bytes(refuses))) != std::string::npos) return WireAnswer{{}, Answer{413, {{"tus-resumable", "1.0.0"}}, "too_long"}};
            return WireAnswer{{}, std::move(a)};
        };
        tests::write(store, pair.clock, random, "J", "x", {trust::sha256_hex(photo), trust::sha256_hex(other)});
        pair.tablet.entries_written();
        pair.run(120'000);
        auto seen = pair.tablet.view();
        QCOMPARE(seen.at_shop, std::int64_t(1));
        QVERIFY(seen.files.empty());
        QCOMPARE(seen.refused, std::int64_t(1));
        QCOMPARE(seen.refused_reason, std::string("refused_file"));
        pair.wire.harm = untouched;
        pair.tablet.try_now();
        pair.run(5'000);
        seen = pair.tablet.view();
        QVERIFY(seen.files.empty() && seen.refused == 0);
        QVERIFY(store.blobs_to_send(10)->empty());
    }

    // A day's quota of attachments is the attachments' affair: an entry that is written meanwhile goes at once.
    void refused_attachments_hold_back_no_entries()
    {
        for (const auto& [status, after, least] : {std::tuple<int, const char*, std::int64_t>{503, "3600", 3'600'000}, {507, "60", 60'000}, {507, "", 0}, {423, "5", 5'000}}) {
            Shop shop;
            SeededRandom random(17);
            sim::MemoryStore store(random);
            Pair pair(shop, store);
            pair.enrol();
            pair.run();
            const Bytes photo = to_bytes("a photo");
            store.blobs[trust::sha256_hex(photo)] = photo;
            long tries = 0;
            pair.wire.harm = [&, status = status, after = after](const Request& r, Answer a) {
                if (r.target != "/v1/uploads") return WireAnswer{{}, std::move(a)};
                ++tries;
                Answer no{status, {{"tus-resumable", "1.0.0"}}, "day_full"};
                if (*after) no.headers["retry-after"] = after;
                return WireAnswer{{}, std::move(no)};
            };
            tests::write(store, pair.clock, random, "J", "x", {trust::sha256_hex(photo)});
            pair.tablet.entries_written();
            pair.run(1'000);
            QCOMPARE(pair.tablet.view().at_shop, std::int64_t(1));
            QCOMPARE(tries, 1L);
            const std::int64_t began = pair.clock.mono;
            tests::write(store, pair.clock, random, "J", "signed off");
            pair.tablet.entries_written();
            pair.run(1'000);
            QCOMPARE(pair.tablet.view().at_shop, std::int64_t(2));
            if (least > 5'000) QCOMPARE(pair.tablet.view().files_reason, std::string(status == 507 ? "full" : "busy"));
            pair.tablet.link_up(); // no try of an attachment before its time
            pair.run(began + least - 2'000 - pair.clock.mono);
            QVERIFY(least == 0 || tries == 1);
            pair.wire.harm = untouched;
            pair.run(began + least + 2'000 - pair.clock.mono); // and one then, without a poll's wait
            QVERIFY(shop.blobs.blobs.contains(trust::sha256_hex(photo)));
            QVERIFY(pair.tablet.view().files.empty());
            QCOMPARE(pair.tablet.view().files_reason + pair.tablet.view().reason, std::string());
        }
    }

    void attachments_of_one_way_do_not_wait_for_the_other()
    {
        Colleagues two;
        const std::string down = two.name("down");
        const Bytes up = to_bytes("up");
        two.kept_to.blobs[trust::sha256_hex(up)] = up;
        tests::write(two.kept_to, two.to.clock, two.random, "J", "x", {trust::sha256_hex(up)});
        two.to.wire.harm = [](const Request& r, Answer a) { return fetches(r) ? WireAnswer{{}, {429, {{"retry-after", "3600"}, {"chockside-protocol", "1"}}, {}}} : WireAnswer{{}, std::move(a)}; };
        two.to.tablet.try_now();
        two.to.run(10'000);
        QVERIFY(two.shop.blobs.blobs.contains(trust::sha256_hex(up)));
        QVERIFY(!two.kept_to.blobs.contains(down));
        QCOMPARE(two.to.tablet.view().files_reason, std::string("busy"));
        two.to.wire.harm = untouched;
        two.to.tablet.try_now(); // a person need not wait
        two.to.run(1'000);
        QVERIFY(two.has(down, "down"));
    }

    void an_attachment_that_finds_no_room_here_is_fetched_once()
    {
        Colleagues two;
        const std::string sha = two.name("down");
        long asked = 0;
        two.to.wire.harm = [&](const Request& r, Answer a) { return asked += fetches(r), WireAnswer{{}, std::move(a)}; };
        two.kept_to.full = true;
        two.to.run(3'600'000);
        QCOMPARE(two.to.tablet.view().files_reason, std::string("disk_full"));
        tests::write(two.kept_to, two.to.clock, two.random, "J", "x");
        two.to.tablet.entries_written();
        two.to.run(1'000);
        QCOMPARE(two.to.tablet.view().at_shop, two.to.tablet.view().entries);
        two.kept_to.full = false;
        two.to.run(400'000);
        QVERIFY(two.has(sha, "down"));
        QCOMPARE(asked, 1L);
    }

    // A line on which no answer of more than 20,000 bytes comes to its end: less and less is asked for, and more again on a better one.
    void answers_that_are_cut_are_asked_for_in_smaller_pieces()
    {
        Colleagues two;
        const std::string photo(3'000'000, 'p');
        const std::string sha = two.name(photo);
        for (int i = 0; i < 400; ++i) tests::write(two.kept_from, two.from.clock, two.random, "J", std::string(700, 'x'));
        two.from.tablet.entries_written();
        two.from.run(2'000);
        const auto slow = [](std::size_t most) {
            return [most](const Request&, Answer a) { return a.body.size() > most ? WireAnswer{WireFault::stalled, {}} : WireAnswer{{}, std::move(a)}; };
        };
        two.to.wire.harm = slow(20'000);
        two.to.run(1'800'000);
        QCOMPARE(two.kept_to.others[two.kept_from.author()].size(), std::size_t(401));
        QVERIFY(!two.has(sha, photo)); // 32 KiB is the least range
        two.to.wire.harm = slow(50'000);
        two.to.run(3'600'000);
        QVERIFY(two.has(sha, photo));
        std::size_t longest = 0, lines = 0;
        two.to.wire.harm = [&](const Request& r, Answer a) {
            if (fetches(r)) longest = std::max(longest, a.body.size());
            if (const auto asked = split_target(r.target); asked.query.contains("limit")) lines = std::max<std::size_t>(lines, std::stoul(asked.query.at("limit")));
            return WireAnswer{{}, std::move(a)};
        };
        const std::string film(7'000'000, 'f'), film_sha = two.name(film);
        for (int i = 0; i < 1500; ++i) tests::write(two.kept_from, two.from.clock, two.random, "J", "x");
        two.from.tablet.entries_written();
        two.from.run(10'000);
        two.to.run(120'000);
        QVERIFY(two.has(film_sha, film));
        QCOMPARE(longest, std::size_t(1) << 20);
        QCOMPARE(lines, std::size_t(200));
    }

    void archived_only_after_a_signed_mark()
    {
        Shop shop;
        SeededRandom random(14);
        sim::MemoryStore store(random);
        Pair pair(shop, store);
        pair.enrol();
        for (int i = 0; i < 3; ++i) tests::write(store, pair.clock, random, "J", "x");
        pair.run();
        QCOMPARE(pair.tablet.view().stage_of(2), Stage::at_shop);
        QVERIFY(shop.receive.archived(shop.ledger.state.log_size));
        tests::write(store, pair.clock, random, "J", "y");
        pair.tablet.try_now();
        pair.run();
        QCOMPARE(pair.tablet.view().stage_of(3), Stage::archived);
        QCOMPARE(pair.tablet.view().stage_of(4), Stage::at_shop);
    }
};

CHOCKSIDE_TEST(TestTablet)
#include "tst_tablet.moc"
