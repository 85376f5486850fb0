#include <core/trend/detail/behind.h>

namespace chockside::trend::detail {

namespace {

constexpr std::size_t most = 8;

} // namespace

Behind::~Behind()
{
    {
        const std::lock_guard lock(m_);
        ending_ = true;
    }
    come_.notify_one();
    if (thread_.joinable()) thread_.join();
}

Status Behind::put(std::uint64_t id, Encoded encoded, bool commit)
{
    if (!thread_.joinable()) thread_ = std::thread([this] { loop(); });
    std::unique_lock lock(m_);
    gone_.wait(lock, [this] { return blocks_.size() < most; });
    if (!state_) return state_;
    blocks_.push_back({id, std::move(encoded), commit});
    lock.unlock();
    come_.notify_one();
    return {};
}

Status Behind::settle()
{
    std::unique_lock lock(m_);
    gone_.wait(lock, [this] { return blocks_.empty(); });
    return state_;
}

void Behind::forget()
{
    const std::lock_guard lock(m_);
    state_ = {};
}

Status Behind::write(const Block& b)
{
    if (auto ok = store_.put(b.id, b.encoded); !ok) return ok;
    return b.commit ? store_.commit() : Status();
}

void Behind::loop()
{
    std::unique_lock lock(m_);
    for (;;) {
        come_.wait(lock, [this] { return ending_ || !blocks_.empty(); });
        if (blocks_.empty()) return;
        if (state_) {
            const Block& first = blocks_.front();
            lock.unlock();
            Status ok = write(first);
            lock.lock();
            state_ = std::move(ok);
        }
        blocks_.pop_front();
        gone_.notify_one();
    }
}

} // namespace chockside::trend::detail
