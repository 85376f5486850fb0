// Entries as plain JSON lines that a person can verify with public tools.
#include <core/journal/detail/inside.h>

#include <algorithm>

namespace chockside::journal {

namespace {

constexpr const char* format = "chockside-journal/1";

json::Value line_of(const Entry& e)
{
    json::Value v(json::Object{});
    v.at("envelope") = e.envelope_bytes;
    v.at("hash") = e.hash;
    v.at("signature") = e.signature;
    v.at("salt") = e.salt;
    v.at("body") = e.body_bytes;
    return v;
}

struct Taken {
    std::map<std::string, std::string> keys;
    std::vector<Entry> entries;
};

Result<Taken> take(std::string_view text)
{
    Taken taken;
    int number = 0;
    for (std::size_t at = 0; at < text.size(); ) {
        const auto end = std::min(text.find('\n', at), text.size());
        const std::string_view line = text.substr(at, end - at);
        at = end + 1;
        ++number;
        if (line.empty()) continue;
        auto v = json::read(line);
        // One spelling only: a changed byte that means the same is a changed byte.
        if (!v || json::write(*v) != line) return fail("entry_malformed", "line " + std::to_string(number));
        if (number == 1) {
            if ((*v)["format"].as_text() != format) return fail("entry_malformed", "line 1", {{"what", "format"}});
            for (const auto& [author, key] : (*v)["keys"].as_object()) taken.keys[author] = key.as_text();
            continue;
        }
        auto e = open_entry((*v)["envelope"].as_text(), (*v)["hash"].as_text(), (*v)["signature"].as_text(), (*v)["salt"].as_text(), (*v)["body"].as_text());
        if (!e) return fail("entry_malformed", "line " + std::to_string(number));
        taken.entries.push_back(std::move(*e));
    }
    return taken;
}

} // namespace

std::string lines_of(const std::vector<Entry>& entries, const std::map<std::string, std::string>& keys)
{
    json::Value head(json::Object{});
    json::Value& named = head.at("keys");
    for (const Entry& e : entries)
        if (const auto key = keys.find(e.envelope.author); key != keys.end()) named.at(e.envelope.author) = key->second;
    head.at("format") = format;
    std::string text = json::write(head) + "\n";
    for (const Entry& e : entries) text += json::write(line_of(e)) + "\n";
    return text;
}

Result<std::string> Store::export_job(const std::string& job)
{
    if (!in_->vault->is_open()) return fail("pin_needed", job);
    auto found = entries(job);
    if (!found) return Unexpected{found.error()};
    if (found->empty()) return fail("not_found", job);
    const auto public_keys = keys();
    if (!public_keys) return Unexpected{public_keys.error()};
    return lines_of(*found, *public_keys);
}

Result<VerifyReport> verify_lines(std::string_view lines)
{
    auto taken = take(lines);
    if (!taken) return VerifyReport{0, 0, false, FirstBad{"", 0, "malformed"}};
    VerifyReport report = verify(taken->entries, taken->keys, false);
    if (report.ok) report.first_bad = missing_entry(taken->entries);
    report.ok = !report.first_bad;
    return report;
}

namespace {

std::string place_of(const Entry& e)
{
    return e.envelope.author + "/" + std::to_string(e.envelope.seq);
}

/// The hash and envelope's prev of an entry that is here, empty where none is.
struct Here {
    std::string hash, prev;
};

Result<Here> here(sqlite3* db, std::int64_t id)
{
    detail::Statement s(db, "SELECT lower(hex(hash)),envelope FROM entry WHERE id=?");
    s.bind(1, id);
    if (!s.step_row()) return s.ended() ? Result<Here>(Here{}) : Result<Here>(detail::problem(db, "import"));
    const auto envelope = json::read(s.text(1));
    return Here{s.text(0), envelope ? (*envelope)["prev"].as_text() : std::string()};
}

/// True where it must be written, false where it is here already.
Result<bool> is_new(sqlite3* db, std::int64_t id, const Entry& e, bool own)
{
    const auto same = here(db, id), before = here(db, id - 1), after = here(db, id + 1);
    if (!same || !before || !after) return Unexpected{(!same ? same : !before ? before : after).error()};
    if (!same->hash.empty()) return same->hash == e.hash ? Result<bool>(false) : Result<bool>(fail("fork", place_of(e)));
    if (own) return fail("own_key_reused", place_of(e));
    const bool fits = (before->hash.empty() || e.envelope.prev == before->hash) && (after->hash.empty() || after->prev == e.hash);
    return fits ? Result<bool>(true) : Result<bool>(fail("fork", place_of(e)));
}

} // namespace

Result<ImportReport> Store::import_lines(std::string_view lines, Holes holes)
{
    Inside& in = *in_;
    if (in.options.read_only) return fail("read_only");
    auto taken = take(lines);
    if (!taken) return Unexpected{taken.error()};
    VerifyReport checked = journal::verify(taken->entries, taken->keys, false);
    if (checked.ok && holes == Holes::refused) checked.first_bad = missing_entry(taken->entries);
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    if (checked.first_bad) return fail("entry_refused", checked.first_bad->author + "/" + std::to_string(checked.first_bad->seq), {{"what", checked.first_bad->reason}});

    const Inside::Unfinished unfinished{in};
    if (!in.begin.run_once()) return in.give_up("begin");
    if (!in.put_new_key()) return in.give_up("key");
    ImportReport report;
    const auto undo = [&](Problem why) {
        in.rollback.run_once();
        return Unexpected{std::move(why)};
    };
    for (const Entry& e : taken->entries) {
        const auto number = in.number_of(e.envelope.author, taken->keys[e.envelope.author], false);
        if (!number) return undo(number.error());
        const auto wanted = is_new(in.db.get(), *number * detail::author_step + e.envelope.seq, e, e.envelope.author == in.author);
        if (!wanted) return undo(wanted.error());
        const std::int64_t id = *number * detail::author_step + e.envelope.seq;
        if (*wanted && !(in.put_entry(*number, e, {}) && in.fit_run(id, e.envelope.job) && in.uncount(*number, e.envelope.seq))) return in.give_up("import");
        ++(*wanted ? report.added : report.already);
    }
    if (!in.commit.run_once()) return in.give_up("commit");
    in.new_key.reset();
    in.seen_job.clear();
    if (auto ok = in.repair_rows(); !ok) return Unexpected{ok.error()};
    if (in.log_pages >= detail::log_pages_most) (void)checkpoint();
    return report;
}

} // namespace chockside::journal
