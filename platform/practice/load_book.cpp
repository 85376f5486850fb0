#include <platform/practice/load_book.h>

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
        const auto bytes = disk.read(folder + "/" + name, most_bytes);
        if (!bytes) continue;
        auto book = Book::read(to_text(*bytes));
        if (!book) return Unexpected{book.error()};
        if (book->world().profile == id) return book;
    }
    return fail("no_practice_for", id);
}

} // namespace chockside::practice
