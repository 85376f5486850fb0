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

} // namespace

/// Several stores of one person share a keyring.
std::string Store::Inside::key_name() const
{
    return "device " + trust::sha256_hex(as_bytes(options.folder)).substr(0, 16);
}

Status Store::Inside::keep_key(const trust::KeyPair& pair)
{
    Bytes seed = pair.seed();
    const std::string path = options.folder + "/device.key";
    in_keyring = options.keeper && options.keeper->keep(key_name(), seed);
    const Status kept = in_keyring ? disk.erase(path) : disk.write_whole(path, seed);
    trust::wipe(seed);
    return in_keyring && !kept && kept.error().code == "not_found" ? Status{} : kept;
}

Status Store::Inside::own_key()
{
    auto ringed = options.keeper ? options.keeper->read(key_name()) : Result<Bytes>(fail("silent"));
    in_keyring = ringed.has_value();
    if (!ringed && ringed.error().code != "not_found" && ringed.error().code != "silent") return Unexpected{ringed.error()};
    const bool answers = ringed || ringed.error().code == "not_found";
    auto seed = ringed ? std::move(ringed) : disk.read(options.folder + "/device.key", small_file);
    if (!seed && seed.error().code != "not_found") return Unexpected{seed.error()};
    auto pair = seed ? trust::KeyPair::from_seed(*seed) : Result<trust::KeyPair>(trust::KeyPair::make(random));
    if (seed) trust::wipe(*seed);
    if (!pair) return Unexpected{pair.error()};
    if (!seed || (answers && !in_keyring))
        if (auto ok = keep_key(*pair); !ok) return ok;
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
        if (!before.empty() && before != options.device)
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
