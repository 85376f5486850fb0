#include <platform/shop/writer.h>

#include <algorithm>
#include <future>

namespace chockside::shop {

namespace {

constexpr std::chrono::milliseconds longest_patience{1};

} // namespace

Writer::Writer(SqlLedger& ledger, sync::Receive& receive, Options options) : ledger_(ledger), receive_(receive), options_(options)
{
    thread_ = std::thread([this] { loop(); });
}

Writer::~Writer()
{
    stop();
}

bool Writer::put_in(const std::function<void(Group&)>& add)
{
    const std::lock_guard hold(mutex_);
    if (stopping_ || count_ >= options_.queue) return false;
    add(waiting_);
    if (++count_ >= wanted_) bell_.notify_one();
    return true;
}

void Writer::put(Work work)
{
    if (!put_in([&](Group& g) { g.works.push_back(work); })) work.done(fail(stopping_ ? "stopped" : "busy", "writer"));
}

void Writer::answer(sync::Checked asked, std::function<void(sync::Answer)> told)
{
    const bool in = put_in([&](Group& g) {
        g.asked.push_back(std::move(asked));
        g.told.push_back(told);
    });
    if (!in) told({503, {{"retry-after", "2"}}, {}});
}

void Writer::act(std::function<void(sync::Receive&)> what)
{
    (void)put_in([&](Group& g) { g.acts.push_back(std::move(what)); });
}

Status Writer::put_and_wait(std::function<Status(Connection&)> run)
{
    auto outcome = std::make_shared<std::promise<Status>>();
    put({std::move(run), [outcome](const Status& s) { outcome->set_value(s); }});
    return outcome->get_future().get();
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

Writer::Group Writer::take()
{
    std::unique_lock hold(mutex_);
    bell_.wait(hold, [this] { return stopping_ || count_ > 0; });
    // Who was answered together mostly asks again together. A commit that begins with the first of them keeps the others waiting for it and
    // then needs one more; waiting for them as long as a commit takes costs at most that one.
    if (count_ < together_) {
        wanted_ = together_;
        bell_.wait_for(hold, patience_, [this] { return stopping_ || count_ >= wanted_; });
        wanted_ = 1;
    }
    together_ = std::exchange(count_, 0);
    return std::exchange(waiting_, {});
}

void Writer::loop()
{
    for (;;) {
        Group group = take();
        if (group.empty()) break;
        const auto began = std::chrono::steady_clock::now();
        answer_all(group);
        for (auto& act : group.acts) act(receive_);
        if (!group.works.empty()) commit_all(std::move(group.works));
        patience_ = std::min<std::chrono::nanoseconds>(std::chrono::steady_clock::now() - began, longest_patience);
        Connection* c = ledger_.connection();
        well_ = c != nullptr;
        if (!c || ++since_checkpoint_ < options_.checkpoint_every) continue;
        since_checkpoint_ = 0;
        if (auto moved = c->checkpoint(); !moved) told(moved.error());
    }
    if (Connection* c = ledger_.connection()) (void)c->checkpoint();
}

void Writer::answer_all(Group& group)
{
    if (group.asked.empty()) return;
    auto answers = receive_.answer_all(group.asked);
    ++commits_;
    works_ += answers.size();
    for (std::size_t i = 0; i < answers.size(); ++i) {
        if (answers[i].status == 503 || answers[i].status == 507) ++failed_;
        group.told[i](std::move(answers[i]));
    }
}

void Writer::commit_all(std::vector<Work> works)
{
    Connection* c = ledger_.connection();
    Status outcome = c ? c->begin(true) : Status(fail("gone", "writer"));
    bool all = outcome.has_value();
    for (std::size_t i = 0; i < works.size() && all; ++i) {
        outcome = works[i].run(*c);
        all = outcome.has_value();
    }
    if (!all) {
        if (c) c->rollback();
        // One of the group fails: each is tried alone, so that the others don't pay for it.
        for (Work& work : works) works.size() == 1 ? work.done(outcome) : commit_one(work);
        return;
    }
    outcome = c->commit();
    ++commits_;
    works_ += works.size();
    if (!outcome) told(outcome.error());
    for (Work& work : works) work.done(outcome);
}

void Writer::commit_one(Work& work)
{
    Connection* c = ledger_.connection();
    if (!c) return work.done(fail("gone", "writer"));
    Status outcome = c->begin(true);
    if (outcome) outcome = work.run(*c);
    if (outcome) outcome = c->commit();
    else c->rollback();
    ++commits_;
    ++works_;
    if (!outcome) told(outcome.error());
    work.done(outcome);
}

Workers::Workers(std::size_t threads, std::function<std::unique_ptr<Reader>()> make) : make_(std::move(make))
{
    for (std::size_t i = 0; i < threads; ++i) threads_.emplace_back([this] { loop(); });
}

Workers::~Workers()
{
    stop();
}

bool Workers::put(std::function<void(Reader&)> task)
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
    const auto reader = make_();
    for (;;) {
        std::function<void(Reader&)> task;
        {
            std::unique_lock hold(mutex_);
            bell_.wait(hold, [this] { return stopping_ || !waiting_.empty(); });
            if (stopping_) return;
            task = std::move(waiting_.front());
            waiting_.pop_front();
        }
        task(*reader);
    }
}

} // namespace chockside::shop
