// Heads, pushes, receipts, pulls.
#include <core/sync/detail/contact.h>

#include <core/base/planted.h>

#include <algorithm>

namespace chockside::sync {

namespace {

constexpr std::size_t pull_most = limits::answer;

Result<Digest> digest_of(const std::string& hex)
{
    const auto bytes = from_hex(hex);
    if (!bytes || bytes->size() != 32) return fail("message_malformed");
    Digest d;
    std::copy(bytes->begin(), bytes->end(), d.begin());
    return d;
}

} // namespace

bool Tablet::Inside::head_fits(const Head& head)
{
    const auto own_hash = head.seq == 0 || head.seq > own.seq ? Result<std::string>(head.hash) : store.own_hash(head.seq);
    if (!own_hash) {
        failed(own_hash.error().code);
        return false;
    }
    if (head.seq <= own.seq && *own_hash == head.hash) return true;
    // Another tablet writes under this key, or this one lost entries: sending would make it worse, taking in does no harm.
    Change c;
    c.stopped = head.seq > own.seq ? "ahead" : "fork";
    return keep(c);
}

bool Tablet::Inside::head_good(const SignedHead& h, const char* what)
{
    if (h.what != what) return false;
    if (const auto known_good = heads_good.find(what); known_good != heads_good.end() && known_good->second == h) return true;
    if (!holds(h, known.account.receiver_key)) return false;
    heads_good[what] = h;
    return true;
}

void Tablet::Inside::got_heads(const Answer& a)
{
    const auto h = heads_answer_from(a.body);
    const auto& account = known.account;
    if (!h || h->log.epoch != h->epoch || h->streams.epoch != h->epoch || h->streams.device != store.author() || !head_good(h->log, "head")
        || (h->streams != known.streams && !holds(h->streams, account.receiver_key)) || !h->heads.contains(store.author()))
        return failed("not_shop");
    const auto root = digest_of(h->log.root), before = known.log_size ? digest_of(known.log_root) : root;
    if (!root || !before) return failed("not_shop");
    there = h->heads.at(store.author());
    const std::int64_t acked = known.receipt ? known.receipt->seq : 0;
    const bool grown = known.log_size == 0 || (h->consistency && verify_consistency(known.log_size, h->log.size, *h->consistency, *before, *root));
    Change c;
    if (h->epoch != known.epoch || there.seq < acked || !grown) {
        c.epoch = h->epoch;
        pulled_size = -1; // as long again, and other entries
        if (!known.epoch.empty()) c.went_back = true;
    }
    c.log = {h->log.size, h->log.root};
    c.streams = h->streams;
    if (h->archive && h->archive->epoch == h->epoch && (c.epoch || h->archive->size != known.archive) && head_good(*h->archive, "archive")) c.archive = h->archive->size;
    if (!keep(c)) return;
    sent = std::max(sent, there.seq);
    if (!head_fits(there)) return;
    lacks = h->lacks;
    lacking = 0;
    for (const auto& r : lacks) lacking += r.last - r.first + 1;
    places.clear();
    for (const auto& key : {h->streams.device_key, h->streams.broadcast_key}) {
        const Place place{trust::author_id(*from_hex(key)), {}};
        const auto head = h->heads.find(place.author);
        if (head != h->heads.end() && head->second.seq > known.positions[place].seq) places.push_back(place);
    }
    size_now = h->log.size;
    jobs_due = size_now != pulled_size;
    jobs_after.clear();
    held_back = false;
    blobs.clear();
    wanted.clear();
    blobs_looked = false;
    next();
}

bool Tablet::Inside::ask_push()
{
    if (!known.stopped.empty()) return false;
    const std::int64_t acked = known.receipt ? known.receipt->seq : 0;
    if (there.seq < own.seq) return push_lines(Step::push, there.seq, own.seq);
    // It is all there and the receipt was lost on its way: the last one again.
    return own.seq > 0 && there.seq == own.seq && acked < own.seq && push_lines(Step::push, own.seq - 1, own.seq);
}

bool Tablet::Inside::ask_fill()
{
    while (!lacks.empty() && known.stopped.empty() && store.unlocked()) {
        if (push_lines(Step::fill, lacks.front().first - 1, lacks.front().last)) return true;
        lacks.erase(lacks.begin());
    }
    return false;
}

bool Tablet::Inside::push_lines(Step s, std::int64_t after, std::int64_t upto)
{
    const bool made = s == Step::push && ahead && ahead->range.first == after + 1 && ahead->unlocked == store.unlocked();
    auto b = made ? Result<Batch>(std::move(*ahead)) : make_batch(s, after, upto);
    ahead.reset();
    if (!b) return failed(b.error().code), true;
    if (b->body.empty()) return false;
    batch = b->range;
    sent = std::max(sent, batch.last);
    Headers headers{{"content-type", "text/tab-separated-values; charset=utf-8"}, {"content-digest", std::move(b->digest)}, {"author-key", store.public_key()}};
    send(s, {"PUT", push_target(store.author(), batch), std::move(headers), std::move(b->body)});
    // While the shop looks at this one. An error is met when its turn has come.
    if (s == Step::push && batch.last < upto)
        if (auto next = make_batch(s, batch.last, upto)) ahead = std::move(*next);
    return true;
}

Result<Tablet::Inside::Batch> Tablet::Inside::make_batch(Step s, std::int64_t after, std::int64_t upto)
{
    const auto most = static_cast<std::size_t>(std::min<std::int64_t>(upto - after, limits::batch_entries));
    const auto lines = store.own_lines(after, most, limits::batch_bytes);
    if (!lines) return Unexpected{lines.error()};
    Batch b{{after + 1, after}, {}, {}, store.unlocked()};
    for (const Line& l : *lines) {
        if (s == Step::fill && l.body.empty()) break; // withheld for good, or locked since
        const std::string one = text_of(l) + '\n';
        if (!b.body.empty() && b.body.size() + one.size() > limits::batch_bytes) break;
        b.body += one;
        ++b.range.last;
    }
    b.digest = content_digest(b.body);
    return b;
}

bool Tablet::Inside::receipt_good(const Receipt& r)
{
    if (PLANTED(receipt_not_verified)) return true;
    if (r.receiver != known.account.receiver || r.author != store.author() || r.epoch != known.epoch || r.log_size < known.log_size || !holds(r, known.account.receiver_key)) return false;
    const auto hash = store.own_hash(r.seq);
    return hash && *hash == r.hash;
}

bool Tablet::Inside::keep_receipt(const std::optional<Receipt>& r)
{
    if (!r || !receipt_good(*r)) {
        failed("bad_receipt");
        return false;
    }
    Change c;
    c.receipt = *r;
    c.log = {r->log_size, r->log_root};
    if (!keep(c)) return false;
    there = {r->seq, r->hash};
    progress();
    return true;
}

void Tablet::Inside::pushed(const Answer& a)
{
    const auto p = push_answer_from(a.body);
    const std::int64_t n = batch.last - batch.first + 1;
    if (!p || static_cast<std::int64_t>(p->entries.size()) != n) return failed("not_shop");
    if (p->receipt && p->receipt->epoch != known.epoch) return failed("new_epoch"); // restored between two requests: heads tell
    if (!p->receipt || p->receipt->seq < batch.last) return failed("bad_receipt");
    const bool filled = step == Step::fill;
    if (!keep_receipt(p->receipt)) return;
    if (filled && !lacks.empty()) {
        lacking -= n;
        lacks.front().first = batch.last + 1;
        if (lacks.front().first > lacks.front().last) lacks.erase(lacks.begin());
    }
    next();
}

void Tablet::Inside::push_refused(const Answer&, const Refusal& r)
{
    if (r.code == "gap") {
        if (++gaps > 3) return failed("misses_entries");
        there = r.head;
        if (head_fits(there)) next();
        return;
    }
    if (r.code == "revoked" || r.code == "not_enrolled" || r.code == "not_yours" || r.code == "bad_request") return stop(r.code);
    if (r.before && r.before->receipt && r.before->receipt->epoch == known.epoch && !keep_receipt(r.before->receipt)) return;
    Change c;
    c.stopped = r.code;
    if (keep(c)) next();
}

bool Tablet::Inside::ask_pull()
{
    if (places.empty()) return false;
    const Place& place = places.front();
    send(Step::pull, get(pull_target(place.author, known.positions[place].seq, place.job, pull_lines)), pull_most);
    return true;
}

Status Tablet::Inside::lines_good(const PullAnswer& p, const Position& before) const
{
    const auto root = digest_of(p.log.root);
    const auto key = p.keys.find(p.author);
    if (!root || (!p.lines.empty() && key == p.keys.end())) return fail("not_shop");
    const AuthorKey author_key(key == p.keys.end() ? std::string() : key->second);
    Head at = before;
    for (std::size_t i = 0; i < p.lines.size(); ++i) {
        const auto s = stated(p.lines[i].envelope);
        if (!flaw(p.lines[i], s, author_key).empty() || s->author != p.author || s->seq <= at.seq) return fail("bad_entry");
        if (p.job.empty() ? s->seq != at.seq + 1 || s->prev != at.hash : s->job != p.job) return fail("bad_entry");
        const auto hash = digest_of(s->hash);
        if (!verify_inclusion(leaf_digest(*hash), p.index[i], p.log.size, p.proof[i], *root)) return fail("bad_entry");
        at = {s->seq, s->hash};
    }
    return p.upto == at.seq ? Status{} : Status(fail("bad_entry"));
}

namespace {

/// True where the shop says that this device may no more.
bool revokes(const Line& l, const std::string& author)
{
    const auto body = json::read(l.body);
    const auto envelope = json::read(l.envelope);
    return body && envelope && (*envelope)["kind"].as_text() == "revoked" && (*body)["author"].as_text() == author;
}

} // namespace

void Tablet::Inside::pulled(const Answer& a)
{
    const auto p = pull_answer_from(a.body);
    const Place place = places.front();
    const Position before = known.positions[place];
    if (!p || p->author != place.author || p->job != place.job || p->after != before.seq || !head_good(p->log, "head")) return failed("not_shop");
    if (p->log.epoch != known.epoch) return failed("new_epoch");
    if (auto good = lines_good(*p, before); !good) return failed(good.error().code);
    ask_more();
    if (!p->lines.empty()) {
        Change c;
        const auto last = stated(p->lines.back().envelope);
        c.position = {place, {last->seq, last->hash}};
        c.lines = p->lines;
        c.keys = p->keys;
        if (p->log.size >= known.log_size) c.log = {p->log.size, p->log.root};
        Change step_by_step = c;
        if (PLANTED(cursor_before_data)) {
            Change first;
            first.position = std::exchange(step_by_step.position, {});
            (void)store.apply(first);
        }
        const Status done = store.apply(step_by_step);
        if (!done && done.error().code == "fork") {
            reason = "fork"; // somebody else's: shown, not taken in, and nothing of ours waits for it
            places.pop_front();
            return next();
        }
        if (!done) {
            known_lost = true;
            return failed(done.error().code);
        }
        note(c);
        progress();
        if (place.job.empty() && std::any_of(p->lines.begin(), p->lines.end(), [&](const Line& l) { return revokes(l, store.author()); })) return stop("revoked");
    }
    if (p->lines.empty() || p->upto >= p->last) places.pop_front();
    if (p->lines.empty() && p->upto < p->last) held_back = true;
    next();
}

void Tablet::Inside::ask_jobs()
{
    send(Step::jobs, get(jobs_target(jobs_after)));
}

void Tablet::Inside::got_jobs(const Answer& a)
{
    const auto j = jobs_answer_from(a.body);
    if (!j || (j->more && j->jobs.empty())) return failed("not_shop");
    for (const auto& [job, authors] : j->jobs)
        for (const auto& [author, last] : authors)
            if (const Place place{author, job}; author != store.author() && last > known.positions[place].seq) places.push_back(place);
    jobs_due = j->more;
    if (j->more) jobs_after = j->jobs.rbegin()->first;
    next();
}

Status Tablet::take_receipts(const std::vector<Receipt>& receipts)
{
    Inside& in = *in_;
    if (in.id) return fail("contact_on");
    if (auto head = in.store.own_head()) in.own = *head;
    for (const auto& r : receipts) {
        if (r.author != in.store.author()) continue;
        if (r.receiver != in.known.account.receiver || !holds(r, in.known.account.receiver_key)) return fail("not_shop");
        Change c;
        if (in.known.epoch.empty()) c.epoch = r.epoch;
        else if (r.epoch != in.known.epoch) continue; // of another life of the shop: the next contact tells
        const auto hash = in.store.own_hash(r.seq);
        if (!hash || *hash != r.hash) return fail("not_shop");
        c.receipt = r;
        if (r.log_size > in.known.log_size) c.log = {r.log_size, r.log_root};
        if (!in.keep(c)) return fail("io_error", "journal.db");
    }
    return {};
}

Status Tablet::take_written(const Streams& streams, const std::vector<Line>& lines)
{
    Inside& in = *in_;
    if (in.id) return fail("contact_on");
    if (streams.device != in.store.author() || streams.epoch != in.known.epoch) return {};
    if (streams.receiver != in.known.account.receiver || !holds(streams, in.known.account.receiver_key)) return fail("not_shop");
    for (const std::string& key : {streams.device_key, streams.broadcast_key}) {
        const AuthorKey shop(key);
        const Place place{shop.author, {}};
        Position at = in.known.positions[place];
        Change c;
        for (const Line& l : lines) {
            const auto s = stated(l.envelope);
            if (!s || s->author != shop.author || s->seq <= at.seq) continue;
            if (s->seq != at.seq + 1 || s->prev != at.hash) break;
            if (!flaw(l, s, shop).empty()) return fail("not_shop");
            at = {s->seq, s->hash};
            c.lines.push_back(l);
            if (revokes(l, in.store.author())) c.stopped = "revoked";
        }
        if (c.lines.empty()) continue;
        c.streams = streams;
        c.position = {place, at};
        c.keys[shop.author] = key;
        if (!in.keep(c)) return fail("io_error", "journal.db");
    }
    return {};
}

} // namespace chockside::sync
