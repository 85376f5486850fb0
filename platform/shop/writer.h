#pragma once
// Group commit: one thread, one writing connection. Whatever waits goes into one transaction; nobody is answered before it is committed.

#include <platform/shop/sql.h>

#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

namespace chockside::shop {

/// One thing to write. `run` may be called again after a rollback, so it must depend on nothing but its values and the database, and leave
/// nothing behind that a rollback would not undo, but through `forget`.
struct Work {
    /// A problem rolls back this work alone.
    std::function<Status(Connection&)> run;
    /// Called once, after the commit or with what went wrong. Codes beside those of Connection: not_committed (nobody knows), stopped.
    std::function<void(const Status&)> done;
};

class Writer {
public:
    struct Options {
        std::size_t most = 256;      ///< works in one transaction
        std::size_t queue = 4096;    ///< beyond it: refused with "busy"
        int checkpoint_every = 64;   ///< commits between checkpoints
    };
    /// `forget` runs after every rollback and on every new connection: what was remembered of the database may not be so.
    Writer(Database&, std::function<void()> forget, Options);
    ~Writer();
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;

    /// From any thread.
    void put(Work);
    /// The same, and waits; for the command line and tests.
    Status put_and_wait(std::function<Status(Connection&)> run);
    /// What waits is told "stopped".
    void stop();

    std::uint64_t commits() const { return commits_; }
    std::uint64_t works() const { return works_; }
    std::uint64_t failed() const { return failed_; }
    /// The last problem of commit or checkpoint, empty while all is well.
    std::string trouble() const;
    bool well() const { return well_; }

private:
    void loop();
    bool ready();
    std::vector<Work> take();
    void commit_all(std::vector<Work>);
    void commit_one(Work&);
    void told(const Problem&);

    Database& database_;
    std::function<void()> forget_;
    Options options_;
    std::unique_ptr<Connection> connection_;
    mutable std::mutex mutex_;
    std::condition_variable bell_;
    std::vector<Work> waiting_;
    std::string trouble_;
    std::atomic<std::uint64_t> commits_{0}, works_{0}, failed_{0};
    std::atomic<bool> stopping_{false}, well_{true};
    int since_checkpoint_ = 0;
    std::thread thread_;
};

/// Threads that may block, each with a reading connection of its own.
class Workers {
public:
    Workers(Database&, std::size_t threads);
    ~Workers();
    /// From any thread; false where too much waits. The connection is null while the database is gone.
    bool put(std::function<void(Connection*)>);
    void stop();

private:
    void loop();
    Database& database_;
    std::mutex mutex_;
    std::condition_variable bell_;
    std::deque<std::function<void(Connection*)>> waiting_;
    bool stopping_ = false;
    std::vector<std::thread> threads_;
};

} // namespace chockside::shop
