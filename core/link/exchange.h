#pragma once
// Requests and their replies: one in flight, bound to its reply, tried again, paged, refused, timed out. No thread, no timer, no port:
// the owner tells the time, sends what to_send() gives and feeds every decoded frame.

#include <core/codec/encoder.h>
#include <core/link/outcome.h>

#include <deque>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace chockside::link {

struct Ask {
    std::string request;
    std::map<std::string, std::int64_t> args;
    std::string tag;
};

class Exchange {
public:
    static constexpr std::size_t most_waiting = 32;
    static constexpr int most_pages = 256;

    explicit Exchange(std::shared_ptr<const codec::Plan> plan);

    /// Queues; the answer comes by take_outcomes(). Codes: unknown_request, queue_full, and those of Encoder::request.
    Status ask(Ask ask, std::int64_t t_ns);
    void on_frame(const codec::FrameView& frame);
    void tick(std::int64_t t_ns);
    /// Frames for the line, in order; given once.
    std::vector<Bytes> to_send();
    std::vector<Outcome> take_outcomes();
    /// When tick() has something to do; nothing while idle.
    std::optional<std::int64_t> next_due() const;
    bool busy() const { return current_.has_value() || !waiting_.empty(); }
    /// The line is gone: everything asked ends as failed with this code.
    void abandon(const std::string& code, std::int64_t t_ns);

private:
    struct Current {
        Ask ask;
        const profile::Request* request = nullptr;
        Outcome outcome;
        std::int64_t due_ns = 0;
        std::int64_t page = 0;
        std::size_t items = 0;
        int tries_left = 0;
    };
    struct Waiting {
        Ask ask;
        std::int64_t asked_ns = 0;
    };
    void start_next(std::int64_t t_ns);
    void send(std::int64_t t_ns);
    void finish(Outcome::Kind kind, std::string reason, std::int64_t t_ns);
    bool is_refusal(const codec::FrameView& frame) const;
    bool is_reply(const codec::FrameView& frame) const;
    void refused(const codec::FrameView& frame);
    void replied(const codec::FrameView& frame);
    void next_page(const codec::FrameView& frame);
    std::optional<std::int64_t> field(const codec::FrameView& frame, const std::string& name) const;
    std::string enumerated(const std::string& frame, const std::string& field, std::int64_t code) const;
    std::size_t count_items(const codec::FrameView& frame, const std::string& group) const;
    const profile::Request* find_request(const std::string& name) const;

    std::shared_ptr<const codec::Plan> plan_;
    codec::Encoder encoder_;
    std::optional<Current> current_;
    std::deque<Waiting> waiting_;
    std::vector<Bytes> out_;
    std::vector<Outcome> done_;
};

} // namespace chockside::link
