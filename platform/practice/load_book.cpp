#include <platform/practice/load_book.h>

#include <core/codec/plan.h>
#include <core/profile/load.h>

namespace chockside::practice {

namespace {

constexpr std::uint64_t most_bytes = 4u << 20;

std::string folder_of(const std::string& path)
{
    const std::size_t slash = path.rfind('/');
    return slash == std::string::npos ? "." : path.substr(0, slash);
}

Result<json::Value> read_json(Disk& disk, const std::string& path)
{
    const auto bytes = disk.read(path, most_bytes);
    if (!bytes) return Unexpected{bytes.error()};
    return json::read(to_text(*bytes));
}

// Members of `over` stand before those of `base`; objects are joined. A fault that `over` names by its id alone is the base's.
json::Value joined(const json::Value& base, const json::Value& over)
{
    if (!base.is_object() || !over.is_object()) return over;
    json::Value all = base;
    for (const auto& [key, value] : over.as_object()) all.at(key) = joined(base[key], value);
    return all;
}

json::Value with_faults(json::Value all, const json::Value& base)
{
    json::Array faults;
    for (const json::Value& fault : all["faults"].as_array()) {
        json::Value found = fault;
        for (const json::Value& known : base["faults"].as_array())
            if (known["id"] == fault["id"]) found = joined(known, fault);
        faults.push_back(found);
    }
    all.at("faults") = std::move(faults);
    return all;
}

Result<json::Value> whole_book(Disk& disk, const std::string& folder, const std::string& name)
{
    auto own = read_json(disk, folder + "/" + name);
    if (!own || !own->has("like")) return own;
    const auto base = read_json(disk, folder + "/" + (*own)["like"].as_text() + ".practice.json");
    if (!base) return base;
    return with_faults(joined(*base, *own), *base);
}

} // namespace

Result<Book> load_book(Disk& disk, const std::string& profile_path)
{
    const auto profile = read_json(disk, profile_path);
    if (!profile) return Unexpected{profile.error()};
    const std::string id = (*profile)["id"].as_text();
    const std::string folder = folder_of(profile_path) + "/../practice";
    const auto names = disk.list(folder);
    if (!names) return Unexpected{names.error()};
    for (const std::string& name : *names) {
        if (!name.ends_with(".practice.json")) continue;
        const auto text = whole_book(disk, folder, name);
        if (!text) continue;
        auto book = Book::read(json::write(*text));
        if (!book) return Unexpected{book.error()};
        if (book->world().profile == id) return book;
    }
    return fail("no_practice_for", id);
}

Result<std::optional<SpokenUnit>> load_wire(Disk& disk, const std::string& profile_path)
{
    const auto profile = read_json(disk, profile_path);
    if (!profile) return Unexpected{profile.error()};
    const std::string unit = (*profile)["unit"]["use"].as_text();
    if (unit == "pru_2") return std::optional<SpokenUnit>();
    const auto bytes = disk.read(folder_of(profile_path) + "/" + unit + ".unit.json", most_bytes);
    if (!bytes) return Unexpected{bytes.error()};
    const auto loaded = profile::load_half(to_text(*bytes), profile::Half::unit);
    if (!loaded.usable()) return fail("practice_unit", unit);
    const auto plan = codec::Plan::compile(loaded.profile.unit);
    if (!plan) return Unexpected{plan.error()};
    auto wire = ProfileWire::make(*plan);
    if (!wire) return Unexpected{wire.error()};
    return std::optional(SpokenUnit{std::move(*wire), static_cast<double>((*plan)->unit().line.rate)});
}

} // namespace chockside::practice
