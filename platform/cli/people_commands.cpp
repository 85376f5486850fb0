#include <platform/cli/people_commands.h>

#include <platform/cli/pin.h>
#include <platform/desk/own_store.h>
#include <platform/words/words.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace chockside::cli {

namespace {

using json::Value;

int complain(const Problem& p, bool machine, std::ostream& error)
{
    const words::Words w = words::of(p);
    if (machine) error << json::write(Value(json::Object{{"code", p.code}, {"place", p.place}, {"message", w.message}, {"mend", w.mend}})) << '\n';
    else error << words::line(p) << '\n';
    return p.code == "wrong_pin" || p.code == "not_a_holder" ? 1 : 3;
}

/// The store and its people, the one sealing for the other.
struct Here {
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::string folder;
    desk::OwnStore own = {};
    std::unique_ptr<journal::Store> store = {};
    people::People people;

    explicit Here(const PeopleOptions& o) : folder(o.folder.empty() ? system::data_folder() : o.folder), people(disk, clock, random, folder + "/people") {}

    Status open(bool read_only)
    {
        if (!read_only) own = desk::own_store(disk, folder);
        auto opened = journal::Store::open(disk, clock, random, read_only ? journal::Store::Options{folder, true} : own.options);
        if (!opened) return Unexpected{opened.error()};
        store = std::move(*opened);
        people.seal_with({[this](const std::string& about, ByteView plain) { return store->seal_note(about, plain); }, [this](const std::string& about, ByteView sealed) { return store->unseal_note(about, sealed); }});
        return {};
    }
    Status unlock(const std::string& person, std::string_view pin)
    {
        if (!store->locked()) return {};
        const auto key = people.key(person, pin);
        return key ? store->unlock(*key) : Status(Unexpected{key.error()});
    }
};

void wipe(std::string& secret)
{
    trust::wipe(std::as_writable_bytes(std::span(secret)));
}

} // namespace

int people_list(const PeopleOptions& o, std::ostream& out, std::ostream& error)
{
    Here here(o);
    if (auto ok = here.open(true); !ok) return complain(ok.error(), o.json, error);
    if (!o.person.empty()) {
        std::string pin = ask_pin("PIN");
        const auto opened = here.unlock(o.person, pin);
        wipe(pin);
        if (!opened) return complain(opened.error(), o.json, error);
    }
    const auto all = here.people.list();
    const auto holders = here.store->holders();
    if (!all || !holders) return complain(!all ? all.error() : holders.error(), o.json, error);
    Value list(json::Array{});
    for (const auto& p : *all) {
        const bool opens = std::find(holders->begin(), holders->end(), p.public_key) != holders->end();
        list.push(json::Object{{"id", p.id}, {"name", p.name}, {"certificate_kind", p.certificate_kind}, {"certificate_number", p.certificate_number}, {"public_key", p.public_key}, {"opens", opens}});
        if (!o.json) out << p.id << "  " << p.name << "  " << p.certificate_kind << ' ' << p.certificate_number << "  " << p.public_key << (opens ? "  opens this device" : "") << '\n';
    }
    if (o.json) out << json::write(Value(json::Object{{"people", list}})) << '\n';
    return 0;
}

int people_pin(const PeopleOptions& o, std::ostream& out, std::ostream& error)
{
    Here here(o);
    if (auto ok = here.open(true); !ok) return complain(ok.error(), o.json, error);
    std::string old = ask_pin("PIN"), fresh = ask_pin("New PIN"), again = ask_pin("The new PIN again");
    const Status changed = fresh == again ? here.people.change_pin(o.person, old, fresh) : Status(fail("pin_same", o.person));
    for (std::string* pin : {&old, &fresh, &again}) wipe(*pin);
    if (!changed) return complain(changed.error(), o.json, error);
    if (o.json) out << json::write(Value(json::Object{{"person", o.person}, {"changed", true}})) << '\n';
    else out << o.person << " has a new PIN.\n";
    return 0;
}

Result<people::People::Rotated> rotate_key(people::People& people, journal::Store& store, const std::string& person, std::string_view pin)
{
    auto rotated = people.rotate(person, pin, [&](const std::string& old_key, const std::string& new_key) { return store.add_successor(old_key, new_key); });
    if (!rotated) return rotated;
    const Status held = store.replace_holder(rotated->old_key, rotated->person.public_key);
    return held ? std::move(rotated) : Result<people::People::Rotated>(Unexpected{held.error()});
}

int people_rotate(const PeopleOptions& o, std::ostream& out, std::ostream& error)
{
    Here here(o);
    if (auto ok = here.open(false); !ok) return complain(ok.error(), o.json, error);
    tell_anew(*here.store, error);
    std::string pin = ask_pin("PIN");
    const auto opened = here.unlock(o.person, pin);
    const auto rotated = opened ? rotate_key(here.people, *here.store, o.person, pin) : Result<people::People::Rotated>(Unexpected{opened.error()});
    wipe(pin);
    if (!rotated) return complain(rotated.error(), o.json, error);
    if (o.json) out << json::write(Value(json::Object{{"person", o.person}, {"old_key", rotated->old_key}, {"new_key", rotated->person.public_key}, {"by_old", rotated->by_old}, {"by_new", rotated->by_new}})) << '\n';
    else out << o.person << " signs with a new key: " << rotated->person.public_key << '\n';
    return 0;
}

} // namespace chockside::cli
