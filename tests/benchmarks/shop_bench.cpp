// links: platform_shop cpp-httplib sqlite3 pthread
// Targets 21 and 22: the receiver's HTTP end and its group commit beside cpp-httplib, the same small POST over eight connections that stay open.
// Each server is a process on another core where there is one; the load is eight blocking threads of this one. The durable one stands beside
// pgbench as well: PostgreSQL, one row of the same bytes a transaction, eight connections, fsync on, no HTTP, all cores.
#include <platform/shop/server.h>
#include <platform/shop/writer.h>
#include <tests/benchmarks/bench.h>

#include <core/base/time.h>
#include <core/trust/trust.h>
#include <platform/system/system.h>

#include <httplib.h>
#include <sqlite3.h>

#include <arpa/inet.h>
#include <csignal>
#include <filesystem>
#include <netinet/tcp.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/wait.h>

using namespace chockside;
using namespace chockside::shop;

namespace {

constexpr int connections = 8;
const std::string body = R"({"id":"01HZX3V0J8Q6","serial":"SN-10442","kind":"self-test","start":"2026-06-01T10:20:30Z","result":"pass","words":1280,"crc":"5A1F","operator":"LK","readings":[27.95,41.2,0.03,115.1,399.8]})";

/// The whole receiver but for what a route decides: parse, limits, reply; with a writer also one insert in its group.
class Post final : public Application {
public:
    explicit Post(Writer* writer) : writer_(writer) {}
    Intake begin(const Head&, Reply, Hangup) override
    {
        return {{}, 1u << 20, {}, [this](Request&& q, Reply reply) {
                    if (!writer_) return reply(plain(q.body.empty() ? 400 : 204));
                    const auto id = ++next_;
                    writer_->put({[id, text = std::move(q.body)](Connection& c) -> Status {
                                      auto put = c.run("INSERT INTO r(id,body) VALUES($1,$2) ON CONFLICT DO NOTHING", {"rec-" + std::to_string(id), Blob{text}});
                                      return put ? Status{} : Status(Unexpected{put.error()});
                                  },
                        [reply](const Status& s) { reply(plain(s ? 204 : 503)); }});
                }};
    }
    void done(const Head&, int, std::uint64_t) override {}

private:
    Writer* writer_;
    std::int64_t next_ = 0;
};

void ours(int port, const std::string& file)
{
    std::unique_ptr<Database> database;
    system::SystemClock clock;
    trust::SystemRandom random;
    auto key = trust::KeyPair::make(random);
    std::unique_ptr<SqlLedger> ledger;
    std::unique_ptr<sync::Receive> receive;
    std::unique_ptr<Writer> writer;
    if (!file.empty()) {
        database = sqlite_database(file);
        ledger = std::make_unique<SqlLedger>(*database, false);
        if (!ledger->connection() || !ledger->connection()->run("CREATE TABLE IF NOT EXISTS r(id TEXT PRIMARY KEY, body BLOB) WITHOUT ROWID")) std::exit(3);
        receive = std::make_unique<sync::Receive>(*ledger, clock, random, key);
        writer = std::make_unique<Writer>(*ledger, *receive, Writer::Options{});
    }
    Post app(writer.get());
    ServerOptions options;
    options.port = static_cast<std::uint16_t>(port);
    auto server = Server::make(app, options);
    if (!server) std::exit(3);
    (*server)->run();
}

void floor_of(int port, const std::string& file)
{
    sqlite3* d = nullptr;
    sqlite3_stmt* st = nullptr;
    if (!file.empty()) {
        sqlite3_open(file.c_str(), &d);
        sqlite3_exec(d, "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; CREATE TABLE IF NOT EXISTS r(id TEXT PRIMARY KEY, body BLOB) WITHOUT ROWID", nullptr, nullptr, nullptr);
        sqlite3_prepare_v2(d, "INSERT OR IGNORE INTO r VALUES(?,?)", -1, &st, nullptr);
    }
    std::mutex one;
    std::atomic<long> id{0};
    httplib::Server s;
    s.new_task_queue = [] { return new httplib::ThreadPool(connections); };
    s.set_keep_alive_max_count(1'000'000'000);
    s.set_tcp_nodelay(true);
    s.Post("/v1/records", [&](const httplib::Request& q, httplib::Response& a) {
        if (st) {
            const std::string k = "rec-" + std::to_string(++id);
            const std::lock_guard hold(one);
            sqlite3_bind_text(st, 1, k.c_str(), -1, SQLITE_STATIC);
            sqlite3_bind_blob(st, 2, q.body.data(), static_cast<int>(q.body.size()), SQLITE_STATIC);
            if (sqlite3_step(st) != SQLITE_DONE) a.status = 500;
            sqlite3_reset(st);
        }
        if (a.status != 500) a.status = q.body.empty() ? 400 : 204;
    });
    s.listen("127.0.0.1", port);
}

int dial(int port)
{
    const int fd = ::socket(AF_INET, SOCK_STREAM, 0), on = 1;
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    ::setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
    for (int tries = 0; tries < 200; ++tries) {
        if (::connect(fd, reinterpret_cast<sockaddr*>(&to), sizeof to) == 0) return fd;
        ::usleep(10'000);
    }
    std::exit(3);
}

/// Answers (204) in so many seconds.
double load(int port, double time)
{
    const std::string request = "POST /v1/records HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
    std::atomic<long> answers{0};
    std::vector<std::thread> threads;
    const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(time);
    for (int i = 0; i < connections; ++i)
        threads.emplace_back([&] {
            const int fd = dial(port);
            char in[4096];
            while (std::chrono::steady_clock::now() < end) {
                if (::send(fd, request.data(), request.size(), MSG_NOSIGNAL) < 0) std::exit(3);
                std::size_t have = 0;
                do {
                    const auto n = ::recv(fd, in + have, sizeof in - have, 0);
                    if (n <= 0) std::exit(3);
                    have += static_cast<std::size_t>(n);
                } while (std::string_view(in, have).find("\r\n\r\n") == std::string_view::npos);
                if (std::string_view(in, have).substr(9, 3) != "204") std::exit(3);
                ++answers;
            }
            ::close(fd);
        });
    for (auto& t : threads) t.join();
    return static_cast<double>(answers) / time;
}

pid_t child(void (*serve)(int, const std::string&), int port, const std::string& file)
{
    cpu_set_t own, other;
    sched_getaffinity(0, sizeof own, &own);
    const pid_t pid = ::fork();
    if (pid) return pid;
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);
    CPU_ZERO(&other);
    for (int i = 0; i < 2; ++i)
        if (CPU_COUNT(&own) > 1 ? i == 1 : !CPU_ISSET(i, &own)) CPU_SET(i, &other);
    sched_setaffinity(0, sizeof other, &other);
    serve(port, file);
    std::_Exit(0);
}

/// Transactions a second of a database that is started for this.
class Pgbench {
public:
    Pgbench(std::string folder, int port) : folder_(std::move(folder)), port_(std::to_string(port)) { told("start", ""); }
    ~Pgbench() { told("stop", ""); }
    double turn(int seconds)
    {
        const double tps = std::atof(told("turn", " " + std::to_string(seconds) + " '" + body + "'").c_str());
        if (tps <= 0) std::exit(3);
        return tps;
    }

private:
    std::string told(const char* what, const std::string& more) const
    {
        const std::string line = std::string("sh " CHOCKSIDE_SOURCE_DIR "/tests/benchmarks/pgbench.sh ") + what + " " + folder_ + " " + port_ + more;
        FILE* pipe = ::popen(line.c_str(), "r");
        if (!pipe) std::exit(3);
        std::string out(64, 0);
        out.resize(std::fread(out.data(), 1, out.size(), pipe));
        if (::pclose(pipe) != 0) std::exit(3);
        return out;
    }
    std::string folder_, port_;
};

double over_pgbench(const std::string& folder, int port)
{
    const pid_t a = child(ours, port, folder + "/beside.db");
    Pgbench beside(folder + "/pg", port + 1);
    load(port, 0.5), beside.turn(1);
    std::vector<double> ratios;
    for (int turn = 0; turn < 7; ++turn) {
        const double mine = load(port, 1), other = beside.turn(1);
        std::fprintf(stderr, "durable: ours %.0f/s, pgbench %.0f/s\n", mine, other);
        ratios.push_back(mine / other);
    }
    ::kill(a, SIGKILL), ::waitpid(a, nullptr, 0);
    std::sort(ratios.begin(), ratios.end());
    return ratios[ratios.size() / 2];
}

double ratio(const std::string& folder, bool durable, int port)
{
    const pid_t a = child(ours, port, durable ? folder + "/ours.db" : ""), b = child(floor_of, port + 1, durable ? folder + "/floor.db" : "");
    load(port, 0.5), load(port + 1, 0.5);
    std::vector<double> ratios;
    for (int turn = 0; turn < 9; ++turn) {
        const double mine = load(port, 0.7), other = load(port + 1, 0.7);
        std::fprintf(stderr, "%s: ours %.0f/s, floor %.0f/s\n", durable ? "durable" : "no store", mine, other);
        ratios.push_back(mine / other);
    }
    for (const pid_t pid : {a, b}) ::kill(pid, SIGKILL), ::waitpid(pid, nullptr, 0);
    std::sort(ratios.begin(), ratios.end());
    return ratios[ratios.size() / 2];
}

} // namespace

int main()
{
    std::string folder = "/tmp/shop-bench-XXXXXX";
    if (!::mkdtemp(folder.data())) return 3;
    const int port = 23000 + static_cast<int>(::getpid() % 20000);
    bench::print_line(21, "receiver, 8 connections, no store / cpp-httplib", ratio(folder, false, port), 1.0, "POST of 195 bytes kept alive, server on the other core; median of 9 turns of 0.7 s");
    bench::print_line(22, "durable receiver, group commit / one commit an answer", ratio(folder, true, port + 2), 3, "the same POST, one insert, WAL FULL; cpp-httplib with one commit an answer; median of 9 turns");
    if (::chmod(folder.c_str(), 0755) != 0) return 3; // the database is another user's where this one is root
    bench::print_line(22, "durable receiver, 8 connections / pgbench -c 8, one-row insert", over_pgbench(folder, port + 4), 1.0, "the same POST over HTTP, server on the other core; PostgreSQL without HTTP on both, prepared, fsync on; median of 7 turns of 1 s");
    std::filesystem::remove_all(folder);
    return 0;
}
