#include <core/people/people.h>

#include <algorithm>

namespace chockside::people {

namespace {

constexpr std::uint64_t file_most = 64u << 10;
constexpr int free_tries = 5;
constexpr const char* ending = ".person";

bool good_id(const std::string& id)
{
    return !id.empty() && id.size() <= 8 && std::all_of(id.begin(), id.end(), [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); });
}

} // namespace

std::int64_t delay_ms(int wrong)
{
    if (wrong < free_tries) return 0;
    const int doublings = std::min(wrong - free_tries, 7);
    return std::min<std::int64_t>(30'000ll << doublings, 3'600'000);
}

People::People(Disk& disk, const Clock& clock, Random& random, std::string folder, trust::Stretch stretch)
    : disk_(disk), clock_(clock), random_(random), folder_(std::move(folder)), stretch_(stretch)
{
}

std::string People::path(const std::string& id) const
{
    return folder_ + "/" + id + ending;
}

Result<People::Held> People::load(const std::string& id)
{
    if (!good_id(id)) return fail("not_found", id);
    const auto bytes = disk_.read(path(id), file_most);
    if (!bytes) return Unexpected{bytes.error()};
    const auto read = json::read(to_text(*bytes));
    if (!read) return fail("bad_key", id);
    const json::Value& v = *read;
    auto key = trust::wrapped_from(v["key"]);
    const auto open = from_hex(v["public_key"].as_text());
    if (!key || !open || open->size() != 32 || v["id"].as_text() != id) return fail("bad_key", id);
    Held h{{id, v["name"].as_text(), v["certificate_kind"].as_text(), v["certificate_number"].as_text(), v["public_key"].as_text()}, std::move(*key), v["sealed"].as_text(), 0, 0, {}};
    h.wrong = static_cast<int>(std::clamp<std::int64_t>(v["wrong"].as_int(), 0, 1000));
    h.since_mono = v["since_mono"].as_int();
    h.since_boot = v["since_boot"].as_text();
    read_sealed(h);
    return h;
}

void People::read_sealed(Held& h)
{
    const auto sealed = from_hex(h.sealed);
    if (h.sealed.empty() || !sealed || !sealing_.unseal) return;
    const auto plain = sealing_.unseal("person " + h.person.id, *sealed);
    const auto says = plain ? json::read(to_text(*plain)) : Result<json::Value>(fail("pin_needed"));
    if (!says) return;
    h.person.name = (*says)["name"].as_text();
    h.person.certificate_kind = (*says)["certificate_kind"].as_text();
    h.person.certificate_number = (*says)["certificate_number"].as_text();
}

Status People::keep(const Held& h)
{
    json::Value v(json::Object{{"v", 1}, {"id", h.person.id}, {"public_key", h.person.public_key}, {"key", trust::to_json(h.key)}, {"wrong", h.wrong}, {"since_mono", h.since_mono}, {"since_boot", h.since_boot}});
    const json::Object says{{"name", h.person.name}, {"certificate_kind", h.person.certificate_kind}, {"certificate_number", h.person.certificate_number}};
    if (!h.sealed.empty()) v.at("sealed") = h.sealed;
    else if (!sealing_.seal)
        for (const auto& [key, value] : says) v.at(key) = value;
    else {
        const auto sealed = sealing_.seal("person " + h.person.id, as_bytes(json::write(json::Value(says))));
        if (!sealed) return Unexpected{sealed.error()};
        v.at("sealed") = to_hex(*sealed);
    }
    if (auto made = disk_.make_folder(folder_); !made) return made;
    return disk_.write_whole(path(h.person.id), as_bytes(json::write(v)));
}

Result<std::vector<Person>> People::list()
{
    auto names = disk_.list(folder_);
    if (!names) return names.error().code == "not_found" ? Result<std::vector<Person>>(std::vector<Person>{}) : Result<std::vector<Person>>(Unexpected{names.error()});
    std::sort(names->begin(), names->end());
    std::vector<Person> all;
    for (const std::string& name : *names) {
        if (!name.ends_with(ending)) continue;
        if (auto held = load(name.substr(0, name.size() - std::string(ending).size()))) all.push_back(std::move(held->person));
    }
    return all;
}

std::optional<Person> People::find(const std::string& id)
{
    auto held = load(id);
    return held ? std::optional<Person>(std::move(held->person)) : std::nullopt;
}

Result<Person> People::enrol(Person person, std::string_view pin)
{
    if (!good_id(person.id)) return fail("bad_name", person.id, {{"id", person.id}});
    if (pin.size() < pin_least) return fail("pin_short", person.id, {{"least", std::to_string(pin_least)}});
    if (const auto there = load(person.id); there || there.error().code != "not_found") return fail("person_known", person.id, {{"who", person.id}});
    trust::KeyPair key = trust::KeyPair::make(random_);
    person.public_key = to_hex(key.public_key());
    Bytes seed = key.seed();
    auto wrapped = trust::wrap(seed, pin, random_, stretch_);
    trust::wipe(seed);
    if (!wrapped) return Unexpected{wrapped.error()};
    const Held held{std::move(person), std::move(*wrapped), {}, 0, 0, {}};
    if (auto kept = keep(held); !kept) return Unexpected{kept.error()};
    return held.person;
}

/// Only the boot clock counts. After a restart of the device nobody knows how long it was off: the delay begins anew.
std::int64_t People::wait_ms(Held& h)
{
    const std::int64_t delay = delay_ms(h.wrong);
    if (delay == 0) return 0;
    const Now now = clock_.now();
    std::int64_t since = h.since_mono;
    if (h.since_boot != now.boot) since = started_.try_emplace(h.person.id + h.since_boot, now.mono_ms).first->second;
    return std::max<std::int64_t>(0, since + delay - now.mono_ms);
}

Result<trust::KeyPair> People::unlock(Held& h, std::string_view pin)
{
    if (const std::int64_t wait = wait_ms(h)) return fail("pin_wait", h.person.id, {{"seconds", std::to_string((wait + 999) / 1000)}});
    // Counted before it is tried: a kill in between is a wrong try, not a free one.
    const Now now = clock_.now();
    ++h.wrong;
    h.since_mono = now.mono_ms;
    h.since_boot = now.boot;
    if (auto kept = keep(h); !kept) return Unexpected{kept.error()};
    auto seed = trust::unwrap(h.key, pin);
    if (!seed) {
        if (seed.error().code != "wrong_pin") return Unexpected{seed.error()};
        return fail("wrong_pin", h.person.id, {{"left", std::to_string(std::max(0, free_tries - h.wrong))}});
    }
    auto key = trust::KeyPair::from_seed(*seed);
    trust::wipe(*seed);
    if (!key || to_hex(key->public_key()) != h.person.public_key) return fail("bad_key", h.person.id);
    h.wrong = 0;
    if (auto kept = keep(h); !kept) return Unexpected{kept.error()};
    return key;
}

Result<Bytes> People::sign(const std::string& id, std::string_view pin, ByteView statement)
{
    auto held = load(id);
    if (!held) return Unexpected{held.error()};
    auto key = unlock(*held, pin);
    if (!key) return Unexpected{key.error()};
    return key->sign(trust::Domain::sign_off, statement);
}

Result<trust::KeyPair> People::key(const std::string& id, std::string_view pin)
{
    auto held = load(id);
    return held ? unlock(*held, pin) : Result<trust::KeyPair>(Unexpected{held.error()});
}

Status People::change_pin(const std::string& id, std::string_view pin, std::string_view new_pin)
{
    if (new_pin.size() < pin_least) return fail("pin_short", id, {{"least", std::to_string(pin_least)}});
    auto held = load(id);
    if (!held) return Unexpected{held.error()};
    auto key = unlock(*held, pin);
    if (!key) return Unexpected{key.error()};
    Bytes seed = key->seed();
    auto wrapped = trust::wrap(seed, new_pin, random_, stretch_);
    trust::wipe(seed);
    if (!wrapped) return Unexpected{wrapped.error()};
    held->key = std::move(*wrapped);
    return keep(*held);
}

Bytes People::rotation_message(const std::string& old_key, const std::string& new_key)
{
    return to_bytes("rotation/1 " + old_key + " " + new_key);
}

Result<People::Rotated> People::rotate(const std::string& id, std::string_view pin, const Made& made)
{
    auto held = load(id);
    if (!held) return Unexpected{held.error()};
    auto old = unlock(*held, pin);
    if (!old) return Unexpected{old.error()};
    trust::KeyPair next = trust::KeyPair::make(random_);
    Bytes seed = next.seed();
    auto wrapped = trust::wrap(seed, pin, random_, stretch_);
    trust::wipe(seed);
    if (!wrapped) return Unexpected{wrapped.error()};
    Rotated r{held->person, held->person.public_key, {}, {}};
    r.person.public_key = to_hex(next.public_key());
    const Bytes message = rotation_message(r.old_key, r.person.public_key);
    r.by_old = to_hex(old->sign(trust::Domain::enrolment, message));
    r.by_new = to_hex(next.sign(trust::Domain::enrolment, message));
    if (auto ok = made(r.old_key, r.person.public_key); !ok) return Unexpected{ok.error()};
    held->person = r.person;
    held->key = std::move(*wrapped);
    if (auto kept = keep(*held); !kept) return Unexpected{kept.error()};
    return r;
}

} // namespace chockside::people
