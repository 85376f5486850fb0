#include <tests/core/sync/sim/memory_store.h>

#include <algorithm>

namespace chockside::sim {

using namespace sync;

void MemoryStore::write(const std::string& job, const json::Value& body, const Now& now, Random& random, const std::vector<std::string>& attachments)
{
    const Head head = *own_head();
    journal::Envelope e{1, author(), head.seq + 1, head.hash, job, seen[job], "note", 1, {}, attachments, "KB", {}, now.utc_ms, now.boot, now.mono_ms, {}};
    const auto entry = journal::seal(std::move(e), body, key, random);
    if (!entry) std::abort();
    own.push_back(line_of(*entry));
    own_hashes.push_back(entry->hash);
    seen[job][author()] = entry->envelope.seq;
    for (const auto& sha : attachments) named.push_back({sha, "application/octet-stream", static_cast<std::int64_t>(blobs[sha].size())});
}

Result<std::vector<Line>> MemoryStore::own_lines(std::int64_t after, std::size_t most, std::size_t)
{
    std::vector<Line> out;
    for (auto i = static_cast<std::size_t>(after); i < own.size() && out.size() < most; ++i) {
        out.push_back(own[i]);
        if (locked) out.back().salt.clear(), out.back().body.clear();
    }
    return out;
}

Result<std::string> MemoryStore::own_hash(std::int64_t seq)
{
    return seq >= 1 && seq <= static_cast<std::int64_t>(own.size()) ? Result<std::string>(own_hashes[static_cast<std::size_t>(seq) - 1]) : Result<std::string>(fail("not_found"));
}

Status MemoryStore::apply(const Change& c)
{
    for (const auto& l : c.lines) {
        const auto s = stated(l.envelope);
        const auto chain = others.find(s->author);
        if (chain == others.end()) continue;
        const auto same = chain->second.find(s->seq);
        if (same != chain->second.end() && same->second.first.envelope != l.envelope) return fail("fork", s->author + "/" + std::to_string(s->seq));
    }
    const ApplyFault fault = apply_fault();
    if (fault == ApplyFault::undone) return fail("io_error");
    if (c.epoch) {
        durable.epoch = *c.epoch;
        durable.receipt.reset();
        durable.log_size = durable.archived = durable.archive = 0;
        durable.log_root.clear();
        durable.streams.reset();
        durable.uploads.clear();
        there.clear();
    }
    if (c.account) durable.account = *c.account;
    if (c.receipt) {
        receipts.push_back(*c.receipt);
        if (!durable.receipt || c.receipt->seq >= durable.receipt->seq) durable.receipt = c.receipt;
    }
    if (c.log) durable.log_size = c.log->first, durable.log_root = c.log->second;
    if (c.archive) durable.archive = *c.archive;
    if (c.archive || c.receipt)
        for (const auto& r : receipts)
            if (r.epoch == durable.epoch && r.log_size <= durable.archive) durable.archived = std::max(durable.archived, r.seq);
    if (c.streams) durable.streams = c.streams;
    if (c.went_back) durable.went_back = *c.went_back;
    if (c.stopped) durable.stopped = *c.stopped;
    if (c.position) durable.positions[c.position->first] = c.position->second;
    for (const auto& l : c.lines) {
        const auto s = stated(l.envelope);
        if (!others[s->author].emplace(s->seq, std::pair{l, s->job}).second) {
            ++repeats;
            continue;
        }
        ++effects;
        auto& last = seen[s->job][s->author];
        last = std::max(last, s->seq);
        for (const auto& a : s->att)
            if (!blobs.contains(a)) wanted.push_back(a);
    }
    for (const auto& b : c.blobs_there) there.insert(b);
    if (c.upload) {
        if (c.upload->second.empty()) durable.uploads.erase(c.upload->first);
        else durable.uploads[c.upload->first] = c.upload->second;
    }
    return fault == ApplyFault::unknown ? Status(fail("io_error")) : Status{};
}

Result<std::vector<Blob>> MemoryStore::blobs_to_send(std::size_t most)
{
    std::vector<Blob> out;
    for (const auto& b : named)
        if (out.size() < most && !there.contains(b.sha256)) out.push_back(b);
    return out;
}

Result<Bytes> MemoryStore::read_blob(const std::string& sha, std::int64_t offset, std::size_t most)
{
    const Bytes& all = blobs[sha];
    const auto from = std::min(all.size(), static_cast<std::size_t>(offset)), n = std::min(most, all.size() - from);
    return Bytes(all.begin() + static_cast<std::ptrdiff_t>(from), all.begin() + static_cast<std::ptrdiff_t>(from + n));
}

/// In the order of the journal's notes, which is that of the digests.
Result<std::vector<std::string>> MemoryStore::blobs_wanted(std::size_t most)
{
    std::set<std::string> all(wanted.begin(), wanted.end());
    std::vector<std::string> out;
    for (const auto& sha : all)
        if (out.size() < most) out.push_back(sha);
    return out;
}

Status MemoryStore::put_blob(const std::string& sha, ByteView bytes)
{
    if (trust::sha256_hex(bytes) != sha) return fail("hash_mismatch");
    if (full) return fail("disk_full");
    blobs[sha] = Bytes(bytes.begin(), bytes.end());
    std::erase(wanted, sha);
    return {};
}

} // namespace chockside::sim
