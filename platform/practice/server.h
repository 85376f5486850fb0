#pragma once
// The practice aircraft in real time: physics steps by the wall clock times a scale, bytes out at the pace of the line, hands and
// eyes over a local socket. One thread; run() blocks until told to stop.

#include <core/practice/aircraft.h>
#include <platform/practice/line_socket.h>
#include <platform/practice/pty.h>

#include <atomic>
#include <memory>
#include <string>
#include <thread>

namespace chockside::practice {

struct ServerOptions {
    std::string pty_link;     ///< empty: the slave's own name
    std::string socket_path;
    double scale = 1;         ///< practice seconds per second, 0 (stands still) to 240
    double line_rate = 115200;
    double linger_s = 0;      ///< ends by itself after so long with nobody at its socket; 0: never
};

class Server {
public:
    /// Codes: those of Pty and LineSocket.
    static Result<std::unique_ptr<Server>> open(const Scenario& scenario, const ServerOptions& options);
    /// The same with a unit that speaks as a profile says.
    static Result<std::unique_ptr<Server>> open(const Scenario& scenario, ProfileWire wire, const ServerOptions& options);
    ~Server();

    const std::string& pty_path() const { return pty_->path(); }
    const std::string& socket_path() const { return socket_->path(); }
    void run(const std::atomic<bool>& stop);
    /// The same on a thread of its own; the destructor ends it.
    void start();

private:
    Server(const Scenario& scenario, const ServerOptions& options) : options_(options), aircraft_(scenario) {}
    Server(const Scenario& scenario, ProfileWire wire, const ServerOptions& options) : options_(options), aircraft_(scenario, std::move(wire)) {}
    Status open_ends();

    void wait();
    void advance(double wall_s);
    void listen_to_line();
    void speak(double wall_s);
    json::Value answer_to(const json::Value& request);

    ServerOptions options_;
    Aircraft aircraft_;
    std::unique_ptr<Pty> pty_;
    std::unique_ptr<LineSocket> socket_;
    bool ended_ = false;      ///< told to end by whoever has the socket
    double alone_s_ = 0;
    double owed_s_ = 0;       ///< practice time not yet stepped
    double budget_ = 0;       ///< bytes the line may carry now
    Bytes pending_;
    bool follow_ = true;
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

} // namespace chockside::practice
