#pragma once
// A disk whose growing files are sealed as they grow (sealed_file.h), under names that say so. Everything else goes through.

#include <core/base/disk.h>
#include <core/trust/sealed_file.h>

namespace chockside::trust {

class SealingDisk final : public Disk {
public:
    static constexpr const char* ending = ".sealed";

    SealingDisk(Disk& under, const Key& data_key, std::uint32_t number) : under_(under), key_(data_key), number_(number) {}
    ~SealingDisk() override { wipe(key_); }

    /// A file that is there already is never gone on with: its size says so, and append() answers exists.
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override;

    Status make_folder(const std::string& path) override { return under_.make_folder(path); }
    Result<Bytes> read(const std::string& path, std::uint64_t most) override { return under_.read(path, most); }
    Status write_whole(const std::string& path, ByteView bytes) override { return under_.write_whole(path, bytes); }
    Result<std::vector<std::string>> list(const std::string& folder) override { return under_.list(folder); }
    Status remove(const std::string& path) override { return under_.remove(path); }
    Status move(const std::string& from, const std::string& to) override { return under_.move(from, to); }
    Result<std::unique_ptr<Lock>> lock(const std::string& path) override { return under_.lock(path); }
    Result<std::uint64_t> free_bytes(const std::string& folder) override { return under_.free_bytes(folder); }

private:
    Disk& under_;
    Key key_;
    std::uint32_t number_;
};

} // namespace chockside::trust
