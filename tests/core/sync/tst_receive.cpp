// The receiver's answers, one by one.
#include "sync_fixture.h"

#include <core/journal/seal.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::sync;
using tests::Pair;
using tests::Shop;

namespace {

/// A tablet with a session, for requests made by hand.
struct Hand {
    Shop shop;
    SeededRandom random{11};
    sim::MemoryStore store{random};
    Pair pair{shop, store};
    std::string token;

    Hand()
    {
        pair.wire.harm = [this](const Request& r, Answer a) {
            if (r.target == "/v1/session")
                if (auto s = session_answer_from(a.body)) token = s->token;
            return WireAnswer{{}, std::move(a)};
        };
        pair.enrol();
        pair.run();
    }
    void write(const std::string& text = "x") { tests::write(store, pair.clock, random, "J", text); }
    Request push(Range r, std::vector<Line> lines)
    {
        std::string body;
        for (const auto& l : lines) body += text_of(l) + '\n';
        return {"PUT", push_target(store.author(), r), {{"authorization", "Bearer " + token}, {"author-key", store.public_key()}, {"content-digest", content_digest(body)}}, body};
    }
    Answer put(Range r)
    {
        return shop.answer(push(r, {store.own.begin() + r.first - 1, store.own.begin() + r.last}));
    }
    std::string code(const Answer& a) { return refusal_from(a.body)->code; }
};

} // namespace

class TestReceive : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void stored_then_duplicate_each_with_a_receipt()
    {
        Hand h;
        for (int i = 0; i < 3; ++i) h.write();
        const auto first = push_answer_from(h.put({1, 2}).body), again = push_answer_from(h.put({1, 3}).body);
        QVERIFY(first && again);
        QCOMPARE(first->entries, (std::vector{Took::stored, Took::stored}));
        QCOMPARE(again->entries, (std::vector{Took::duplicate, Took::duplicate, Took::stored}));
        QVERIFY(holds(*again->receipt, h.shop.receive.key_hex()));
        QCOMPARE(again->receipt->seq, std::int64_t(3));
        QCOMPARE(again->receipt->hash, h.store.own_hashes[2]);
        QCOMPARE(h.shop.ledger.state.log_size, std::int64_t(3));
        Receipt changed = *again->receipt;
        changed.seq = 2;
        QVERIFY(!holds(changed, h.shop.receive.key_hex()));
    }

    void a_gap_tells_the_head()
    {
        Hand h;
        for (int i = 0; i < 5; ++i) h.write();
        (void)h.put({1, 2});
        const Answer a = h.put({4, 5});
        QCOMPARE(a.status, 409);
        const auto r = refusal_from(a.body);
        QCOMPARE(r->code, std::string("gap"));
        QCOMPARE(r->head, (Head{2, h.store.own_hashes[1]}));
    }

    void a_fork_is_told_and_quarantined_and_changes_nothing()
    {
        Hand h;
        for (int i = 0; i < 3; ++i) h.write();
        (void)h.put({1, 3});
        const auto before = h.shop.ledger.state.chains;
        h.store.own.resize(1);
        h.store.own_hashes.resize(1);
        h.write("another life");
        const Answer a = h.put({1, 2});
        QCOMPARE(a.status, 409);
        QCOMPARE(h.code(a), std::string("fork"));
        QCOMPARE(refusal_from(a.body)->head.hash, before.begin()->second[1].stated.hash);
        QCOMPARE(h.shop.ledger.state.quarantine.size(), std::size_t(1));
        QCOMPARE(h.shop.ledger.state.log_size, std::int64_t(3));
        (void)h.put({1, 2});
        QCOMPARE(h.shop.ledger.state.quarantine.size(), std::size_t(1));
    }

    void a_bad_one_stops_there_and_what_is_before_it_is_stored()
    {
        Hand h;
        for (int i = 0; i < 4; ++i) h.write();
        auto lines = h.store.own;
        lines[2].signature[7] = lines[2].signature[7] == 'a' ? 'b' : 'a';
        const Answer a = h.shop.answer(h.push({1, 4}, lines));
        QCOMPARE(a.status, 422);
        const auto r = refusal_from(a.body);
        QCOMPARE(r->index, std::int64_t(2));
        QCOMPARE(r->what, std::string("signature"));
        QCOMPARE(r->before->receipt->seq, std::int64_t(2));
        QCOMPARE(h.shop.ledger.state.log_size, std::int64_t(2));
    }

    void every_bit_of_a_line_counts() // I9
    {
        Hand h;
        h.write("abc");
        const std::string whole = text_of(h.store.own[0]);
        for (std::size_t i = 0; i < whole.size(); ++i)
            for (int bit = 0; bit < 8; ++bit) {
                std::string one = whole;
                one[i] = static_cast<char>(one[i] ^ (1 << bit));
                const std::string body = one + "\n";
                Request r{"PUT", push_target(h.store.author(), {1, 1}), {{"authorization", "Bearer " + h.token}, {"author-key", h.store.public_key()}, {"content-digest", content_digest(body)}}, body};
                const Answer a = h.shop.answer(r);
                QVERIFY2(a.status == 422 || a.status == 400, qPrintable(QString("byte %1 bit %2: %3").arg(i).arg(bit).arg(a.status)));
            }
        QCOMPARE(h.shop.ledger.state.log_size, std::int64_t(0));
    }

    /// Whoever looks at which part, and in whatever order: the first bad line is named, with the reason that it has alone.
    void parts_of_a_batch_name_the_same_line()
    {
        Hand h;
        for (int i = 0; i < 6; ++i) h.write();
        const auto good = std::vector<Line>(h.store.own.begin(), h.store.own.begin() + 6);
        const auto one_by_one_from_the_end = [](std::size_t n, const std::function<void(std::size_t, std::size_t)>& work) {
            while (n > 0) --n, work(n, n + 1);
        };
        for (std::size_t at = 0; at <= 6; ++at)
            for (std::size_t other = 0; other <= 6; ++other) {
                auto lines = good;
                if (at < 6) lines[at].signature = good[(at + 1) % 6].signature;
                if (other < 6) lines[other].body += " ";
                const Checked c = check(h.push({1, 6}, lines), one_by_one_from_the_end), whole = check(h.push({1, 6}, lines));
                const std::size_t first = std::min(at, other);
                QCOMPARE(c.lines.size(), first);
                QCOMPARE(c.stated.size(), first);
                QVERIFY(c.bad == whole.bad && c.bad.has_value() == (first < 6));
                if (c.bad) QVERIFY(c.bad->first == first && c.bad->second == (at <= other ? "signature" : "body"));
            }
        std::swap(h.store.own[2], h.store.own[3]);
        h.store.own[4].signature = good[0].signature;
        const Checked c = check(h.push({1, 6}, {h.store.own.begin(), h.store.own.begin() + 6}), one_by_one_from_the_end);
        QVERIFY(c.bad && c.bad->first == 2 && c.bad->second == "seq");
    }

    void strange_and_well_signed_is_kept_as_it_is()
    {
        Hand h;
        const auto sign_as = [&](std::string envelope, std::string prev) {
            const std::string body = "{}";
            const Bytes salt(32);
            const auto put = [&](std::string_view name, const std::string& value) { envelope.replace(envelope.find(name), name.size(), value); };
            put("AUTHOR", h.store.author());
            put("BODY", journal::body_digest(salt, body));
            put("PREV", prev);
            const std::string hash = journal::entry_hash(envelope);
            return std::pair(Line{envelope, to_hex(h.store.key.sign(trust::Domain::entry, *from_hex(hash))), to_hex(salt), body}, hash);
        };
        // Not canonical, a version nobody knows, a fraction, a member nobody knows, no kind.
        const auto [one, first] = sign_as(R"({ "seq":1, "author":"AUTHOR","prev":"PREV","job":"J","body_sha":"BODY","v":9,"x":1.5,"kind":["?"]})", "");
        const auto [two, second] = sign_as(R"({"author":"AUTHOR","body_sha":"BODY","job":"\u0001","prev":"PREV","seq":2})", first);
        const Answer a = h.shop.answer(h.push({1, 2}, {one, two}));
        QCOMPARE(a.status, 200);
        const auto& chain = h.shop.ledger.state.chains.begin()->second;
        QVERIFY(chain[0].line == one && chain[1].line == two && chain[0].stated.strange && chain[1].stated.strange);
        QCOMPARE(chain[1].stated.hash, second);
    }

    /// PostgreSQL, "Character Types": the code with value 0 can't be stored in TEXT. What one kind of shop can't keep, none takes in.
    void a_zero_character_in_a_name_is_refused_by_place()
    {
        const std::string hash(64, 'a'), author(32, 'b');
        const auto envelope = [&](const std::string& who, const std::string& prev, const std::string& job) {
            return json::write(json::Object{{"author", who}, {"body_sha", hash}, {"job", job}, {"prev", prev}, {"seq", 2}});
        };
        QVERIFY(stated(envelope(author, hash, "J")));
        const std::string zero(1, '\0');
        for (const auto& [text, place] : {std::pair(envelope(author, hash, "J" + zero), "job"), std::pair(envelope(author, hash, zero), "job"), std::pair(envelope(author.substr(1) + zero, hash, "J"), "author"),
                 std::pair(envelope(author, hash.substr(1) + zero, "J"), "prev"), std::pair(envelope(author, zero, "J"), "prev")}) {
            const auto s = stated(text);
            QVERIFY(!s);
            QCOMPARE(s.error().code, std::string("entry_malformed"));
            QCOMPARE(s.error().place, std::string(place));
        }
    }

    void a_locked_tablets_entry_gets_its_body_later_and_only_the_right_one()
    {
        Hand h;
        h.write("secret");
        h.store.locked = true;
        const auto locked = *h.store.own_lines(0, 1, 1 << 20);
        QCOMPARE(h.shop.answer(h.push({1, 1}, locked)).status, 200);
        QVERIFY(h.shop.ledger.state.chains.begin()->second[0].line.body.empty());
        auto wrong = h.store.own;
        wrong[0].body = "{\"text\":\"other\"}";
        QCOMPARE(refusal_from(h.shop.answer(h.push({1, 1}, wrong)).body)->what, std::string("body"));
        QCOMPARE(push_answer_from(h.put({1, 1}).body)->entries.front(), Took::duplicate);
        QVERIFY(h.shop.ledger.state.chains.begin()->second[0].line == h.store.own[0]);
    }

    void limits()
    {
        Hand h;
        for (int i = 0; i < 201; ++i) h.write();
        QCOMPARE(h.put({1, 201}).status, 413);
        Request big = h.push({1, 1}, {h.store.own[0]});
        big.body.resize(limits::batch_bytes + 1, 'x');
        QCOMPARE(h.shop.answer(big).status, 413);
        Request packed = h.push({1, 1}, {h.store.own[0]});
        packed.headers["content-encoding"] = "gzip";
        QCOMPARE(h.shop.answer(packed).status, 415);
        QCOMPARE(h.shop.answer({"POST", "/v1/enrol", {}, std::string(20000, '[')}).status, 413);
        QCOMPARE(h.shop.answer({"POST", "/v1/enrol", {}, std::string(16000, '[')}).status, 400);
        QCOMPARE(h.shop.answer({"GET", "/v1/nowhere", {}, {}}).status, 404);
        QCOMPARE(h.shop.answer({"DELETE", "/v1/heads", {}, {}}).status, 405);
    }

    void nobody_without_a_session_and_nobody_elses_jobs()
    {
        Hand h;
        h.write();
        (void)h.put({1, 1});
        Request bare = h.push({1, 1}, {h.store.own[0]});
        bare.headers.erase("authorization");
        QCOMPARE(h.shop.answer(bare).status, 401);
        SeededRandom other_random(99);
        sim::MemoryStore other(other_random);
        Pair second(h.shop, other);
        std::string token;
        second.wire.harm = [&](const Request& r, Answer a) {
            if (r.target == "/v1/session")
                if (auto s = session_answer_from(a.body)) token = s->token;
            return WireAnswer{{}, std::move(a)};
        };
        second.enrol();
        second.run();
        const Headers as_other{{"authorization", "Bearer " + token}};
        QCOMPARE(h.code(h.shop.answer({"GET", pull_target(h.store.author(), 0, "J"), as_other, {}})), std::string("not_yours"));
        QCOMPARE(h.code(h.shop.answer({"GET", pull_target(h.store.author(), 0, ""), as_other, {}})), std::string("not_yours"));
        Request forged = h.push({1, 1}, {h.store.own[0]});
        forged.headers["authorization"] = "Bearer " + token;
        QCOMPARE(h.code(h.shop.answer(forged)), std::string("not_yours"));
        // Assigned, it is theirs as well.
        (void)h.shop.receive.say(other.author(), "J", {"assigned", 1, json::Object{{"text", "x"}}, {}, "LT", {}});
        QCOMPARE(h.shop.answer({"GET", pull_target(h.store.author(), 0, "J"), as_other, {}}).status, 200);
    }

    void a_code_serves_one_key_once_and_its_lost_answer_again()
    {
        Shop shop;
        const std::string code = *shop.receive.make_code();
        const auto ask = [&](std::uint64_t seed) {
            SeededRandom random(seed);
            const auto key = trust::KeyPair::make(random);
            const std::string hex = to_hex(key.public_key());
            return shop.answer({"POST", "/v1/enrol", {}, text(EnrolRequest{code, hex, "tablet", to_hex(key.sign(trust::Domain::enrolment, as_bytes(enrolment_statement(code, hex, shop.receive.id()))))})});
        };
        const Answer first = ask(1);
        QCOMPARE(first.status, 200);
        shop.clock.mono += 3'600'000;
        QCOMPARE(ask(1).body, first.body);
        QCOMPARE(ask(2).status, 409);
        const std::string late = *shop.receive.make_code();
        shop.clock.mono += 15 * 60'000 + 1;
        SeededRandom random(3);
        const auto key = trust::KeyPair::make(random);
        const std::string hex = to_hex(key.public_key());
        const Answer ended = shop.answer({"POST", "/v1/enrol", {}, text(EnrolRequest{late, hex, "t", std::string(128, '0')})});
        QCOMPARE(ended.status, 410);
    }

    void a_nonce_makes_one_session_and_a_wrong_wall_clock_does_not_matter() // I13
    {
        Hand h;
        const auto nonce = nonce_answer_from(h.shop.answer({"POST", "/v1/nonce", {}, {}}).body);
        const auto ask = [&] {
            const std::string proof = to_hex(h.store.key.sign(trust::Domain::session, as_bytes(session_statement(h.store.author(), nonce->nonce, nonce->receiver))));
            return h.shop.answer({"POST", "/v1/session", {}, text(SessionRequest{h.store.author(), nonce->nonce, proof, -2'000'000'000'000})});
        };
        QCOMPARE(ask().status, 200);
        QCOMPARE(ask().status, 401);
        h.shop.clock.mono += 61'000;
        QCOMPARE(ask().status, 401);
        h.shop.clock.mono += 12 * 3'600'000;
        QCOMPARE(h.put({1, 0}).status, 400);
        QCOMPARE(h.shop.answer({"GET", "/v1/heads", {{"authorization", "Bearer " + h.token}}, {}}).status, 401);
    }

    void revoked_is_looked_at_on_each_request() // I12
    {
        Hand h;
        h.write();
        (void)h.put({1, 1});
        QVERIFY(h.shop.receive.revoke(h.store.author(), "LT", "lost"));
        h.write();
        QCOMPARE(h.code(h.put({2, 2})), std::string("revoked"));
        QCOMPARE(h.shop.ledger.state.chains[h.store.author()].size(), std::size_t(1));
        QCOMPARE(h.code(h.shop.receive.take(h.store.own)->begin()->second), std::string("revoked"));
    }

    void many_in_one_commit_and_none_if_it_fails()
    {
        Hand h;
        for (int i = 0; i < 3; ++i) h.write();
        std::vector<Checked> batch;
        for (std::int64_t i = 1; i <= 3; ++i) batch.push_back(check(h.push({i, i}, {h.store.own[static_cast<std::size_t>(i) - 1]})));
        h.shop.ledger.commit_fault = [] { return sim::CommitFault::undone; };
        for (const auto& a : h.shop.receive.answer_all(batch)) QCOMPARE(a.status, 503);
        QCOMPARE(h.shop.ledger.state.log_size, std::int64_t(0));
        h.shop.ledger.commit_fault = [] { return sim::CommitFault::none; };
        for (const auto& a : h.shop.receive.answer_all(batch)) QCOMPARE(a.status, 200);
        QCOMPARE(h.shop.ledger.state.log_size, std::int64_t(3));
    }
};

CHOCKSIDE_TEST(TestReceive)
#include "tst_receive.moc"
