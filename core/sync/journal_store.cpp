#include <core/sync/journal_store.h>

#include <algorithm>

namespace chockside::sync {

using json::Value;

namespace {

// Names of notes. A receipt's name sorts as its number does.
const std::string receipts = "receipt/", positions = "position/", uploads = "upload/", there = "blob/", wanted = "wanted/", aside = "aside/";

std::string padded(std::int64_t n)
{
    std::string t = std::to_string(n);
    return std::string(20 - t.size(), '0') + t;
}

std::string text(const Account& a)
{
    Value pins(json::Array{});
    for (const auto& p : a.pins) pins.push(p);
    return json::write(json::Object{{"receiver", a.receiver}, {"receiver_key", a.receiver_key}, {"url", a.url}, {"pins", pins}, {"enrolled", a.enrolled}, {"code", a.code}});
}

Account account_from(const std::string& t)
{
    Account a;
    if (const auto v = json::read(t)) {
        a.receiver = (*v)["receiver"].as_text();
        a.receiver_key = (*v)["receiver_key"].as_text();
        a.url = (*v)["url"].as_text();
        for (const auto& p : (*v)["pins"].as_array()) a.pins.push_back(p.as_text());
        a.enrolled = (*v)["enrolled"].as_bool();
        a.code = (*v)["code"].as_text();
    }
    return a;
}

/// "position/AUTHOR/JOB" and "SEQ HASH".
void put_position(Known& k, const std::string& name, const std::string& value)
{
    const std::string rest = name.substr(positions.size());
    const auto space = value.find(' ');
    if (rest.size() < 33 || space == std::string::npos) return;
    k.positions[{rest.substr(0, 32), rest.substr(33)}] = {std::atoll(value.c_str()), value.substr(space + 1)};
}

} // namespace

std::string JournalStore::author() { return exchange_.store().author(); }
std::string JournalStore::public_key() { return exchange_.store().public_key_hex(); }
Bytes JournalStore::sign(trust::Domain d, ByteView m) { return exchange_.sign(d, m); }
bool JournalStore::unlocked() { return exchange_.unlocked(); }
Result<std::string> JournalStore::own_hash(std::int64_t seq) { return exchange_.own_hash(seq); }

Result<Head> JournalStore::own_head()
{
    const auto end = exchange_.own_end();
    return end ? Result<Head>(Head{end->seq, end->hash}) : Result<Head>(Unexpected{end.error()});
}

Result<std::vector<Line>> JournalStore::own_lines(std::int64_t after, std::size_t most, std::size_t most_bytes)
{
    const auto entries = exchange_.own(after, most);
    if (!entries) return Unexpected{entries.error()};
    std::vector<Line> lines;
    std::size_t bytes = 0;
    for (const auto& e : *entries) {
        bytes += e.envelope_bytes.size() + e.body_bytes.size() + 140;
        if (!lines.empty() && bytes > most_bytes) break;
        lines.push_back(line_of(e));
    }
    return lines;
}

Result<Known> JournalStore::known()
{
    const auto notes = exchange_.notes("");
    if (!notes) return Unexpected{notes.error()};
    const auto get = [&](const char* name) {
        const auto found = notes->find(name);
        return found == notes->end() ? std::string() : found->second;
    };
    Known k;
    k.account = account_from(get("account"));
    k.epoch = get("epoch");
    k.log_root = get("log_root");
    k.log_size = std::atoll(get("log_size").c_str());
    k.went_back = get("went_back") == "1";
    k.stopped = get("stopped");
    if (const auto s = streams_from(get("streams"))) k.streams = *s;
    k.archive = std::atoll(get("archive").c_str());
    for (const auto& [name, value] : *notes) {
        if (name.starts_with(positions)) put_position(k, name, value);
        if (name.starts_with(uploads)) k.uploads[name.substr(uploads.size())] = value;
        const auto r = name.starts_with(receipts) ? receipt_from(value) : Result<Receipt>(fail("not_found", name));
        if (!r || r->epoch != k.epoch || r->author != exchange_.store().author()) continue;
        if (!k.receipt || r->seq >= k.receipt->seq) k.receipt = *r;
        if (r->log_size <= k.archive) k.archived = std::max(k.archived, r->seq);
    }
    return k;
}

Status JournalStore::apply(const Change& c)
{
    journal::Exchange::Step step;
    auto& notes = step.notes;
    if (c.epoch) {
        notes["epoch"] = *c.epoch;
        for (const char* name : {"log_size", "log_root", "archive", "streams", "blobs_upto"}) notes[name] = "";
        for (const auto& prefix : {there, uploads}) {
            const auto old = exchange_.notes(prefix);
            if (!old) return Unexpected{old.error()};
            for (const auto& [name, value] : *old) notes[name] = "";
        }
    }
    if (c.account) notes["account"] = text(*c.account);
    if (c.receipt) notes[receipts + c.receipt->epoch + "/" + padded(c.receipt->seq)] = sync::text(*c.receipt);
    if (c.log) notes["log_size"] = std::to_string(c.log->first), notes["log_root"] = c.log->second;
    if (c.archive) notes["archive"] = std::to_string(*c.archive);
    if (c.streams) notes["streams"] = sync::text(*c.streams);
    if (c.went_back) notes["went_back"] = *c.went_back ? "1" : "";
    if (c.stopped) notes["stopped"] = *c.stopped;
    if (c.position) notes[positions + c.position->first.author + "/" + c.position->first.job] = std::to_string(c.position->second.seq) + " " + c.position->second.hash;
    for (const auto& sha : c.blobs_there) notes[there + sha] = "1";
    if (c.upload) notes[uploads + c.upload->first] = c.upload->second;
    step.keys = c.keys;
    for (const Line& l : c.lines) {
        auto e = entry_of(l);
        const auto s = stated(l.envelope);
        if (!s) return fail("entry_malformed", "of the shop");
        if (!e || !journal::verify({&*e, 1}, c.keys, false).ok) {
            const std::string name = aside + s->author + "/" + padded(s->seq);
            const auto sealed = exchange_.store().seal_note(name, as_bytes(text_of(l))); // its body is as readable as any other
            if (!sealed) return Unexpected{sealed.error()};
            notes[name] = to_hex(*sealed);
            continue;
        }
        for (const auto& sha : s->att)
            if (!exchange_.store().attachment(sha)) notes[wanted + sha] = "1";
        step.entries.push_back(std::move(*e));
    }
    auto done = exchange_.apply(step);
    if (done)
        for (const auto& e : step.entries) came_.insert(e.envelope.job);
    return done;
}

Result<std::vector<Blob>> JournalStore::blobs_to_send(std::size_t most)
{
    const auto sent = exchange_.notes(there), upto = exchange_.notes("blobs_upto");
    if (!sent || !upto) return Unexpected{!sent ? sent.error() : upto.error()};
    std::vector<Blob> blobs;
    std::int64_t after = upto->empty() ? 0 : std::atoll(upto->begin()->second.c_str());
    const std::int64_t begun = after;
    bool all = true;
    for (bool more = true; more && blobs.size() < most;) {
        const auto entries = exchange_.own(after, 500);
        if (!entries) return Unexpected{entries.error()};
        more = !entries->empty();
        for (const auto& e : *entries) {
            for (const auto& sha : e.envelope.att) {
                if (sent->contains(there + sha) || blobs.size() == most) continue;
                const auto bytes = exchange_.store().attachment(sha);
                all = false;
                if (bytes && std::none_of(blobs.begin(), blobs.end(), [&](const Blob& b) { return b.sha256 == sha; })) blobs.push_back({sha, "application/octet-stream", static_cast<std::int64_t>(bytes->size())});
            }
            after = e.envelope.seq;
        }
    }
    if (all && after > begun) (void)exchange_.apply({{}, {}, {{"blobs_upto", std::to_string(after)}}}); // only spares the next look
    return blobs;
}

Result<Bytes> JournalStore::read_blob(const std::string& sha256, std::int64_t offset, std::size_t most)
{
    if (blob_ != sha256) {
        auto all = exchange_.store().attachment(sha256);
        if (!all) return all;
        blob_ = sha256;
        blob_bytes_ = std::move(*all);
    }
    const std::size_t from = std::min(blob_bytes_.size(), static_cast<std::size_t>(offset)), n = std::min(most, blob_bytes_.size() - from);
    Bytes part(blob_bytes_.begin() + static_cast<std::ptrdiff_t>(from), blob_bytes_.begin() + static_cast<std::ptrdiff_t>(from + n));
    if (from + n == blob_bytes_.size()) blob_.clear(), blob_bytes_.clear();
    return part;
}

Result<std::vector<std::string>> JournalStore::blobs_wanted(std::size_t most)
{
    const auto notes = exchange_.notes(wanted);
    if (!notes) return Unexpected{notes.error()};
    std::vector<std::string> shas;
    for (const auto& [name, value] : *notes)
        if (shas.size() < most) shas.push_back(name.substr(wanted.size()));
    return shas;
}

Status JournalStore::put_blob(const std::string& sha256, ByteView bytes)
{
    if (auto ok = exchange_.store().put_attachment(sha256, bytes, "application/octet-stream"); !ok) return ok;
    auto done = exchange_.apply({{}, {}, {{wanted + sha256, ""}}});
    if (done) came_.insert(std::string());
    return done;
}

Result<std::vector<Line>> JournalStore::set_aside()
{
    const auto notes = exchange_.notes(aside);
    if (!notes) return Unexpected{notes.error()};
    std::vector<Line> lines;
    for (const auto& [name, value] : *notes)
        if (const auto sealed = from_hex(value)) {
            const auto plain = exchange_.store().unseal_note(name, *sealed);
            if (!plain) return Unexpected{plain.error()};
            if (auto l = line_from(to_text(*plain))) lines.push_back(std::move(*l));
        }
    return lines;
}

} // namespace chockside::sync
