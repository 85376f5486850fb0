#include <platform/shop/run.h>

#include <core/people/people.h>
#include <core/sync/carry.h>
#include <platform/shop/backup.h>
#include <platform/shop/hand_over.h>

#include <CLI/CLI.hpp>

#include <csignal>
#include <future>
#include <iostream>
#include <sys/resource.h>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>

namespace chockside::shop {

namespace {

int complain(const Problem& p)
{
    std::cerr << "chockside-shop: " << p.code << " " << p.place;
    for (const auto& [key, value] : p.args) std::cerr << ", " << key << ": " << value;
    std::cerr << "\n";
    return 3;
}

/// The first person and the first code, so that one command is enough to begin.
int first_steps(House& house, const std::string& url)
{
    auto reader = house.reader();
    Connection* c = reader->ledger.connection();
    auto people = c ? house.accounts.list(*c) : Result<std::vector<Account>>(fail("gone", "database"));
    auto devices = c ? reader->ledger.devices() : Result<std::vector<sync::Device>>(fail("gone", "database"));
    if (!people || !devices) return complain((!people ? people.error() : devices.error()));
    if (people->empty()) {
        Bytes random(10);
        house.random.fill(random);
        const std::string password = to_hex(random);
        if (auto added = house.accounts.add(*house.writer, "keeper", Role::keeper, password); !added) return complain(added.error());
        std::cout << "First account: keeper, password " << password << " (told once; change it on the page's People or with `chockside-shop user`)\n";
    }
    if (!devices->empty()) return 0;
    std::promise<Result<std::string>> made;
    house.writer->act([&](sync::Receive& r) {
        auto code = r.make_code();
        made.set_value(code ? Result<std::string>(r.enrolment_text(*code, url, house.pins)) : Result<std::string>(Unexpected{code.error()}));
    });
    auto text = made.get_future().get();
    if (!text) return complain(text.error());
    std::cout << "First tablet (15 minutes, once): " << *text << "\n";
    return 0;
}

/// What came without a network, and the receipts for the way back. 1: something was not taken.
int take(House& house, const std::string& path, const std::string& receipts_path)
{
    constexpr std::uint64_t most = 256u << 20;
    system::SystemDisk disk;
    const auto bytes = disk.read(path, most);
    if (!bytes) return complain(bytes.error());
    const auto brought = sync::brought(to_text(*bytes));
    if (!brought) return complain(brought.error());
    const auto taken = take_over(brought->lines, [&](const std::function<Status(sync::Receive&)>& what) {
        std::promise<Status> done;
        house.writer->act([&](sync::Receive& r) { done.set_value(what(r)); });
        return done.get_future().get();
    });
    if (!taken) return complain(taken.error());
    for (const auto& [author, of] : taken->authors) std::cout << author << ": " << (of.receipt ? "here up to " + std::to_string(of.receipt->seq) : "not taken, " + of.refusal) << "\n";
    if (!receipts_path.empty())
        if (auto kept = disk.write_whole(receipts_path, as_bytes(taken->receipts)); !kept) return complain(kept.error());
    return taken->refused || taken->authors.empty() ? 1 : 0;
}

struct Asked {
    std::string data, database, listen = "127.0.0.1:8470", certificate, key, name = "Shop", url, metrics_token;
    bool behind_proxy = false;
    std::size_t per_address = 256;
    double per_device = 10, per_visitor = 50;
    int stall_s = 20;
};

GuardSettings rates(const Asked& asked)
{
    GuardSettings g;
    g.device = {asked.per_device, 5 * asked.per_device};
    g.visitor = {asked.per_visitor, 10 * asked.per_visitor};
    g.upload = {4 * asked.per_visitor, 40 * asked.per_visitor};
    return g;
}

int serve(const Asked& asked)
{
    auto house = House::open(asked.data, asked.database);
    if (!house) return complain(house.error());
    House& h = **house;
    const auto colon = asked.listen.rfind(':');
    ServerOptions options;
    options.address = asked.listen.substr(0, colon);
    options.port = static_cast<std::uint16_t>(std::atoi(colon == std::string::npos ? "8470" : asked.listen.c_str() + colon + 1));
    options.behind_proxy = asked.behind_proxy;
    options.limits.per_address = asked.per_address;
    options.limits.stall = std::chrono::seconds(asked.stall_s);
    options.certificate = asked.certificate;
    options.key = asked.key;
    const bool near = options.address == "127.0.0.1" || options.address == "::1";
    if (!near && options.certificate.empty()) {
        // Nothing goes over a network in clear.
        options.certificate = asked.data + "/tls.crt";
        options.key = asked.data + "/tls.key";
        struct stat about{};
        if (::stat(options.certificate.c_str(), &about) != 0)
            if (auto made = make_certificate(options.certificate, options.key, options.address); !made) return complain(made.error());
    }
    if (!options.certificate.empty()) {
        auto pin = pin_of(options.certificate);
        if (!pin) return complain(pin.error());
        h.pins = {*pin};
    }
    if (auto ready = h.start(); !ready) return complain(ready.error());
    const bool tls = !options.certificate.empty();
    SiteSettings site_settings{asked.name, asked.url, h.pins};
    Site site(*h.writer, *h.readers, h.accounts, h.book, h.blobs, h.clock, h.random, site_settings);
    App app(*h.writer, *h.readers, *h.files, *h.takers, h.uploads, h.blobs, site, h.signatures, h.clock, *h.database, {0.02, asked.metrics_token, rates(asked)});
    auto server = Server::make(app, options);
    if (!server) return complain(server.error());
    app.attach(**server);
    const std::string url = !asked.url.empty() ? asked.url : std::string(tls ? "https://" : "http://") + options.address + ":" + std::to_string((*server)->port());
    site.set_url(url);
    std::cout << "Chockside shop: " << url << "/shop/ (" << h.database->name() << ")" << std::endl;
    if (const int failed = first_steps(h, url)) return failed;
    std::cout.flush();

    std::atomic<bool> ending{false};
    std::thread follower([&] {
        // The index may lag where there is no time for both; what tablets wait for may not.
        ::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), 10);
        auto reader = h.reader();
        for (int turn = 0; !ending; ++turn) {
            auto more = h.book.follow(*reader, *h.writer);
            if (turn % 20 == 0) site.flush();
            if (turn % 3600 == 0) h.uploads.sweep();
            if (more && !*more)
                if (Connection* c = reader->ledger.connection()) (void)h.book.fleet().keep_ready(*c);
            if (!more || !*more) std::this_thread::sleep_for(std::chrono::milliseconds(500));
        }
    });
    sigset_t signals;
    sigemptyset(&signals);
    sigaddset(&signals, SIGTERM);
    sigaddset(&signals, SIGINT);
    std::thread waiter([&] {
        int which = 0;
        sigwait(&signals, &which);
        (*server)->stop();
    });
    (*server)->run();
    ending = true;
    follower.join();
    site.flush();
    h.stop();
    waiter.join();
    return 0;
}

} // namespace

int run(int argc, char** argv)
{
    std::signal(SIGPIPE, SIG_IGN);
    sigset_t signals;
    sigemptyset(&signals);
    sigaddset(&signals, SIGTERM);
    sigaddset(&signals, SIGINT);
    pthread_sigmask(SIG_BLOCK, &signals, nullptr); // every thread inherits it; one waits for them

    CLI::App cli("The shop's end: takes in what tablets send, and shows it on a page.");
    Asked asked;
    std::string destination, source, user, role = "lead", brought, receipts;
    cli.add_option("--data", asked.data, "Folder of keys, database, blobs")->required();
    cli.add_option("--db", asked.database, "PostgreSQL connection string; without it DATA/shop.db");
    cli.add_option("--listen", asked.listen, "ADDRESS:PORT; beyond loopback always with TLS 1.3");
    cli.add_option("--certificate", asked.certificate, "PEM chain");
    cli.add_option("--key", asked.key, "PEM key of it");
    cli.add_option("--name", asked.name, "How the page calls the shop");
    cli.add_option("--url", asked.url, "How tablets reach it, for the enrolment code");
    cli.add_option("--metrics-token", asked.metrics_token, "Who may read /metrics from elsewhere");
    cli.add_option("--per-address", asked.per_address, "Connections of one address");
    cli.add_option("--per-device", asked.per_device, "Requests a second of one tablet; five times as many at once")->check(CLI::Range(1.0, 1e6));
    cli.add_option("--per-visitor", asked.per_visitor, "Requests a second of one address that no tablet is known by; ten times as many at once")->check(CLI::Range(1.0, 1e6));
    cli.add_option("--stall", asked.stall_s, "Seconds without a byte within a request")->check(CLI::Range(1, 600));
    cli.add_flag("--behind-proxy", asked.behind_proxy, "Believe X-Forwarded-For and -Proto of loopback");
    auto* backup = cli.add_subcommand("backup", "A verified copy; what it holds is archived from then on");
    backup->add_option("FOLDER", destination)->required();
    auto* restore = cli.add_subcommand("restore", "Puts a copy back into an empty DATA and begins a new epoch");
    restore->add_option("FOLDER", source)->required();
    auto* check = cli.add_subcommand("verify", "Every chain, signature, the log's tree and every blob");
    auto* person = cli.add_subcommand("user", "Adds a person, or sets a password; reads it from the standard input");
    person->add_option("NAME", user)->required();
    person->add_option("--role", role, "reader, lead or keeper");
    auto* taking = cli.add_subcommand("take", "Takes in what a tablet handed over without a network: its file, or the symbols of its series, one a line");
    taking->add_option("FILE", brought)->required();
    taking->add_option("--receipts", receipts, "Where the receipts are written, to be carried back");
    CLI11_PARSE(cli, argc, argv);

    if (*restore) {
        auto put = restore_copy(source, asked.data, asked.database);
        if (!put) return complain(put.error());
        std::cout << "Restored. New epoch: " << *put << "\n";
        return 0;
    }
    if (!*backup && !*check && !*person && !*taking) return serve(asked);
    auto house = House::open(asked.data, asked.database);
    if (!house) return complain(house.error());
    if (auto ready = (*house)->start(); !ready) return complain(ready.error());
    int code = 0;
    if (*taking) code = take(**house, brought, receipts);
    else if (*backup) {
        auto made = back_up(**house, destination);
        if (!made) code = complain(made.error());
        else std::cout << "Copied and verified: " << made->entries << " entries, " << made->blobs << " blobs.\n";
    } else if (*check) {
        auto found = verify_all(**house);
        if (!found) code = complain(found.error());
        else if (std::cout << found->entries << " entries, " << found->blobs << " blobs: " << (found->bad.empty() ? "all whole" : found->bad) << "\n"; found && !found->bad.empty()) code = 1;
    } else {
        std::string password;
        std::getline(std::cin, password);
        const auto wanted = role_of(role);
        if (!wanted) return 2;
        auto added = (*house)->accounts.add(*(*house)->writer, user, *wanted, password);
        if (!added && added.error().code == "exists") added = (*house)->accounts.set_password(*(*house)->writer, user, password);
        if (!added) code = complain(added.error());
    }
    (*house)->stop();
    return code;
}

} // namespace chockside::shop
