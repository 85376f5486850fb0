#include <platform/shop/detail/asio.h>
#include <platform/shop/detail/parse.h>

#include <boost/asio/dispatch.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/ssl/stream_base.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/ssl/ssl_stream.hpp>

#include <netinet/in.h>
#include <netinet/tcp.h>
#include <sys/socket.h>
#include <unistd.h>

namespace chockside::shop::detail {

namespace beast = boost::beast;
using Error = boost::system::error_code;
using Time = std::chrono::steady_clock;

namespace {

constexpr std::size_t read_at_once = 64u << 10;
constexpr std::size_t chunk = 256u << 10;        ///< handed to a sink at once
constexpr std::size_t piece = 32u << 10;         ///< of an answer: no more need leave within one stall
constexpr std::uint64_t drain_most = 1u << 20;   ///< of a body that nobody wants; beyond it the connection ends
constexpr std::chrono::seconds drain_time{5};
constexpr std::uint64_t linger_most = 64u << 20; ///< read after the last answer, within drain_time

/// One connection. Every member runs on the one thread of the connections; replies and sinks are posted to it.
template <class Stream>
class Session final : public AnySession, public std::enable_shared_from_this<Session<Stream>> {
public:
    template <class... More>
    Session(Hall& hall, From from, Tcp::socket socket, More&... more) : hall_(hall), stream_(std::move(socket), more...), from_(std::move(from))
    {
        at_ = hall_.sessions.insert(hall_.sessions.end(), this);
        ++hall_.per_address[from_.group];
        ++hall_.connections;
    }
    ~Session() override
    {
        hall_.sessions.erase(at_);
        if (--hall_.per_address[from_.group] == 0) hall_.per_address.erase(from_.group);
        --hall_.connections;
        if (sink_) sink_->broken();
    }

    void start() override
    {
        if constexpr (secure) {
            lowest().expires_after(hall_.options.limits.stall);
            stream_.async_handshake(asio::ssl::stream_base::server, [self = this->shared_from_this()](Error ec) {
                if (!ec) self->next();
            });
        } else {
            next();
        }
    }
    bool idle() const override { return !parser_ || !parser_->is_header_done(); }
    void hang_up() override
    {
        closed_ = true;
        lowest().close();
    }

private:
    static constexpr bool secure = !std::is_same_v<Stream, beast::tcp_stream>;
    auto& lowest() { return beast::get_lowest_layer(stream_); }

    void next()
    {
        parser_.emplace();
        parser_->header_limit(hall_.options.limits.head_bytes);
        parser_->body_limit(boost::none); // begin() sets it, once the route is known
        head_ = {};
        handle_ = nullptr;
        sink_.reset();
        begun_ = held_ = discard_ = answered_ = written_ = dispatched_ = false;
        bytes_ = 0;
        ++number_;
        began_ = {};
        advance();
    }

    void advance()
    {
        while (!closed_ && !held_ && !parser_->is_done()) {
            if (buffer_.size() == 0) return read();
            if (began_ == Time::time_point{}) began_ = Time::now();
            Error ec;
            buffer_.consume(parser_->put(buffer_.data(), ec));
            if (ec == http::error::need_more) return read();
            if (ec) return broken(status_of(ec));
            if (parser_->is_header_done() && !begun_ && !begin()) return;
            if (discard_) parser_->get().body().clear();
            else if (sink_ && (parser_->is_done() || parser_->get().body().size() >= chunk)) hand_on();
        }
        if (closed_ || held_) return;
        if (!dispatched_ && !discard_) dispatch();
        if (written_) end();
    }

    void read()
    {
        if (reading_ || closed_) return;
        reading_ = true;
        lowest().expires_after(patience());
        stream_.async_read_some(buffer_.prepare(read_at_once), [self = this->shared_from_this()](Error ec, std::size_t n) { self->came(ec, n); });
    }
    Time::duration patience() const
    {
        if (discard_) return drain_time;
        return began_ == Time::time_point{} ? Time::duration(hall_.options.limits.idle) : Time::duration(hall_.options.limits.stall);
    }

    void came(Error ec, std::size_t n)
    {
        reading_ = false;
        buffer_.commit(n);
        hall_.bytes_in += n;
        bytes_ += n;
        acknowledge();
        if (lingering_) return ec ? void() : drain(n);
        if (ec) return lost();
        if (too_slow()) return begun_ ? lost() : broken(408);
        advance();
    }
    /// At once: a sender that keeps its last piece back until the ones before are acknowledged (RFC 896) would wait for the 40 ms by
    /// which the kernel else puts that off. The kernel forgets the option, so each read sets it anew.
    void acknowledge()
    {
        const int on = 1;
        (void)::setsockopt(lowest().socket().native_handle(), IPPROTO_TCP, TCP_QUICKACK, &on, sizeof on);
    }
    bool too_slow() const
    {
        if (began_ == Time::time_point{}) return false;
        const auto took = Time::now() - began_;
        if (took <= hall_.options.limits.stall) return false;
        return !begun_ || bytes_ < hall_.options.limits.least_rate * static_cast<std::uint64_t>(std::chrono::duration_cast<std::chrono::seconds>(took).count());
    }
    /// The other end is gone: what came before is kept.
    void lost()
    {
        closed_ = true;
        if (held_) return lowest().close(); // the sink is at work: it is told when it is done
        if (sink_ && !parser_->get().body().empty()) {
            held_ = true;
            auto sink = sink_;
            return sink->write(std::move(parser_->get().body()), [self = this->shared_from_this()](bool) { asio::post(self->hall_.io, [self] { self->lost_now(); }); });
        }
        lost_now();
    }
    void lost_now()
    {
        if (auto sink = std::exchange(sink_, nullptr)) sink->broken();
        Error ignored;
        lowest().socket().shutdown(Tcp::socket::shutdown_both, ignored);
        lowest().close();
    }
    void broken(int status)
    {
        ++hall_.refused;
        Response r = plain(status);
        r.close = true;
        if (status == 423 || status == 429 || status == 503) r.set("Retry-After", "5").set("Chockside-Protocol", "1");
        discard_ = true;
        if (auto sink = std::exchange(sink_, nullptr)) sink->broken();
        answer(number_, std::move(r));
    }

    /// With the head there: what shall become of it. False where it was refused for its shape.
    bool begin()
    {
        begun_ = true;
        ++hall_.requests;
        parser_->eager(true);
        if (const int status = read_head(parser_->get(), hall_.options, head_)) {
            broken(status);
            return false;
        }
        head_.peer = peer_of(head_, hall_.options, from_.peer);
        if constexpr (secure) head_.secure = true;
        if (from_.crowded && head_.path != "/healthz") {
            // As App answers one that asks too often: clients of tus must not meet 429.
            const bool upload = head_.path.starts_with("/v1/uploads");
            broken(!upload ? 429 : head_.method == "HEAD" ? 423 : 503);
            return false;
        }
        Intake intake = hall_.app.begin(head_, replier(), hanger());
        if (from_.crowded && intake.refuse) intake.refuse->close = true;
        if (intake.refuse) {
            discard_ = true;
            answer(number_, std::move(*intake.refuse));
            return !closed_;
        }
        parser_->body_limit(intake.most);
        if (head_.length && *head_.length > intake.most) {
            if (intake.sink) intake.sink->broken();
            broken(413);
            return false;
        }
        sink_ = std::move(intake.sink);
        handle_ = std::move(intake.handle);
        if (head_.has("expect") && !parser_->is_done() && buffer_.size() == 0) go_on();
        return true;
    }
    void go_on()
    {
        held_ = true;
        static const std::string text = "HTTP/1.1 100 Continue\r\n\r\n";
        asio::async_write(stream_, asio::buffer(text), [self = this->shared_from_this()](Error ec, std::size_t) {
            self->held_ = false;
            ec ? self->lost() : self->advance();
        });
    }

    Reply replier()
    {
        // On the connections' thread at once, without another turn of its queue.
        return [self = this->shared_from_this(), number = number_](Response r) {
            asio::dispatch(self->hall_.io, [self, number, r = std::move(r)]() mutable { self->answer(number, std::move(r)); });
        };
    }
    Hangup hanger()
    {
        return [weak = this->weak_from_this(), number = number_, &hall = hall_] {
            asio::post(hall.io, [weak, number] {
                if (auto self = weak.lock(); self && self->number_ == number && !self->closed_) self->lost();
            });
        };
    }

    void hand_on()
    {
        held_ = true;
        std::string bytes;
        bytes.swap(parser_->get().body());
        sink_->write(std::move(bytes), [self = this->shared_from_this(), number = number_](bool more) {
            asio::post(self->hall_.io, [self, number, more] {
                if (self->number_ != number) return;
                self->held_ = false;
                if (self->closed_) return self->lost_now();
                if (!more) {
                    self->discard_ = true;
                    self->sink_.reset();
                }
                self->advance();
            });
        });
    }
    void dispatch()
    {
        dispatched_ = true;
        if (auto sink = std::exchange(sink_, nullptr)) return sink->end();
        if (!handle_) return;
        Request request;
        static_cast<Head&>(request) = head_;
        request.body = std::move(parser_->get().body());
        std::exchange(handle_, nullptr)(std::move(request), replier());
    }

    void answer(std::uint64_t number, Response r)
    {
        if (number != number_ || answered_ || closed_) return;
        answered_ = true;
        if (!parser_->is_done()) {
            discard_ = true;
            // One that waits for "100 Continue" will not send its body now; a long rest is not worth reading.
            if (head_.has("expect") || head_.length.value_or(drain_most + 1) > drain_most) r.close = true;
            Error ignored;
            parser_->body_limit(boost::none);
        }
        keep_ = parser_->is_header_done() && parser_->keep_alive() && !r.close;
        out_ = head_text(r, keep_, head_.method == "HEAD");
        file_ = head_.method == "HEAD" ? std::nullopt : std::move(r.file);
        if (!file_ && head_.method != "HEAD") out_ += r.body;
        hall_.app.done(head_, r.status, file_ ? file_->length : r.body.size());
        write();
    }
    void write(std::size_t from = 0)
    {
        const auto end = std::min(out_.size(), from + piece);
        lowest().expires_after(hall_.options.limits.stall);
        asio::async_write(stream_, asio::buffer(out_.data() + from, end - from), [self = this->shared_from_this(), end](Error ec, std::size_t n) {
            self->hall_.bytes_out += n;
            if (ec) return self->lost();
            end < self->out_.size() ? self->write(end) : self->wrote();
        });
    }
    void wrote()
    {
        if (file_ && file_->length > 0) {
            out_.resize(std::min<std::uint64_t>(chunk, file_->length));
            const auto n = ::pread(*file_->fd, out_.data(), out_.size(), static_cast<off_t>(file_->offset));
            if (n <= 0) return lost();
            out_.resize(static_cast<std::size_t>(n));
            file_->offset += static_cast<std::uint64_t>(n);
            file_->length -= static_cast<std::uint64_t>(n);
            return write();
        }
        file_.reset();
        written_ = true;
        if (!keep_) return linger();
        if (parser_->is_done()) end();
        else advance();
    }
    void end()
    {
        if (keep_) return next();
        linger();
    }
    /// What is still on its way is read for a moment: a reset would take the answer from the other end's hands.
    void linger()
    {
        if (closed_) return;
        Error ignored;
        lowest().socket().shutdown(Tcp::socket::shutdown_send, ignored);
        closed_ = lingering_ = true;
        lowest().expires_after(drain_time);
        drain(0);
    }
    void drain(std::uint64_t so_far)
    {
        if (so_far > linger_most || reading_) return; // came() goes on with a read that waits
        buffer_.consume(buffer_.size());
        lowest().async_read_some(buffer_.prepare(read_at_once), [self = this->shared_from_this(), so_far](Error ec, std::size_t n) {
            if (!ec) self->drain(so_far + n);
        });
    }

    Hall& hall_;
    Stream stream_;
    From from_;
    std::list<AnySession*>::iterator at_;
    beast::flat_buffer buffer_;
    std::optional<Parser> parser_;
    Head head_;
    std::function<void(Request&&, Reply)> handle_;
    std::shared_ptr<Sink> sink_;
    std::string out_;
    std::optional<FileBody> file_;
    std::uint64_t number_ = 0; ///< of the request, so that a late reply finds no other
    std::uint64_t bytes_ = 0;
    Time::time_point began_{};
    bool begun_ = false, held_ = false, discard_ = false, answered_ = false, written_ = false, dispatched_ = false, keep_ = false, reading_ = false, closed_ = false, lingering_ = false;
};

} // namespace

std::shared_ptr<AnySession> make_session(Hall& hall, Tcp::socket socket, From from, asio::ssl::context* tls)
{
    if (tls) return std::make_shared<Session<beast::ssl_stream<beast::tcp_stream>>>(hall, std::move(from), std::move(socket), *tls);
    return std::make_shared<Session<beast::tcp_stream>>(hall, std::move(from), std::move(socket));
}

} // namespace chockside::shop::detail
