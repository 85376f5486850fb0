// links: core_sync core_journal platform_net platform_system Qt6::Core Qt6::Network
// Target 23: what a tablet's outbox takes to reach the real receiver (core/sync over Qt's network classes, batches of 200, session and
// receipts included), beside one request a record sent with QNetworkAccessManager one after the other. Both over one store, one receiver
// process and its durable commits, in turns; afterwards the receiver holds each record once. Records a second, median of the turns.
#include <core/journal/store.h>
#include <core/sync/journal_store.h>
#include <core/sync/tablet.h>
#include <platform/net/net_wire.h>
#include <platform/system/system.h>
#include <tests/benchmarks/bench.h>

#include <core/trust/trust.h>

#include <QCoreApplication>
#include <QEventLoop>
#include <QNetworkAccessManager>
#include <QNetworkReply>
#include <QProcess>
#include <QRegularExpression>
#include <QTemporaryDir>
#include <QTimer>

#include <sched.h>
#include <unistd.h>

using namespace chockside;

namespace {

[[noreturn]] void stop(const char* why)
{
    std::fprintf(stderr, "drain_bench: %s\n", why);
    std::exit(3);
}

/// The receiver, in a process of its own.
class Shop {
public:
    explicit Shop(const QString& folder)
    {
        process_.setProcessChannelMode(QProcess::MergedChannels);
        process_.start(CHOCKSIDE_BIN_DIR "/chockside-shop", {"--data", folder + "/shop", "--listen", "127.0.0.1:0", "--per-device", "100000"});
        static const QRegularExpression code("First tablet.*: (chockside-enrol:\\S+)\n"), at("shop: (http://\\S+)/shop/");
        QString said;
        while (!code.match(said).hasMatch()) {
            if (!process_.waitForReadyRead(20'000)) stop("no receiver");
            said += QString::fromUtf8(process_.readAll());
        }
        enrolment = code.match(said).captured(1).toStdString();
        url = at.match(said).captured(1).toStdString();
    }
    ~Shop()
    {
        process_.terminate();
        process_.waitForFinished(10'000);
    }
    std::string enrolment, url;

private:
    QProcess process_;
};

journal::Draft reading(int n)
{
    journal::Draft d;
    d.kind = "read";
    d.body = json::Object{{"step", "read-" + std::to_string(n)}, {"signal", "heading_deg"}, {"value", "271.35"}, {"sigma", "0.04"}, {"samples", 400}, {"settled", true}, {"note", std::string(270, 'n')}};
    return d;
}

/// A store with its tablet's end; the wire lets the session's token be seen, so that single posts are let in as well.
class Device {
public:
    Device(const QString& folder, const Shop& shop) : url_(shop.url)
    {
        auto opened = journal::Store::open(disk_, clock_, random_, {(folder + "/store").toStdString()});
        if (!opened) stop("no store");
        store_ = std::move(*opened);
        kept_ = std::make_unique<sync::JournalStore>(*store_);
        tablet_ = std::make_unique<sync::Tablet>(*kept_, seen_, clock_, random_);
        seen_.to = std::make_unique<net::NetWire>(net::Shop{shop.url, {}}, qApp, [this](std::uint64_t id, sync::WireAnswer a) {
            tablet_->answered(id, std::move(a));
            if (!tablet_->view().busy) loop_.quit();
        });
        if (!tablet_->start() || !tablet_->enrol(shop.enrolment)) stop("no enrolment");
    }
    ~Device()
    {
        tablet_.reset();
        seen_.to.reset();
    }

    void write(int records)
    {
        for (int i = 0; i < records; ++i, ++written) {
            const auto d = reading(written);
            if (!store_->append("job-" + std::to_string(written / 500), {}, std::span(&d, 1))) stop("append");
        }
        tablet_->entries_written();
    }
    /// One contact, until all is at the shop.
    void drain()
    {
        QTimer::singleShot(0, &loop_, [&] { tablet_->try_now(); });
        loop_.exec();
        if (tablet_->view().at_shop != written) stop(("not drained: " + tablet_->view().reason + tablet_->view().stopped).c_str());
    }
    /// What is not there yet, a request each.
    void post_one_by_one(int records)
    {
        for (int n = written - records; n < written; ++n) {
            const auto lines = kept_->own_lines(n, 1, sync::limits::batch_bytes);
            if (!lines || lines->size() != 1) stop("line");
            const std::string body = sync::text_of(lines->front()) + '\n';
            QNetworkRequest q(QUrl(QString::fromStdString(url_ + sync::push_target(kept_->author(), {n + 1, n + 1}))));
            q.setRawHeader("Content-Type", "text/tab-separated-values; charset=utf-8");
            q.setRawHeader("Content-Digest", QByteArray::fromStdString(sync::content_digest(body)));
            q.setRawHeader("Author-Key", QByteArray::fromStdString(kept_->public_key()));
            q.setRawHeader("Authorization", QByteArray::fromStdString(seen_.authorization));
            auto* reply = manager_.put(q, QByteArray::fromStdString(body));
            QEventLoop wait;
            QObject::connect(reply, &QNetworkReply::finished, &wait, &QEventLoop::quit);
            wait.exec();
            if (reply->attribute(QNetworkRequest::HttpStatusCodeAttribute).toInt() != 200) stop("a single post was refused");
            reply->deleteLater();
        }
    }
    int written = 0;

private:
    struct Seen final : sync::Wire {
        void send(std::uint64_t id, sync::Request r, std::size_t most) override
        {
            if (const auto a = r.headers.find("authorization"); a != r.headers.end()) authorization = a->second;
            to->send(id, std::move(r), most);
        }
        void cancel(std::uint64_t id) override { to->cancel(id); }
        std::unique_ptr<net::NetWire> to;
        std::string authorization;
    };
    std::string url_;
    system::SystemDisk disk_;
    system::SystemClock clock_;
    trust::SystemRandom random_;
    std::unique_ptr<journal::Store> store_;
    std::unique_ptr<sync::JournalStore> kept_;
    Seen seen_;
    std::unique_ptr<sync::Tablet> tablet_;
    QEventLoop loop_;
    QNetworkAccessManager manager_;
};

/// How many the receiver holds, by its own figures.
long held(const std::string& url)
{
    QNetworkAccessManager manager;
    auto* reply = manager.get(QNetworkRequest(QUrl(QString::fromStdString(url + "/metrics"))));
    QEventLoop wait;
    QObject::connect(reply, &QNetworkReply::finished, &wait, &QEventLoop::quit);
    wait.exec();
    static const QRegularExpression entries("chockside_shop_entries (\\d+)");
    const auto found = entries.match(QString::fromUtf8(reply->readAll()));
    reply->deleteLater();
    return found.hasMatch() ? found.captured(1).toLong() : -1;
}

} // namespace

/// tests/bench pins its programs to one core. Here four threads of two processes work for one another, so both ways to send get all cores.
void take_all_cores()
{
    cpu_set_t all;
    CPU_ZERO(&all);
    for (int i = 0; i < static_cast<int>(::sysconf(_SC_NPROCESSORS_ONLN)); ++i) CPU_SET(i, &all);
    (void)::sched_setaffinity(0, sizeof all, &all);
}

int main(int argc, char** argv)
{
    take_all_cores();
    QCoreApplication app(argc, argv);
    QTemporaryDir folder(QString(CHOCKSIDE_BIN_DIR) + "/drain-bench-XXXXXX");
    const Shop shop(folder.path());
    constexpr int many = 2000, few = 200;
    std::vector<double> ratios;
    long there = 0;
    int written = 0;
    {
        Device device(folder.path(), shop);
        device.write(few);
        device.drain(); // enrolment and the first session are no part of a drain
        for (int turn = 0; turn < 7; ++turn) {
            device.write(many);
            auto drain = [&] { device.drain(); };
            const double ours = many / bench::seconds(drain, 1);
            device.write(few);
            auto post = [&] { device.post_one_by_one(few); };
            const double single = few / bench::seconds(post, 1);
            device.drain();
            std::fprintf(stderr, "outbox %.0f records/s, one a request %.0f/s\n", ours, single);
            ratios.push_back(ours / single);
        }
        there = held(shop.url);
        written = device.written;
    }
    if (there != written) stop("not each record once");
    std::sort(ratios.begin(), ratios.end());
    bench::print_line(23, "outbox drain, records/s / one-record QNetworkAccessManager posts", ratios[ratios.size() / 2], 10, "real receiver process, WAL FULL, all cores for both; 2,000 records by the tablet's engine against 200 one by one, median of 7 turns; the receiver holds each once");
    return 0;
}
