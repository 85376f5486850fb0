// links: platform_desk platform_serial core_codec core_profile Qt6::Core util
// Targets 24 to 26: a frame from the line to its record through the real port, against read(2) on the same pseudo-terminal; and what
// the whole link worker costs while nothing comes, and after the line was unplugged.
#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>
#include <platform/desk/link_worker.h>
#include <platform/serial/serial_channel.h>

#include <QCoreApplication>
#include <QTimer>

#include <algorithm>
#include <atomic>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <pty.h>
#include <sstream>
#include <sys/resource.h>
#include <termios.h>
#include <thread>
#include <unistd.h>

using namespace chockside;

namespace {

constexpr int frames_a_run = 640, runs = 4;
constexpr double bytes_per_s = 11520;

[[noreturn]] void stop(const char* why)
{
    std::fprintf(stderr, "serial_bench: %s\n", why);
    std::exit(3);
}

std::int64_t now_ns()
{
    timespec t{};
    clock_gettime(CLOCK_MONOTONIC, &t);
    return std::int64_t{t.tv_sec} * 1'000'000'000 + t.tv_nsec;
}

double cpu_us(int who)
{
    rusage r{};
    getrusage(who, &r);
    return static_cast<double>(r.ru_utime.tv_sec + r.ru_stime.tv_sec) * 1e6 + static_cast<double>(r.ru_utime.tv_usec + r.ru_stime.tv_usec);
}

struct Pty {
    int master = -1, slave = -1;
    char name[128] = {};
    Pty()
    {
        if (openpty(&master, &slave, name, nullptr, nullptr) != 0) stop("no pseudo-terminal");
        termios t{};
        tcgetattr(slave, &t);
        cfmakeraw(&t);
        tcsetattr(slave, TCSANOW, &t);
    }
    ~Pty()
    {
        ::close(slave);
        ::close(master);
    }
};

std::shared_ptr<const codec::Plan> unit_plan()
{
    std::ifstream file(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_2.unit.json");
    std::stringstream text;
    text << file.rdbuf();
    const auto plan = codec::Plan::compile(profile::load_half(text.str(), profile::Half::unit).profile.unit);
    if (!plan) stop("the profile does not compile");
    return *plan;
}

Bytes words_frame(const std::shared_ptr<const codec::Plan>& plan)
{
    std::vector<std::uint32_t> words;
    for (const auto& w : plan->unit().words) words.push_back(codec::encode_word(w, 12, arinc429::Ssm::normal, 1));
    const auto frame = codec::Encoder(plan).frame("words", {{"word", words}});
    if (!frame) stop("the frame does not encode");
    return *frame;
}

struct Tally {
    std::vector<double> latency_us;
    double cpu_us_a_frame = 0;
};

/// Writes one frame after the other at the pace of the line and keeps when each was handed over.
struct Talker {
    std::vector<std::atomic<std::int64_t>> sent = std::vector<std::atomic<std::int64_t>>(frames_a_run);
    std::thread thread;
    void start(int fd, const Bytes& frame)
    {
        thread = std::thread([this, fd, frame] {
            const auto step = static_cast<std::int64_t>(static_cast<double>(frame.size()) / bytes_per_s * 1e9);
            std::int64_t t = now_ns() + 100'000'000;
            for (auto& at : sent) {
                t += step;
                const timespec until{t / 1'000'000'000, t % 1'000'000'000};
                clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &until, nullptr);
                at = now_ns();
                if (::write(fd, frame.data(), frame.size()) != static_cast<ssize_t>(frame.size())) stop("short write");
            }
        });
    }
    void got(std::size_t n, Tally& tally) const { tally.latency_us.push_back(static_cast<double>(now_ns() - sent[n]) / 1e3); }
};

void by_read(const Bytes& frame, Tally& tally)
{
    Pty pty;
    Talker talker;
    talker.start(pty.master, frame);
    const double before = cpu_us(RUSAGE_THREAD);
    std::size_t bytes = 0, seen = 0;
    while (seen < frames_a_run) {
        char buffer[4096];
        const ssize_t n = ::read(pty.slave, buffer, sizeof buffer);
        if (n <= 0) stop("read");
        bytes += static_cast<std::size_t>(n);
        for (; seen < bytes / frame.size(); ++seen) talker.got(seen, tally);
    }
    tally.cpu_us_a_frame += (cpu_us(RUSAGE_THREAD) - before) / frames_a_run / runs;
    talker.thread.join();
}

struct Reader final : link::ByteSink {
    codec::Decoder decoder;
    const Talker& talker;
    Tally& tally;
    std::size_t seen = 0;
    Reader(std::shared_ptr<const codec::Plan> plan, const Talker& t, Tally& into) : decoder(std::move(plan)), talker(t), tally(into) {}
    void bytes(ByteView b, std::int64_t t) override
    {
        decoder.feed(b, t, [&](const codec::FrameView& f) {
            if (f.observations.size() < 7) stop("a frame without its words");
            talker.got(seen++, tally);
            if (seen == frames_a_run) QCoreApplication::quit();
        });
    }
    void event(const link::LineEvent&, std::int64_t) override {}
};

void by_channel(const std::shared_ptr<const codec::Plan>& plan, const Bytes& frame, Tally& tally)
{
    Pty pty;
    Talker talker;
    Reader reader(plan, talker, tally);
    serial::SerialChannel channel(QString::fromLatin1(pty.name));
    if (!channel.open(plan->unit().line, reader)) stop("open");
    talker.start(pty.master, frame);
    const double before = cpu_us(RUSAGE_THREAD);
    QCoreApplication::exec();
    tally.cpu_us_a_frame += (cpu_us(RUSAGE_THREAD) - before) / frames_a_run / runs;
    talker.thread.join();
}

double quantile(std::vector<double> v, double q)
{
    std::sort(v.begin(), v.end());
    return v[static_cast<std::size_t>(q * static_cast<double>(v.size() - 1))];
}

double idle_ms(int for_ms)
{
    const double before = cpu_us(RUSAGE_SELF);
    QTimer::singleShot(for_ms, qApp, &QCoreApplication::quit);
    QCoreApplication::exec();
    return (cpu_us(RUSAGE_SELF) - before) / 1e3;
}

void quiet(const std::shared_ptr<const codec::Plan>& plan)
{
    desk::LinkOptions o;
    o.plan = plan;
    desk::LinkWorker worker(o);
    int lost = 0;
    QObject::connect(&worker, &desk::LinkWorker::snapshot, [&](const std::shared_ptr<const watch::LiveSnapshot>& s) { lost = std::max(lost, s->link == watch::LinkState::lost ? 1 : 0); });
    auto pty = std::make_unique<Pty>();
    worker.open(QString::fromLatin1(pty->name));
    (void)idle_ms(1000);
    const double silent = idle_ms(10'000);
    pty.reset();
    (void)idle_ms(1000);
    const double unplugged = idle_ms(10'000);
    if (!lost) stop("the unplugged line was not seen");
    std::printf("{\"target\":26,\"name\":\"cpu of the link worker in 10 s, silent and unplugged\",\"ratio\":%.3f,\"bound\":1.0,\"method\":\"getrusage of the process over 10 ms: silent %.2f ms, unplugged and trying again %.2f ms\"}\n",
        std::max(silent, unplugged) / 10, silent, unplugged);
    worker.stop();
}

} // namespace

int main(int argc, char** argv)
{
    QCoreApplication app(argc, argv);
    const auto plan = unit_plan();
    const Bytes frame = words_frame(plan);
    Tally floor, channel;
    for (int i = 0; i < runs; ++i) {
        by_read(frame, floor);
        by_channel(plan, frame, channel);
    }
    std::printf("{\"target\":24,\"name\":\"frame to records through the port over read(2), latency p50\",\"ratio\":%.3f,\"bound\":1.3,\"method\":\"%zu-byte frames paced at 11520 B/s, %d runs in turns: %.1f us against %.1f us; p99 %.1f and %.1f us; the channel's side decodes, read(2) counts bytes\"}\n",
        quantile(channel.latency_us, 0.5) / quantile(floor.latency_us, 0.5), frame.size(), runs, quantile(channel.latency_us, 0.5), quantile(floor.latency_us, 0.5),
        quantile(channel.latency_us, 0.99), quantile(floor.latency_us, 0.99));
    std::printf("{\"target\":25,\"name\":\"reader cpu a frame over read(2)\",\"ratio\":%.3f,\"bound\":1.5,\"method\":\"getrusage of the reading thread: %.1f us against %.1f us a frame; the channel's side decodes\"}\n",
        channel.cpu_us_a_frame / floor.cpu_us_a_frame, channel.cpu_us_a_frame, floor.cpu_us_a_frame);
    quiet(plan);
}
