#include <core/link/exchange.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace chockside::link {

namespace {

constexpr std::int64_t ms = 1'000'000;
const std::string of_field = "of"; ///< the field by which acknowledgements name what they answer

} // namespace

Exchange::Exchange(std::shared_ptr<const codec::Plan> plan) : plan_(std::move(plan)), encoder_(plan_) {}

const profile::Request* Exchange::find_request(const std::string& name) const
{
    for (const auto& r : plan_->unit().requests)
        if (r.name == name) return &r;
    return nullptr;
}

Status Exchange::ask(Ask ask, std::int64_t t_ns)
{
    const auto* request = find_request(ask.request);
    if (!request) return fail("unknown_request", ask.request);
    if (waiting_.size() >= most_waiting) return fail("queue_full", ask.request);
    auto args = ask.args;
    if (request->paging) args[request->paging->arg] = request->paging->first;
    if (const auto bytes = encoder_.request(ask.request, args); !bytes) return Unexpected{bytes.error()};
    waiting_.push_back({std::move(ask), t_ns});
    if (!current_) start_next(t_ns);
    return {};
}

void Exchange::start_next(std::int64_t t_ns)
{
    if (waiting_.empty()) return;
    Waiting next = std::move(waiting_.front());
    waiting_.pop_front();
    Current c;
    c.request = find_request(next.ask.request);
    c.outcome.request = next.ask.request;
    c.outcome.tag = next.ask.tag;
    c.outcome.asked_ns = next.asked_ns;
    c.tries_left = std::max(1, c.request->tries);
    c.page = c.request->paging ? c.request->paging->first : 0;
    c.ask = std::move(next.ask);
    current_ = std::move(c);
    send(t_ns);
}

void Exchange::send(std::int64_t t_ns)
{
    Current& c = *current_;
    auto args = c.ask.args;
    if (c.request->paging) args[c.request->paging->arg] = c.page;
    auto bytes = encoder_.request(c.ask.request, args);
    if (!bytes) {
        c.outcome.args = bytes.error().args;
        return finish(Outcome::Kind::failed, bytes.error().code, t_ns);
    }
    out_.push_back(std::move(*bytes));
    --c.tries_left;
    ++c.outcome.tries;
    c.due_ns = t_ns + plan_->unit().line.reply_ms * ms;
    if (c.request->reply.empty()) finish(Outcome::Kind::ok, "", t_ns);
}

void Exchange::finish(Outcome::Kind kind, std::string reason, std::int64_t t_ns)
{
    Outcome o = std::move(current_->outcome);
    current_.reset();
    o.kind = kind;
    o.reason = std::move(reason);
    o.answered_ns = t_ns;
    done_.push_back(std::move(o));
    start_next(t_ns);
}

std::optional<std::int64_t> Exchange::field(const codec::FrameView& frame, const std::string& name) const
{
    const auto id = plan_->signals().id(std::string(frame.name) + "." + name);
    if (!id) return std::nullopt;
    for (const auto& o : frame.observations)
        if (o.signal == *id) return static_cast<std::int64_t>(o.raw);
    return std::nullopt;
}

/// A frame without such a field answers whatever is in flight.
bool answers(const std::optional<std::int64_t>& of, const profile::Request& request)
{
    return !of || *of == static_cast<std::int64_t>(request.id);
}

bool Exchange::is_refusal(const codec::FrameView& frame) const
{
    const auto& session = plan_->unit().session;
    return !session.refused_by.empty() && frame.name == session.refused_by && answers(field(frame, of_field), *current_->request);
}

bool Exchange::is_reply(const codec::FrameView& frame) const
{
    if (frame.name != current_->request->reply || !answers(field(frame, of_field), *current_->request)) return false;
    if (!current_->request->paging) return true;
    const auto page = field(frame, current_->request->paging->page);
    return !page || *page == current_->page; // a late copy of an earlier page is no answer
}

std::string Exchange::enumerated(const std::string& frame, const std::string& name, std::int64_t code) const
{
    const auto& unit = plan_->unit();
    for (const auto& f : unit.frames) {
        if (f.name != frame) continue;
        for (const auto& one : f.fields) {
            if (one.name != name) continue;
            const auto names = unit.enums.find(one.enumeration);
            if (names == unit.enums.end()) break;
            const auto found = names->second.find(static_cast<std::uint64_t>(code));
            if (found != names->second.end()) return found->second;
        }
    }
    return "code_" + std::to_string(code);
}

void Exchange::refused(const codec::FrameView& frame)
{
    const auto& session = plan_->unit().session;
    const auto code = field(frame, session.refused_why);
    const std::string reason = code ? enumerated(session.refused_by, session.refused_why, *code) : "";
    if (const auto mend = session.mend.find(reason); mend != session.mend.end()) current_->outcome.mend = mend->second;
    finish(Outcome::Kind::refused, reason, frame.t_ns);
}

std::size_t Exchange::count_items(const codec::FrameView& frame, const std::string& group) const
{
    const std::string prefix = std::string(frame.name) + "." + group + ".";
    std::optional<codec::SignalId> first;
    std::size_t n = 0;
    for (const auto& o : frame.observations) {
        if (!first && plan_->signals()[o.signal].name.compare(0, prefix.size(), prefix) == 0) first = o.signal;
        if (first == o.signal) ++n;
    }
    return n;
}

void Exchange::next_page(const codec::FrameView& frame)
{
    Current& c = *current_;
    const profile::Paging& paging = *c.request->paging;
    const auto total = field(frame, paging.total);
    c.items += count_items(frame, paging.items);
    if (!total || *total < 0) return finish(Outcome::Kind::failed, "pages_inconsistent", frame.t_ns);
    if (c.page + 1 - paging.first >= *total) return finish(Outcome::Kind::ok, "", frame.t_ns);
    if (c.items >= static_cast<std::size_t>(paging.most) || c.page - paging.first + 1 >= most_pages)
        return finish(Outcome::Kind::failed, "too_many_items", frame.t_ns);
    ++c.page;
    c.tries_left = std::max(1, c.request->tries);
    send(frame.t_ns);
}

void Exchange::replied(const codec::FrameView& frame)
{
    auto& replies = current_->outcome.replies;
    replies.push_back({std::string(frame.name), frame.t_ns, {frame.observations.begin(), frame.observations.end()}, frame.texts});
    if (current_->request->paging) return next_page(frame);
    finish(Outcome::Kind::ok, "", frame.t_ns);
}

void Exchange::on_frame(const codec::FrameView& frame)
{
    if (!current_) return;
    if (is_refusal(frame)) return refused(frame);
    if (is_reply(frame)) replied(frame);
}

void Exchange::tick(std::int64_t t_ns)
{
    if (!current_ || t_ns < current_->due_ns) return;
    if (current_->tries_left > 0) return send(t_ns);
    finish(Outcome::Kind::timed_out, "", t_ns);
}

std::vector<Bytes> Exchange::to_send()
{
    return std::exchange(out_, {});
}

std::vector<Outcome> Exchange::take_outcomes()
{
    return std::exchange(done_, {});
}

std::optional<std::int64_t> Exchange::next_due() const
{
    return current_ ? std::optional(current_->due_ns) : std::nullopt;
}

void Exchange::abandon(const std::string& code, std::int64_t t_ns)
{
    while (current_) {
        finish(Outcome::Kind::failed, code, t_ns);
        out_.clear();
    }
}

} // namespace chockside::link
