#include <platform/shop/writer.h>

#include <future>

namespace chockside::shop {

Writer::Writer(Database& database, std::function<void()> forget, Options options) : database_(database), forget_(std::move(forget)), options_(options)
{
    thread_ = std::thread([this] { loop(); });
}

Writer::~Writer()
{
    stop();
}

void Writer::put(Work work)
{
    {
        const std::lock_guard hold(mutex_);
        if (!stopping_ && waiting_.size() < options_.queue) {
            waiting_.push_back(std::move(work));
            bell_.notify_one();
            return;
        }
    }
    work.done(fail(stopping_ ? "stopped" : "busy", "writer"));
}

Status Writer::put_and_wait(std::function<Status(Connection&)> run)
{
    std::promise<Status> told;
    put({std::move(run), [&](const Status& s) { told.set_value(s); }});
    return told.get_future().get();
}

void Writer::stop()
{
    {
        const std::lock_guard hold(mutex_);
        stopping_ = true;
        bell_.notify_one();
    }
    if (thread_.joinable()) thread_.join();
}

std::string Writer::trouble() const
{
    const std::lock_guard hold(mutex_);
    return trouble_;
}

void Writer::told(const Problem& p)
{
    ++failed_;
    const std::lock_guard hold(mutex_);
    trouble_ = p.code + " " + p.place;
}

std::vector<Work> Writer::take()
{
    std::unique_lock hold(mutex_);
    bell_.wait(hold, [this] { return stopping_ || !waiting_.empty(); });
    std::vector<Work> taken;
    if (waiting_.size() <= options_.most) {
        taken.swap(waiting_);
    } else {
        const auto end = waiting_.begin() + static_cast<std::ptrdiff_t>(options_.most);
        taken.assign(std::make_move_iterator(waiting_.begin()), std::make_move_iterator(end));
        waiting_.erase(waiting_.begin(), end);
    }
    return taken;
}

void Writer::loop()
{
    for (;;) {
        std::vector<Work> taken = take();
        if (taken.empty()) break;
        if (stopping_) {
            for (Work& work : taken) work.done(fail("stopped", "writer"));
            continue;
        }
        if (!ready()) {
            for (Work& work : taken) work.done(fail("gone", "writer"));
            continue;
        }
        commit_all(std::move(taken));
    }
    if (connection_) (void)connection_->checkpoint();
    connection_.reset();
}

bool Writer::ready()
{
    if (connection_ && connection_->good()) return true;
    connection_.reset();
    forget_();
    auto made = database_.connect(false);
    well_ = made.has_value();
    if (!made) {
        told(made.error());
        return false;
    }
    connection_ = std::move(*made);
    return true;
}

void Writer::commit_all(std::vector<Work> works)
{
    Status outcome = connection_->begin(true);
    bool all = outcome.has_value();
    for (std::size_t i = 0; i < works.size() && all; ++i) {
        outcome = works[i].run(*connection_);
        all = outcome.has_value();
    }
    if (all) {
        outcome = connection_->commit();
        ++commits_;
        // Whether a commit whose answer was lost took place, nobody here knows: heads tell it at the next contact.
        if (!outcome) {
            told(outcome.error());
            forget_();
            outcome = fail("not_committed", outcome.error().code);
        }
        works_ += works.size();
        for (Work& work : works) work.done(outcome);
    } else {
        connection_->rollback();
        forget_();
        if (works.size() == 1 && connection_->good()) {
            works.front().done(outcome);
        } else {
            for (Work& work : works) commit_one(work);
        }
    }
    if (++since_checkpoint_ < options_.checkpoint_every || !connection_ || !connection_->good()) return;
    since_checkpoint_ = 0;
    if (auto moved = connection_->checkpoint(); !moved) told(moved.error());
}

/// One of the group fails: each is tried alone, so that the others don't pay for it.
void Writer::commit_one(Work& work)
{
    if (!ready()) return work.done(fail("gone", "writer"));
    Status outcome = connection_->begin(true);
    if (outcome) outcome = work.run(*connection_);
    if (!outcome) {
        connection_->rollback();
        forget_();
        return work.done(outcome);
    }
    outcome = connection_->commit();
    ++commits_;
    ++works_;
    if (!outcome) {
        told(outcome.error());
        forget_();
        outcome = fail("not_committed", outcome.error().code);
    }
    work.done(outcome);
}

Workers::Workers(Database& database, std::size_t threads) : database_(database)
{
    for (std::size_t i = 0; i < threads; ++i) threads_.emplace_back([this] { loop(); });
}

Workers::~Workers()
{
    stop();
}

bool Workers::put(std::function<void(Connection*)> task)
{
    const std::lock_guard hold(mutex_);
    if (stopping_ || waiting_.size() >= 4096) return false;
    waiting_.push_back(std::move(task));
    bell_.notify_one();
    return true;
}

void Workers::stop()
{
    {
        const std::lock_guard hold(mutex_);
        stopping_ = true;
        bell_.notify_all();
    }
    for (auto& thread : threads_)
        if (thread.joinable()) thread.join();
    waiting_.clear();
}

void Workers::loop()
{
    std::unique_ptr<Connection> connection;
    for (;;) {
        std::function<void(Connection*)> task;
        {
            std::unique_lock hold(mutex_);
            bell_.wait(hold, [this] { return stopping_ || !waiting_.empty(); });
            if (stopping_) return;
            task = std::move(waiting_.front());
            waiting_.pop_front();
        }
        if (!connection || !connection->good()) {
            auto made = database_.connect(true);
            connection = made ? std::move(*made) : nullptr;
        }
        task(connection.get());
    }
}

} // namespace chockside::shop
