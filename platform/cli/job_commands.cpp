#include <platform/cli/job_commands.h>

#include <core/journal/store.h>
#include <platform/cli/pin.h>
#include <platform/desk/own_store.h>
#include <platform/system/system.h>
#include <platform/words/words.h>

#include <algorithm>
#include <optional>
#include <ostream>

namespace chockside::cli {

namespace {

using json::Value;
using journal::Store;
constexpr std::uint64_t export_most = 256u << 20;

enum Exit { done = 0, no = 1, usage = 2, broken = 3 };

int complain(const Problem& p, bool machine, std::ostream& error)
{
    const words::Words w = words::of(p);
    if (machine) error << json::write(Value(json::Object{{"code", p.code}, {"place", p.place}, {"message", w.message}, {"mend", w.mend}})) << '\n';
    else error << words::line(p) << '\n';
    if (p.code == "usage") return usage;
    return p.code == "wrong_pin" || p.code == "not_a_holder" || p.code == "fork" || p.code == "own_key_reused" || p.code == "entry_refused" ? no : broken;
}

int complain(const char* code, const std::string& place, bool machine, std::ostream& error)
{
    return complain(Problem{code, place, {{"what", place + " is missing."}}}, machine, error);
}

/// One store with what it borrows.
struct Opened {
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    desk::OwnStore own;
    std::unique_ptr<Store> store;

    Status open(const JobOptions& o, bool read_only)
    {
        const std::string folder = o.folder.empty() ? system::data_folder() : o.folder;
        if (!read_only) own = desk::own_store(disk, folder);
        auto opened = Store::open(disk, clock, random, read_only ? Store::Options{folder, true} : own.options);
        if (!opened) return Unexpected{opened.error()};
        store = std::move(*opened);
        if (o.person.empty() || !store->locked()) return {};
        const auto key = key_of(disk, clock, random, folder, o.person);
        return key ? store->unlock(*key) : Status(Unexpected{key.error()});
    }
};

Value as_json(const journal::JobRow& r)
{
    return json::Object{{"job", r.job}, {"title", r.title}, {"tail", r.tail}, {"status", r.status}, {"opened", to_rfc3339(r.opened_utc_ms)}, {"changed", to_rfc3339(r.changed_utc_ms)}, {"entries", r.entries},
        {"practice", r.practice}};
}

Value as_json(const journal::Entry& e)
{
    const auto& v = e.envelope;
    return json::Object{{"author", v.author}, {"seq", v.seq}, {"time", to_rfc3339(v.wall)}, {"kind", v.kind}, {"person", v.person}, {"meaning", v.meaning}, {"body", e.body_bytes.empty() ? Value() : e.body}, {"hash", e.hash}};
}

Value as_json(const journal::FirstBad& bad)
{
    return json::Object{{"author", bad.author}, {"seq", bad.seq}, {"reason", bad.reason}};
}

Value as_json(const journal::VerifyReport& r)
{
    const Value bad = r.first_bad ? as_json(*r.first_bad) : Value();
    return json::Object{{"entries", r.entries}, {"withheld", r.withheld}, {"ok", r.ok}, {"first_bad", bad}};
}

/// A file that would be refused is refused before a new store is made for it.
Status acceptable(system::SystemDisk& disk, const JobOptions& o, const std::string& text)
{
    const auto names = disk.list(o.folder.empty() ? system::data_folder() : o.folder);
    if (names && std::ranges::find(*names, "journal.db") != names->end()) return {};
    const auto report = journal::verify_lines(text);
    if (!report) return Unexpected{report.error()};
    if (!report->first_bad) return {};
    const auto& bad = *report->first_bad;
    if (bad.author.empty()) return fail("entry_malformed", "in " + o.file);
    return fail("entry_refused", bad.author + "/" + std::to_string(bad.seq), {{"what", bad.reason}});
}

template <class Items>
Value list_of(const Items& items)
{
    Value list(json::Array{});
    for (const auto& item : items) list.push(as_json(item));
    return list;
}

int tell(const journal::VerifyReport& r, bool machine, std::ostream& out)
{
    if (machine) out << json::write(as_json(r)) << '\n';
    else if (r.ok) out << r.entries << " entries, all as signed" << (r.withheld ? ", " + std::to_string(r.withheld) + " bodies withheld" : "") << ".\n";
    else if (r.first_bad) out << "Does not verify: author " << r.first_bad->author << ", entry " << r.first_bad->seq << ": " << r.first_bad->reason << ".\n";
    return r.ok ? done : no;
}

} // namespace

int job_list(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    Opened at;
    if (auto ok = at.open(o, true); !ok) return complain(ok.error(), o.json, error);
    const auto rows = at.store->jobs(1000, o.search);
    if (!rows) return complain(rows.error(), o.json, error);
    if (o.json) out << json::write(json::Object{{"jobs", list_of(*rows)}}) << '\n';
    else
        for (const auto& r : *rows) out << r.job << "  " << r.tail << "  " << to_rfc3339(r.changed_utc_ms) << "  " << r.status << (r.practice ? "  PRACTICE" : "") << "  " << r.title << '\n';
    return done;
}

int job_show(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    if (o.job.empty()) return complain({"usage", "job", {{"what", "a job must be named"}}}, o.json, error);
    Opened at;
    if (auto ok = at.open(o, true); !ok) return complain(ok.error(), o.json, error);
    const auto entries = at.store->entries(o.job);
    if (!entries) return complain(entries.error(), o.json, error);
    if (entries->empty()) return complain("not_found", o.job, o.json, error), no;
    if (o.json) out << json::write(json::Object{{"job", o.job}, {"entries", list_of(*entries)}}) << '\n';
    else
        for (const auto& e : *entries)
            out << to_rfc3339(e.envelope.wall) << "  " << e.envelope.kind << "  " << e.envelope.person << (e.envelope.meaning.empty() ? "" : "  [" + e.envelope.meaning + "]") << "  "
                << (e.body_bytes.empty() ? "(withheld)" : e.body_bytes) << '\n';
    return done;
}

int job_verify(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    Opened at;
    if (!o.file.empty()) {
        const auto text = at.disk.read(o.file, export_most);
        if (!text) return complain(text.error(), o.json, error);
        return tell(*journal::verify_lines(to_text(*text)), o.json, out);
    }
    if (auto ok = at.open(o, true); !ok) return complain(ok.error(), o.json, error);
    const auto report = at.store->verify(o.job);
    if (!report) return complain(report.error(), o.json, error);
    if (!o.job.empty() && report->ok && report->entries == 0) return complain("not_found", o.job, o.json, error), no;
    return tell(*report, o.json, out);
}

int job_export(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    if (o.job.empty()) return complain({"usage", "job", {{"what", "a job must be named"}}}, o.json, error);
    Opened at;
    if (auto ok = at.open(o, true); !ok) return complain(ok.error(), o.json, error);
    const auto lines = at.store->export_job(o.job);
    if (!lines && lines.error().code == "not_found") return complain(lines.error(), o.json, error), no;
    if (!lines) return complain(lines.error(), o.json, error);
    if (o.file.empty()) {
        out << *lines;
        return done;
    }
    const auto kept = at.disk.write_whole(o.file, as_bytes(*lines));
    if (!kept) return complain(kept.error(), o.json, error);
    if (o.json) out << json::write(json::Object{{"job", o.job}, {"file", o.file}}) << '\n';
    return done;
}

int job_import(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    if (o.file.empty()) return complain({"usage", "file", {{"what", "--file must be given"}}}, o.json, error);
    Opened at;
    const auto text = at.disk.read(o.file, export_most);
    if (!text) return complain(text.error(), o.json, error);
    if (auto ok = acceptable(at.disk, o, to_text(*text)); !ok) return complain(ok.error(), o.json, error);
    if (auto ok = at.open(o, false); !ok) return complain(ok.error(), o.json, error);
    tell_anew(*at.store, error);
    const auto taken = at.store->import_lines(to_text(*text));
    if (!taken) return complain(taken.error(), o.json, error);
    if (o.json) out << json::write(json::Object{{"added", taken->added}, {"already", taken->already}}) << '\n';
    else out << taken->added << " entries taken in, " << taken->already << " were here.\n";
    return done;
}

int job_backup(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    if (o.to.empty()) return complain({"usage", "to", {{"what", "a folder must be named"}}}, o.json, error);
    Opened at;
    if (auto ok = at.open(o, true); !ok) return complain(ok.error(), o.json, error);
    const auto report = at.store->backup(o.to);
    if (!report) return complain(report.error(), o.json, error);
    return tell(*report, o.json, out);
}

int job_salvage(const JobOptions& o, std::ostream& out, std::ostream& error)
{
    if (o.to.empty()) return complain({"usage", "to", {{"what", "a folder must be named"}}}, o.json, error);
    Opened at;
    const std::string damaged = o.folder.empty() ? system::data_folder() : o.folder;
    std::optional<trust::KeyPair> person;
    if (!o.person.empty()) {
        auto key = key_of(at.disk, at.clock, at.random, damaged, o.person);
        if (!key) return complain(key.error(), o.json, error);
        person = std::move(*key);
    }
    const auto saved = journal::salvage(at.disk, at.clock, at.random, damaged, o.to, person ? &*person : nullptr);
    if (!saved) return complain(saved.error(), o.json, error);
    if (o.json) {
        Value last(json::Object{}), broken(json::Array{}), lost(json::Array{});
        for (const auto& [author, seq] : saved->last) last.at(author) = seq;
        for (const auto& bad : saved->broken) broken.push(as_json(bad));
        for (const auto& place : saved->lost) lost.push(place);
        out << json::write(json::Object{{"kept", saved->kept}, {"last", last}, {"broken", broken}, {"lost", lost}}) << '\n';
        return done;
    }
    out << saved->kept << " entries are saved in " << o.to << ".\n";
    for (const auto& bad : saved->broken) out << "Author " << bad.author << " ends before entry " << bad.seq << ": " << bad.reason << ".\n";
    for (const auto& place : saved->lost) out << "Can't be read, and stayed behind: " << place << ".\n";
    return done;
}

} // namespace chockside::cli
