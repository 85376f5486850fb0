#pragma once
// Full blocks on their way to the file: the next one is encoded while the medium takes the last.

#include <core/trend/detail/store.h>

#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>

namespace chockside::trend::detail {

/// Blocks are put and committed in the order they were given, by a thread that begins with the first. One caller, who uses the store
/// itself only after settle(). After a failure nothing more is written.
class Behind {
public:
    explicit Behind(Store& store) : store_(store) {}
    ~Behind();
    Behind(const Behind&) = delete;
    Behind& operator=(const Behind&) = delete;

    /// Waits only while eight blocks are on their way. Gives what an earlier block met.
    Status put(std::uint64_t id, Encoded, bool commit);
    /// Everything given is in the file. Gives what a block met, until forgotten.
    Status settle();
    void forget();

private:
    struct Block {
        std::uint64_t id = 0;
        Encoded encoded;
        bool commit = false;
    };
    void loop();
    Status write(const Block&);

    Store& store_;
    std::mutex m_;
    std::condition_variable come_, gone_;
    std::deque<Block> blocks_; ///< the first is being written
    Status state_;
    bool ending_ = false;
    std::thread thread_;
};

} // namespace chockside::trend::detail
