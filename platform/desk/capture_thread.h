#pragma once
// Captures on their own thread: reading the line never waits for a disk. When the disk can't follow, packets are dropped, counted, and
// a data-lost event stands in the file where they are missing.

#include <core/capture/writer.h>
#include <core/watch/snapshot.h>

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace chockside::desk {

class CaptureThread {
public:
    CaptureThread(Disk& disk, capture::WriterOptions options);
    ~CaptureThread();

    void add(capture::Packet packet);
    /// `then` is called, on any thread, as soon as everything taken so far is on the disk, or can't be.
    void save(std::function<void()> then);
    /// Waits until everything taken so far is on the disk and the segment is sealed.
    void finish();
    std::vector<capture::Seal> take_seals();
    watch::CaptureView view() const;

private:
    static constexpr std::size_t most_waiting = 4u << 20; ///< payload bytes
    void run();
    void work_off(std::deque<capture::Packet> packets);
    void publish();

    capture::Writer writer_;
    mutable std::mutex mutex_;
    std::condition_variable bell_;
    std::deque<capture::Packet> waiting_;
    std::vector<std::function<void()>> saved_; ///< to be called when what waits is on the disk
    std::size_t waiting_bytes_ = 0;
    std::uint64_t dropped_ = 0, dropped_told_ = 0;
    bool ending_ = false;
    watch::CaptureView view_;
    std::vector<capture::Seal> seals_;
    std::thread thread_;
};

} // namespace chockside::desk
