#include <platform/shop/fleet_index.h>

#include <core/base/json.h>
#include <platform/shop/book.h>

#include <algorithm>

namespace chockside::shop {

namespace {

/// A tablet's clock may say anything; differences of two must stay numbers.
std::int64_t sane(std::int64_t utc_ms)
{
    return std::clamp<std::int64_t>(utc_ms, 0, 253'402'300'799'999);
}

std::string short_text(const std::string& text)
{
    return text.substr(0, 300); // json::write mends what the cut leaves
}

} // namespace

std::string text_of(const JobNote& n)
{
    const auto& f = n.facts;
    json::Value removed(json::Array{}), bench(json::Array{});
    for (const auto& r : f.removed) removed.push(json::Array{short_text(r.number), short_text(r.serial), r.cured});
    for (const auto& b : n.bench) bench.push(json::Array{short_text(b.number), short_text(b.serial), sane(b.at_ms), b.fault_found});
    json::Object o{{"bench", bench}, {"cause", short_text(f.cause)}, {"cause_words", short_text(n.cause_words)}, {"class", short_text(f.finding_class)}, {"closed", f.closed}, {"finding", short_text(f.finding_kind)},
        {"job", f.job}, {"kind", short_text(f.complaint_kind)}, {"last", sane(f.last_ms)}, {"opened", sane(f.opened_ms)}, {"place", short_text(f.place)}, {"place_words", short_text(n.place_words)}, {"practice", f.practice},
        {"removed", removed}, {"tail", short_text(f.tail)}, {"type", short_text(f.aircraft_type)}};
    if (f.isolate_ms) o["isolate"] = sane(*f.isolate_ms);
    return json::write(o);
}

JobNote note_from(const std::string& text)
{
    JobNote n;
    const auto read = json::read(text);
    if (!read) return n;
    const json::Value& v = *read;
    auto& f = n.facts;
    f.job = v["job"].as_text();
    f.tail = v["tail"].as_text();
    f.aircraft_type = v["type"].as_text();
    f.complaint_kind = v["kind"].as_text();
    f.opened_ms = v["opened"].as_int();
    f.last_ms = v["last"].as_int();
    if (v.has("isolate")) f.isolate_ms = v["isolate"].as_int();
    f.finding_kind = v["finding"].as_text();
    f.finding_class = v["class"].as_text();
    f.cause = v["cause"].as_text();
    f.place = v["place"].as_text();
    f.closed = v["closed"].as_bool();
    f.practice = v["practice"].as_bool();
    for (const auto& r : v["removed"].as_array())
        if (const auto& a = r.as_array(); a.size() == 3) f.removed.push_back({a[0].as_text(), a[1].as_text(), a[2].as_bool()});
    for (const auto& b : v["bench"].as_array())
        if (const auto& a = b.as_array(); a.size() == 4) n.bench.push_back({a[0].as_text(), a[1].as_text(), a[2].as_int(), a[3].as_bool()});
    n.cause_words = v["cause_words"].as_text();
    n.place_words = v["place_words"].as_text();
    return n;
}

Status FleetIndex::make_tables(Connection& c)
{
    for (const char* sql : {"CREATE TABLE IF NOT EXISTS job_fact(job TEXT PRIMARY KEY, at BIGINT NOT NULL, fact TEXT NOT NULL)", "CREATE INDEX IF NOT EXISTS job_fact_at ON job_fact(at)"})
        if (auto made = c.run(sql); !made) return Unexpected{made.error()};
    return {};
}

Params FleetIndex::row(const Opened& o, const std::map<std::string, std::string>& tablets, std::int64_t turn)
{
    static const profile::Profile none;
    const profile::Profile& p = o.profile ? *o.profile : none;
    JobNote n;
    n.facts = fleet::facts_of(p, o.state);
    n.facts.job = job_key(o.job());
    if (const auto* cause = profile::find(p.installation.causes, n.facts.cause)) n.cause_words = cause->says.in();
    if (const auto* place = profile::find(p.installation.places, n.facts.place)) n.place_words = place->label;
    for (const auto& e : o.entries)
        if (e.envelope.kind == "benched" && !tablets.contains(e.envelope.author))
            n.bench.push_back({e.body["number"].as_text(), e.body["serial"].as_text(), e.envelope.wall, e.body["fault_found"].as_bool()});
    return {n.facts.job, turn, text_of(n)};
}

Status FleetIndex::put(Connection& c, const std::vector<Params>& rows)
{
    return c.run_each("INSERT INTO job_fact(job,at,fact) VALUES($1,$2,$3) ON CONFLICT(job) DO UPDATE SET at=excluded.at,fact=excluded.fact", rows);
}

Status FleetIndex::read_on(Connection& c)
{
    // A turn is one transaction, so what stands behind the last one is whole.
    auto rows = c.run("SELECT at,job,fact FROM job_fact WHERE at>$1 ORDER BY at", {upto_});
    if (!rows) return Unexpected{rows.error()};
    for (std::size_t i = 0; i < rows->size(); ++i) notes_[rows->text(i, 1)] = note_from(rows->text(i, 2));
    if (rows->empty()) return {};
    upto_ = rows->number(rows->size() - 1, 0);
    return {};
}

Result<std::shared_ptr<const FleetFigures>> FleetIndex::figures(Connection& c, bool practice)
{
    return made(c, practice, 40);
}

Status FleetIndex::keep_ready(Connection& c)
{
    for (const bool practice : {false, true})
        if (auto ready = made(c, practice, 20); !ready) return Unexpected{ready.error()};
    return {};
}

Result<std::shared_ptr<const FleetFigures>> FleetIndex::made(Connection& c, bool practice, int serves_for)
{
    if (auto known = ready(practice, serves_for)) return known;
    const std::lock_guard hold(mutex_);
    if (auto known = ready(practice, serves_for)) return known; // another made them meanwhile
    const auto began = std::chrono::steady_clock::now();
    if (auto read = read_on(c); !read) return Unexpected{read.error()};
    if (auto known = ready(practice, 0)) return known;
    auto summed = sum_up(practice);
    if (!summed) return summed;
    const auto ended = std::chrono::steady_clock::now();
    const std::lock_guard swap(made_mutex_);
    made_[practice ? 1 : 0] = {*summed, upto_, ended, ended - began};
    return *summed;
}

/// With `serves_for` 0 what was made from the notes as they stand; mutex_ is held then.
std::shared_ptr<const FleetFigures> FleetIndex::ready(bool practice, int serves_for) const
{
    constexpr std::chrono::seconds longest{10};
    const std::lock_guard hold(made_mutex_);
    const Made& m = made_[practice ? 1 : 0];
    if (!m.figures) return nullptr;
    if (serves_for == 0) return m.turn == upto_ ? m.figures : nullptr;
    return std::chrono::steady_clock::now() - m.at < std::min<std::chrono::steady_clock::duration>(longest, serves_for * m.took) ? m.figures : nullptr;
}

Result<std::shared_ptr<const FleetFigures>> FleetIndex::sum_up(bool practice) const
{
    auto made = std::make_shared<FleetFigures>();
    std::vector<fleet::JobFacts> jobs;
    std::vector<fleet::Bench> bench;
    for (const auto& [job, n] : notes_) {
        if (n.facts.practice != practice) continue;
        jobs.push_back(n.facts);
        bench.insert(bench.end(), n.bench.begin(), n.bench.end());
        if (!n.cause_words.empty()) made->words[n.facts.cause] = n.cause_words;
        if (!n.place_words.empty()) made->words[n.facts.place] = n.place_words;
    }
    fleet::Options options;
    options.practice = practice;
    made->jobs = static_cast<int>(jobs.size());
    made->units = fleet::units_back(jobs, bench, options);
    auto rates = fleet::rates(jobs, bench, options);
    auto time = fleet::time_to_isolate(jobs, options);
    if (!rates || !time) return Unexpected{!rates ? rates.error() : time.error()};
    made->rates = std::move(*rates);
    made->time = *time;
    made->by_segment = fleet::wiring_causes(jobs, false, options);
    made->by_aircraft = fleet::wiring_causes(jobs, true, options);
    return std::shared_ptr<const FleetFigures>(std::move(made));
}

} // namespace chockside::shop
