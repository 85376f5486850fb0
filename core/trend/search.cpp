#include <core/trend/query.h>

#include <core/trend/detail/block.h>
#include <core/units/decimal.h>

#include <algorithm>

namespace chockside::trend {

namespace {

using detail::Head;
using Kind = Wanted::Kind;

/// Whether a sample is in the state that is looked for; the other two kinds are about neighbours.
bool holds(const Wanted& w, const Sample& s)
{
    switch (w.kind) {
    case Kind::above: return s.good() && s.value > w.limit;
    case Kind::below: return s.good() && s.value < w.limit;
    case Kind::invalid: return !s.good();
    default: return false;
    }
}

enum class Says : std::uint8_t { all, none, look };

/// What a block's summary says of its samples.
Says summary(const Wanted& w, const Head& h)
{
    const auto judged = [&](bool none, bool all) { return none ? Says::none : all && h.all.bad == 0 ? Says::all : Says::look; };
    switch (w.kind) {
    case Kind::above: return judged(!h.all.any_good() || !(h.all.max > w.limit), h.all.min > w.limit);
    case Kind::below: return judged(!h.all.any_good() || !(h.all.min < w.limit), h.all.max < w.limit);
    case Kind::invalid: return h.all.bad == 0 ? Says::none : h.all.bad == h.all.count ? Says::all : Says::look;
    case Kind::changes: return Says::look;
    case Kind::missing: return static_cast<double>(h.longest) <= w.limit * 1e9 ? Says::none : Says::look;
    }
    return Says::look;
}

class Searcher {
public:
    using Each = std::function<bool(const Found&)>;
    Searcher(const Trend& trend, SeriesId series, const Wanted& wanted, std::int64_t after, std::int64_t until, const Each& each)
        : trend_(trend), series_(series), w_(wanted), after_(after), until_(until), each_(each)
    {
    }

    Search run()
    {
        const std::size_t end = end_block();
        for (std::size_t i = first_block(); i < end && !ended_; ++i) block(i);
        return std::move(out_);
    }

private:
    /// The block before the first that has a later sample: what came before tells whether the first sample is a match.
    std::size_t first_block() const
    {
        std::size_t i = 0;
        while (i < trend_.blocks(series_) && trend_.head(series_, i).max_t <= after_) ++i;
        return i == 0 ? 0 : i - 1;
    }

    /// Behind the last block with a sample before `until_`; one more where a match is known by the sample that follows.
    std::size_t end_block() const
    {
        std::size_t i = trend_.blocks(series_);
        while (i > 0 && trend_.head(series_, i - 1).min_t >= until_) --i;
        return std::min(trend_.blocks(series_), w_.kind == Kind::missing ? i + 1 : i);
    }

    void block(std::size_t at)
    {
        const Head& h = trend_.head(series_, at);
        const Says says = summary(w_, h);
        const bool by_state = w_.kind == Kind::above || w_.kind == Kind::below || w_.kind == Kind::invalid;
        if (by_state && says == Says::none) return void(state_ = false);
        if (by_state && says == Says::all && state_) return;
        if (w_.kind == Kind::missing && says == Says::none && before_ && static_cast<double>(detail::between(before_->t_ns, h.first_t)) <= w_.limit * 1e9) {
            // Only the time of the last sample matters to what follows, and the summary has it.
            before_->t_ns = h.last_t;
            partial_ = at;
            return;
        }
        ++out_.blocks_read;
        const std::size_t known = out_.damage.size();
        std::vector<Sample> samples;
        if (partial_) complete_before();
        samples = trend_.samples(series_, at, out_.damage);
        if (out_.damage.size() != known) {
            before_.reset();
            return;
        }
        for (const Sample& s : samples)
            if (visit(s); ended_) return;
    }

    /// The last sample of a block that was skipped, needed whole where a match would name it.
    void complete_before()
    {
        const auto samples = trend_.samples(series_, *partial_, out_.damage);
        if (samples.empty()) before_.reset();
        else before_ = samples.back();
        partial_.reset();
    }

    void visit(const Sample& s)
    {
        const std::optional<Sample> before = before_;
        before_ = s;
        if (w_.kind == Kind::missing) {
            if (before && static_cast<double>(detail::between(before->t_ns, s.t_ns)) > w_.limit * 1e9) tell({*before, s.t_ns});
            return;
        }
        const bool was = state_;
        state_ = holds(w_, s);
        if (w_.kind == Kind::changes ? before && (s.raw != before->raw || s.validity != before->validity) : state_ && !was) tell({s, s.t_ns});
    }

    void tell(const Found& match)
    {
        if (match.at.t_ns <= after_ || match.at.t_ns >= until_) return;
        out_.found = match;
        ended_ = !each_(match);
    }

    const Trend& trend_;
    SeriesId series_;
    const Wanted& w_;
    std::int64_t after_, until_;
    const Each& each_;
    Search out_;
    bool ended_ = false, state_ = false;
    std::optional<Sample> before_;
    std::optional<std::size_t> partial_;
};

} // namespace

Result<Wanted> read_wanted(std::string_view text)
{
    constexpr std::pair<const char*, Kind> with_number[] = {{"above ", Kind::above}, {"below ", Kind::below}, {"missing ", Kind::missing}};
    if (text == "changes") return Wanted{Kind::changes, 0};
    if (text == "invalid") return Wanted{Kind::invalid, 0};
    for (const auto& [word, kind] : with_number) {
        if (!text.starts_with(word)) continue;
        const auto number = read_decimal(text.substr(std::string_view(word).size()));
        if (!number) return Unexpected{number.error()};
        return Wanted{kind, number->to_double()};
    }
    return fail("bad_search", {}, {{"text", std::string(text)}});
}

Result<Search> search(const Trend& trend, SeriesId series, const Wanted& wanted, std::int64_t after_ns)
{
    if (series >= trend.series().size()) return fail("unknown_series", std::to_string(series));
    return Searcher(trend, series, wanted, after_ns, std::numeric_limits<std::int64_t>::max(), [](const Found&) { return false; }).run();
}

/// By ever longer stretches of time, each four times the last, so that a match close by costs little and one far away twice the way.
Result<Search> search_back(const Trend& trend, SeriesId series, const Wanted& wanted, std::int64_t before_ns)
{
    if (series >= trend.series().size()) return fail("unknown_series", std::to_string(series));
    const Trend::Range all = trend.range().value_or(Trend::Range{});
    const std::int64_t first = all.from_ns;
    before_ns = std::min(before_ns, all.to_ns + 1);
    Search out;
    for (std::int64_t reach = 1'000'000'000, until = before_ns; until > first; reach *= 4) {
        const std::int64_t after = before_ns - first > reach ? before_ns - reach - 1 : first - 1;
        const std::uint64_t read = out.blocks_read;
        out = Searcher(trend, series, wanted, after, until, [](const Found&) { return true; }).run();
        out.blocks_read += read;
        if (out.found) break;
        until = after + 1;
    }
    return out;
}

Result<std::vector<Damage>> each_sample(const Trend& trend, SeriesId series, std::int64_t from_ns, std::int64_t to_ns, const std::function<bool(const Sample&)>& each)
{
    if (series >= trend.series().size()) return fail("unknown_series", std::to_string(series));
    std::vector<Damage> damage;
    for (std::size_t i = 0; i < trend.blocks(series); ++i) {
        const Head& h = trend.head(series, i);
        if (h.max_t < from_ns || h.min_t >= to_ns) continue;
        for (const Sample& s : trend.samples(series, i, damage))
            if (s.t_ns >= from_ns && s.t_ns < to_ns && !each(s)) return damage;
    }
    return damage;
}

} // namespace chockside::trend
