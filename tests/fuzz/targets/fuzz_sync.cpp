// Every message between tablet and shop, and a push as the receiver looks at it: any text, or a sound one changed in any way. What is read
// has one text that reads as itself; a signature holds over nothing that was not signed; of a push nothing passes that its author did not sign.
#include "edits.h"

#include <core/journal/seal.h>
#include <core/sync/messages.h>
#include <core/sync/receive.h>

#include <functional>
#include <set>
#include <string>

using namespace chockside;
using namespace chockside::sync;

namespace {

template <class T>
void again(std::string_view in, Result<T> (*read)(std::string_view))
{
    const auto first = read(in);
    if (!first) return;
    const std::string one = text(*first);
    const auto second = read(one);
    fuzz::must(second.has_value() && text(*second) == one);
}

using Reader = std::function<void(std::string_view)>;
const Reader readers[] = {
    [](std::string_view t) { again(t, receipt_from); }, [](std::string_view t) { again(t, signed_head_from); }, [](std::string_view t) { again(t, streams_from); },
    [](std::string_view t) { again(t, enrol_request_from); }, [](std::string_view t) { again(t, enrol_answer_from); }, [](std::string_view t) { again(t, nonce_answer_from); },
    [](std::string_view t) { again(t, session_request_from); }, [](std::string_view t) { again(t, session_answer_from); }, [](std::string_view t) { again(t, heads_answer_from); },
    [](std::string_view t) { again(t, jobs_answer_from); }, [](std::string_view t) { again(t, push_answer_from); }, [](std::string_view t) { again(t, refusal_from); },
    [](std::string_view t) { again(t, pull_answer_from); }};

struct Sound {
    std::string receiver_key, author, author_key, push;
    std::vector<std::string> texts; ///< one for each reader
    Receipt receipt;
    SignedHead head;
    std::set<std::pair<std::string, std::string>> entries; ///< envelope, body
};

Sound make()
{
    SeededRandom random(20261126);
    const auto shop = trust::KeyPair::make(random), tablet = trust::KeyPair::make(random);
    Sound s;
    s.receiver_key = to_hex(shop.public_key());
    s.author_key = to_hex(tablet.public_key());
    s.author = trust::author_id(tablet.public_key());
    const std::string receiver = trust::author_id(shop.public_key()), epoch(32, 'e'), hash(64, 'a');
    std::vector<Line> lines;
    std::string prev;
    for (int n = 1; n <= 3; ++n) {
        journal::Envelope e;
        e.author = s.author;
        e.seq = n;
        e.prev = prev;
        e.job = "j1";
        e.kind = "note";
        e.boot = "boot-1";
        json::Value body(json::Object{});
        body.at("words") = "entry " + std::to_string(n);
        const auto entry = journal::seal(std::move(e), body, tablet, random);
        fuzz::must(entry.has_value());
        prev = entry->hash;
        s.entries.emplace(entry->envelope_bytes, entry->body_bytes);
        lines.push_back(line_of(*entry));
        s.push += text_of(lines.back()) + "\n";
    }
    s.receipt = {receiver, epoch, s.author, 3, prev, 3, hash, 1'780'000'000'000, {}};
    sign(s.receipt, shop);
    s.head = {"head", receiver, epoch, 3, hash, 1'780'000'000'000, {}};
    sign(s.head, shop);
    Streams streams{receiver, epoch, s.author, s.author_key, s.receiver_key, {}};
    sign(streams, shop);
    HeadsAnswer heads{epoch, {{s.author, {3, prev}}}, {{1, 2}}, s.head, {}, Path{}, streams};
    const PushAnswer pushed{{Took::stored, Took::duplicate}, s.receipt};
    PullAnswer pull{s.author, "j1", 0, 3, 3, {{s.author, s.author_key}}, {0, 1, 2}, {Path{}, Path{}, Path{}}, s.head, lines};
    s.texts = {text(s.receipt), text(s.head), text(streams), text(EnrolRequest{epoch, s.author_key, "tablet", std::string(128, 'b')}), text(EnrolAnswer{s.author, receiver, s.receiver_key, epoch}),
        text(NonceAnswer{hash, receiver}), text(SessionRequest{s.author, hash, std::string(128, 'b'), 7}), text(SessionAnswer{hash, receiver, epoch, 43'200, 1, 2, 3, 1, 1}), text(heads),
        text(JobsAnswer{{{"j1", {{s.author, 3}}}}, true}), text(pushed), text(Refusal{"bad_entry", "body", {}, {}, 2, pushed}), text(pull)};
    return s;
}

void signatures(const Sound& s, std::string_view t)
{
    if (const auto r = receipt_from(t); r && holds(*r, s.receiver_key)) fuzz::must(*r == s.receipt);
    if (const auto h = signed_head_from(t); h && holds(*h, s.receiver_key)) fuzz::must(*h == s.head);
}

void push(const Sound& s, std::string body, std::string target)
{
    Headers h{{"author-key", s.author_key}, {"content-digest", content_digest(body)}, {"authorization", "Bearer " + std::string(64, 'a')}};
    const Checked c = check({"PUT", std::move(target), std::move(h), std::move(body)});
    if (c.kind != Checked::Kind::push) return;
    fuzz::must(c.author == s.author && c.lines.size() <= limits::batch_entries);
    const std::size_t good = c.bad ? c.bad->first : c.lines.size();
    fuzz::must(good <= c.lines.size());
    for (std::size_t i = 0; i < good; ++i) {
        const Line& l = c.lines[i];
        fuzz::must(std::ranges::any_of(s.entries, [&](const auto& e) { return e.first == l.envelope && (l.body.empty() || e.second == l.body); }));
    }
}

void any_request(std::string_view t)
{
    const char* const methods[] = {"GET", "PUT", "POST", "HEAD", "DELETE"};
    const auto end = std::min(t.find('\n'), t.size());
    const std::string body(t.substr(std::min(t.size(), end + 1)));
    const std::string method = methods[t.size() % 5];
    (void)check({method, std::string(t.substr(0, end)), {{"content-digest", content_digest(body)}, {"authorization", std::string(t.substr(0, 80))}}, body});
    (void)digest_holds({{"content-digest", std::string(t)}}, body);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    static const Sound sound = make();
    if (size < 2) return 0;
    const ByteView rest = fuzz::view(data + 2, size - 2);
    const std::size_t which = data[1] % std::size(readers);
    const auto changed = [&](const std::string& t) {
        const ByteView before = as_bytes(t);
        return to_text(fuzz::edited({before.begin(), before.end()}, rest));
    };
    switch (data[0] % 4) {
    case 0: readers[which](to_text(rest)); break;
    case 1: {
        const std::string t = changed(sound.texts[which]);
        readers[which](t);
        signatures(sound, t);
        break;
    }
    case 2: push(sound, changed(sound.push), push_target(sound.author, {1, 1 + data[1] % 5})); break;
    default: any_request(to_text(rest));
    }
    return 0;
}
