#include <platform/shop/detail/asio.h>
#include <platform/shop/guard.h>

#include <boost/asio/post.hpp>

#include <netinet/in.h>
#include <netinet/tcp.h>
#include <thread>

namespace chockside::shop {

using detail::Tcp;
namespace asio = boost::asio;

namespace {

/// Of an answer, in the kernel and not on its way yet: a slow line shows early that it moves, so that no stall is seen where there is none.
constexpr int unsent_most = 32 << 10;
constexpr int unread_most = 256 << 10; ///< of a connection, in the kernel (which may take twice that): an upload that breaks loses it

} // namespace

struct Server::Inside {
    Inside(Application& app, ServerOptions options) : hall(app, std::move(options)) {}

    detail::Hall hall;
    std::unique_ptr<asio::ssl::context> tls = {};
    Tcp::acceptor acceptor{hall.io};
    asio::steady_timer pause{hall.io};

    Status listen();
    Status certify();
    void accept();
    void take(Tcp::socket socket);
    std::size_t of_address(const detail::From&) const;
    bool room();
};

Status Server::Inside::listen()
{
    boost::system::error_code ec;
    const auto address = asio::ip::make_address(hall.options.address, ec);
    if (ec) return fail("no_listen", hall.options.address, {{"what", ec.message()}});
    const Tcp::endpoint end(address, hall.options.port);
    acceptor.open(end.protocol(), ec);
    if (!ec) acceptor.set_option(asio::socket_base::reuse_address(true), ec);
    if (!ec) acceptor.set_option(asio::socket_base::receive_buffer_size(unread_most), ec);
    // Every connection inherits it.
    if (!ec) acceptor.set_option(asio::detail::socket_option::integer<IPPROTO_TCP, TCP_NOTSENT_LOWAT>(unsent_most), ec);
    if (!ec) acceptor.bind(end, ec);
    if (!ec) acceptor.listen(1024, ec);
    return ec ? Status(fail("no_listen", hall.options.address, {{"what", ec.message()}})) : Status{};
}

Status Server::Inside::certify()
{
    if (hall.options.certificate.empty()) return {};
    tls = std::make_unique<asio::ssl::context>(asio::ssl::context::tls_server);
    SSL_CTX_set_min_proto_version(tls->native_handle(), TLS1_3_VERSION);
    // A ticket would let a connection begin without the key that a device has pinned, and nobody here needs the saved millisecond.
    SSL_CTX_set_num_tickets(tls->native_handle(), 0);
    SSL_CTX_set_options(tls->native_handle(), SSL_OP_NO_RENEGOTIATION | SSL_OP_NO_COMPRESSION);
    boost::system::error_code ec;
    tls->use_certificate_chain_file(hall.options.certificate, ec);
    if (!ec) tls->use_private_key_file(hall.options.key, asio::ssl::context::pem, ec);
    return ec ? Status(fail("bad_certificate", hall.options.certificate, {{"what", ec.message()}})) : Status{};
}

void Server::Inside::accept()
{
    acceptor.async_accept([this](boost::system::error_code ec, Tcp::socket socket) {
        if (ec == asio::error::operation_aborted) return;
        if (!ec) {
            take(std::move(socket));
            return accept();
        }
        // No file handle is left: some will come free. Trying at once would only turn in a circle.
        pause.expires_after(std::chrono::milliseconds(50));
        pause.async_wait([this](boost::system::error_code stopped) {
            if (!stopped) accept();
        });
    });
}

std::size_t Server::Inside::of_address(const detail::From& from) const
{
    if (hall.options.behind_proxy && (from.peer == "127.0.0.1" || from.peer == "::1")) return 0;
    const auto at = hall.per_address.find(from.group);
    return at == hall.per_address.end() ? 0 : at->second;
}

bool Server::Inside::room()
{
    if (hall.sessions.size() < hall.options.limits.connections) return true;
    for (detail::AnySession* session : hall.sessions)
        if (session->idle()) {
            session->hang_up();
            return true;
        }
    return false;
}

void Server::Inside::take(Tcp::socket socket)
{
    boost::system::error_code ec;
    const auto end = socket.remote_endpoint(ec);
    if (ec) return;
    detail::From from{end.address().to_string(), {}};
    from.group = address_group(from.peer);
    const auto held = of_address(from);
    const auto& limits = hall.options.limits;
    from.crowded = held >= limits.per_address;
    ++hall.accepted;
    if (held >= limits.per_address + limits.told || !room()) {
        ++hall.refused;
        return; // closed with the socket
    }
    socket.set_option(Tcp::no_delay(true), ec);
    detail::make_session(hall, std::move(socket), std::move(from), tls.get())->start();
}

Server::Server(std::unique_ptr<Inside> in) : in_(std::move(in)) {}
Server::~Server() = default;

Result<std::unique_ptr<Server>> Server::make(Application& app, ServerOptions options)
{
    auto in = std::unique_ptr<Inside>(new Inside(app, std::move(options)));
    if (auto made = in->certify(); !made) return Unexpected{made.error()};
    if (auto made = in->listen(); !made) return Unexpected{made.error()};
    return std::unique_ptr<Server>(new Server(std::move(in)));
}

std::uint16_t Server::port() const
{
    boost::system::error_code ec;
    return in_->acceptor.local_endpoint(ec).port();
}

namespace {

/// After the last event the loop looks again for so long before it sleeps: under load the sender then never pays for waking another core.
constexpr std::chrono::microseconds awake{40};

void serve(asio::io_context& io)
{
    using Time = std::chrono::steady_clock;
    while (!io.stopped()) {
        if (io.run_one() == 0) return;
        for (auto last = Time::now(); !io.stopped() && Time::now() - last < awake;)
            if (io.poll() > 0) last = Time::now();
            else std::this_thread::yield(); // the writer may need this very core
    }
}

} // namespace

void Server::run()
{
    in_->accept();
    serve(in_->hall.io);
}

void Server::stop()
{
    in_->hall.io.stop();
}

void Server::after(std::chrono::milliseconds time, std::function<void()> what)
{
    asio::post(in_->hall.io, [this, time, what = std::move(what)]() mutable {
        auto timer = std::make_shared<asio::steady_timer>(in_->hall.io, time);
        timer->async_wait([timer, what = std::move(what)](boost::system::error_code ec) {
            if (!ec) what();
        });
    });
}

Figures Server::figures() const
{
    const auto& h = in_->hall;
    return {h.connections, h.accepted, h.requests, h.refused, h.bytes_in, h.bytes_out};
}

} // namespace chockside::shop
