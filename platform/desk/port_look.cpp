#include <platform/desk/port_look.h>

#include <core/codec/decoder.h>
#include <core/link/exchange.h>
#include <core/watch/pages.h>
#include <platform/serial/serial_channel.h>

#include <QEventLoop>
#include <QTimer>

#include <algorithm>
#include <functional>

namespace chockside::desk {

namespace {

struct Ear final : link::ByteSink {
    Bytes all;
    std::uint64_t line_errors = 0;
    bool lost = false;
    std::function<void(ByteView, std::int64_t)> also;
    void bytes(ByteView b, std::int64_t t) override
    {
        if (all.size() < (4u << 20)) all.insert(all.end(), b.begin(), b.end());
        if (also) also(b, t);
    }
    void event(const link::LineEvent& e, std::int64_t) override
    {
        using Kind = link::LineEvent::Kind;
        if (e.kind == Kind::framing_error || e.kind == Kind::parity_error) ++line_errors;
        if (e.kind == Kind::lost) lost = true;
    }
};

/// Runs the event loop with a beat each 10 ms until time is over or the beat says so.
void listen(double seconds, const std::function<bool()>& beat)
{
    QEventLoop loop;
    QTimer end, pulse;
    QObject::connect(&end, &QTimer::timeout, &loop, &QEventLoop::quit);
    QObject::connect(&pulse, &QTimer::timeout, &loop, [&] {
        if (!beat()) loop.quit();
    });
    end.start(static_cast<int>(seconds * 1000));
    pulse.start(10);
    loop.exec();
}

bool contains(const Bytes& all, const Bytes& part)
{
    return !part.empty() && std::search(all.begin(), all.end(), part.begin(), part.end()) != all.end();
}

/// A harmless question: who are you, else the first that only reads.
const profile::Request* question_of(const profile::Unit& unit)
{
    const profile::Request* first = nullptr;
    for (const auto& r : unit.requests) {
        if (r.effect != profile::Effect::read || r.reply.empty() || r.paging || r.name == unit.session.keep_alive) continue;
        if (r.reply == "identity") return &r;
        if (!first) first = &r;
    }
    return first;
}

void take_answer(const link::Outcome& o, const codec::Plan& plan, link::PortFacts& facts)
{
    facts.answered = o.kind == link::Outcome::Kind::ok || o.kind == link::Outcome::Kind::refused;
    for (const auto& reply : o.replies) {
        const auto page = watch::page_of(plan, reply.name, reply.observations, reply.texts);
        if (const auto part = page.find("part"); part != page.end()) facts.part = part->second;
    }
}

} // namespace

const std::vector<int>& usual_rates()
{
    static const std::vector<int> rates{1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200, 230400, 460800, 921600};
    return rates;
}

link::PortFacts look_at_port(const QString& port, std::shared_ptr<const codec::Plan> plan, double seconds)
{
    link::PortFacts facts;
    facts.port = port.toStdString();
    Ear ear;
    serial::SerialChannel channel(port);
    if (const Status opened = channel.open(plan->unit().line, ear); !opened) {
        facts.open_code = opened.error().code;
        facts.open_args = opened.error().args;
        return facts;
    }
    codec::Decoder decoder(plan);
    link::Exchange exchange(plan);
    Bytes sent;
    ear.also = [&](ByteView bytes, std::int64_t t) {
        decoder.feed(bytes, t, [&](const codec::FrameView& f) {
            ++facts.good_frames;
            exchange.on_frame(f);
        });
    };
    if (const auto* question = question_of(plan->unit())) (void)exchange.ask({question->name, {}, ""}, serial::boot_ns());
    listen(seconds, [&] {
        exchange.tick(serial::boot_ns());
        for (const Bytes& bytes : exchange.to_send()) {
            sent = bytes;
            (void)channel.write(bytes);
        }
        for (const auto& outcome : exchange.take_outcomes()) take_answer(outcome, *plan, facts);
        return !ear.lost;
    });
    channel.close();
    facts.listened_s = seconds;
    facts.bytes = decoder.counters().bytes;
    facts.line_errors = ear.line_errors;
    facts.counters = decoder.counters();
    if (!sent.empty()) facts.echoed = contains(ear.all, sent);
    if (facts.good_frames > 0 || facts.bytes == 0) return facts;
    if (const auto samples = take_samples(port, usual_rates(), 0.4))
        if (const auto guesses = link::identify(*samples); !guesses.empty()) facts.rate_that_fits = guesses.front().rate;
    return facts;
}

Result<std::vector<link::RateSample>> take_samples(const QString& port, const std::vector<int>& rates, double seconds_each)
{
    std::vector<link::RateSample> samples;
    for (const int rate : rates) {
        Ear ear;
        serial::SerialChannel channel(port);
        profile::Line line;
        line.rate = rate;
        const Status opened = channel.open(line, ear);
        if (!opened && samples.empty() && opened.error().code != "port_setting") return Unexpected{opened.error()};
        if (!opened) continue;
        listen(seconds_each, [&] { return !ear.lost; });
        channel.close();
        samples.push_back({rate, std::move(ear.all), ear.line_errors});
    }
    return samples;
}

} // namespace chockside::desk
