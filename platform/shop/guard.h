#pragma once
// How many requests a second are taken from whom: a bucket of tokens for each tablet, and for each address one for those whose token nobody
// has seen yet and one for uploads. What is beyond them waits, and is told how long.

#include <cstdint>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace chockside::shop {

struct Rate {
    double per_second = 10; ///< tokens that come back each second, > 0
    double burst = 50;      ///< tokens of a full bucket, >= 1
};

/// Buckets of tokens by key. Thread-compatible.
class Buckets {
public:
    explicit Buckets(Rate rate, std::size_t most = 65'536) : rate_(rate), most_(most) {}

    /// Takes one token of `key`. 0: taken; else the whole seconds, >= 1, after which one will be there. Beyond `most` keys that are in use
    /// all further ones share a single bucket. `mono_ms`: a clock that never goes back.
    int take(const std::string& key, std::int64_t mono_ms);
    std::size_t size() const { return held_.size(); }

private:
    struct Level {
        double tokens = 0;
        std::int64_t at_ms = 0;
    };
    double now_in(const Level&, std::int64_t mono_ms) const;

    Rate rate_;
    std::size_t most_;
    std::map<std::string, Level> held_;
};

struct GuardSettings {
    Rate device{10, 50};     ///< requests of one tablet
    Rate visitor{50, 500};   ///< of one address, by whom no tablet is known: page, enrolment, sessions, wrong tokens
    Rate upload{200, 2000};  ///< of one address, on upload addresses, which are capabilities of their own
};

/// What one address counts as: IPv4 itself (also where it is written as IPv6), IPv6 by its first 64 bits, which is what one line is given
/// (RFC 6177). Anything else counts as itself.
std::string address_group(const std::string& address);

/// Thread-safe.
class Guard {
public:
    explicit Guard(GuardSettings s = {}) : device_(s.device), visitor_(s.visitor), upload_(s.upload) {}

    /// 0, or the seconds to wait. `authorization`: the field as sent.
    int admit(std::string_view authorization, const std::string& peer, std::int64_t mono_ms);
    int admit_upload(const std::string& peer, std::int64_t mono_ms);

    /// Whose token it is, once the ledger said so; until then its requests count as its address's.
    bool knows(std::string_view authorization) const;
    void learn(std::string_view authorization, const std::string& device);

private:
    mutable std::mutex mutex_;
    Buckets device_, visitor_, upload_;
    std::map<std::string, std::string> devices_; ///< by the digest of the field: tokens are nowhere kept in clear
};

} // namespace chockside::shop
