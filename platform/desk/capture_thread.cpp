#include <platform/desk/capture_thread.h>

#include <chrono>
#include <iterator>
#include <optional>
#include <utility>

namespace chockside::desk {

namespace {

constexpr std::chrono::seconds flush_after{2};
constexpr std::size_t packet_cost = 64; ///< what a packet holds besides its payload, about

} // namespace

CaptureThread::CaptureThread(Disk& disk, capture::WriterOptions options) : writer_(disk, std::move(options))
{
    view_.writing = true;
    thread_ = std::thread([this] { run(); });
}

CaptureThread::~CaptureThread()
{
    finish();
}

void CaptureThread::add(capture::Packet packet)
{
    {
        const std::lock_guard hold(mutex_);
        if (ending_) return;
        const std::size_t cost = packet.bytes.size() + packet_cost;
        if (waiting_bytes_ + cost > most_waiting) {
            dropped_ += packet.bytes.size();
            view_.lost += packet.bytes.size();
            return;
        }
        waiting_bytes_ += cost;
        waiting_.push_back(std::move(packet));
        if (waiting_.size() > 1) return; // the thread has been called already
    }
    bell_.notify_one();
}

void CaptureThread::work_off(std::deque<capture::Packet> packets)
{
    std::uint64_t dropped = 0;
    {
        const std::lock_guard hold(mutex_);
        dropped = dropped_ - std::exchange(dropped_told_, dropped_);
    }
    for (auto& packet : packets) (void)writer_.add(packet);
    if (dropped == 0 || packets.empty()) return;
    capture::Packet gap;
    gap.t_ns = packets.back().t_ns;
    gap.event = capture::Event::data_lost;
    gap.comment = std::to_string(dropped) + " bytes lost";
    (void)writer_.add(gap);
}

void CaptureThread::publish()
{
    const std::lock_guard hold(mutex_);
    const std::uint64_t lost = dropped_ + writer_.lost();
    view_.path = writer_.path();
    view_.bytes = writer_.bytes();
    view_.lost = lost;
    view_.stopped = writer_.stopped();
    view_.writing = view_.stopped.empty() && !ending_;
    auto seals = writer_.take_seals();
    seals_.insert(seals_.end(), std::make_move_iterator(seals.begin()), std::make_move_iterator(seals.end()));
}

void CaptureThread::run()
{
    (void)writer_.start();
    publish();
    std::optional<std::chrono::steady_clock::time_point> unsaved; // since when
    for (;;) {
        std::deque<capture::Packet> packets;
        std::vector<std::function<void()>> saved;
        {
            std::unique_lock hold(mutex_);
            const auto called = [this] { return ending_ || !waiting_.empty() || !saved_.empty(); };
            if (unsaved) bell_.wait_until(hold, *unsaved + flush_after, called);
            else bell_.wait(hold, called);
            if (ending_ && waiting_.empty()) break;
            packets = std::exchange(waiting_, {});
            waiting_bytes_ = 0;
            saved = std::exchange(saved_, {});
        }
        if (!packets.empty() && !unsaved) unsaved = std::chrono::steady_clock::now();
        work_off(std::move(packets));
        // A line that talks leaves no pause to wait for.
        if (unsaved && (!saved.empty() || std::chrono::steady_clock::now() >= *unsaved + flush_after)) {
            (void)writer_.flush(true);
            unsaved.reset();
        }
        publish();
        for (const auto& then : saved) then();
    }
    (void)writer_.finish();
    publish();
    std::vector<std::function<void()>> saved;
    {
        const std::lock_guard hold(mutex_);
        saved = std::exchange(saved_, {});
    }
    for (const auto& then : saved) then();
}

void CaptureThread::save(std::function<void()> then)
{
    bool ended = false;
    {
        const std::lock_guard hold(mutex_);
        ended = ending_; // it saves all by itself
        if (!ended) saved_.push_back(std::move(then));
    }
    if (ended) then();
    else bell_.notify_one();
}

void CaptureThread::finish()
{
    {
        const std::lock_guard hold(mutex_);
        ending_ = true;
    }
    bell_.notify_one();
    if (thread_.joinable()) thread_.join();
}

std::vector<capture::Seal> CaptureThread::take_seals()
{
    const std::lock_guard hold(mutex_);
    return std::exchange(seals_, {});
}

watch::CaptureView CaptureThread::view() const
{
    const std::lock_guard hold(mutex_);
    return view_;
}

} // namespace chockside::desk
