#include <platform/cli/link_commands.h>

#include <core/base/json.h>
#include <platform/desk/port_look.h>
#include <platform/words/words.h>

#include <CLI/CLI.hpp>
#include <QCoreApplication>

#include <clocale>
#include <cstdio>
#include <iostream>

namespace chockside::cli {

namespace {

struct Options {
    std::string port, profile;
    double seconds = 3;
    std::vector<int> rates;
};

/// The event loop that a port needs; the program has no other.
class Loop {
public:
    Loop() : app_(count_, values_) { std::setlocale(LC_NUMERIC, "C"); } // the application took the system's

private:
    int count_ = 1;
    char name_[14] = "chockside-cli";
    char* values_[2] = {name_, nullptr};
    QCoreApplication app_;
};

json::Value step_value(const link::PortStep& step)
{
    json::Object out{{"step", step.id}, {"state", link::name_of(step.state)}};
    if (step.state != link::PortStep::State::gap) return out;
    const auto said = words::of(step.seen);
    out["code"] = step.seen.code;
    out["message"] = said.message;
    out["mend"] = said.mend;
    out["minutes"] = json::number_text(step.minutes);
    return out;
}

void print_step(const link::PortStep& step)
{
    std::printf("%-8s %s\n", step.id.c_str(), link::name_of(step.state));
    if (step.state == link::PortStep::State::gap) std::printf("         %s\n", words::line(step.seen).c_str());
}

int check(const Options& o, const Run& run)
{
    const auto profile = usable_profile(o.profile);
    if (!profile) return say(profile.error(), run);
    const auto plan = codec::Plan::compile((*profile)->unit);
    if (!plan) return say(plan.error(), run);
    const Loop loop;
    const auto facts = desk::look_at_port(QString::fromStdString(o.port), *plan, o.seconds);
    const auto steps = link::check_port(facts, **profile);
    const auto* gap = link::first_gap(steps);
    json::Array list;
    for (const auto& step : steps) {
        if (run.json) list.push_back(step_value(step));
        else print_step(step);
    }
    if (run.json) {
        const json::Object out{{"port", o.port}, {"good", gap == nullptr}, {"bytes", facts.bytes}, {"frames", facts.good_frames}, {"part", facts.part}, {"steps", json::Value(std::move(list))}};
        std::cout << json::write(json::Value(out)) << '\n';
    }
    return gap ? 1 : 0;
}

json::Value guess_value(const link::StreamGuess& g)
{
    return json::Object{{"rate", g.rate}, {"framing", g.framing}, {"checksum", g.checksum}, {"order", g.big_endian ? "big" : "little"},
        {"frames", g.frames}, {"valid", g.valid}, {"bits_beyond_chance", g.bits_beyond_chance}};
}

int identify(const Options& o, const Run& run)
{
    const Loop loop;
    const auto samples = desk::take_samples(QString::fromStdString(o.port), o.rates.empty() ? desk::usual_rates() : o.rates, o.seconds);
    if (!samples) return say(samples.error(), run);
    const auto guesses = link::identify(*samples);
    json::Array list;
    for (const auto& g : guesses) {
        list.push_back(guess_value(g));
        if (!run.json)
            std::printf("%7d  %-5s  %-20s %-6s  %llu of %llu frames\n", g.rate, g.framing.c_str(), g.checksum.c_str(), g.big_endian ? "big" : "little",
                static_cast<unsigned long long>(g.valid), static_cast<unsigned long long>(g.frames));
    }
    if (run.json) std::cout << json::write(json::Value(json::Object{{"port", o.port}, {"guesses", json::Value(std::move(list))}})) << '\n';
    else if (guesses.empty()) std::puts("Nothing fits beyond chance.");
    return guesses.empty() ? 1 : 0;
}

} // namespace

void add_link_commands(CLI::App& app, Run& run)
{
    CLI::App* link = app.add_subcommand("link", "The line to a unit");
    link->require_subcommand(1);
    const auto o = std::make_shared<Options>();
    CLI::App* c = link->add_subcommand("check", "Why does nobody talk to me? Ends with what to do next");
    add_json(*c, run);
    c->add_option("--port", o->port, "Name or path of the port")->required();
    c->add_option("--profile", o->profile, "Main profile file")->required();
    c->add_option("--seconds", o->seconds, "How long to listen")->check(CLI::Range(0.2, 600.0));
    c->callback([o, &run] { run.code = check(*o, run); });
    const auto i = std::make_shared<Options>();
    i->seconds = 1;
    CLI::App* d = link->add_subcommand("identify", "Rate, framing and checksum of an unknown stream");
    add_json(*d, run);
    d->add_option("--port", i->port, "Name or path of the port")->required();
    d->add_option("--rates", i->rates, "Rates to try; without it the usual ones")->delimiter(',');
    d->add_option("--seconds", i->seconds, "How long to listen at each rate")->check(CLI::Range(0.1, 60.0));
    d->callback([i, &run] { run.code = identify(*i, run); });
}

} // namespace chockside::cli
