#include <core/trend/trend.h>

#include <core/trend/detail/behind.h>

#include <algorithm>

namespace chockside::trend {

using detail::block_id;
using detail::block_samples;
using detail::Head;

struct Trend::Stored {
    std::uint32_t no = 0;
    Head head;
};

struct Trend::Lane {
    std::vector<Stored> blocks;
    std::vector<Sample> tail; ///< not full yet; the last block once it is
    std::uint32_t next = 0;   ///< number of the tail's block
    mutable Head tail_head;
    mutable std::size_t tail_head_of = 0; ///< samples that tail_head tells of
    Head written;                         ///< as the file has the tail
    bool dirty = false;                   ///< the tail has samples that are not in the file
};

namespace {

/// Series are told by what gives a sample its meaning.
std::string names_of(const std::vector<Series>& series)
{
    std::string all;
    for (const Series& s : series) all += s.name + "\t" + s.unit + "\n";
    return all;
}

} // namespace

std::vector<Series> series_of(const codec::Plan& plan)
{
    std::vector<Series> out;
    for (const codec::Signal& s : plan.signal_table().all()) out.push_back({s.name, s.unit, s.period_ms, s.boolean, codec::line_of(plan, static_cast<SeriesId>(out.size()))});
    return out;
}

Trend::Trend() = default;

Trend::~Trend()
{
    if (store_ && stopped_.empty()) (void)sync();
}

Result<std::unique_ptr<Trend>> Trend::open(const std::string& path, std::vector<Series> series, Options options)
{
    auto store = detail::Store::open(path);
    if (!store) return Unexpected{store.error()};
    std::unique_ptr<Trend> t(new Trend);
    t->store_ = std::move(*store);
    t->behind_ = std::make_unique<detail::Behind>(*t->store_);
    t->series_ = std::move(series);
    t->options_ = options;
    t->lanes_.resize(t->series_.size());
    const auto names = t->store_->note("series");
    if (!names) return Unexpected{names.error()};
    if (!names->empty() && *names != names_of(t->series_)) return fail("trend_other_profile");
    Status ok = names->empty() ? t->store_->set_note("series", names_of(t->series_)) : Status();
    if (ok) ok = t->load();
    if (!ok) return Unexpected{ok.error()};
    return t;
}

Status Trend::load()
{
    auto ok = store_->heads([this](std::uint64_t id, ByteView bytes) {
        const auto series = static_cast<SeriesId>(id >> 32 & 0xFFFFu);
        const auto no = static_cast<std::uint32_t>(id);
        if (series >= lanes_.size() || id >> 48 != 0) return;
        Lane& lane = lanes_[series];
        lane.next = std::max(lane.next, no + 1);
        Stored one{no, {}};
        if (detail::decode_head(id, bytes, one.head)) lane.blocks.push_back(one);
        else damage_.push_back({series, no, "head"});
    });
    return ok ? continue_tails() : ok;
}

/// A last block that was not full is gone on with, so that a store that was closed in between has the same blocks.
Status Trend::continue_tails()
{
    for (std::size_t i = 0; i < lanes_.size(); ++i) {
        Lane& lane = lanes_[i];
        if (lane.blocks.empty() || lane.blocks.back().no + 1 != lane.next || lane.blocks.back().head.all.count >= block_samples) continue;
        std::vector<Damage> broken;
        std::vector<Sample> tail = samples(static_cast<SeriesId>(i), lane.blocks.size() - 1, broken);
        if (!broken.empty()) continue;
        open_samples_ += tail.size();
        lane.tail = std::move(tail);
        lane.next = lane.blocks.back().no;
        lane.blocks.pop_back();
    }
    return {};
}

Status Trend::halt(Status status)
{
    if (!status && stopped_.empty()) stopped_ = status.error().code;
    return status;
}

/// The file, once what was on its way is in it.
detail::Store& Trend::settled() const
{
    (void)behind_->settle();
    return *store_;
}

Status Trend::write(SeriesId series, bool commit)
{
    Lane& lane = lanes_[series];
    lane.dirty = false;
    detail::Encoded encoded = detail::encode(block_id(series, lane.next), lane.tail, series_[series].line);
    lane.written = encoded.summary;
    return halt(behind_->put(block_id(series, lane.next), std::move(encoded), commit));
}

Status Trend::close_block(SeriesId series)
{
    Lane& lane = lanes_[series];
    const bool commit = ++uncommitted_ >= options_.blocks_a_commit;
    if (commit) uncommitted_ = 0;
    if (auto ok = write(series, commit); !ok) return ok;
    lane.blocks.push_back({lane.next++, lane.written});
    open_samples_ -= lane.tail.size();
    lane.tail.clear();
    lane.tail_head_of = 0;
    return {};
}

Status Trend::spill()
{
    const auto longest = std::max_element(lanes_.begin(), lanes_.end(), [](const Lane& a, const Lane& b) { return a.tail.size() < b.tail.size(); });
    auto ok = close_block(static_cast<SeriesId>(longest - lanes_.begin()));
    longest->tail.shrink_to_fit();
    return ok;
}

Status Trend::add(SeriesId series, const Sample& sample)
{
    if (!stopped_.empty()) return fail(stopped_, "trend");
    if (series >= lanes_.size()) return {};
    Lane& lane = lanes_[series];
    lane.tail.push_back(sample);
    lane.dirty = true;
    ++open_samples_;
    if (lane.tail.size() >= block_samples) return close_block(series);
    return open_samples_ > options_.most_open ? spill() : Status();
}

Status Trend::sync()
{
    if (!stopped_.empty()) return fail(stopped_, "trend");
    for (std::size_t i = 0; i < lanes_.size(); ++i)
        if (lanes_[i].dirty)
            if (auto ok = write(static_cast<SeriesId>(i), false); !ok) return ok;
    uncommitted_ = 0;
    if (auto ok = behind_->settle(); !ok) return halt(ok);
    return halt(store_->commit());
}

Status Trend::clear()
{
    lanes_.assign(series_.size(), {});
    damage_.clear();
    stopped_.clear();
    open_samples_ = 0;
    uncommitted_ = 0;
    (void)behind_->settle();
    behind_->forget();
    auto ok = store_->clear();
    return ok ? store_->set_note("series", names_of(series_)) : ok;
}

std::optional<SeriesId> Trend::id(const std::string& name) const
{
    const auto at = std::find_if(series_.begin(), series_.end(), [&](const Series& s) { return s.name == name; });
    return at == series_.end() ? std::nullopt : std::optional(static_cast<SeriesId>(at - series_.begin()));
}

std::uint64_t Trend::count(SeriesId series) const
{
    std::uint64_t n = 0;
    for (std::size_t i = 0; i < blocks(series); ++i) n += head(series, i).all.count;
    return n;
}

std::optional<Trend::Range> Trend::range() const
{
    std::optional<Range> all;
    for (std::size_t s = 0; s < lanes_.size(); ++s)
        for (std::size_t i = 0; i < blocks(static_cast<SeriesId>(s)); ++i) {
            const Head& h = head(static_cast<SeriesId>(s), i);
            all = all ? Range{std::min(all->from_ns, h.min_t), std::max(all->to_ns, h.max_t)} : Range{h.min_t, h.max_t};
        }
    return all;
}

Result<std::string> Trend::source() const
{
    return settled().note("source");
}

Status Trend::set_source(const std::string& text)
{
    return settled().set_note("source", text);
}

std::size_t Trend::blocks(SeriesId series) const
{
    if (series >= lanes_.size()) return 0;
    return lanes_[series].blocks.size() + (lanes_[series].tail.empty() ? 0 : 1);
}

const Head& Trend::head(SeriesId series, std::size_t block) const
{
    const Lane& lane = lanes_[series];
    if (block < lane.blocks.size()) return lane.blocks[block].head;
    if (lane.tail_head_of != lane.tail.size()) {
        lane.tail_head = detail::head_of(lane.tail);
        lane.tail_head.level = lane.tail_head.top = -1; // its samples are at hand
        lane.tail_head_of = lane.tail.size();
    }
    return lane.tail_head;
}

std::vector<Sample> Trend::samples(SeriesId series, std::size_t block, std::vector<Damage>& damage) const
{
    const Lane& lane = lanes_[series];
    if (block >= lane.blocks.size()) return lane.tail;
    const Stored& one = lane.blocks[block];
    const std::uint64_t id = block_id(series, one.no);
    std::vector<Sample> out;
    const auto bytes = settled().data(id);
    if (bytes && detail::decode_data(id, *bytes, out) && out.size() == one.head.all.count) return out;
    damage.push_back({series, one.no, "data"});
    return {};
}

std::vector<detail::Span> Trend::spans(SeriesId series, std::size_t block, int level, std::vector<Damage>& damage) const
{
    const Stored& one = lanes_[series].blocks[block];
    const std::uint64_t id = block_id(series, one.no);
    std::vector<detail::Span> out;
    const auto bytes = settled().pyramid(id, level);
    if (bytes && detail::decode_pyramid(id, level, *bytes, out)) return out;
    damage.push_back({series, one.no, "pyramid"});
    return {};
}

Trend::Reads::Reads(const Trend& trend) : store_(trend.settled().begin_reads() ? trend.store_.get() : nullptr) {}

Trend::Reads::~Reads()
{
    if (store_) store_->end_reads();
}

} // namespace chockside::trend
