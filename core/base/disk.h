#pragma once

#include <core/base/bytes.h>
#include <core/base/result.h>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace chockside {

/// A file open for appending; every call says what became of it.
class AppendFile {
public:
    virtual ~AppendFile() = default;
    virtual Status append(ByteView bytes) = 0;
    virtual Status sync() = 0;
    virtual std::uint64_t size() const = 0;
};

/// The only way the core reaches files (SQLite apart). Paths are the platform's own.
/// Codes: disk_full, no_permission, not_found, io_error, locked.
class Disk {
public:
    class Lock {
    public:
        virtual ~Lock() = default;
    };

    virtual ~Disk() = default;
    virtual Status make_folder(const std::string& path) = 0;
    virtual Result<Bytes> read(const std::string& path, std::uint64_t most) = 0;
    /// Temporary file, fsync, rename, fsync of the folder: old or new, never half.
    virtual Status write_whole(const std::string& path, ByteView bytes) = 0;
    virtual Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) = 0;
    virtual Result<std::vector<std::string>> list(const std::string& folder) = 0;
    /// A file of that size whose room on the disk is really taken.
    virtual Status reserve(const std::string& path, std::uint64_t bytes) { return write_whole(path, Bytes(bytes)); }
    virtual Status remove(const std::string& path) = 0;
    /// Removes a small file that held a secret, its bytes overwritten where they lie first. A flash disk may keep a copy all the same.
    virtual Status erase(const std::string& path) { return remove(path); }
    /// In one step, in place of what is there; both on one file system, and durable when it returns.
    virtual Status move(const std::string& from, const std::string& to)
    {
        const auto bytes = read(from, std::uint64_t{1} << 40);
        if (!bytes) return Unexpected{bytes.error()};
        if (auto kept = write_whole(to, *bytes); !kept) return kept;
        return remove(from);
    }
    /// One process holds it; released with the object or the process.
    virtual Result<std::unique_ptr<Lock>> lock(const std::string& path) = 0;
    virtual Result<std::uint64_t> free_bytes(const std::string& folder) = 0;
};

} // namespace chockside
