#pragma once
// The HTTP/1.1 end: connections, limits, TLS 1.3. One thread owns every connection; whatever blocks goes elsewhere and replies later.
// Limits stand in Limits; what breaks one is answered 400, 408, 413, 414, 415, 429, 431 or 503 and costs the connection.

#include <core/base/result.h>
#include <platform/shop/http.h>

#include <chrono>

namespace chockside::shop {

struct Limits {
    std::uint32_t head_bytes = 16u << 10;
    std::size_t head_fields = 100;
    std::size_t target_bytes = 4096;
    std::chrono::seconds stall{20};        ///< without a byte, within a request
    std::chrono::seconds idle{75};         ///< between requests
    std::uint64_t least_rate = 512;        ///< bytes/s of a request, averaged after the first `stall`
    std::size_t connections = 2048;        ///< in all; the oldest that has sent no whole head makes room
    std::size_t per_address = 256;         ///< of one address (address_group); a proxy's address is not counted
    std::size_t told = 32;                 ///< so many more are answered 429, but for the health page; beyond them nothing is said
};

struct ServerOptions {
    std::string address = "127.0.0.1";
    std::uint16_t port = 0;                ///< 0: any free one
    std::string certificate, key;          ///< PEM files; empty: no TLS
    bool behind_proxy = false;             ///< believe X-Forwarded-For and X-Forwarded-Proto of loopback peers
    Limits limits;
};

struct Figures {
    std::uint64_t connections = 0, accepted = 0, requests = 0, refused = 0, bytes_in = 0, bytes_out = 0;
};

class Server {
public:
    /// Codes: no_listen (what), bad_certificate (what).
    static Result<std::unique_ptr<Server>> make(Application&, ServerOptions);
    ~Server();
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;

    std::uint16_t port() const;
    /// Serves until stop(); the calling thread is the one that owns the connections.
    void run();
    /// From any thread or a signal handler's thread.
    void stop();
    /// Runs `what` on the connections' thread, after a time.
    void after(std::chrono::milliseconds, std::function<void()> what);
    Figures figures() const;

private:
    struct Inside;
    explicit Server(std::unique_ptr<Inside>);
    std::unique_ptr<Inside> in_;
};

} // namespace chockside::shop
