#include <core/watch/live_state.h>

#include <core/watch/detail/roles.h>
#include <core/watch/pages.h>

#include <algorithm>
#include <cmath>

namespace chockside::watch {

namespace {

constexpr std::int64_t ms = 1'000'000, second = 1'000'000'000;
constexpr std::size_t most_points = 10'000;
constexpr std::int64_t least_gap = 120 * ms; ///< what a busy tablet may add between bytes and their reading
constexpr double uptime_slack_s = 2;

std::int64_t scaled(std::int64_t ns, double scale)
{
    return static_cast<std::int64_t>(static_cast<double>(ns) * std::max(1.0, scale));
}

/// Counts over the last whole second or more.
struct Rate {
    std::int64_t since_ns = 0;
    std::uint64_t count = 0;
    double per_s = 0;
    void tick(std::int64_t t_ns)
    {
        if (t_ns - since_ns < second) return;
        per_s = static_cast<double>(count) * 1e9 / static_cast<double>(t_ns - since_ns);
        count = 0;
        since_ns = t_ns;
    }
};

} // namespace

struct LiveState::Impl {
    std::shared_ptr<const codec::Plan> plan;
    LiveOptions options;
    detail::Roles roles;
    DropWatch drops;
    FlexTest flex;
    std::optional<SettleWatch> settle;
    std::vector<Reading> readings;
    std::vector<PlotPoint> plot; ///< ring; `plot_at` is where the next goes
    std::size_t plot_at = 0;
    LiveSnapshot s;              ///< all but rows, plot and settle
    Rate frames, words;
    std::int64_t last_frame_ns = -1, last_uptime_ns = -1, silence_ns = 0;

    Impl(std::shared_ptr<const codec::Plan> p, LiveOptions o)
        : plan(std::move(p)), options(o), roles(detail::roles_of(*plan)), drops(*plan, roles, scaled(least_gap, o.time_scale)), readings(plan->signals().all().size())
    {
        silence_ns = scaled(plan->unit().line.silence_ms * ms, o.time_scale);
        if (!roles.settle) return;
        const auto& signal = plan->signals()[*roles.settle];
        settle.emplace(*plan->unit().timings.settle, signal.name, signal.wraps);
        s.plot_signal = signal.name;
    }

    void set_link(LinkState to, std::int64_t t_ns)
    {
        if (s.link == to) return;
        if (s.link == LinkState::good) ++s.losses;
        s.link = to;
        s.link_since_ns = t_ns;
        flex.set_seeing(to == LinkState::good, t_ns);
    }

    void hush(std::int64_t t_ns)
    {
        drops.pause(t_ns);
        frames = words = {t_ns, 0, 0};
        if (settle) settle->clear();
    }

    bool operating() const
    {
        return s.self_test.phase != SelfTestPhase::running && s.aligned.value_or(true);
    }

    void uptime(const codec::Observation& o)
    {
        if (std::isnan(o.value)) return;
        const double gap_s = last_uptime_ns < 0 ? 0 : static_cast<double>(o.t_ns - last_uptime_ns) * 1e-9;
        // A figure that fits no restart within the gap is another unit or channel on the same cable.
        const bool back = s.uptime_s && o.value + 1 < *s.uptime_s;
        if (back && o.value <= gap_s + uptime_slack_s) power_lost(*s.uptime_s);
        s.uptime_s = o.value;
        last_uptime_ns = o.t_ns;
    }

    void power_lost(double before_s)
    {
        ++s.power_losses;
        s.uptime_before_s = before_s;
        s.self_test.phase = SelfTestPhase::unknown;
        s.self_test.failed.clear();
        s.aligned.reset();
    }

    void self_test(const codec::FrameView& frame)
    {
        std::vector<std::string> failed;
        std::optional<std::uint64_t> phase;
        for (const auto& o : frame.observations) {
            if (o.signal == *roles.phase) phase = o.raw;
            for (const auto& [id, name] : roles.failed_bits)
                if (o.signal == id && o.value != 0) failed.push_back(name);
        }
        if (!phase) return;
        if (*phase == roles.phase_running) {
            s.self_test.phase = SelfTestPhase::running;
            s.self_test.failed.clear();
            return;
        }
        if (s.self_test.phase != SelfTestPhase::ended || s.self_test.failed != failed) ++s.self_test.ended_count;
        s.self_test.phase = SelfTestPhase::ended;
        s.self_test.failed = std::move(failed);
    }

    void page(const codec::FrameView& frame)
    {
        const std::string name(frame.name);
        if (std::find(roles.page_frames.begin(), roles.page_frames.end(), name) == roles.page_frames.end()) return;
        s.pages[name] = page_of(*plan, frame.name, frame.observations, frame.texts);
        ++s.page_reads[name];
    }

    void point(const codec::Observation& o)
    {
        const bool good = o.validity == codec::Validity::good;
        settle->add(o.t_ns, o.value, good);
        const PlotPoint p{o.t_ns, static_cast<float>(o.value), good};
        if (plot.size() < most_points) plot.push_back(p);
        else plot[plot_at] = p;
        plot_at = (plot_at + 1) % most_points;
    }

    void take(const codec::Observation& o)
    {
        readings[o.signal] = {o.value, o.raw, o.validity, o.t_ns};
        if (roles.signals[o.signal].word) ++words.count;
        if (roles.uptime == o.signal) uptime(o);
        if (roles.aligned == o.signal) s.aligned = o.value != 0;
        if (roles.moving == o.signal) s.moving = o.value != 0;
        if (roles.settle == o.signal) point(o);
    }

    void hits()
    {
        for (const auto& moment : drops.take_moments()) moment.begins ? flex.hit(moment.t_ns) : flex.over(moment.t_ns);
    }

    /// What came due before a mark changes belongs to the mark that stood.
    void catch_up(std::int64_t t_ns)
    {
        drops.tick(t_ns);
        hits();
    }

    void rows(LiveSnapshot& out, std::int64_t t_ns) const
    {
        const auto& all = plan->signals().all();
        for (std::size_t i = 0; i < all.size(); ++i) {
            const Reading& r = readings[i];
            if (r.t_ns < 0) continue;
            const std::int64_t age = std::max<std::int64_t>(0, t_ns - r.t_ns);
            const std::int64_t limit = std::max(3 * roles.signals[i].period_ns, scaled(least_gap, options.time_scale));
            const bool fresh = out.link == LinkState::good && (roles.signals[i].period_ns == 0 || age <= limit);
            out.rows.push_back({all[i].name, all[i].unit, r.value, r.validity, age / ms, all[i].boolean, fresh, roles.signals[i].period_ns != 0});
        }
    }

    std::shared_ptr<const std::vector<PlotPoint>> ordered_plot() const
    {
        auto out = std::make_shared<std::vector<PlotPoint>>(plot);
        if (plot.size() == most_points) std::rotate(out->begin(), out->begin() + static_cast<std::ptrdiff_t>(plot_at), out->end());
        return out;
    }
};

LiveState::LiveState(std::shared_ptr<const codec::Plan> plan, LiveOptions options) : impl_(std::make_unique<Impl>(std::move(plan), options)) {}
LiveState::~LiveState() = default;
LiveState::LiveState(LiveState&&) noexcept = default;

void LiveState::port_opened(const std::string& port, std::int64_t t_ns)
{
    if (impl_->s.link == LinkState::closed) {
        impl_->s.losses = 0;
        impl_->s.uptime_s.reset();
        impl_->s.aligned.reset();
        impl_->s.moving.reset();
        impl_->s.self_test.phase = SelfTestPhase::unknown; // it is asked for again, of whichever unit is there now
        impl_->s.self_test.failed.clear();
    }
    impl_->s.port = port;
    impl_->last_frame_ns = -1;
    impl_->hush(t_ns);
    impl_->set_link(LinkState::silent, t_ns);
}

void LiveState::port_closed(std::int64_t t_ns)
{
    impl_->hush(t_ns);
    impl_->set_link(LinkState::closed, t_ns);
}

void LiveState::port_lost(std::int64_t t_ns)
{
    impl_->hush(t_ns);
    impl_->set_link(LinkState::lost, t_ns);
}

void LiveState::on_frame(const codec::FrameView& frame)
{
    Impl& m = *impl_;
    m.last_frame_ns = frame.t_ns;
    m.set_link(LinkState::good, frame.t_ns);
    ++m.frames.count;
    for (const auto& o : frame.observations) m.take(o);
    if (m.roles.phase && frame.name == m.roles.phase_frame) m.self_test(frame);
    m.page(frame);
    m.drops.on_frame(frame, m.operating());
    m.hits();
}

void LiveState::tick(std::int64_t t_ns)
{
    Impl& m = *impl_;
    m.frames.tick(t_ns);
    m.words.tick(t_ns);
    if (m.s.link != LinkState::good) return;
    m.drops.tick(t_ns);
    m.hits();
    if (t_ns - m.last_frame_ns <= m.silence_ns) return;
    m.hush(t_ns);
    m.set_link(LinkState::silent, t_ns);
}

void LiveState::set_counters(const codec::Counters& counters) { impl_->s.counters = counters; }
void LiveState::set_session(const SessionView& session) { impl_->s.session = session; }
void LiveState::set_capture(const CaptureView& capture) { impl_->s.capture = capture; }

void LiveState::set_faults(std::vector<StoredFault> faults)
{
    impl_->s.faults = std::move(faults);
    ++impl_->s.fault_reads;
}

void LiveState::start_flex(std::int64_t t_ns)
{
    impl_->catch_up(t_ns);
    impl_->flex.start(t_ns);
    impl_->drops.set_place({});
}

void LiveState::stop_flex(std::int64_t t_ns)
{
    impl_->catch_up(t_ns);
    impl_->flex.stop(t_ns);
    impl_->drops.set_place({});
}

void LiveState::mark(const std::string& place, std::int64_t t_ns)
{
    impl_->catch_up(t_ns);
    impl_->flex.mark(place, t_ns);
    impl_->drops.set_place(place);
}

const Reading& LiveState::reading(codec::SignalId id) const { return impl_->readings[id]; }
LinkState LiveState::link() const { return impl_->s.link; }

LiveSnapshot LiveState::snapshot(std::int64_t t_ns) const
{
    const Impl& m = *impl_;
    LiveSnapshot out = m.s;
    out.t_ns = t_ns;
    out.frames_per_s = m.frames.per_s;
    out.words_per_s = m.words.per_s;
    m.rows(out, t_ns);
    if (m.settle) out.settled.push_back(m.settle->view(t_ns));
    out.drops.assign(m.drops.latest().begin(), m.drops.latest().end());
    out.drop_counts = m.drops.counts();
    out.flex = m.flex.view(t_ns);
    out.plot = m.ordered_plot();
    return out;
}

} // namespace chockside::watch
