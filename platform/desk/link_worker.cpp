#include <platform/desk/link_worker.h>

#include <platform/desk/capture_thread.h>
#include <platform/desk/link_run.h>
#include <platform/serial/port_list.h>
#include <platform/serial/serial_channel.h>

#include <QDateTime>
#include <QEventLoop>
#include <QTimer>

#include <algorithm>
#include <chrono>

namespace chockside::desk {

namespace {

constexpr std::int64_t ms = 1'000'000;
constexpr std::int64_t snapshot_every = 100 * ms, silent_snapshot_every = 1000 * ms;
constexpr int tick_busy_ms = 25, tick_silent_ms = 250;
constexpr int reopen_first_ms = 500, reopen_most_ms = 5000;

std::int64_t utc_ns()
{
    return std::chrono::duration_cast<std::chrono::nanoseconds>(std::chrono::system_clock::now().time_since_epoch()).count();
}

std::string describe(const profile::Line& line)
{
    const char parity = line.parity.empty() ? 'N' : static_cast<char>(std::toupper(static_cast<unsigned char>(line.parity[0])));
    return std::to_string(line.rate) + " " + std::to_string(line.data_bits) + parity + (line.stop_bits > 1.75 ? "2" : "1");
}

} // namespace

class LinkWorker::Impl {
public:
    Impl(LinkWorker& worker, LinkOptions o) : w(worker), options(std::move(o)), boot0(serial::boot_ns()), utc0(utc_ns()), run(options.plan, options.time_scale, boot0, hooks())
    {
        run.set_permission(options.permission);
    }

    LinkRunHooks hooks()
    {
        LinkRunHooks h;
        h.send = [this](ByteView bytes) { send(bytes); };
        h.keep = [this](capture::Packet packet) { keep(std::move(packet)); };
        h.noted = [this](watch::Noted note) { emit w.noted(std::move(note)); };
        h.answered = [this](const std::string& tag, json::Value outcome) { emit w.answered(QString::fromStdString(tag), std::move(outcome)); };
        return h;
    }

    void send(ByteView bytes)
    {
        if (!channel) return;
        if (const auto written = channel->write(bytes); !written) emit w.problem(written.error());
    }

    void keep(capture::Packet packet)
    {
        if (!capture) return;
        packet.t_ns = utc0 + (packet.t_ns - boot0);
        packet.lines = channel ? channel->line_bits() : std::uint8_t{0};
        capture->add(std::move(packet));
    }

    void start_capture()
    {
        if (capture || !options.disk || options.capture_folder.empty()) return;
        capture::WriterOptions to;
        to.folder = options.capture_folder;
        to.stem = "capture-" + QDateTime::currentDateTimeUtc().toString(QStringLiteral("yyyyMMdd-HHmmss")).toStdString();
        const auto& line = options.plan->unit().line;
        to.about = {port.toStdString(), describe(line), static_cast<std::uint64_t>(line.rate), "unit " + options.plan->unit().id};
        if (options.time_scale > 1) to.about.comment += ", practice at " + std::to_string(static_cast<int>(options.time_scale)) + " times real time";
        capture = std::make_unique<CaptureThread>(*options.disk, to);
    }

    void open(const QString& to)
    {
        close();
        port = to;
        identity = serial::identity_of(to);
        start_capture();
        run.set_port(to.toStdString());
        if (const Status opened = try_open(to); !opened) {
            emit w.problem(opened.error());
            return publish();
        }
        wanted = true;
        publish();
    }

    Status try_open(const QString& path)
    {
        channel = std::make_unique<serial::SerialChannel>(path);
        const Status opened = channel->open(options.plan->unit().line, run);
        if (!opened) channel.reset();
        else pause_ms = reopen_first_ms;
        tick_again();
        return opened;
    }

    /// After a hang-up the adapter may come back under another name. One of its kind that stood there all the time is not it: it may be the
    /// other channel's.
    void reopen()
    {
        const QString found = serial::come_back(serial::ports(), port, identity, others);
        if (!found.isEmpty() && try_open(found)) {
            if (found != port) run.set_port((port = found).toStdString());
            return;
        }
        pause_ms = std::min(2 * pause_ms, reopen_most_ms);
        tick_again();
    }

    void close()
    {
        wanted = false;
        if (channel && run.in_session()) leave_and_wait();
        if (channel) channel->close();
        else if (run.link() != watch::LinkState::closed) run.event({link::LineEvent::Kind::closed, ""}, serial::boot_ns());
        channel.reset();
        if (timer) timer->stop();
        run.drain(serial::boot_ns());
        publish();
    }

    void leave_and_wait()
    {
        run.leave_session(serial::boot_ns());
        QEventLoop loop;
        QTimer poll;
        const std::int64_t until = serial::boot_ns() + 2 * std::int64_t{options.plan->unit().line.reply_ms} * ms;
        QObject::connect(&poll, &QTimer::timeout, &loop, [&] {
            run.tick(serial::boot_ns());
            if (!run.in_session() || !channel || !channel->is_open() || serial::boot_ns() > until) loop.quit();
        });
        poll.start(10);
        loop.exec();
    }

    void tick_again()
    {
        if (!timer) {
            timer = std::make_unique<QTimer>();
            timer->setSingleShot(true);
            QObject::connect(timer.get(), &QTimer::timeout, &w, [this] { tick(); });
        }
        const bool lost = wanted && !(channel && channel->is_open());
        const bool lively = run.link() == watch::LinkState::good || run.busy();
        if (lost && options.reopen) timer->start(pause_ms);
        else if (!lost) timer->start(lively ? tick_busy_ms : tick_silent_ms);
    }

    void tick()
    {
        const std::int64_t t = serial::boot_ns();
        if (channel && !channel->is_open()) {
            channel.reset(); // hung up
            others = serial::paths_of(identity);
            others.removeAll(serial::resolved(port));
            publish();
        }
        if (wanted && !channel && options.reopen) return reopen();
        run.tick(t);
        const std::int64_t every = run.link() == watch::LinkState::good || run.busy() ? snapshot_every : silent_snapshot_every;
        if (t - published_ns >= every) publish();
        tick_again();
    }

    void publish()
    {
        published_ns = serial::boot_ns();
        if (capture) {
            run.set_capture(capture->view());
            for (const auto& seal : capture->take_seals()) tell(seal);
        }
        emit w.snapshot(run.publish(published_ns));
    }

    void tell(const capture::Seal& seal)
    {
        emit w.sealed(json::Object{{"path", seal.path}, {"sha256", seal.sha256}, {"bytes", seal.bytes}, {"packets", seal.packets}});
    }

    void stop()
    {
        close();
        if (!capture) return;
        capture->finish();
        run.set_capture(capture->view());
        for (const auto& seal : capture->take_seals()) tell(seal);
        capture.reset();
    }

    LinkWorker& w;
    LinkOptions options;
    std::int64_t boot0, utc0;
    std::unique_ptr<CaptureThread> capture;
    std::unique_ptr<serial::SerialChannel> channel;
    LinkRun run;
    std::unique_ptr<QTimer> timer;
    QString port, identity;
    QStringList others; ///< of the same kind, when this one went away
    std::int64_t published_ns = 0;
    int pause_ms = reopen_first_ms;
    bool wanted = false;
};

LinkWorker::LinkWorker(LinkOptions options, QObject* parent) : QObject(parent), impl_(std::make_unique<Impl>(*this, std::move(options)))
{
    qRegisterMetaType<std::shared_ptr<const watch::LiveSnapshot>>();
    qRegisterMetaType<watch::Noted>();
    qRegisterMetaType<json::Value>();
    qRegisterMetaType<Problem>();
}

LinkWorker::~LinkWorker() = default;

void LinkWorker::open(const QString& port) { impl_->open(port); }
void LinkWorker::close() { impl_->close(); }

void LinkWorker::request(const QString& name, const QVariantMap& args, const QString& tag)
{
    std::map<std::string, std::int64_t> plain;
    for (auto it = args.begin(); it != args.end(); ++it) plain[it.key().toStdString()] = it.value().toLongLong();
    impl_->run.request(name.toStdString(), std::move(plain), tag.toStdString(), serial::boot_ns());
    impl_->tick_again();
}

void LinkWorker::read_all()
{
    impl_->run.read_all(serial::boot_ns());
    impl_->tick_again();
}

void LinkWorker::enter_session(const QString& channel)
{
    if (const Status may = impl_->run.enter_session(channel.toStdString(), serial::boot_ns()); !may) emit problem(may.error());
    impl_->tick_again();
}

void LinkWorker::leave_session()
{
    impl_->run.leave_session(serial::boot_ns());
    impl_->tick_again();
}

void LinkWorker::set_permission(const link::Permission& permission) { impl_->run.set_permission(permission); }
void LinkWorker::mark(const QString& place) { impl_->run.mark(place.toStdString(), serial::boot_ns()); }
void LinkWorker::start_flex() { impl_->run.start_flex(serial::boot_ns()); }
void LinkWorker::stop_flex() { impl_->run.stop_flex(serial::boot_ns()); }
void LinkWorker::comment(const QString& text) { impl_->run.comment(text.toStdString(), serial::boot_ns()); }

void LinkWorker::save_capture(const std::function<void()>& then)
{
    if (impl_->capture) impl_->capture->save(then);
    else then();
}

void LinkWorker::stop()
{
    impl_->stop();
    emit stopped();
}

} // namespace chockside::desk
