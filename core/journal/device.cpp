// Whose store this is: a copy on another machine, or one put back from a backup, may not go on with the chain that the original has.
#include <core/journal/detail/inside.h>

namespace chockside::journal {

namespace {

constexpr std::uint64_t small_file = 4096;

std::string text_of(Disk& disk, const std::string& path)
{
    const auto bytes = disk.read(path, small_file);
    return bytes ? to_text(*bytes) : std::string();
}

Status unless_absent(Status done)
{
    return !done && done.error().code == "not_found" ? Status{} : done;
}

/// A seed that is gone from memory with whoever held it.
struct Secret {
    Result<Bytes> bytes;
    explicit Secret(Result<Bytes> read) : bytes(std::move(read)) {}
    ~Secret()
    {
        if (bytes) trust::wipe(*bytes);
    }
    Secret(const Secret&) = delete;
    Secret& operator=(const Secret&) = delete;
};

/// Hex; empty where there is no key.
std::string public_of(const Result<Bytes>& seed)
{
    const auto pair = seed ? trust::KeyPair::from_seed(*seed) : Result<trust::KeyPair>(fail("bad_key"));
    return pair ? to_hex(pair->public_key()) : std::string();
}

} // namespace

/// Several stores of one person share a keyring.
std::string Store::Inside::key_name() const
{
    return "device " + trust::sha256_hex(as_bytes(options.folder)).substr(0, 16);
}

std::string Store::Inside::key_file() const
{
    return options.folder + "/device.key";
}

/// Says whose key lies in the keyring, so that a keyring that is silent is not taken for one that never had it.
std::string Store::Inside::key_note() const
{
    return options.folder + "/device.in_keyring";
}

Status Store::Inside::key_is_in_keyring(const trust::KeyPair& pair)
{
    in_keyring = true;
    if (auto noted = disk.write_whole(key_note(), as_bytes(to_hex(pair.public_key()))); !noted) return noted;
    return unless_absent(disk.erase(key_file()));
}

Status Store::Inside::keep_key(const trust::KeyPair& pair)
{
    Secret seed(pair.seed());
    if (options.keeper && options.keeper->keep(key_name(), *seed.bytes)) return key_is_in_keyring(pair);
    in_keyring = false;
    // First: a note without its key would keep this device from writing.
    if (auto gone = unless_absent(disk.remove(key_note())); !gone) return gone;
    return disk.write_whole(key_file(), *seed.bytes);
}

bool Store::Inside::on_another_machine() const
{
    const std::string before = text_of(disk, options.folder + "/device.id");
    return !options.device.empty() && !before.empty() && before != options.device;
}

/// A keyring that is silent once must not make this device another author: its entries would count as someone else's.
Status Store::Inside::own_key()
{
    const auto note = disk.read(key_note(), small_file);
    const Secret filed(disk.read(key_file(), small_file));
    for (const auto* read : {&note, &filed.bytes})
        if (!*read && read->error().code != "not_found") return Unexpected{read->error()};
    const std::string noted = note ? to_text(*note) : std::string();
    const Secret ringed(options.keeper ? options.keeper->read(key_name(), noted.empty() ? trust::Patience::brief : trust::Patience::for_a_person) : Result<Bytes>(fail("silent")));
    const bool answers = ringed.bytes || ringed.bytes.error().code == "not_found";
    if (!answers && ringed.bytes.error().code != "silent") return Unexpected{ringed.bytes.error()};
    if (!answers && !noted.empty() && public_of(filed.bytes) != noted && !on_another_machine()) return fail("keyring_silent", "keyring");

    // Without a note a key in a file is the newer one: it was made where the keyring's was out of reach, or belongs to a store put here since.
    const bool by_ring = ringed.bytes && (!filed.bytes || !noted.empty());
    const Secret& seed = by_ring ? ringed : filed;
    auto pair = seed.bytes ? trust::KeyPair::from_seed(*seed.bytes) : Result<trust::KeyPair>(trust::KeyPair::make(random));
    if (!pair) return Unexpected{pair.error()};
    if (!seed.bytes && !noted.empty()) began_anew = "key_lost";
    in_keyring = by_ring;
    const bool settled = by_ring ? noted == to_hex(pair->public_key()) && !filed.bytes : filed.bytes && !answers;
    if (!settled)
        if (auto ok = by_ring ? key_is_in_keyring(*pair) : keep_key(*pair); !ok) return ok;
    key = std::move(*pair);
    return {};
}

Status Store::Inside::begin_anew(const char* why)
{
    trust::KeyPair fresh = trust::KeyPair::make(random);
    if (auto kept = keep_key(fresh); !kept) return kept;
    key = std::move(fresh);
    author = trust::author_id(key->public_key());
    began_anew = why;
    return head();
}

Status Store::Inside::own_or_anew()
{
    const std::string named = options.folder + "/device.id";
    if (!options.device.empty()) {
        const std::string before = text_of(disk, named);
        if (on_another_machine())
            if (auto ok = begin_anew("copied"); !ok) return ok;
        // After the new key: a kill in between begins anew once more, and never goes on as the other.
        if (before != options.device)
            if (auto kept = disk.write_whole(named, as_bytes(options.device)); !kept) return kept;
    }
    if (options.witness.empty()) return {};
    const auto told = json::read(text_of(disk, options.witness));
    if (told && (*told)["author"].as_text() == author && (*told)["seq"].as_int() > seq)
        if (auto ok = begin_anew("restored"); !ok) return ok;
    if (!told || (*told)["author"].as_text() != author || (*told)["seq"].as_int() != seq) keep_witness();
    return {};
}

/// Late is no harm: it only sees less far back.
void Store::Inside::keep_witness()
{
    if (!options.witness.empty()) (void)disk.write_whole(options.witness, as_bytes(json::write(json::Object{{"author", author}, {"seq", seq}})));
}

} // namespace chockside::journal
