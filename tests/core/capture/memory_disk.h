#pragma once
// Files in memory; `room` bytes may be appended in all before the disk is full.

#include <core/base/disk.h>

#include <limits>
#include <map>

namespace chockside::tests {

class MemoryDisk final : public Disk {
public:
    std::map<std::string, Bytes> files;
    std::uint64_t room = std::numeric_limits<std::uint64_t>::max();

    class File final : public AppendFile {
    public:
        File(MemoryDisk& disk, std::string path) : disk_(disk), path_(std::move(path)) {}
        Status append(ByteView bytes) override
        {
            if (bytes.size() > disk_.room) return fail("disk_full", path_);
            disk_.room -= bytes.size();
            disk_.files[path_].insert(disk_.files[path_].end(), bytes.begin(), bytes.end());
            return {};
        }
        Status sync() override { return {}; }
        std::uint64_t size() const override { return disk_.files[path_].size(); }

    private:
        MemoryDisk& disk_;
        std::string path_;
    };

    Status make_folder(const std::string&) override { return {}; }
    Result<Bytes> read(const std::string& path, std::uint64_t) override { return files[path]; }
    Status write_whole(const std::string& path, ByteView bytes) override { return files[path].assign(bytes.begin(), bytes.end()), Status{}; }
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override { return std::unique_ptr<AppendFile>(std::make_unique<File>(*this, path)); }
    Result<std::vector<std::string>> list(const std::string&) override { return std::vector<std::string>{}; }
    Status reserve(const std::string&, std::uint64_t) override { return {}; }
    Status remove(const std::string& path) override { return files.erase(path), Status{}; }
    Result<std::unique_ptr<Lock>> lock(const std::string&) override { return fail("io_error"); }
    Result<std::uint64_t> free_bytes(const std::string&) override { return room; }
};

} // namespace chockside::tests
