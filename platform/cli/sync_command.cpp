#include <platform/cli/pin.h>
#include <platform/cli/sync_command.h>

#include <core/sync/carry.h>
#include <core/sync/journal_store.h>
#include <core/sync/tablet.h>
#include <platform/cli/command.h>
#include <platform/desk/own_store.h>
#include <platform/net/net_wire.h>
#include <platform/system/system.h>

#include <CLI/CLI.hpp>
#include <QCoreApplication>
#include <QTimer>

#include <clocale>
#include <iostream>
#include <memory>

namespace chockside::cli {

namespace {

int tell(const sync::QueueView& v, bool machine)
{
    const bool all = v.enrolled && v.at_shop == v.entries && v.files.empty() && v.refused == 0 && v.stopped.empty() && v.reason.empty();
    if (machine)
        std::cout << json::write(json::Object{{"entries", v.entries}, {"at_shop", v.at_shop}, {"archived", v.archived}, {"files", static_cast<std::int64_t>(v.files.size())}, {"refused", v.refused}, {"lacking", v.lacking},
                         {"went_back", v.went_back}, {"reason", v.reason}, {"stopped", v.stopped}})
                  << '\n';
    else {
        std::cout << v.at_shop << " of " << v.entries << " entries are at the shop, " << v.archived << " archived";
        if (!v.files.empty()) std::cout << ", " << v.files.size() << " files wait";
        if (v.refused) std::cout << ", " << v.refused << " files stay here: " << v.refused_reason;
        if (!v.reason.empty() || !v.stopped.empty()) std::cout << " (" << (v.stopped.empty() ? v.reason : v.stopped) << ")";
        std::cout << ".\n";
    }
    return all ? 0 : 1;
}

/// What one contact needs, on this thread; the network has its own.
struct Contact {
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    desk::OwnStore own;
    std::unique_ptr<journal::Store> store;
    std::unique_ptr<sync::JournalStore> kept;
    std::unique_ptr<net::NetWire> wire;
    std::unique_ptr<sync::Tablet> tablet;
    QTimer timer;

    Status open(const SyncOptions& o, QObject* context)
    {
        own = desk::own_store(disk, o.folder.empty() ? system::data_folder() : o.folder);
        auto opened = journal::Store::open(disk, clock, random, own.options);
        if (!opened) return Unexpected{opened.error()};
        store = std::move(*opened);
        tell_anew(*store, std::cerr);
        if (!o.person.empty() && store->locked()) {
            const auto key = key_of(disk, clock, random, o.folder.empty() ? system::data_folder() : o.folder, o.person);
            if (auto ok = key ? store->unlock(*key) : Status(Unexpected{key.error()}); !ok) return ok;
        }
        kept = std::make_unique<sync::JournalStore>(*store);
        return connect(o, context);
    }
    Status connect(const SyncOptions& o, QObject* context)
    {
        struct Later final : sync::Wire { // the engine is made first: the enrolment names the shop that the wire leads to
            Contact& c;
            explicit Later(Contact& contact) : c(contact) {}
            void send(std::uint64_t id, sync::Request r, std::size_t most) override { c.wire->send(id, std::move(r), most); }
            void cancel(std::uint64_t id) override { if (c.wire) c.wire->cancel(id); }
        };
        later = std::make_unique<Later>(*this);
        sync::TabletSettings settings;
        settings.name = o.name;
        tablet = std::make_unique<sync::Tablet>(*kept, *later, clock, random, settings);
        if (auto ok = tablet->start(); !ok) return ok;
        if (!o.enrol.empty())
            if (auto ok = tablet->enrol(o.enrol); !ok) return ok;
        const auto known = kept->known();
        if (!known) return Unexpected{known.error()};
        if (known->account.receiver.empty()) return fail("not_enrolled");
        net::Shop shop{o.to.empty() ? known->account.url : o.to, known->account.pins};
        while (!shop.url.empty() && shop.url.back() == '/') shop.url.pop_back();
        if (const auto why = net::flaw(shop); !why.empty()) return fail(why, shop.url);
        wire = std::make_unique<net::NetWire>(std::move(shop), context, [this](std::uint64_t id, sync::WireAnswer a) { answered(id, std::move(a)); });
        return {};
    }
    void answered(std::uint64_t id, sync::WireAnswer a)
    {
        tablet->answered(id, std::move(a));
        if (!tablet->view().busy) QCoreApplication::quit();
    }
    ~Contact()
    {
        tablet.reset();
        wire.reset();
    }
    std::unique_ptr<sync::Wire> later;
};

} // namespace

namespace {

Status carry(Contact& contact, const std::string& path)
{
    constexpr std::size_t most = 64u << 20;
    const auto carried = sync::to_carry(*contact.kept, most);
    if (!carried) return Unexpected{carried.error()};
    if (auto kept = contact.disk.write_whole(path, as_bytes(sync::text(carried->handover))); !kept) return kept;
    std::cout << "Entries " << carried->first << " to " << carried->last << (carried->all ? ".\n" : "; more follow after the receipts of these.\n");
    return {};
}

Status take_back(Contact& contact, const std::string& path)
{
    const auto bytes = contact.disk.read(path, sync::limits::answer);
    if (!bytes) return Unexpected{bytes.error()};
    const auto file = sync::receipt_file_from(to_text(*bytes));
    if (!file) return Unexpected{file.error()};
    auto taken = contact.tablet->take_receipts(file->receipts);
    return taken && file->streams ? contact.tablet->take_written(*file->streams, file->lines) : taken;
}

} // namespace

int sync_now(const SyncOptions& o, const Run& run)
{
    int argc = 1;
    char name[] = "chockside-cli";
    char* argv[] = {name, nullptr};
    QCoreApplication app(argc, argv);
    std::setlocale(LC_NUMERIC, "C"); // the application took the system's
    Contact contact;
    if (auto ok = contact.open(o, &app); !ok) return say(ok.error(), run, ok.error().code == "not_enrolled" || ok.error().code == "bad_code" ? 2 : 3);
    if (!o.carry.empty() || !o.receipts.empty()) {
        if (auto ok = o.receipts.empty() ? Status{} : take_back(contact, o.receipts); !ok) return say(ok.error(), run, 3);
        if (auto ok = o.carry.empty() ? Status{} : carry(contact, o.carry); !ok) return say(ok.error(), run, ok.error().code == "nothing_new" ? 1 : 3);
        return o.receipts.empty() ? 0 : tell(contact.tablet->view(), run.json);
    }
    QTimer::singleShot(o.seconds * 1000, &app, &QCoreApplication::quit);
    QTimer::singleShot(0, &app, [&] {
        contact.tablet->try_now();
        if (!contact.tablet->view().busy) QCoreApplication::quit();
    });
    QCoreApplication::exec();
    return tell(contact.tablet->view(), run.json);
}

void add_sync_command(CLI::App& app, Run& run)
{
    const auto o = std::make_shared<SyncOptions>();
    CLI::App* c = app.add_subcommand("sync", "One contact with the shop: entries, then attachments, both ways");
    add_json(*c, run);
    c->add_option("--folder", o->folder, "The store's folder");
    c->add_option("--to", o->to, "The shop's address, where it is not the one of the enrolment");
    c->add_option("--enrol", o->enrol, "The text of the shop's enrolment code, the first time");
    c->add_option("--person", o->person, "Whose PIN opens the store: a locked one sends no bodies");
    c->add_option("--name", o->name, "What the shop calls this device");
    c->add_option("--carry", o->carry, "Without a network: writes what the shop has no receipt of into this file");
    c->add_option("--receipts", o->receipts, "Without a network: reads the receipts that came back from the shop");
    c->add_option("--seconds", o->seconds, "Give up after so many")->check(CLI::PositiveNumber);
    c->callback([o, &run] { run.code = sync_now(*o, run); });
}

} // namespace chockside::cli
