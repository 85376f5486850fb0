#include <platform/shop/spread.h>

#include <algorithm>
#include <atomic>
#include <system_error>
#include <thread>
#include <vector>

namespace chockside::shop {

namespace {

constexpr std::size_t least_part = 16; ///< below it a thread costs more than it takes off

std::atomic<std::size_t> helpers_now{0};

/// Helpers for one spread: no more in the whole process than it has cores beside the caller's.
class Helpers {
public:
    explicit Helpers(std::size_t wanted)
    {
        const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
        std::size_t now = helpers_now;
        do granted_ = std::min(wanted, now + 1 < cores ? cores - 1 - now : 0);
        while (!helpers_now.compare_exchange_weak(now, now + granted_));
    }
    ~Helpers()
    {
        threads_.clear(); // waits for them
        helpers_now -= granted_;
    }
    Helpers(const Helpers&) = delete;
    Helpers& operator=(const Helpers&) = delete;

    std::size_t granted() const { return granted_; }
    template <class Part>
    void start(Part part)
    {
        try {
            threads_.emplace_back(part);
        } catch (const std::system_error&) {
            part(); // no thread is to be had
        }
    }

private:
    std::size_t granted_ = 0;
    std::vector<std::jthread> threads_;
};

} // namespace

void spread(std::size_t n, const std::function<void(std::size_t, std::size_t)>& work)
{
    Helpers helpers(std::max<std::size_t>(1, n / least_part) - 1);
    const std::size_t parts = helpers.granted() + 1;
    for (std::size_t i = 1; i < parts; ++i) helpers.start([&work, from = n * i / parts, to = n * (i + 1) / parts] { work(from, to); });
    work(0, n / parts);
}

} // namespace chockside::shop
