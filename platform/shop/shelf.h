#pragma once
// The few values that were asked for last, each under a name. Who takes one looks whether it still holds.

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <string>

namespace chockside::shop {

/// From any thread.
template <class Value>
class Shelf {
public:
    /// `most`: sum of the weights that are kept.
    explicit Shelf(std::size_t most) : most_(most) {}

    std::shared_ptr<const Value> find(const std::string& name)
    {
        const std::lock_guard hold(mutex_);
        const auto at = kept_.find(name);
        if (at == kept_.end()) return nullptr;
        at->second.used = ++turns_;
        return at->second.value;
    }

    /// Takes the place of what stood under the name. What was used longest ago goes; a value heavier than all is not kept.
    void put(const std::string& name, std::shared_ptr<const Value> value, std::size_t weight)
    {
        const std::lock_guard hold(mutex_);
        if (const auto at = kept_.find(name); at != kept_.end()) drop(at);
        if (weight > most_) return;
        while (weight_ + weight > most_) {
            auto oldest = kept_.begin();
            for (auto at = kept_.begin(); at != kept_.end(); ++at)
                if (at->second.used < oldest->second.used) oldest = at;
            drop(oldest);
        }
        kept_[name] = {std::move(value), weight, ++turns_};
        weight_ += weight;
    }

    std::size_t weight() const
    {
        const std::lock_guard hold(mutex_);
        return weight_;
    }

private:
    struct Kept {
        std::shared_ptr<const Value> value;
        std::size_t weight = 0;
        std::uint64_t used = 0;
    };
    void drop(typename std::map<std::string, Kept>::iterator at)
    {
        weight_ -= at->second.weight;
        kept_.erase(at);
    }

    mutable std::mutex mutex_;
    std::size_t most_, weight_ = 0;
    std::uint64_t turns_ = 0;
    std::map<std::string, Kept> kept_;
};

} // namespace chockside::shop
