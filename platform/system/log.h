#pragma once

#include <core/base/disk.h>
#include <core/base/problem.h>

namespace chockside::system {

/// What the program did, as JSON lines for whoever looks after it: codes and counts only, never bodies, names or keys. Losing the log
/// must not lose work, so nothing here fails; a full file is kept once as FILE.1.
class Log {
public:
    Log(Disk& disk, std::string path, std::uint64_t most = 1u << 20);
    void write(std::int64_t utc_ms, const std::string& event, const Problem::Args& args = {});
    void write(std::int64_t utc_ms, const Problem& problem);

private:
    void turn();
    Disk& disk_;
    std::string path_;
    std::uint64_t most_;
    std::unique_ptr<AppendFile> file_;
};

} // namespace chockside::system
