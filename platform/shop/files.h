#pragma once
// Files by our own names only, all reached from one folder's descriptor: no path of anybody else's making, and no link is followed.

#include <core/base/result.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace chockside::shop {

/// Closes itself.
class Fd {
public:
    Fd() = default;
    explicit Fd(int fd) : fd_(fd) {}
    Fd(Fd&& o) noexcept : fd_(std::exchange(o.fd_, -1)) {}
    Fd& operator=(Fd&& o) noexcept
    {
        std::swap(fd_, o.fd_);
        return *this;
    }
    ~Fd();
    int get() const { return fd_; }
    int release() { return std::exchange(fd_, -1); }
    explicit operator bool() const { return fd_ >= 0; }

private:
    int fd_ = -1;
};

/// Codes of all: disk_full, no_permission, not_found, exists, io_error, bad_name (anything but letters, digits, '.', '-' and '_', or a leading
/// dot).
class Folder {
public:
    /// Makes it (0700) where it lacks.
    static Result<Folder> open(const std::string& path);
    Result<Folder> child(const std::string& name) const;

    Result<Fd> read(const std::string& name) const;
    /// `make`: it must not be there yet.
    Result<Fd> append(const std::string& name, bool make) const;
    Result<std::string> text(const std::string& name, std::uint64_t most) const;
    /// Temporary file, fsync, rename, fsync of the folder.
    Status write_whole(const std::string& name, std::string_view bytes) const;
    /// Into another folder under another name, in place of what is there; durable when it returns.
    Status move(const std::string& name, const Folder& to, const std::string& as) const;
    Status remove(const std::string& name) const;
    Status sync() const;
    std::vector<std::string> list() const;
    bool has(const std::string& name) const;
    /// Bytes; nothing where it is no file of ours.
    std::optional<std::uint64_t> size(const std::string& name) const;
    /// Whether the name stands for this open file.
    bool is(const std::string& name, int fd) const;
    /// Share of the disk that is free for us, 0 .. 1; less than 0 where `more` bytes would not fit beside what is there.
    double free_share(std::uint64_t more = 0) const;
    int fd() const { return fd_.get(); }

private:
    explicit Folder(Fd fd) : fd_(std::move(fd)) {}
    Fd fd_;
};

Status write_all(int fd, std::string_view bytes);
Status sync_data(int fd);
std::uint64_t size_of(int fd);
/// Hex of the whole file's SHA-256.
Result<std::string> sha256_of(int fd);

/// Content by its SHA-256, in 256 folders by its first byte.
class Blobs {
public:
    static Result<Blobs> open(const std::string& path);
    bool has(const std::string& sha) const;
    /// Its size, or nothing.
    std::optional<std::uint64_t> size(const std::string& sha) const;
    Result<Fd> read(const std::string& sha) const;
    Result<std::string> bytes(const std::string& sha, std::uint64_t most) const;
    /// Takes a whole, verified file over from another folder of the same disk.
    Status take(const Folder& from, const std::string& name, const std::string& sha) const;
    /// Gives the name.
    Result<std::string> put(std::string_view bytes) const;
    double free_share(std::uint64_t more = 0) const { return root_.free_share(more); }
    /// All names, for backups and checks.
    std::vector<std::string> list() const;

private:
    explicit Blobs(Folder root) : root_(std::move(root)) {}
    Result<Folder> shelf(const std::string& sha) const;
    Folder root_;
};

/// 64 lower-case hex digits.
bool is_sha(std::string_view);

} // namespace chockside::shop
