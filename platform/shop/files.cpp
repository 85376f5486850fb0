#include <platform/shop/files.h>

#include <core/trust/trust.h>

#include <algorithm>
#include <cerrno>
#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

namespace chockside::shop {

namespace {

Unexpected<Problem> problem(const std::string& place)
{
    switch (errno) {
    case ENOSPC:
    case EDQUOT: return fail("disk_full", place);
    case EACCES:
    case EPERM:
    case EROFS: return fail("no_permission", place);
    case ENOENT: return fail("not_found", place);
    case EEXIST: return fail("exists", place);
    default: return fail("io_error", place, {{"errno", std::to_string(errno)}});
    }
}

bool good_name(const std::string& name)
{
    const auto fine = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '_'; };
    return !name.empty() && name.size() <= 128 && name.front() != '.' && std::all_of(name.begin(), name.end(), fine);
}

} // namespace

Fd::~Fd()
{
    if (fd_ >= 0) ::close(fd_);
}

bool is_sha(std::string_view s)
{
    return s.size() == 64 && std::all_of(s.begin(), s.end(), [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

Result<Folder> Folder::open(const std::string& path)
{
    if (::mkdir(path.c_str(), 0700) != 0 && errno != EEXIST) return problem(path);
    Fd fd(::open(path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!fd) return problem(path);
    return Folder(std::move(fd));
}

Result<Folder> Folder::child(const std::string& name) const
{
    if (!good_name(name)) return fail("bad_name", "folder");
    if (::mkdirat(fd(), name.c_str(), 0700) == 0) {
        if (auto kept = sync(); !kept) return Unexpected{kept.error()};
    } else if (errno != EEXIST) {
        return problem(name);
    }
    Fd made(::openat(fd(), name.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC));
    if (!made) return problem(name);
    return Folder(std::move(made));
}

Result<Fd> Folder::read(const std::string& name) const
{
    if (!good_name(name)) return fail("bad_name", "file");
    Fd file(::openat(fd(), name.c_str(), O_RDONLY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK));
    if (!file) return problem(name);
    struct stat about{};
    if (::fstat(file.get(), &about) != 0 || !S_ISREG(about.st_mode)) return fail("io_error", name);
    return file;
}

Result<Fd> Folder::append(const std::string& name, bool make) const
{
    if (!good_name(name)) return fail("bad_name", "file");
    Fd file(::openat(fd(), name.c_str(), O_RDWR | O_APPEND | O_NOFOLLOW | O_CLOEXEC | (make ? O_CREAT | O_EXCL : 0), 0600));
    if (!file) return problem(name);
    return file;
}

Result<std::string> Folder::text(const std::string& name, std::uint64_t most) const
{
    auto file = read(name);
    if (!file) return Unexpected{file.error()};
    std::string out(std::min<std::uint64_t>(size_of(file->get()), most + 1), '\0');
    if (out.size() > most) return fail("io_error", name, {{"what", "size"}});
    std::size_t have = 0;
    while (have < out.size()) {
        const auto n = ::pread(file->get(), out.data() + have, out.size() - have, static_cast<off_t>(have));
        if (n < 0) return problem(name);
        if (n == 0) break;
        have += static_cast<std::size_t>(n);
    }
    out.resize(have);
    return out;
}

Status Folder::write_whole(const std::string& name, std::string_view bytes) const
{
    if (!good_name(name)) return fail("bad_name", "file");
    const std::string part = "w." + name;
    ::unlinkat(fd(), part.c_str(), 0);
    auto file = append(part, true);
    if (!file) return Unexpected{file.error()};
    if (auto put = write_all(file->get(), bytes); !put) return put;
    if (auto kept = sync_data(file->get()); !kept) return kept;
    return move(part, *this, name);
}

Status Folder::move(const std::string& name, const Folder& to, const std::string& as) const
{
    if (!good_name(name) || !good_name(as)) return fail("bad_name", "file");
    if (::renameat(fd(), name.c_str(), to.fd(), as.c_str()) != 0) return problem(name);
    return to.sync();
}

Status Folder::remove(const std::string& name) const
{
    if (!good_name(name)) return fail("bad_name", "file");
    return ::unlinkat(fd(), name.c_str(), 0) == 0 || errno == ENOENT ? Status{} : Status(problem(name));
}

Status Folder::sync() const
{
    return ::fsync(fd()) == 0 ? Status{} : Status(problem("folder"));
}

std::vector<std::string> Folder::list() const
{
    std::vector<std::string> names;
    const int copy = ::openat(fd(), ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR* dir = copy >= 0 ? ::fdopendir(copy) : nullptr;
    if (!dir) return names;
    while (const dirent* entry = ::readdir(dir))
        if (good_name(entry->d_name)) names.emplace_back(entry->d_name);
    ::closedir(dir);
    std::sort(names.begin(), names.end());
    return names;
}

bool Folder::has(const std::string& name) const
{
    struct stat about{};
    return good_name(name) && ::fstatat(fd(), name.c_str(), &about, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(about.st_mode);
}

std::optional<std::uint64_t> Folder::size(const std::string& name) const
{
    struct stat about{};
    if (!good_name(name) || ::fstatat(fd(), name.c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0 || !S_ISREG(about.st_mode)) return {};
    return static_cast<std::uint64_t>(about.st_size);
}

bool Folder::is(const std::string& name, int file) const
{
    struct stat named{}, open{};
    if (!good_name(name) || ::fstatat(fd(), name.c_str(), &named, AT_SYMLINK_NOFOLLOW) != 0 || ::fstat(file, &open) != 0) return false;
    return named.st_dev == open.st_dev && named.st_ino == open.st_ino;
}

double Folder::free_share(std::uint64_t more) const
{
    struct statvfs about{};
    if (::fstatvfs(fd(), &about) != 0 || about.f_blocks == 0) return 0;
    const auto block = static_cast<double>(about.f_frsize);
    return (static_cast<double>(about.f_bavail) * block - static_cast<double>(more)) / (static_cast<double>(about.f_blocks) * block);
}

Status write_all(int fd, std::string_view bytes)
{
    while (!bytes.empty()) {
        const auto n = ::write(fd, bytes.data(), bytes.size());
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return problem("write");
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return {};
}

Status sync_data(int fd)
{
    return ::fdatasync(fd) == 0 ? Status{} : Status(problem("fdatasync"));
}

std::uint64_t size_of(int fd)
{
    struct stat about{};
    return ::fstat(fd, &about) == 0 ? static_cast<std::uint64_t>(about.st_size) : 0;
}

Result<std::string> sha256_of(int fd)
{
    trust::Sha256 sum;
    std::string piece(1u << 20, '\0');
    for (off_t at = 0;;) {
        const auto n = ::pread(fd, piece.data(), piece.size(), at);
        if (n < 0) return problem("read");
        if (n == 0) break;
        sum.add(as_bytes(std::string_view(piece.data(), static_cast<std::size_t>(n))));
        at += n;
    }
    return to_hex(sum.done());
}

Result<Blobs> Blobs::open(const std::string& path)
{
    auto root = Folder::open(path);
    if (!root) return Unexpected{root.error()};
    return Blobs(std::move(*root));
}

Result<Folder> Blobs::shelf(const std::string& sha) const
{
    if (!is_sha(sha)) return fail("bad_name", "blob");
    return root_.child(sha.substr(0, 2));
}

bool Blobs::has(const std::string& sha) const
{
    return size(sha).has_value();
}

std::optional<std::uint64_t> Blobs::size(const std::string& sha) const
{
    if (!is_sha(sha)) return {};
    struct stat about{};
    const std::string name = sha.substr(0, 2) + "/" + sha;
    if (::fstatat(root_.fd(), name.c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0 || !S_ISREG(about.st_mode)) return {};
    return static_cast<std::uint64_t>(about.st_size);
}

Result<Fd> Blobs::read(const std::string& sha) const
{
    if (!has(sha)) return fail("not_found", "blob");
    auto folder = shelf(sha);
    if (!folder) return Unexpected{folder.error()};
    return folder->read(sha);
}

Result<std::string> Blobs::bytes(const std::string& sha, std::uint64_t most) const
{
    if (!has(sha)) return fail("not_found", "blob");
    auto folder = shelf(sha);
    if (!folder) return Unexpected{folder.error()};
    return folder->text(sha, most);
}

Status Blobs::take(const Folder& from, const std::string& name, const std::string& sha) const
{
    auto folder = shelf(sha);
    if (!folder) return Unexpected{folder.error()};
    return from.move(name, *folder, sha);
}

Result<std::string> Blobs::put(std::string_view bytes) const
{
    const std::string sha = trust::sha256_hex(as_bytes(bytes));
    if (has(sha)) return sha;
    auto folder = shelf(sha);
    if (!folder) return Unexpected{folder.error()};
    if (auto kept = folder->write_whole(sha, bytes); !kept) return Unexpected{kept.error()};
    return sha;
}

std::vector<std::string> Blobs::list() const
{
    std::vector<std::string> all;
    for (const auto& name : root_.list()) {
        if (name.size() != 2) continue;
        const auto folder = root_.child(name);
        if (!folder) continue;
        for (auto& sha : folder->list())
            if (is_sha(sha)) all.push_back(std::move(sha));
    }
    return all;
}

} // namespace chockside::shop
