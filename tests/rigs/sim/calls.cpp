// The C library's file calls, in front of the library's own: a path below /sim or a file opened there goes to the machine in use, all else
// to the kernel. libsqlite3 finds these first because a program's symbols come before a library's.
#include <tests/rigs/sim/machine.h>
#include <tests/rigs/sim/memory.h>

#include <cerrno>
#include <cstdarg>
#include <cstring>
#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <memory>
#include <set>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <sys/syscall.h>
#include <unistd.h>

namespace chockside::rigs::sim {

namespace {

constexpr int first_fd = 1 << 20;

struct OpenFile {
    int node = -1; ///< -1: closed
    std::uint64_t at = 0;
    bool append = false;
};

Machine* machine = nullptr;
std::vector<OpenFile> open_files;
std::map<int, int> locks; ///< node -> fd

struct Folder {
    std::vector<std::string> names;
    std::size_t next = 0;
    dirent entry{};
};
std::set<Folder*> folders;

bool ours(const char* path)
{
    return machine && path && std::strncmp(path, root.c_str(), root.size()) == 0 && (path[root.size()] == '/' || path[root.size()] == 0);
}

OpenFile* file_of(int fd)
{
    const auto at = static_cast<std::size_t>(fd - first_fd);
    return machine && fd >= first_fd && at < open_files.size() && open_files[at].node >= 0 ? &open_files[at] : nullptr;
}

Node& node_of(const OpenFile& f)
{
    return machine->nodes[static_cast<std::size_t>(f.node)];
}

int no(int error)
{
    return errno = error, -1;
}

int open_here(const std::string& path, int flags)
{
    if (const int error = machine->fails(Call::open)) return no(error);
    int node = machine->find(path);
    if (node < 0) {
        if (!(flags & O_CREAT) || machine->parent(path) < 0) return no(ENOENT);
        node = machine->make(path, false);
    }
    else if ((flags & O_CREAT) && (flags & O_EXCL)) return no(EEXIST);
    if ((flags & O_DIRECTORY) && !machine->nodes[static_cast<std::size_t>(node)].folder) return no(ENOTDIR);
    if ((flags & O_TRUNC) && !machine->nodes[static_cast<std::size_t>(node)].bytes.empty()) machine->resize(node, 0);
    std::size_t at = 0;
    while (at < open_files.size() && open_files[at].node >= 0) ++at;
    if (at == open_files.size()) open_files.emplace_back();
    open_files[at] = {node, 0, (flags & O_APPEND) != 0};
    return first_fd + static_cast<int>(at);
}

ssize_t read_here(const OpenFile& f, void* to, std::size_t n, std::uint64_t at)
{
    if (const int error = machine->fails(Call::read)) return no(error);
    const Bytes& bytes = node_of(f).bytes;
    const std::size_t have = at < bytes.size() ? std::min<std::size_t>(n, bytes.size() - at) : 0;
    if (have) std::memcpy(to, bytes.data() + at, have);
    return static_cast<ssize_t>(have);
}

ssize_t write_here(const OpenFile& f, const void* from, std::size_t n, std::uint64_t at)
{
    if (const int error = machine->fails(Call::write)) {
        if (!machine->fault->half || n < 2) return no(error);
        n /= 2;
    }
    machine->write(f.node, at, {static_cast<const std::byte*>(from), n});
    return static_cast<ssize_t>(n);
}

int sync_here(const OpenFile& f)
{
    if (const int error = machine->fails(Call::sync)) return no(error);
    machine->sync(f.node);
    return 0;
}

int size_here(int node, std::uint64_t size, Call call)
{
    if (const int error = machine->fails(call)) return no(error);
    machine->resize(node, size);
    return 0;
}

int tell(int node, struct stat* st)
{
    if (node < 0) return no(ENOENT);
    const Node& n = machine->nodes[static_cast<std::size_t>(node)];
    *st = {};
    st->st_dev = 77;
    st->st_ino = static_cast<ino_t>(node + 1);
    st->st_nlink = 1;
    st->st_mode = n.folder ? S_IFDIR | 0700 : S_IFREG | 0600;
    st->st_size = static_cast<off_t>(n.bytes.size());
    st->st_blksize = 4096;
    return 0;
}

template <class F>
F* beneath(const char* name)
{
    return reinterpret_cast<F*>(::dlsym(RTLD_NEXT, name));
}

} // namespace

void use(Machine* m)
{
    machine = m;
    open_files.clear();
    locks.clear();
}

Machine* used()
{
    return machine;
}

} // namespace chockside::rigs::sim

using namespace chockside::rigs::sim;
namespace memory = chockside::rigs::memory;

extern "C" {

int open64(const char* path, int flags, ...)
{
    const memory::Paused ours_to_take;
    va_list rest;
    va_start(rest, flags);
    const int mode = va_arg(rest, int);
    va_end(rest);
    return ours(path) ? open_here(path, flags) : static_cast<int>(::syscall(SYS_openat, AT_FDCWD, path, flags, mode));
}

int open(const char* path, int flags, ...)
{
    const memory::Paused ours_to_take;
    va_list rest;
    va_start(rest, flags);
    const int mode = va_arg(rest, int);
    va_end(rest);
    return open64(path, flags, mode);
}

int close(int fd)
{
    const memory::Paused ours_to_take;
    OpenFile* f = file_of(fd);
    if (!f) return fd >= 1 << 20 ? 0 : static_cast<int>(::syscall(SYS_close, fd));
    if (const auto held = locks.find(f->node); held != locks.end() && held->second == fd) locks.erase(held);
    f->node = -1;
    return 0;
}

ssize_t pread64(int fd, void* to, size_t n, off64_t at)
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    return f ? read_here(*f, to, n, static_cast<std::uint64_t>(at)) : ::syscall(SYS_pread64, fd, to, n, at);
}

ssize_t read(int fd, void* to, size_t n)
{
    const memory::Paused ours_to_take;
    OpenFile* f = file_of(fd);
    if (!f) return ::syscall(SYS_read, fd, to, n);
    const ssize_t got = read_here(*f, to, n, f->at);
    if (got > 0) f->at += static_cast<std::uint64_t>(got);
    return got;
}

ssize_t pwrite64(int fd, const void* from, size_t n, off64_t at)
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    return f ? write_here(*f, from, n, static_cast<std::uint64_t>(at)) : ::syscall(SYS_pwrite64, fd, from, n, at);
}

ssize_t write(int fd, const void* from, size_t n)
{
    const memory::Paused ours_to_take;
    OpenFile* f = file_of(fd);
    if (!f) return ::syscall(SYS_write, fd, from, n);
    if (f->append) f->at = node_of(*f).bytes.size();
    const ssize_t put = write_here(*f, from, n, f->at);
    if (put > 0) f->at += static_cast<std::uint64_t>(put);
    return put;
}

int fdatasync(int fd)
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    return f ? sync_here(*f) : static_cast<int>(::syscall(SYS_fdatasync, fd));
}

int fsync(int fd)
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    return f ? sync_here(*f) : static_cast<int>(::syscall(SYS_fsync, fd));
}

int ftruncate64(int fd, off64_t size) noexcept
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    return f ? size_here(f->node, static_cast<std::uint64_t>(size), Call::truncate) : static_cast<int>(::syscall(SYS_ftruncate, fd, size));
}

int posix_fallocate(int fd, off_t from, off_t n)
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    if (!f) return beneath<int(int, off_t, off_t)>("posix_fallocate")(fd, from, n);
    const auto size = std::max<std::uint64_t>(node_of(*f).bytes.size(), static_cast<std::uint64_t>(from + n));
    return size_here(f->node, size, Call::allocate) == 0 ? 0 : errno;
}

int fstat(int fd, struct stat* st) noexcept
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    return f ? tell(f->node, st) : static_cast<int>(::syscall(SYS_fstat, fd, st));
}

int fstat64(int fd, struct stat64* st) noexcept
{
    const memory::Paused ours_to_take;
    return fstat(fd, reinterpret_cast<struct stat*>(st));
}

int stat(const char* path, struct stat* st) noexcept
{
    const memory::Paused ours_to_take;
    return ours(path) ? tell(machine->find(path), st) : static_cast<int>(::syscall(SYS_stat, path, st));
}

int stat64(const char* path, struct stat64* st) noexcept
{
    const memory::Paused ours_to_take;
    return stat(path, reinterpret_cast<struct stat*>(st));
}

int lstat64(const char* path, struct stat64* st) noexcept
{
    const memory::Paused ours_to_take;
    return ours(path) ? stat64(path, st) : static_cast<int>(::syscall(SYS_lstat, path, st));
}

int access(const char* path, int mode) noexcept
{
    const memory::Paused ours_to_take;
    if (!ours(path)) return static_cast<int>(::syscall(SYS_access, path, mode));
    return machine->find(path) >= 0 ? 0 : no(ENOENT);
}

int unlink(const char* path) noexcept
{
    const memory::Paused ours_to_take;
    if (!ours(path)) return static_cast<int>(::syscall(SYS_unlink, path));
    if (const int error = machine->fails(Call::unlink)) return no(error);
    return machine->remove(path) ? 0 : no(ENOENT);
}

int rename(const char* from, const char* to) noexcept
{
    const memory::Paused ours_to_take;
    if (!ours(from)) return static_cast<int>(::syscall(SYS_rename, from, to));
    if (const int error = machine->fails(Call::rename)) return no(error);
    return machine->rename(from, to) ? 0 : no(ENOENT);
}

int mkdir(const char* path, mode_t mode) noexcept
{
    const memory::Paused ours_to_take;
    if (!ours(path)) return static_cast<int>(::syscall(SYS_mkdir, path, mode));
    if (machine->find(path) >= 0) return no(EEXIST);
    if (const int error = machine->fails(Call::mkdir)) return no(error);
    return machine->parent(path) < 0 ? no(ENOENT) : (machine->make(path, true), 0);
}

int fchmod(int fd, mode_t mode) noexcept
{
    const memory::Paused ours_to_take;
    return file_of(fd) ? 0 : static_cast<int>(::syscall(SYS_fchmod, fd, mode));
}

int fchown(int fd, uid_t user, gid_t group) noexcept
{
    const memory::Paused ours_to_take;
    return file_of(fd) ? 0 : static_cast<int>(::syscall(SYS_fchown, fd, user, group));
}

int fcntl64(int fd, int command, ...)
{
    const memory::Paused ours_to_take;
    va_list rest;
    va_start(rest, command);
    void* argument = va_arg(rest, void*);
    va_end(rest);
    if (!file_of(fd)) return static_cast<int>(::syscall(SYS_fcntl, fd, command, argument));
    if (command == F_GETLK) static_cast<struct flock*>(argument)->l_type = F_UNLCK;
    return 0;
}

int flock(int fd, int operation) noexcept
{
    const memory::Paused ours_to_take;
    const OpenFile* f = file_of(fd);
    if (!f) return static_cast<int>(::syscall(SYS_flock, fd, operation));
    if (const auto held = locks.find(f->node); held != locks.end() && held->second != fd) return no(EWOULDBLOCK);
    locks[f->node] = fd;
    return 0;
}

void* mmap64(void* at, size_t n, int protection, int flags, int fd, off64_t offset) noexcept
{
    const memory::Paused ours_to_take;
    // Shared memory of one process; a machine that starts again begins with zeros, as SQLite makes it do on a real disk.
    if (file_of(fd)) flags = MAP_SHARED | MAP_ANONYMOUS, fd = -1, offset = 0;
    return reinterpret_cast<void*>(::syscall(SYS_mmap, at, n, protection, flags, fd, offset));
}

DIR* opendir(const char* path)
{
    const memory::Paused ours_to_take;
    if (!ours(path)) return beneath<DIR*(const char*)>("opendir")(path);
    if (const int error = machine->fails(Call::open)) return errno = error, nullptr;
    const int node = machine->find(path);
    if (node < 0) return errno = ENOENT, nullptr;
    auto folder = std::make_unique<Folder>();
    for (const auto& [name, target] : machine->nodes[static_cast<std::size_t>(node)].names) folder->names.push_back(name);
    folders.insert(folder.get());
    return reinterpret_cast<DIR*>(folder.release());
}

dirent* readdir(DIR* dir)
{
    const memory::Paused ours_to_take;
    auto* folder = reinterpret_cast<Folder*>(dir);
    if (!folders.contains(folder)) return beneath<dirent*(DIR*)>("readdir")(dir);
    if (folder->next >= folder->names.size()) return nullptr;
    std::strncpy(folder->entry.d_name, folder->names[folder->next++].c_str(), sizeof folder->entry.d_name - 1);
    return &folder->entry;
}

int closedir(DIR* dir)
{
    const memory::Paused ours_to_take;
    auto* folder = reinterpret_cast<Folder*>(dir);
    if (!folders.contains(folder)) return beneath<int(DIR*)>("closedir")(dir);
    folders.erase(folder);
    delete folder;
    return 0;
}

int statvfs(const char* path, struct statvfs* st) noexcept
{
    const memory::Paused ours_to_take;
    if (!ours(path)) return beneath<int(const char*, struct statvfs*)>("statvfs")(path, st);
    *st = {};
    st->f_bavail = 1 << 20;
    st->f_frsize = 4096;
    return 0;
}

} // extern "C"
