#include <platform/cli/practice_command.h>

#include <core/base/json.h>
#include <platform/practice/load_book.h>
#include <platform/practice/server.h>
#include <platform/system/system.h>

#include <atomic>
#include <csignal>
#include <cstdio>
#include <random>
#include <utility>
#include <unistd.h>

namespace chockside::cli {

namespace {

std::atomic<bool> stop{false};

void on_signal(int)
{
    stop = true;
}

int failed(const Problem& problem)
{
    json::Value said = json::Object{{"code", problem.code}, {"place", problem.place}};
    for (const auto& [name, value] : problem.args) said.at(name) = value;
    std::fprintf(stderr, "%s\n", json::write(said).c_str());
    return 3;
}

// Small enough to be typed again from a note.
std::uint64_t fresh_seed()
{
    return std::random_device{}() % 1000000;
}

Result<practice::Scenario> scenario_for(const PracticeOptions& options, std::uint64_t seed)
{
    system::SystemDisk disk;
    const auto book = practice::load_book(disk, options.profile);
    if (!book) return Unexpected{book.error()};
    if (options.fault.empty()) return book->draw(seed);
    return book->scenario(options.fault, seed);
}

} // namespace

int practice(const PracticeOptions& options)
{
    const std::uint64_t seed = options.seed_given ? options.seed : fresh_seed();
    const auto scenario = scenario_for(options, seed);
    if (!scenario) return failed(scenario.error());
    practice::ServerOptions where;
    where.pty_link = options.pty;
    where.socket_path = options.socket.empty() ? "/tmp/chockside-practice-" + std::to_string(getpid()) + ".sock" : options.socket;
    where.scale = options.scale;
    where.linger_s = options.linger_s;
    system::SystemDisk disk;
    auto spoken = practice::load_wire(disk, options.profile);
    if (!spoken) return failed(spoken.error());
    if (*spoken) where.line_rate = (*spoken)->line_rate;
    auto server = *spoken ? practice::Server::open(*scenario, std::move((*spoken)->wire), where) : practice::Server::open(*scenario, where);
    if (!server) return failed(server.error());
    std::signal(SIGTERM, on_signal);
    std::signal(SIGINT, on_signal);
    std::signal(SIGPIPE, SIG_IGN);
    std::printf("%s\n", json::write(json::Object{{"pty", (*server)->pty_path()}, {"socket", (*server)->socket_path()}, {"seed", seed}}).c_str());
    std::fflush(stdout);
    (*server)->run(stop);
    return 0;
}

} // namespace chockside::cli
