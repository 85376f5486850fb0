#include <core/sync/detail/receiving.h>

#include <core/base/planted.h>

#include <algorithm>

namespace chockside::sync {

using detail::answer_with;
using detail::refusal;

Status Receive::Inside::append(std::span<const Stored> all)
{
    if (auto ok = ledger.append(all); !ok) return ok;
    if (nodes.size() >= 4096) nodes.clear();
    std::vector<Node> made;
    made.reserve(2 * all.size());
    for (const auto& e : all) {
        // The ledger is told of them together, so what a later leaf completes is looked up among those that are remembered.
        const auto grown = grow(e.index, leaf_digest(*from_hex(e.stated.hash)), find());
        if (!grown) return Unexpected{grown.error()};
        for (const auto& n : *grown) nodes[n.name] = n.digest;
        made.insert(made.end(), grown->begin(), grown->end());
    }
    return ledger.put_nodes(made);
}

Status Receive::Inside::append_with_jobs(const std::string& author, std::span<const Stored> all)
{
    if (all.empty()) return {};
    if (auto ok = append(all); !ok) return ok;
    std::vector<std::string> jobs;
    for (const auto& e : all)
        if (std::find(jobs.begin(), jobs.end(), e.stated.job) == jobs.end()) jobs.push_back(e.stated.job);
    return ledger.share(jobs, author);
}

Result<Receipt> Receive::Inside::receipt(const std::string& author, const Head& head, std::int64_t log_size)
{
    const auto epoch = ledger.epoch();
    if (!epoch) return Unexpected{epoch.error()};
    const auto root = root_of(log_size, find());
    if (!root) return Unexpected{root.error()};
    Receipt r{id, *epoch, author, head.seq, head.hash, log_size, to_hex(*root), clock.now().utc_ms, {}};
    sign(r, key);
    return r;
}

Result<Answer> Receive::Inside::fork(const Checked& c, std::size_t at, const Head& there, PushAnswer before)
{
    for (std::size_t i = at; i < c.lines.size(); ++i)
        if (auto ok = ledger.quarantine({c.lines[i], c.author, c.stated[i].seq, c.stated[i].hash, i == at ? there.hash : std::string(), clock.now().utc_ms}); !ok) return Unexpected{ok.error()};
    Refusal r;
    r.code = "fork";
    r.head = there;
    r.index = static_cast<std::int64_t>(at);
    if (at) r.before = std::move(before);
    return refusal(r, 409);
}

Result<Answer> Receive::Inside::finish(const Checked& c, PushAnswer told, const Head& head, std::int64_t log_size)
{
    if (head.seq) {
        auto r = receipt(c.author, head, log_size);
        if (!r) return Unexpected{r.error()};
        told.receipt = std::move(*r);
    }
    if (!c.bad) return answer_with(200, text(told));
    Refusal r;
    r.code = "bad_entry";
    r.index = static_cast<std::int64_t>(c.bad->first);
    r.what = c.bad->second;
    if (!told.entries.empty()) r.before = std::move(told);
    return refusal(r, 422);
}

Result<Answer> Receive::Inside::push(const Checked& c)
{
    if (c.request.method == "PUT") { // a suffix that came as a file has no session
        auto asked = who(c.request.headers);
        if (!asked) return Unexpected{asked.error()};
        if (!*asked) return asked->error();
        if ((*asked)->author != c.author || (*asked)->key != c.author_key) return refusal(403, "not_yours");
    }
    auto head = ledger.head(c.author);
    auto size = ledger.log_size();
    if (!head || !size) return Unexpected{!head ? head.error() : size.error()};
    if (c.range.first > head->seq + 1) {
        Refusal gap;
        gap.code = "gap";
        gap.head = *head;
        return refusal(gap, 409);
    }
    std::vector<Stored> there;
    if (c.range.first <= head->seq) {
        auto found = ledger.entries(c.author, {}, c.range.first - 1, c.lines.size());
        if (!found) return Unexpected{found.error()};
        there = std::move(*found);
    }
    PushAnswer told;
    std::vector<Stored> fresh;
    const auto forked = [&](std::size_t at, const Head& has) -> Result<Answer> {
        if (auto ok = append_with_jobs(c.author, fresh); !ok) return Unexpected{ok.error()};
        return fork(c, at, has, std::move(told));
    };
    for (std::size_t i = 0; i < c.lines.size(); ++i) {
        const Line& line = c.lines[i];
        const Stated& s = c.stated[i];
        if (i < there.size() && !PLANTED(duplicates_appended)) {
            if (there[i].stated.hash != s.hash) return forked(i, {there[i].stated.seq, there[i].stated.hash});
            if (there[i].line.body.empty() && !line.body.empty())
                if (auto ok = ledger.fill_body(c.author, s.seq, line.salt, line.body); !ok) return Unexpected{ok.error()};
            told.entries.push_back(Took::duplicate);
            continue;
        }
        if (s.prev != head->hash && !PLANTED(duplicates_appended)) return forked(i, *head);
        fresh.push_back({line, s, (*size)++, clock.now().utc_ms});
        *head = {s.seq, s.hash};
        told.entries.push_back(Took::stored);
    }
    if (auto ok = append_with_jobs(c.author, fresh); !ok) return Unexpected{ok.error()};
    return finish(c, std::move(told), *head, *size);
}

Result<std::map<std::string, Answer>> Receive::take(const std::vector<Line>& lines)
{
    std::map<std::string, std::vector<Line>> chains;
    std::map<std::string, std::int64_t> first;
    for (const auto& l : lines)
        if (const auto s = stated(l.envelope)) {
            first.try_emplace(s->author, s->seq);
            chains[s->author].push_back(l);
        }
    std::map<std::string, Answer> answers;
    for (auto& [author, chain] : chains) {
        if (auto ok = in_->ledger.begin(false); !ok) return Unexpected{ok.error()};
        const auto device = in_->ledger.device(author);
        in_->ledger.rollback();
        if (!device) return Unexpected{device.error()};
        if (!*device || (*device)->revoked_at) {
            answers[author] = *device ? refusal(403, "revoked") : refusal(403, "not_enrolled");
            continue;
        }
        std::int64_t seq = first[author];
        for (std::size_t at = 0; at < chain.size();) {
            std::string body;
            std::size_t n = 0;
            for (; at + n < chain.size() && n < limits::batch_entries; ++n) {
                const std::string one = text_of(chain[at + n]) + '\n';
                if (n && body.size() + one.size() > limits::batch_bytes) break;
                body += one;
            }
            const Range range{seq, seq + static_cast<std::int64_t>(n) - 1};
            Request put{"PUT", push_target(author, range), {{"content-digest", content_digest(body)}, {"author-key", (*device)->key}}, std::move(body)};
            Checked c = check(std::move(put));
            c.request.method = "FILE";
            answers[author] = answer(c);
            if (answers[author].status != 200) break;
            at += n;
            seq += static_cast<std::int64_t>(n);
        }
    }
    return answers;
}

} // namespace chockside::sync
