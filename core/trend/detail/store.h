#pragma once
// The cache file: one SQLite database that may be deleted at any time.

#include <core/base/result.h>
#include <core/trend/detail/block.h>

#include <functional>
#include <memory>
#include <string>

struct sqlite3;
struct sqlite3_stmt;

namespace chockside::trend::detail {

inline constexpr std::uint64_t block_id(SeriesId series, std::uint32_t no) { return std::uint64_t{series} << 32 | no; }

class Store {
public:
    /// Codes: trend_damaged (not such a file, or another version: delete it), disk_full, locked, no_permission, io_error.
    static Result<std::unique_ptr<Store>> open(const std::string& path);
    ~Store();

    Result<std::string> note(const std::string& name); ///< empty where there is none
    Status set_note(const std::string& name, const std::string& text);

    /// Every head in the order of series and number.
    Status heads(const std::function<void(std::uint64_t id, ByteView head)>& each);
    Result<Bytes> data(std::uint64_t id); ///< empty where there is none
    Result<Bytes> pyramid(std::uint64_t id, int level);

    /// Until the end, many reads take one lock between them; nothing may be written meanwhile. True where the end must be told.
    bool begin_reads();
    void end_reads();

    /// Puts a block in place of what stood there; durable with commit().
    Status put(std::uint64_t id, const Encoded&);
    Status commit();
    Status clear();

private:
    enum Which { get_note, put_note, get_heads, get_data, get_level, put_head, put_data, put_level, begin_all, commit_all, begin_look, how_many };
    Store() = default;
    Status prepare();
    Status once(Which);
    Status begin();
    Result<Bytes> blob(Which, std::int64_t key);
    Unexpected<Problem> problem();

    sqlite3* db_ = nullptr;
    sqlite3_stmt* s_[how_many] = {};
    bool open_ = false; ///< a transaction is
};

} // namespace chockside::trend::detail
