#include <platform/practice/server.h>

#include <core/practice/uart.h>
#include <core/practice/verbs.h>

#include <algorithm>
#include <chrono>

namespace chockside::practice {

namespace {

constexpr double step_s = 0.02;
constexpr int tick_ms = 5;
constexpr double most_wall_s = 0.25;   // after a stall the world doesn't leap
constexpr double bits_per_byte = 10;
constexpr double fastest = 240;

} // namespace

Result<std::unique_ptr<Server>> Server::open(const Scenario& scenario, const ServerOptions& options)
{
    std::unique_ptr<Server> server(new Server(scenario, options));
    if (Status s = server->open_ends(); !s) return Unexpected{s.error()};
    return server;
}

Result<std::unique_ptr<Server>> Server::open(const Scenario& scenario, ProfileWire wire, const ServerOptions& options)
{
    std::unique_ptr<Server> server(new Server(scenario, std::move(wire), options));
    if (Status s = server->open_ends(); !s) return Unexpected{s.error()};
    return server;
}

Status Server::open_ends()
{
    auto pty = Pty::open(options_.pty_link);
    if (!pty) return Unexpected{pty.error()};
    auto socket = LineSocket::listen(options_.socket_path);
    if (!socket) return Unexpected{socket.error()};
    pty_ = std::move(*pty);
    socket_ = std::move(*socket);
    return {};
}

Server::~Server()
{
    stop_ = true;
    if (thread_.joinable()) thread_.join();
}

void Server::start()
{
    thread_ = std::thread([this] { run(stop_); });
}

void Server::run(const std::atomic<bool>& stop)
{
    using Clock = std::chrono::steady_clock;
    auto last = Clock::now();
    while (!stop) {
        wait();
        const auto now = Clock::now();
        const double wall_s = std::min(most_wall_s, std::chrono::duration<double>(now - last).count());
        last = now;
        listen_to_line();
        socket_->serve([this](const json::Value& request) { return answer_to(request); });
        advance(wall_s);
        speak(wall_s);
        alone_s_ = socket_->heard() ? 0 : alone_s_ + wall_s;
        if (ended_) return;
        if (options_.linger_s > 0 && alone_s_ > options_.linger_s) return;
    }
}

// The terminal is left out of the wait: with nobody at its other end it would never let the wait sleep.
void Server::wait()
{
    std::vector<pollfd> wanted;
    socket_->add_to(wanted);
    poll(wanted.data(), wanted.size(), tick_ms);
}

void Server::advance(double wall_s)
{
    owed_s_ += wall_s * options_.scale;
    for (; owed_s_ >= step_s; owed_s_ -= step_s) {
        aircraft_.step(step_s);
        const Bytes sent = aircraft_.take();
        pending_.insert(pending_.end(), sent.begin(), sent.end());
    }
}

void Server::listen_to_line()
{
    if (!pty_->listened()) return;
    const Bytes got = pty_->read();
    const double rate = pty_->rate();
    if (got.empty() || rate <= 0) return;
    aircraft_.feed(heard(got, rate, options_.line_rate));
    const Bytes replies = aircraft_.take();
    pending_.insert(pending_.end(), replies.begin(), replies.end());
}

// Bytes leave no faster than the line carries them; what nobody listens to is gone, as on a real line.
void Server::speak(double wall_s)
{
    const double bytes_s = options_.line_rate / bits_per_byte * std::max(1.0, options_.scale);
    budget_ = std::min(budget_ + wall_s * bytes_s, 0.1 * bytes_s);
    const auto n = std::min(pending_.size(), static_cast<std::size_t>(budget_));
    if (n == 0) return;
    budget_ -= static_cast<double>(n);
    const ByteView now(pending_.data(), n);
    const double rate = pty_->listened() ? pty_->rate() : 0;
    if (rate > 0) pty_->write(heard(now, options_.line_rate, rate));
    pending_.erase(pending_.begin(), pending_.begin() + static_cast<std::ptrdiff_t>(n));
}

json::Value Server::answer_to(const json::Value& request)
{
    if (request.has("set")) {
        if (request["set"].has("scale")) options_.scale = std::clamp(request["set"]["scale"].as_double(1), 0.0, fastest);
        return json::Object{{"is", "done"}, {"scale", options_.scale}};
    }
    if (request.has("end")) {
        ended_ = request["end"].as_bool();
        return json::Object{{"is", "done"}};
    }
    if (request.has("follow")) {
        follow_ = request["follow"].as_bool(follow_);
        return json::Object{{"is", "done"}, {"follow", follow_}};
    }
    return answer(aircraft_, request);
}

} // namespace chockside::practice
