#include <platform/cli/trend_command.h>

#include <core/base/json.h>
#include <core/trend/csv.h>
#include <core/trend/rebuild.h>
#include <core/trend/view.h>
#include <core/units/decimal.h>
#include <platform/cli/command.h>

#include <CLI/CLI.hpp>

#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>

namespace chockside::cli {

namespace {

namespace fs = std::filesystem;
using trend::SeriesId;
using trend::Trend;

struct Options {
    std::vector<std::string> captures;
    std::string profile, signal, from, to, wanted, csv;
    int columns = 0;
};

/// The store of one run, gone with it.
class Scratch {
public:
    Scratch()
    {
        std::string name = (fs::temp_directory_path() / "chockside-trend-XXXXXX").string();
        if (::mkdtemp(name.data())) folder_ = name;
    }
    ~Scratch()
    {
        std::error_code ignored;
        if (!folder_.empty()) fs::remove_all(folder_, ignored);
    }
    Scratch(const Scratch&) = delete;
    std::string path() const { return (folder_ / "trend.db").string(); }
    bool made() const { return !folder_.empty(); }

private:
    fs::path folder_;
};

capture::Source source_of_file(std::shared_ptr<std::ifstream> file, const std::string& path)
{
    return [file = std::move(file), path](std::span<std::byte> room) -> Result<std::size_t> {
        file->read(reinterpret_cast<char*>(room.data()), static_cast<std::streamsize>(room.size()));
        if (file->bad()) return fail("io_error", path);
        return static_cast<std::size_t>(file->gcount());
    };
}

/// Seconds from the first sample, to the nanosecond.
Result<std::int64_t> time_of(const std::string& text, std::int64_t start_ns, std::int64_t otherwise)
{
    if (text.empty()) return otherwise;
    const auto number = read_decimal(text);
    if (!number) return Unexpected{number.error()};
    const double ns = number->to_double() * 1e9;
    if (!(std::fabs(ns) < 1e18)) return fail("bad_range", text);
    return start_ns + std::llround(ns);
}

class Answer {
public:
    Answer(const Trend& t, const Options& o, const Run& run) : trend_(t), o_(o), run_(run) {}

    int give(const trend::Rebuilt& made)
    {
        const auto range = trend_.range();
        if (!range) return say(Problem{"no_samples", {}, {}}, run_, 1);
        start_ = range->from_ns;
        const auto from = time_of(o_.from, start_, range->from_ns), to = time_of(o_.to, start_, range->to_ns + 1);
        if (!from) return say(from.error(), run_);
        if (!to) return say(to.error(), run_);
        from_ = *from, to_ = *to;
        if (!o_.csv.empty()) return csv();
        if (o_.signal.empty() && o_.wanted.empty()) return summary(made);
        const auto id = trend_.id(o_.signal);
        if (!id) return say(Problem{"unknown_series", o_.signal, {}}, run_);
        return o_.wanted.empty() ? plot(*id) : find(*id);
    }

private:
    double seconds(std::int64_t t_ns) const { return static_cast<double>(t_ns - start_) / 1e9; }
    static json::Value number(double v) { return std::isfinite(v) ? json::Value(v) : json::Value(nullptr); }

    json::Array damage_of(const std::vector<trend::Damage>& damage) const
    {
        json::Array out;
        for (const trend::Damage& d : damage) out.push_back(json::Object{{"signal", trend_.series()[d.series].name}, {"block", static_cast<std::int64_t>(d.block)}, {"part", d.part}});
        return out;
    }

    int summary(const trend::Rebuilt& made) const
    {
        json::Array rows;
        for (std::size_t i = 0; i < trend_.series().size(); ++i) {
            const auto n = trend_.count(static_cast<SeriesId>(i));
            if (n == 0) continue;
            const trend::Series& s = trend_.series()[i];
            rows.push_back(json::Object{{"signal", s.name}, {"unit", s.unit}, {"samples", static_cast<std::int64_t>(n)}});
            if (!run_.json) std::cout << s.name << "  " << n << (s.unit.empty() ? "" : "  ") << s.unit << "\n";
        }
        json::Array damage;
        for (const std::string& code : made.damage) damage.push_back(code);
        if (run_.json)
            std::cout << json::write(json::Object{{"signals", rows}, {"duration_s", seconds(to_)}, {"bytes", static_cast<std::int64_t>(made.bytes)}, {"packets", static_cast<std::int64_t>(made.packets)},
                {"frames", static_cast<std::int64_t>(made.counters.frames)}, {"cut_tails", static_cast<std::int64_t>(made.cut_tails)}, {"capture_damage", damage}})
                      << "\n";
        else if (made.cut_tails > 0 || !made.damage.empty()) std::cerr << "A capture is cut or damaged.\n";
        return 0;
    }

    int plot(SeriesId id) const
    {
        const auto c = trend::columns(trend_, id, from_, to_, o_.columns);
        if (!c) return say(c.error(), run_);
        json::Array rows;
        for (const trend::Column& one : c->columns) {
            if (!run_.json) std::cout << seconds(one.from_ns) << "  " << one.count << "  " << one.min << "  " << one.max << (one.gap ? "  gap" : "") << "\n";
            else rows.push_back(json::Object{{"t_s", seconds(one.from_ns)}, {"count", static_cast<std::int64_t>(one.count)}, {"bad", static_cast<std::int64_t>(one.bad)}, {"min", number(one.min)}, {"max", number(one.max)}, {"first", number(one.first)}, {"last", number(one.last)}, {"gap", one.gap}});
        }
        if (run_.json) std::cout << json::write(json::Object{{"signal", o_.signal}, {"unit", trend_.series()[id].unit}, {"width_s", static_cast<double>(c->width_ns) / 1e9}, {"columns", rows}, {"damage", damage_of(c->damage)}}) << "\n";
        return 0;
    }

    int find(SeriesId id) const
    {
        const auto wanted = trend::read_wanted(o_.wanted);
        if (!wanted) return say(wanted.error(), run_);
        json::Array rows;
        std::vector<trend::Damage> damage;
        std::int64_t after = from_ - 1;
        bool more = false;
        while (true) {
            const auto s = trend::search(trend_, id, *wanted, after);
            if (!s) return say(s.error(), run_);
            damage = s->damage;
            if (!s->found || s->found->at.t_ns >= to_) break;
            if (more = rows.size() == matches_most; more) break;
            after = s->found->at.t_ns;
            rows.push_back(json::Object{{"t_s", seconds(after)}, {"value", number(s->found->at.value)}, {"valid", codec::name_of(s->found->at.validity)}, {"until_s", seconds(s->found->until_ns)}});
            if (!run_.json) std::cout << seconds(after) << "  " << s->found->at.value << "  " << codec::name_of(s->found->at.validity) << "\n";
        }
        if (run_.json) std::cout << json::write(json::Object{{"signal", o_.signal}, {"matches", rows}, {"more", more}, {"damage", damage_of(damage)}}) << "\n";
        return rows.empty() ? 1 : 0;
    }

    int csv() const
    {
        std::vector<SeriesId> ids;
        for (std::size_t i = 0; i < trend_.series().size(); ++i)
            if (o_.signal.empty() || trend_.series()[i].name == o_.signal) ids.push_back(static_cast<SeriesId>(i));
        if (ids.empty()) return say(Problem{"unknown_series", o_.signal, {}}, run_);
        std::ofstream file(o_.csv, std::ios::binary | std::ios::trunc);
        const auto damage = trend::write_csv(trend_, ids, from_, to_, [&](std::string_view text) { return file.write(text.data(), static_cast<std::streamsize>(text.size())) ? Status() : Status(fail("io_error", o_.csv)); });
        if (!damage) return say(damage.error(), run_);
        if (!file.flush()) return say(Problem{"io_error", o_.csv, {}}, run_);
        if (run_.json) std::cout << json::write(json::Object{{"csv", o_.csv}, {"damage", damage_of(*damage)}}) << "\n";
        return 0;
    }

    static constexpr std::size_t matches_most = 1000;
    const Trend& trend_;
    const Options& o_;
    const Run& run_;
    std::int64_t start_ = 0, from_ = 0, to_ = 0;
};

int trend_of(const Options& o, const Run& run)
{
    const auto profile = usable_profile(o.profile);
    if (!profile) return say(profile.error(), run);
    const auto plan = codec::Plan::compile((*profile)->unit);
    if (!plan) return say(plan.error(), run);
    std::vector<capture::Source> sources;
    for (const std::string& path : o.captures) {
        auto file = std::make_shared<std::ifstream>(path, std::ios::binary);
        if (!*file) return say(Problem{"not_found", path, {}}, run);
        sources.push_back(source_of_file(std::move(file), path));
    }
    const Scratch scratch;
    if (!scratch.made()) return say(Problem{"no_permission", fs::temp_directory_path().string(), {}}, run);
    const auto store = Trend::open(scratch.path(), trend::series_of(**plan), {64, 1u << 20});
    if (!store) return say(store.error(), run);
    const auto made = trend::rebuild(sources, *plan, **store);
    if (!made) return say(made.error(), run);
    return Answer(**store, o, run).give(*made);
}

} // namespace

void add_trend_command(CLI::App& app, Run& run)
{
    const auto o = std::make_shared<Options>();
    CLI::App* c = app.add_subcommand("trend", "Hours of captures: what was seen, a plot's columns, a search, CSV");
    add_json(*c, run);
    c->add_option("CAPTURE", o->captures, "Captures of one line, in order")->required();
    c->add_option("--profile", o->profile, "The profile")->required();
    c->add_option("--signal", o->signal, "Name of a signal");
    c->add_option("--from", o->from, "Seconds from the first sample");
    c->add_option("--to", o->to, "Seconds from the first sample");
    c->add_option("--columns", o->columns, "Columns of the plot")->default_val(100)->check(CLI::Range(1, 100'000));
    c->add_option("--search", o->wanted, "\"above N\", \"below N\", \"changes\", \"invalid\", \"missing SECONDS\"")->needs("--signal");
    c->add_option("--csv", o->csv, "Write the samples to this file");
    c->callback([o, &run] { run.code = trend_of(*o, run); });
}

} // namespace chockside::cli
