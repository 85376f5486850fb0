#include <platform/system/system.h>

#include <core/base/planted.h>
#include <core/trust/trust.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <dirent.h>
#include <fcntl.h>
#include <fstream>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>
#include <vector>

namespace chockside::system {

namespace {

Unexpected<Problem> problem(const std::string& path)
{
    const int error = errno;
    const char* code = error == ENOSPC || error == EDQUOT || error == EFBIG ? "disk_full" : error == EACCES || error == EPERM ? "no_permission" : error == ENOENT ? "not_found" : "io_error";
    return fail(code, path, {{"what", std::strerror(error)}});
}

struct Fd {
    int fd = -1;
    ~Fd()
    {
        if (fd >= 0) ::close(fd);
    }
};

bool write_all(int fd, ByteView bytes)
{
    while (!bytes.empty()) {
        const ssize_t n = ::write(fd, bytes.data(), bytes.size());
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return false;
        bytes = bytes.subspan(static_cast<std::size_t>(n));
    }
    return true;
}

std::int64_t milliseconds(clockid_t id)
{
    timespec t{};
    clock_gettime(id, &t);
    return std::int64_t{t.tv_sec} * 1000 + t.tv_nsec / 1'000'000;
}

class FileAppender final : public AppendFile {
public:
    FileAppender(int fd, std::uint64_t size, std::string path) : size_(size), path_(std::move(path)) { fd_.fd = fd; }
    Status append(ByteView bytes) override
    {
        if (!write_all(fd_.fd, bytes)) return problem(path_);
        size_ += bytes.size();
        return {};
    }
    Status sync() override { return ::fdatasync(fd_.fd) == 0 ? Status{} : Status(problem(path_)); }
    std::uint64_t size() const override { return size_; }

private:
    Fd fd_;
    std::uint64_t size_;
    std::string path_;
};

class FileLock final : public Disk::Lock {
public:
    explicit FileLock(int fd) { fd_.fd = fd; }

private:
    Fd fd_;
};

std::string folder_of(const std::string& path)
{
    const auto slash = path.rfind('/');
    return slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
}

bool sync_folder(const std::string& path)
{
    const Fd folder{::open(path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
    return folder.fd >= 0 && ::fsync(folder.fd) == 0;
}

std::string environment(const char* name)
{
    const char* value = std::getenv(name);
    return value ? value : "";
}

bool folder_there(const std::string& path)
{
    struct stat st{};
    return ::stat(path.c_str(), &st) == 0 && S_ISDIR(st.st_mode);
}

bool file_there(const std::string& path)
{
    struct stat st{};
    return ::stat(path.c_str(), &st) == 0 && S_ISREG(st.st_mode);
}

} // namespace

SystemClock::SystemClock()
{
    std::ifstream file("/proc/sys/kernel/random/boot_id");
    std::getline(file, boot_);
    if (boot_.empty()) boot_ = "unknown";
}

Now SystemClock::now() const
{
    return {milliseconds(CLOCK_REALTIME), milliseconds(CLOCK_BOOTTIME), boot_};
}

Status SystemDisk::make_folder(const std::string& path)
{
    for (std::size_t end = path.find('/', 1);; end = path.find('/', end + 1)) {
        const std::string part = path.substr(0, end);
        const bool made = ::mkdir(part.c_str(), 0700) == 0;
        if (!made && errno != EEXIST && !folder_there(part)) return problem(part);
        // A name that is not synced goes with the power, and all that was saved below it. The last one is synced even if it was there: who
        // made it may have been killed before this line. Where it was there and above it we may not read, another made it long ago.
        const bool last = end == std::string::npos;
        if ((made || last) && !sync_folder(folder_of(part)) && (made || errno != EACCES)) return problem(part);
        if (last) break;
    }
    return folder_there(path) ? Status{} : Status(problem(path));
}

Result<Bytes> SystemDisk::read(const std::string& path, std::uint64_t most)
{
    const Fd file{::open(path.c_str(), O_RDONLY | O_CLOEXEC)};
    struct stat st{};
    if (file.fd < 0 || ::fstat(file.fd, &st) != 0) return problem(path);
    if (static_cast<std::uint64_t>(st.st_size) > most) return fail("too_large", path);
    Bytes bytes(static_cast<std::size_t>(st.st_size));
    std::size_t have = 0;
    while (have < bytes.size()) {
        const ssize_t n = ::read(file.fd, bytes.data() + have, bytes.size() - have);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return problem(path);
        if (n == 0) break;
        have += static_cast<std::size_t>(n);
    }
    bytes.resize(have);
    return bytes;
}

Status SystemDisk::write_whole(const std::string& path, ByteView bytes)
{
    const std::string temporary = path + ".part";
    {
        const Fd file{::open(temporary.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600)};
        if (file.fd < 0) return problem(temporary);
        if (!write_all(file.fd, bytes) || ::fsync(file.fd) != 0) {
            auto bad = problem(path);
            ::unlink(temporary.c_str());
            return bad;
        }
    }
    if (::rename(temporary.c_str(), path.c_str()) != 0) return problem(path);
    if (PLANTED(folder_not_synced)) return {};
    return sync_folder(folder_of(path)) ? Status{} : Status(problem(folder_of(path)));
}

Result<std::unique_ptr<AppendFile>> SystemDisk::append_to(const std::string& path)
{
    const int fd = ::open(path.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    struct stat st{};
    if (fd < 0 || ::fstat(fd, &st) != 0) return problem(path);
    return std::unique_ptr<AppendFile>(std::make_unique<FileAppender>(fd, static_cast<std::uint64_t>(st.st_size), path));
}

Result<std::vector<std::string>> SystemDisk::list(const std::string& folder)
{
    DIR* dir = ::opendir(folder.c_str());
    if (!dir) return problem(folder);
    std::vector<std::string> names;
    while (const dirent* entry = ::readdir(dir))
        if (std::string name = entry->d_name; name != "." && name != "..") names.push_back(std::move(name));
    ::closedir(dir);
    return names;
}

Status SystemDisk::reserve(const std::string& path, std::uint64_t bytes)
{
    const Fd file{::open(path.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600)};
    if (file.fd < 0) return problem(path);
    if (const int error = ::posix_fallocate(file.fd, 0, static_cast<off_t>(bytes)); error != 0) {
        errno = error;
        auto bad = problem(path);
        ::unlink(path.c_str());
        return bad;
    }
    return {};
}

Status SystemDisk::move(const std::string& from, const std::string& to)
{
    if (::rename(from.c_str(), to.c_str()) != 0) return problem(from);
    for (const std::string& of : {folder_of(to), folder_of(from)})
        if (!sync_folder(of)) return problem(of);
    return {};
}

Status SystemDisk::remove(const std::string& path)
{
    return ::unlink(path.c_str()) == 0 ? Status{} : Status(problem(path));
}

Status SystemDisk::erase(const std::string& path)
{
    const int fd = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
    if (fd < 0) return errno == ENOENT ? Status{} : Status(problem(path));
    struct ::stat is {};
    const bool zeroed = ::fstat(fd, &is) == 0 && [&] {
        const std::vector<char> nothing(static_cast<std::size_t>(is.st_size));
        return ::pwrite(fd, nothing.data(), nothing.size(), 0) == is.st_size && ::fsync(fd) == 0;
    }();
    ::close(fd);
    return zeroed ? remove(path) : Status(problem(path));
}

Result<std::unique_ptr<Disk::Lock>> SystemDisk::lock(const std::string& path)
{
    const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (fd < 0) return problem(path);
    auto held = std::make_unique<FileLock>(fd);
    if (::flock(fd, LOCK_EX | LOCK_NB) != 0) return fail("locked", path);
    return std::unique_ptr<Lock>(std::move(held));
}

Result<std::uint64_t> SystemDisk::free_bytes(const std::string& folder)
{
    struct statvfs st{};
    if (::statvfs(folder.c_str(), &st) != 0) return problem(folder);
    return std::uint64_t{st.f_bavail} * st.f_frsize;
}

std::string data_folder()
{
    if (const auto own = environment("CHOCKSIDE_DATA"); !own.empty()) return own;
    const auto xdg = environment("XDG_DATA_HOME");
    const std::string all = xdg.empty() ? environment("HOME") + "/.local/share" : xdg;
    // The app kept its jobs here before. Who has some there sees them on the screen, so they lead, whatever a command left in the other.
    const std::string before = all + "/Chockside/chockside";
    return file_there(before + "/journal.db") ? before : all + "/chockside";
}

std::string device_id()
{
    SystemDisk disk;
    const auto id = disk.read("/etc/machine-id", 256);
    if (!id || id->size() < 32) return {};
    return trust::sha256_hex(as_bytes("chockside/device/1 " + to_text(ByteView(*id).first(32))));
}

std::string witness_file(const std::string& folder)
{
    const auto own = environment("XDG_STATE_HOME");
    const std::string state = (own.empty() ? environment("HOME") + "/.local/state" : own) + "/chockside";
    SystemDisk disk;
    char real[4096];
    const std::string whole = ::realpath(folder.c_str(), real) ? real : folder;
    return disk.make_folder(state) ? state + "/" + trust::sha256_hex(as_bytes(whole)).substr(0, 16) + ".json" : std::string();
}

std::string assets_folder()
{
    if (const auto own = environment("CHOCKSIDE_ASSETS"); !own.empty()) return own;
    char program[4096];
    const ssize_t n = ::readlink("/proc/self/exe", program, sizeof program - 1);
    std::string folder = n > 0 ? folder_of(std::string(program, static_cast<std::size_t>(n))) : ".";
    for (const char* beside : {"/../share/chockside", "/../../assets", "/../assets", "/../../../assets"})
        if (folder_there(folder + beside + "/profiles")) return folder + beside;
    return "assets";
}

} // namespace chockside::system
