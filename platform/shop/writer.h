#pragma once
// Group commit: one thread, one writing connection. Whatever waits goes into one transaction; nobody is answered before it is committed.

#include <core/sync/receive.h>
#include <platform/shop/ledger_sql.h>

#include <atomic>
#include <chrono>
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
        std::size_t queue = 4096;    ///< beyond it: refused with "busy"
        int checkpoint_every = 64;   ///< commits between checkpoints
    };
    /// Ledger and Receive belong to the writer's thread from here on.
    Writer(SqlLedger&, sync::Receive&, Options);
    ~Writer();
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;

    /// From any thread.
    void put(Work);
    /// The same, and waits; for the command line and tests.
    Status put_and_wait(std::function<Status(Connection&)> run);
    /// A request of a tablet: all that wait are answered together, after one commit.
    void answer(sync::Checked, std::function<void(sync::Answer)> told);
    /// An act of the shop, which is a transaction of its own.
    void act(std::function<void(sync::Receive&)>);
    /// What waits is told "stopped".
    void stop();

    std::uint64_t commits() const { return commits_; }
    std::uint64_t works() const { return works_; }
    std::uint64_t failed() const { return failed_; }
    /// The last problem of commit or checkpoint, empty while all is well.
    std::string trouble() const;
    bool well() const { return well_; }

private:
    struct Group {
        std::vector<sync::Checked> asked;
        std::vector<std::function<void(sync::Answer)>> told;
        std::vector<std::function<void(sync::Receive&)>> acts;
        std::vector<Work> works;
        bool empty() const { return asked.empty() && acts.empty() && works.empty(); }
    };

    void loop();
    bool put_in(const std::function<void(Group&)>& add);
    Group take();
    void answer_all(Group&);
    void commit_all(std::vector<Work>);
    void commit_one(Work&);
    void told(const Problem&);

    SqlLedger& ledger_;
    sync::Receive& receive_;
    Options options_;
    mutable std::mutex mutex_;
    std::condition_variable bell_;
    Group waiting_;
    std::size_t count_ = 0;
    std::size_t wanted_ = 1;   ///< so many must wait before the bell rings
    std::size_t together_ = 0; ///< how many the last group held
    std::chrono::nanoseconds patience_{0};
    std::string trouble_;
    std::atomic<std::uint64_t> commits_{0}, works_{0}, failed_{0};
    std::atomic<bool> stopping_{false}, well_{true};
    int since_checkpoint_ = 0;
    std::thread thread_;
};

/// What a thread that may block reads with: a ledger over a reading connection of its own, and the receiver's decisions over it.
struct Reader {
    SqlLedger ledger;
    sync::Receive receive;
    Reader(Database& d, const Clock& c, Random& r, const trust::KeyPair& k) : ledger(d, true), receive(ledger, c, r, k) {}
};

class Workers {
public:
    Workers(std::size_t threads, std::function<std::unique_ptr<Reader>()> make);
    ~Workers();
    /// From any thread; false where too much waits.
    bool put(std::function<void(Reader&)>);
    void stop();

private:
    void loop();
    std::function<std::unique_ptr<Reader>()> make_;
    std::mutex mutex_;
    std::condition_variable bell_;
    std::deque<std::function<void(Reader&)>> waiting_;
    bool stopping_ = false;
    std::vector<std::thread> threads_;
};

} // namespace chockside::shop
