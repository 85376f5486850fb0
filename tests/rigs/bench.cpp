#include <tests/rigs/bench.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sstream>
#include <sys/resource.h>
#include <unistd.h>

namespace chockside::rigs {

namespace {

constexpr int rows_alone_every = 10, checkpoint_every = 8, attachment_every = 7, row_left_out_every = 6, turn_every = 5;

std::string row_job(const Job& job)
{
    return job.name + "/r";
}

journal::JobRow row_of(const Job& of, const std::string& job, int n)
{
    return {job, of.name, "Q4-RMP", "c" + std::to_string(n), 1, n, n, false};
}

Bytes attachment_of(const Job& job, int n)
{
    std::string text = job.name + ":" + std::to_string(n) + ":";
    while (text.size() < 3000) text += "photo ";
    return to_bytes(text);
}

} // namespace

std::vector<std::string> journal_jobs(const Job& job)
{
    return {job.name + "/a", job.name + "/b"};
}

Command command_of(const Job& job, int n)
{
    Command c;
    c.n = n;
    c.job = journal_jobs(job)[static_cast<std::size_t>(n / turn_every % 2)];
    c.id = job.name + "-" + std::to_string(n);
    if (n % attachment_every == 0) c.attachment = attachment_of(job, n);
    const int of = 1 + n % 3;
    for (int part = 0; part < of; ++part) {
        journal::Draft d;
        d.kind = "read";
        d.person = "p-1";
        d.body = json::Object{{"n", n}, {"part", part}, {"of", of}, {"text", std::string(static_cast<std::size_t>(100 + n * 37 % 400), 'x')}};
        if (part == 0 && !c.attachment.empty()) d.att = {trust::sha256_hex(c.attachment)};
        c.drafts.push_back(std::move(d));
    }
    if (n % row_left_out_every) c.row = row_of(job, c.job, n);
    return c;
}

void note(History& h, const Event& e)
{
    switch (e.kind) {
    case Event::opened: h.opened = true; break;
    case Event::closed: h.closed = true; break;
    case Event::tried: h.tried.insert(e.n); break;
    case Event::saved: h.saved[e.n] = e.what; break;
    case Event::refused: h.refused[e.n] = e.what.empty() ? std::string() : e.what.front(); break;
    case Event::attached: h.attached.insert(e.n); break;
    case Event::row_saved: h.row_saved = e.n; break;
    }
}

std::string line_of(const Event& e)
{
    std::string line = std::string(1, e.kind) + " " + e.job + " " + std::to_string(e.n);
    for (const std::string& w : e.what) line += " " + w;
    return line + "\n";
}

std::map<std::string, History> histories_of(std::string_view lines)
{
    std::map<std::string, History> all;
    for (std::size_t end; (end = lines.find('\n')) != std::string_view::npos; lines.remove_prefix(end + 1)) {
        std::istringstream line{std::string(lines.substr(0, end))};
        char kind = 0;
        Event e{Event::opened, {}, 0, {}};
        line >> kind >> e.job >> e.n;
        e.kind = static_cast<Event::Kind>(kind);
        for (std::string word; line >> word;) e.what.push_back(word);
        note(all[e.job], e);
    }
    return all;
}

namespace {

void write_command(journal::Store& store, const Job& job, int n, const Tell& tell)
{
    const Command c = command_of(job, n);
    tell({Event::tried, job.name, n, {}});
    if (!c.attachment.empty()) {
        // An entry never names an attachment that is not there.
        if (auto put = store.put_attachment(trust::sha256_hex(c.attachment), c.attachment, "image/jpeg"); !put) return tell({Event::refused, job.name, n, {put.error().code}});
        tell({Event::attached, job.name, n, {}});
    }
    const auto written = store.append(c.job, c.id, c.drafts, c.row);
    if (!written) return tell({Event::refused, job.name, n, {written.error().code}});
    Event saved{Event::saved, job.name, n, {}};
    for (const journal::Entry& e : *written) saved.what.push_back(e.hash);
    tell(saved);
}

} // namespace

void write_job(journal::Store& store, const Job& job, const Tell& tell)
{
    for (int n = 1; n <= job.commands; ++n) {
        write_command(store, job, n, tell);
        if (n % rows_alone_every == 0 && store.set_row(row_of(job, row_job(job), n))) tell({Event::row_saved, job.name, n, {}});
        if (n % checkpoint_every == 0) (void)store.checkpoint();
    }
}

void run_job(const Open& open, const Job& job, const Tell& tell)
{
    auto store = open();
    if (!store) return;
    tell({Event::opened, job.name, 0, {}});
    write_job(**store, job, tell);
    store->reset();
    tell({Event::closed, job.name, 0, {}});
}

void Verdict::count(int Verdict::*what, const std::string& words)
{
    ++(this->*what);
    if (first.empty()) first = words;
}

void Verdict::add(const Verdict& o)
{
    for (int Verdict::*m : {&Verdict::lost, &Verdict::doubled, &Verdict::changed, &Verdict::torn, &Verdict::invented, &Verdict::row, &Verdict::unverified, &Verdict::unusable}) this->*m += o.*m;
    if (first.empty()) first = o.first;
}

std::string json_members(const Verdict& v)
{
    char text[256];
    std::snprintf(text, sizeof text, "\"lost\":%d,\"doubled\":%d,\"changed\":%d,\"torn\":%d,\"invented\":%d,\"row\":%d,\"unverified\":%d,\"unusable\":%d", v.lost, v.doubled, v.changed, v.torn, v.invented, v.row, v.unverified, v.unusable);
    return text + (v.first.empty() ? std::string() : ",\"first\":\"" + v.first + "\"");
}

namespace {

using Found = std::map<int, std::vector<const journal::Entry*>>; ///< command -> its entries, as they lie

std::string words(const char* what, int n)
{
    return std::string(what) + " c" + std::to_string(n);
}

void judge_command(const Command& c, const std::vector<const journal::Entry*>& there, const History& h, Verdict& v)
{
    const std::size_t of = c.drafts.size();
    std::set<std::int64_t> parts;
    for (const auto* e : there)
        if (!parts.insert(e->body["part"].as_int()).second) v.count(&Verdict::doubled, words("doubled", c.n));
    if (!there.empty() && !h.tried.contains(c.n)) v.count(&Verdict::invented, words("invented", c.n));
    if (!parts.empty() && parts.size() < of) v.count(&Verdict::torn, words("torn", c.n));
    const auto told = h.saved.find(c.n);
    if (told == h.saved.end()) return;
    if (parts.size() < of) return v.count(&Verdict::lost, words("lost", c.n));
    for (std::size_t i = 0; i < of; ++i)
        if (there[i]->hash != told->second.at(i)) return v.count(&Verdict::changed, words("changed", c.n));
}

void judge_row(const std::map<std::string, journal::JobRow>& rows, const std::string& job, int last_with_row, Verdict& v)
{
    const auto row = rows.find(job);
    if (last_with_row == 0 || (row != rows.end() && row->second.status == "c" + std::to_string(last_with_row))) return;
    v.count(&Verdict::row, words("row behind", last_with_row));
}

Found found_in(const std::vector<journal::Entry>& entries)
{
    Found found;
    for (const auto& e : entries) found[static_cast<int>(e.body["n"].as_int())].push_back(&e);
    return found;
}

void judge_attachment(journal::Store& store, const Job& job, int n, Verdict& v)
{
    const Bytes want = command_of(job, n).attachment;
    const auto have = store.attachment(trust::sha256_hex(want));
    if (!have || *have != want) v.count(&Verdict::lost, words("attachment", n));
}

void judge_rows(journal::Store& store, const Job& job, const History& h, const std::map<std::string, int>& last, Verdict& v)
{
    const auto listed = store.jobs(100, job.name);
    if (!listed) return v.count(&Verdict::unusable, "jobs");
    std::map<std::string, journal::JobRow> rows;
    for (const auto& r : *listed) rows[r.job] = r;
    for (const auto& [name, n] : last) judge_row(rows, name, n, v);
    const auto alone = rows.find(row_job(job));
    if (h.row_saved && (alone == rows.end() || alone->second.changed_utc_ms < h.row_saved)) v.count(&Verdict::row, words("row alone", h.row_saved));
}

void judge_entries(journal::Store& store, const Job& job, const History& h, Verdict& v)
{
    std::map<std::string, int> last;
    std::set<int> seen;
    for (const std::string& name : journal_jobs(job)) {
        const auto entries = store.entries(name);
        if (!entries) return v.count(&Verdict::unusable, "entries");
        for (const auto& [n, there] : found_in(*entries)) {
            const Command c = command_of(job, n);
            seen.insert(n);
            if (c.job != name) v.count(&Verdict::invented, words("elsewhere", n));
            judge_command(c, there, h, v);
            if (c.row) last[name] = n;
            if (!c.attachment.empty()) judge_attachment(store, job, n, v);
        }
    }
    for (const auto& [n, hashes] : h.saved)
        if (!seen.contains(n)) v.count(&Verdict::lost, words("lost", n));
    for (const int n : h.attached)
        if (!seen.contains(n)) judge_attachment(store, job, n, v);
    judge_rows(store, job, h, last, v);
}

/// Tries again whatever had no answer, then looks once more: all of it must be there, once.
void judge_retry(journal::Store& store, const Job& job, const History& before, Verdict& v)
{
    History h = before;
    for (const int n : before.tried) {
        if (before.saved.contains(n)) continue;
        write_command(store, job, n, [&](const Event& e) { note(h, e); });
        if (!h.saved.contains(n)) v.count(&Verdict::unusable, words("retry", n));
    }
    for (const auto& [n, hashes] : before.saved) {
        const Command c = command_of(job, n);
        if (n % 5) continue;
        const auto again = store.append(c.job, c.id, c.drafts, c.row);
        if (!again || again->front().hash != hashes.front()) v.count(&Verdict::doubled, words("answered anew", n));
    }
    Verdict after;
    for (const std::string& name : journal_jobs(job)) {
        const auto entries = store.entries(name);
        if (!entries) return v.count(&Verdict::unusable, "entries after retry");
        for (const auto& [n, there] : found_in(*entries)) judge_command(command_of(job, n), there, h, after);
    }
    v.add(after);
}

} // namespace

Verdict judge(journal::Store& store, const Job& job, const History& h, Look look)
{
    Verdict v;
    judge_entries(store, job, h, v);
    if (look.retry) judge_retry(store, job, h, v);
    if (!look.verify) return v;
    const auto report = store.verify();
    if (!report || !report->ok) v.count(&Verdict::unverified, report && report->first_bad ? "verify: " + report->first_bad->reason : "verify");
    return v;
}

Verdict judge(const Open& open, const Job& job, const History& h, Look look)
{
    auto store = open();
    if (store) return judge(**store, job, h, look);
    Verdict v;
    v.count(&Verdict::unusable, "open: " + store.error().code + " " + store.error().place);
    return v;
}

WorkFolder::WorkFolder(const std::string& name, bool on_disk)
{
    namespace fs = std::filesystem;
    const fs::path memory = "/dev/shm";
    std::error_code none;
    const fs::path root = !on_disk && fs::is_directory(memory, none) && ::access(memory.c_str(), W_OK) == 0 ? memory : fs::temp_directory_path();
    path_ = (root / ("chockside-" + name + "-" + std::to_string(::getpid()))).string();
    fs::create_directories(path_);
}

WorkFolder::~WorkFolder()
{
    std::error_code none;
    std::filesystem::remove_all(path_, none);
}

void WorkFolder::clear() const
{
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
}

Arguments::Arguments(int argc, char** argv, const std::set<std::string>& known)
{
    (void)seconds_since_start();
    for (int i = 1; i < argc; ++i) {
        const std::string name = argv[i];
        if (!known.contains(name)) {
            std::fprintf(stderr, "unknown argument %s\n", name.c_str());
            std::exit(2);
        }
        const bool valued = i + 1 < argc && argv[i + 1][0] != '-';
        values_[name] = valued ? argv[++i] : "";
    }
}

long Arguments::number(const std::string& name, long otherwise) const
{
    const auto found = values_.find(name);
    return found == values_.end() ? otherwise : std::atol(found->second.c_str());
}

std::string Arguments::text(const std::string& name) const
{
    const auto found = values_.find(name);
    return found == values_.end() ? std::string() : found->second;
}

bool long_run()
{
    return std::getenv("CHOCKSIDE_LONG") != nullptr;
}

double seconds_since_start()
{
    static const auto start = std::chrono::steady_clock::now();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double cpu_seconds()
{
    double all = 0;
    for (const auto who : {RUSAGE_SELF, RUSAGE_CHILDREN}) {
        rusage used{};
        ::getrusage(who, &used);
        all += static_cast<double>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + static_cast<double>(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
    }
    return all;
}

} // namespace chockside::rigs
