#pragma once
// Only the two sources of the HTTP end include this: Beast's templates are compiled there and nowhere else.

#include <platform/shop/server.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/steady_timer.hpp>

#include <atomic>
#include <list>
#include <map>

namespace chockside::shop::detail {

namespace asio = boost::asio;
using Tcp = asio::ip::tcp;

class AnySession;

/// What sessions share. All but the counters belongs to the connections' thread.
struct Hall {
    Hall(Application& a, ServerOptions o) : app(a), options(std::move(o)) {}

    Application& app;
    ServerOptions options;
    std::list<AnySession*> sessions;               ///< oldest first
    std::map<std::string, std::size_t> per_address; ///< by address_group
    std::atomic<std::uint64_t> connections{0}, accepted{0}, requests{0}, refused{0}, bytes_in{0}, bytes_out{0};
    /// After all that a session leaves itself from: it ends first, and the sessions that wait in it with it.
    asio::io_context io{1};
};

class AnySession {
public:
    virtual ~AnySession() = default;
    virtual void start() = 0;
    virtual void hang_up() = 0;
    /// No whole head has come by this connection since its last answer.
    virtual bool idle() const = 0;
};

/// Where its address has more connections than it may: 429 and the end.
struct From {
    std::string peer, group; ///< address; what it counts as
    bool crowded = false;
};
std::shared_ptr<AnySession> make_session(Hall&, Tcp::socket, From, asio::ssl::context* tls);

} // namespace chockside::shop::detail
