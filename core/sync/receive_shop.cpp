// The shop's own acts.
#include <core/sync/detail/receiving.h>

#include <core/journal/seal.h>

namespace chockside::sync {

namespace {

std::string base64url(std::string_view text)
{
    std::string t = to_base64(as_bytes(text));
    for (char& c : t) c = c == '+' ? '-' : c == '/' ? '_' : c;
    while (!t.empty() && t.back() == '=') t.pop_back();
    return t;
}

struct Nothing {};

} // namespace

Result<std::string> Receive::make_code()
{
    Bytes random(16);
    in_->random.fill(random);
    const std::string code = to_hex(random);
    return in_->within<std::string>([&]() -> Result<std::string> {
        if (auto ok = in_->ledger.put_code({trust::sha256_hex(as_bytes(code)), in_->clock.now().utc_ms, {}}); !ok) return Unexpected{ok.error()};
        return code;
    });
}

std::string Receive::enrolment_text(const std::string& code, const std::string& url, const std::vector<std::string>& spki_pins) const
{
    json::Value pins(json::Array{});
    for (const auto& p : spki_pins) pins.push(p);
    return "chockside-enrol:" + base64url(json::write(json::Object{{"code", code}, {"pins", pins}, {"receiver", in_->id}, {"receiver_key", in_->key_hex}, {"url", url}}));
}

Result<Stored> Receive::Inside::say(const std::string& device, const std::string& job, const journal::Draft& draft)
{
    const auto epoch = ledger.epoch();
    const auto known = device.empty() ? Result<std::optional<Device>>(std::optional<Device>()) : ledger.device(device);
    if (!epoch || !known) return Unexpected{!epoch ? epoch.error() : known.error()};
    if (!device.empty() && !*known) return fail("not_enrolled", device);
    const trust::KeyPair stream = stream_key(*epoch, device.empty() ? std::string("all") : device);
    const std::string author = trust::author_id(stream.public_key());
    const auto head = ledger.head(author);
    const auto size = ledger.log_size();
    auto seen = ledger.vector_of(job);
    if (!head || !size || !seen) return fail("io_error", "say");
    const Now now = clock.now();
    journal::Envelope e{1, author, head->seq + 1, head->hash, job, std::move(*seen), draft.kind, draft.schema, {}, draft.att, draft.person, draft.meaning, now.utc_ms, now.boot, now.mono_ms, {}};
    const auto entry = journal::seal(std::move(e), draft.body, stream, random);
    if (!entry) return Unexpected{entry.error()};
    const auto s = stated(entry->envelope_bytes);
    if (!s) return Unexpected{s.error()};
    if (auto ok = ledger.put_key(author, to_hex(stream.public_key())); !ok) return Unexpected{ok.error()};
    const Stored stored{line_of(*entry), *s, *size, now.utc_ms};
    if (auto ok = append({&stored, 1}); !ok) return Unexpected{ok.error()};
    if (draft.kind == "assigned" && !device.empty())
        if (auto ok = ledger.share({&job, 1}, device); !ok) return Unexpected{ok.error()};
    return stored;
}

Result<Stored> Receive::say(const std::string& device, const std::string& job, const journal::Draft& draft)
{
    return in_->within<Stored>([&] { return in_->say(device, job, draft); });
}

Status Receive::revoke(const std::string& device, const std::string& person, const std::string& why)
{
    const auto done = in_->within<Nothing>([&]() -> Result<Nothing> {
        const auto known = in_->ledger.device(device);
        if (!known) return Unexpected{known.error()};
        if (!*known) return fail("not_enrolled", device);
        if ((*known)->revoked_at) return Nothing{};
        const auto said = in_->say({}, "shop", {"revoked", 1, json::Object{{"author", device}, {"why", why}}, {}, person, {}});
        if (!said) return Unexpected{said.error()};
        if (auto ok = in_->ledger.set_revoked(device, in_->clock.now().utc_ms); !ok) return Unexpected{ok.error()};
        return Nothing{};
    });
    return done ? Status{} : Status(Unexpected{done.error()});
}

Status Receive::archived(std::int64_t size)
{
    const auto done = in_->within<Nothing>([&]() -> Result<Nothing> {
        if (auto ok = in_->ledger.set_archived(size); !ok) return Unexpected{ok.error()};
        return Nothing{};
    });
    return done ? Status{} : Status(Unexpected{done.error()});
}

Result<std::string> Receive::new_epoch()
{
    Bytes random(16);
    in_->random.fill(random);
    in_->nodes.clear();
    return in_->within<std::string>([&]() -> Result<std::string> {
        const std::string epoch = to_hex(random);
        if (auto ok = in_->ledger.set_epoch(epoch); !ok) return Unexpected{ok.error()};
        if (auto ok = in_->ledger.set_archived(0); !ok) return Unexpected{ok.error()};
        return epoch;
    });
}

Result<std::pair<Streams, std::vector<Line>>> Receive::written_for(const std::string& device, std::int64_t most)
{
    using Written = std::pair<Streams, std::vector<Line>>;
    Ledger& ledger = in_->ledger;
    if (auto ok = ledger.begin(false); !ok) return Unexpected{ok.error()};
    auto written = [&]() -> Result<Written> {
        const auto known = ledger.device(device);
        const auto epoch = ledger.epoch();
        if (!known || !epoch) return Unexpected{!known ? known.error() : epoch.error()};
        if (!*known) return fail("not_enrolled", device);
        const Inside::Keys& keys = in_->streams_of(device, *epoch);
        Written w{keys.streams, {}};
        for (const auto& author : {keys.device_author, keys.broadcast_author}) {
            const auto head = ledger.head(author);
            if (!head) return Unexpected{head.error()};
            const auto found = ledger.entries(author, {}, std::max<std::int64_t>(0, head->seq - most), static_cast<std::size_t>(most));
            if (!found) return Unexpected{found.error()};
            for (const Stored& e : *found) w.second.push_back(e.line);
        }
        return w;
    }();
    ledger.rollback();
    return written;
}

} // namespace chockside::sync
