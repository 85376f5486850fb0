#pragma once
// The history of every signal: blocks of 4096 samples a series in a cache file, a pyramid of extremes beside them. All of it can be made
// anew from the captures; the same observations give the same blocks, whether they come live or from a replay.

#include <core/base/result.h>
#include <core/codec/plan.h>
#include <core/trend/sample.h>

#include <functional>
#include <memory>
#include <span>
#include <string>
#include <vector>

namespace chockside::trend {

namespace detail {
class Behind;
class Store;
struct Head;
struct Span;
} // namespace detail

/// One series for each row of the plan's signal table, in its order.
std::vector<Series> series_of(const codec::Plan&);

struct Options {
    int blocks_a_commit = 1;            ///< full blocks until they are made durable
    std::size_t most_open = 1u << 20;   ///< samples held in memory that fill no block yet; above, the longest is written as a short block
};

/// A part of the store that could not be read. Everything else can.
struct Damage {
    SeriesId series = 0;
    std::uint32_t block = 0; ///< number within the series
    std::string part;        ///< head, pyramid, data
    bool operator==(const Damage&) const = default;
};

/// For one thread; full blocks reach the medium behind its back. After a failed write `stopped()` gives the code, at the latest with the
/// next sync, and nothing more is written: the file is to be deleted and rebuilt.
class Trend {
public:
    /// Codes: trend_damaged, trend_other_profile (made for other signals: delete it), disk_full, locked, no_permission, io_error.
    static Result<std::unique_ptr<Trend>> open(const std::string& path, std::vector<Series> series, Options options = {});
    ~Trend();

    /// Series that are not there are left out. Codes: those of the disk.
    Status add(SeriesId, const Sample&);
    Status add(const codec::Observation& o) { return add(o.signal, {o.t_ns, o.raw, o.value, o.validity}); }
    /// Everything so far, blocks that are not full too, onto the medium. Such a block is written again when it is full.
    Status sync();
    /// Forgets all samples.
    Status clear();

    const std::vector<Series>& series() const { return series_; }
    std::optional<SeriesId> id(const std::string& name) const;
    std::uint64_t count(SeriesId) const;
    /// Earliest and latest time over all series; nothing where there is no sample.
    struct Range {
        std::int64_t from_ns = 0, to_ns = 0;
    };
    std::optional<Range> range() const;
    const std::string& stopped() const { return stopped_; }
    /// Heads that were broken when the file was opened.
    const std::vector<Damage>& damage() const { return damage_; }
    /// A word of the caller's about where the samples came from; empty where there is none.
    Result<std::string> source() const;
    Status set_source(const std::string&);

    /// For queries: the blocks of a series in the order they were written, the one that is not full last. Numbers go from 0.
    std::size_t blocks(SeriesId) const;
    const detail::Head& head(SeriesId, std::size_t block) const;
    /// Nothing, and a line in `damage`, where the part is broken.
    std::vector<Sample> samples(SeriesId, std::size_t block, std::vector<Damage>& damage) const;
    std::vector<detail::Span> spans(SeriesId, std::size_t block, int level, std::vector<Damage>& damage) const;
    /// While it lives, the many reads of a query lock the file once; nothing may be added meanwhile.
    class Reads {
    public:
        explicit Reads(const Trend&);
        ~Reads();
        Reads(const Reads&) = delete;
        Reads& operator=(const Reads&) = delete;

    private:
        detail::Store* store_;
    };

private:
    struct Stored;
    struct Lane;
    Trend();
    Status load();
    Status continue_tails();
    Status close_block(SeriesId);
    Status write(SeriesId, bool commit);
    detail::Store& settled() const;
    Status halt(Status);
    Status spill();

    std::unique_ptr<detail::Store> store_;
    std::unique_ptr<detail::Behind> behind_;
    std::vector<Series> series_;
    std::vector<Lane> lanes_;
    Options options_;
    std::size_t open_samples_ = 0;
    int uncommitted_ = 0;
    std::string stopped_;
    std::vector<Damage> damage_;
};

} // namespace chockside::trend
