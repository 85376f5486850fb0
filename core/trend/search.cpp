#include <core/trend/query.h>

#include <core/trend/detail/block.h>
#include <core/units/decimal.h>

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
    Searcher(const Trend& trend, SeriesId series, const Wanted& wanted, std::int64_t after) : trend_(trend), series_(series), w_(wanted), after_(after) {}

    Search run()
    {
        for (std::size_t i = first_block(); i < trend_.blocks(series_) && !out_.found; ++i) block(i);
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
            if (visit(s)) return;
    }

    /// The last sample of a block that was skipped, needed whole where a match would name it.
    void complete_before()
    {
        const auto samples = trend_.samples(series_, *partial_, out_.damage);
        if (samples.empty()) before_.reset();
        else before_ = samples.back();
        partial_.reset();
    }

    bool visit(const Sample& s)
    {
        const std::optional<Sample> before = before_;
        before_ = s;
        if (w_.kind == Kind::missing) {
            if (!before || before->t_ns <= after_ || static_cast<double>(detail::between(before->t_ns, s.t_ns)) <= w_.limit * 1e9) return false;
            out_.found = Found{*before, s.t_ns};
            return true;
        }
        const bool was = state_;
        state_ = holds(w_, s);
        const bool match = w_.kind == Kind::changes ? before && (s.raw != before->raw || s.validity != before->validity) : state_ && !was;
        if (!match || s.t_ns <= after_) return false;
        out_.found = Found{s, s.t_ns};
        return true;
    }

    const Trend& trend_;
    SeriesId series_;
    const Wanted& w_;
    std::int64_t after_;
    Search out_;
    bool state_ = false;
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
    if (series >= trend.series().size()) return fail("unknown_series");
    return Searcher(trend, series, wanted, after_ns).run();
}

Result<std::vector<Damage>> each_sample(const Trend& trend, SeriesId series, std::int64_t from_ns, std::int64_t to_ns, const std::function<bool(const Sample&)>& each)
{
    if (series >= trend.series().size()) return fail("unknown_series");
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
