#include <platform/cli/more_commands.h>

#include <platform/cli/command.h>
#include <platform/cli/job_commands.h>
#include <platform/cli/people_commands.h>
#include <platform/cli/practice_command.h>
#include <platform/cli/rehearse_command.h>
#include <platform/cli/sync_command.h>

#include <CLI/CLI.hpp>

#include <iostream>

namespace chockside::cli {

namespace {

void add_rehearse(CLI::App& app, Run& run)
{
    const auto o = std::make_shared<RehearseOptions>();
    CLI::App* c = app.add_subcommand("rehearse", "A whole practice job without a screen");
    add_json(*c, run);
    c->add_option("--out", o->out, "Folder for journal, captures and report")->required();
    c->add_option("--profile", o->profile, "Bundled profile by name, sandgrouse_12_ramp unless told");
    c->add_option("--fault", o->fault, "The fault; without it one is drawn");
    c->add_option("--seed", o->seed, "Seed of the draw");
    c->add_option("--forget", o->forget, "A breaker that is recorded as in, but not touched");
    c->add_option("--scale", o->scale, "How much faster than life")->check(CLI::PositiveNumber);
    c->add_option("--slip", o->slip, "Share of answers that slip")->check(CLI::Range(0.0, 1.0));
    c->add_flag("--talk", o->talk, "Say each step");
    c->add_option("--dwell", o->dwell_min, "Minutes of the unit's time with the line left running")->check(CLI::NonNegativeNumber);
    c->add_flag("--rss", o->rss, "Say the resident memory every minute of the unit's time");
    c->callback([o, &run] {
        o->program = "/proc/self/exe";
        o->json = run.json;
        run.code = rehearse(*o);
    });
}

void add_practice(CLI::App& app, Run& run)
{
    const auto o = std::make_shared<PracticeOptions>();
    CLI::App* c = app.add_subcommand("practice", "The practice aircraft on a pseudo-terminal, with its hands and eyes on a socket");
    add_json(*c, run);
    c->add_option("--profile", o->profile, "Main profile file")->required();
    c->add_option("--fault", o->fault, "The fault; without it one is drawn");
    CLI::Option* seed = c->add_option("--seed", o->seed, "Seed of the draw, and of how strong the fault is");
    c->add_option("--pty", o->pty, "Where to link the pseudo-terminal");
    c->add_option("--socket", o->socket, "Where to put the socket");
    c->add_option("--scale", o->scale, "How much faster than life")->check(CLI::PositiveNumber);
    c->add_option("--linger", o->linger_s, "End after so many seconds with nobody at the socket")->check(CLI::NonNegativeNumber);
    c->callback([o, seed, &run] {
        o->seed_given = seed->count() > 0;
        run.code = practice(*o);
    });
}

void add_job(CLI::App& app, Run& run)
{
    using Work = int (*)(const JobOptions&, std::ostream&, std::ostream&);
    CLI::App* job = app.add_subcommand("job", "The journals on this device");
    job->require_subcommand(1);
    const auto add = [&](const char* name, const char* says, Work work, bool needs_job, bool takes_file) {
        const auto o = std::make_shared<JobOptions>();
        CLI::App* c = job->add_subcommand(name, says);
        add_json(*c, run);
        c->add_option("--data", o->folder, "Folder of the jobs");
        c->add_option("--person", o->person, "Initials of whose PIN opens a locked folder; asked for, or a line of standard input");
        if (std::string(name) == "list") c->add_option("--search", o->search, "Words in tail or title");
        const bool copies = std::string(name) == "backup" || std::string(name) == "salvage";
        if (copies) c->add_option("to", o->to, "The other folder")->required();
        if (std::string(name) != "list" && std::string(name) != "import" && !copies) {
            CLI::Option* id = c->add_option("job", o->job, "Id of the job");
            if (needs_job) id->required();
        }
        if (takes_file) c->add_option("--file", o->file, "File of JSON lines");
        c->callback([o, work, &run] {
            o->json = run.json;
            run.code = work(*o, std::cout, std::cerr);
        });
    };
    add("list", "All jobs, newest first", job_list, false, false);
    add("show", "Every entry of one job", job_show, true, false);
    add("verify", "Trust nothing: chain, digests, signatures", job_verify, false, true);
    add("export", "One job as JSON lines", job_export, true, true);
    add("import", "Take an export after verifying it", job_import, false, true);
    add("backup", "A proved copy of all jobs in another folder", job_backup, false, false);
    add("salvage", "What verifies of a damaged folder, in a new one", job_salvage, false, false);
}

void add_people(CLI::App& app, Run& run)
{
    using Work = int (*)(const PeopleOptions&, std::ostream&, std::ostream&);
    CLI::App* people = app.add_subcommand("people", "Who signs on this device, and opens it");
    people->require_subcommand(1);
    const auto add = [&](const char* name, const char* says, Work work, bool needs_person) {
        const auto o = std::make_shared<PeopleOptions>();
        CLI::App* c = people->add_subcommand(name, says);
        add_json(*c, run);
        c->add_option("--data", o->folder, "Folder of the jobs");
        CLI::Option* who = c->add_option("--person", o->person, "Initials; the PIN is asked for, or taken from lines of standard input");
        if (needs_person) who->required();
        c->callback([o, work, &run] {
            o->json = run.json;
            run.code = work(*o, std::cout, std::cerr);
        });
    };
    add("list", "Initials, keys, and with a PIN the names", people_list, false);
    add("pin", "A new PIN", people_pin, true);
    add("rotate", "A new key, signed by the old one", people_rotate, true);
}

} // namespace

void add_more_commands(CLI::App& app, Run& run)
{
    add_practice(app, run);
    add_job(app, run);
    add_people(app, run);
    add_rehearse(app, run);
    add_sync_command(app, run);
}

} // namespace chockside::cli
