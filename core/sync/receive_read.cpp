#include <core/sync/detail/receiving.h>

#include <core/base/planted.h>

#include <set>

namespace chockside::sync {

using detail::answer_with;
using detail::refusal;

Result<Answer> Receive::Inside::heads(const Checked& c, const Device& device)
{
    HeadsAnswer a;
    auto epoch = ledger.epoch();
    auto size = ledger.log_size();
    auto archived = ledger.archived();
    auto lacks = ledger.lacking(device.author, 1000);
    if (!epoch || !size || !archived || !lacks) return fail("io_error", "heads");
    a.epoch = *epoch;
    a.lacks = std::move(*lacks);
    const Keys& keys = streams_of(device.author, *epoch);
    for (const auto& author : {device.author, keys.device_author, keys.broadcast_author}) {
        auto head = ledger.head(author);
        if (!head) return Unexpected{head.error()};
        a.heads[author] = *head;
    }
    auto log = signed_head("head", *size);
    if (!log) return Unexpected{log.error()};
    a.log = std::move(*log);
    if (*archived > 0) {
        auto archive = signed_head("archive", *archived);
        if (!archive) return Unexpected{archive.error()};
        a.archive = std::move(*archive);
    }
    if (c.after > 0 && c.after <= *size && c.job == *epoch) {
        auto proof = consistency(c.after, *size, find());
        if (!proof) return Unexpected{proof.error()};
        a.consistency = std::move(*proof);
    }
    a.streams = keys.streams;
    return answer_with(200, text(a));
}

Result<Answer> Receive::Inside::jobs(const Checked& c, const Device& device)
{
    constexpr std::size_t most = 500;
    auto shared = ledger.shared(device.author, c.job, most);
    auto epoch = ledger.epoch();
    if (!shared || !epoch) return Unexpected{!shared ? shared.error() : epoch.error()};
    const Keys& keys = streams_of(device.author, *epoch);
    JobsAnswer a;
    std::set<std::string> seen;
    for (const auto& [job, author, last] : *shared) {
        seen.insert(job);
        auto& one = a.jobs[job]; // also where only the own ones are left: `after` must go on
        if (author != device.author && author != keys.device_author && author != keys.broadcast_author) one[author] = last;
    }
    a.more = seen.size() >= most;
    return answer_with(200, text(a));
}

Result<Answer> Receive::Inside::pull(const Checked& c, const Device& device)
{
    const auto epoch = ledger.epoch();
    if (!epoch) return Unexpected{epoch.error()};
    const Keys& keys = streams_of(device.author, *epoch);
    const bool open = c.author == device.author || c.author == keys.device_author || c.author == keys.broadcast_author;
    if (!open) {
        const auto may = c.job.empty() ? Result<bool>(false) : ledger.shares(c.job, device.author);
        if (!may) return Unexpected{may.error()};
        if (!*may) return refusal(403, "not_yours");
    }
    const auto found = ledger.entries(c.author, c.job, c.after, c.limit);
    const auto vector = c.job.empty() ? Result<journal::Vector>(journal::Vector{}) : ledger.vector_of(c.job);
    const auto head = ledger.head(c.author);
    const auto size = ledger.log_size();
    const auto author_key = ledger.key(c.author);
    if (!found || !vector || !head || !size || !author_key) return fail("io_error", "pull");
    PullAnswer p;
    p.author = c.author;
    p.job = c.job;
    p.after = p.upto = c.after;
    const auto in_job = vector->find(c.author);
    p.last = c.job.empty() ? head->seq : in_job == vector->end() ? 0 : in_job->second;
    if (!author_key->empty()) p.keys[c.author] = *author_key;
    std::size_t bytes = 0;
    for (const Stored& e : *found) {
        if (!open && e.line.body.empty()) break; // its colleagues get it whole, once its tablet was unlocked
        bytes += e.line.envelope.size() + e.line.body.size() + 1600;
        if (!p.lines.empty() && bytes > limits::batch_bytes) break;
        auto path = inclusion(e.index, *size, find());
        if (!path) return Unexpected{path.error()};
        p.lines.push_back(e.line);
        p.index.push_back(e.index);
        p.proof.push_back(std::move(*path));
        p.upto = e.stated.seq;
    }
    auto log = signed_head("head", *size);
    if (!log) return Unexpected{log.error()};
    p.log = std::move(*log);
    return answer_with(200, text(p), "text/tab-separated-values; charset=utf-8");
}

} // namespace chockside::sync
