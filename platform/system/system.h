#pragma once
// The machine behind the core's interfaces: clock, files, data folder. POSIX, no Qt.

#include <core/base/disk.h>
#include <core/base/time.h>

#include <string>

namespace chockside::system {

/// CLOCK_REALTIME, CLOCK_BOOTTIME and the kernel's boot id.
class SystemClock final : public Clock {
public:
    SystemClock();
    Now now() const override;

private:
    std::string boot_;
};

class SystemDisk final : public Disk {
public:
    Status make_folder(const std::string& path) override;
    Result<Bytes> read(const std::string& path, std::uint64_t most) override;
    Status write_whole(const std::string& path, ByteView bytes) override;
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override;
    Result<std::vector<std::string>> list(const std::string& folder) override;
    Status reserve(const std::string& path, std::uint64_t bytes) override;
    Status remove(const std::string& path) override;
    Status erase(const std::string& path) override;
    Status move(const std::string& from, const std::string& to) override;
    Result<std::unique_ptr<Lock>> lock(const std::string& path) override;
    Result<std::uint64_t> free_bytes(const std::string& folder) override;
};

/// Where the app and every command keep the jobs: CHOCKSIDE_DATA, else XDG_DATA_HOME/chockside, else ~/.local/share/chockside; instead of
/// these two Chockside/chockside beside it, where that holds a journal.
std::string data_folder();
/// A name of this machine that tells nobody what the machine's own id is; empty where it has none.
std::string device_id();
/// Where a store in `folder` leaves word of how far it came: outside of the folder, so that a backup put back does not bring its own.
std::string witness_file(const std::string& folder);
/// Folder with profiles and practice data: CHOCKSIDE_ASSETS, beside the program, or the source tree it was built from.
std::string assets_folder();

} // namespace chockside::system
