#include <platform/shop/guard.h>

#include <core/trust/trust.h>

#include <algorithm>
#include <arpa/inet.h>
#include <cmath>
#include <cstring>

namespace chockside::shop {

namespace {

constexpr std::size_t tokens_kept = 20'000;

std::string digest_of(std::string_view authorization)
{
    return trust::sha256_hex(as_bytes(authorization));
}

} // namespace

double Buckets::now_in(const Level& level, std::int64_t mono_ms) const
{
    const double passed = static_cast<double>(std::max<std::int64_t>(0, mono_ms - level.at_ms)) / 1000;
    return std::min(rate_.burst, level.tokens + passed * rate_.per_second);
}

int Buckets::take(const std::string& key, std::int64_t mono_ms)
{
    static const std::string rest;
    auto at = held_.find(key);
    if (at == held_.end() && held_.size() >= most_) {
        std::erase_if(held_, [&](const auto& one) { return now_in(one.second, mono_ms) >= rate_.burst; });
        if (held_.size() >= most_) at = held_.find(rest);
    }
    if (at == held_.end()) at = held_.emplace(held_.size() >= most_ ? rest : key, Level{rate_.burst, mono_ms}).first;
    Level& level = at->second;
    level = {now_in(level, mono_ms), std::max(level.at_ms, mono_ms)};
    if (level.tokens >= 1) {
        level.tokens -= 1;
        return 0;
    }
    return std::max(1, static_cast<int>(std::ceil((1 - level.tokens) / rate_.per_second)));
}

std::string address_group(const std::string& address)
{
    in6_addr parts{};
    if (inet_pton(AF_INET6, address.substr(0, address.find('%')).c_str(), &parts) != 1) return address;
    if (IN6_IS_ADDR_V4MAPPED(&parts)) {
        char text[INET_ADDRSTRLEN];
        return inet_ntop(AF_INET, parts.s6_addr + 12, text, sizeof text) ? text : address;
    }
    std::memset(parts.s6_addr + 8, 0, 8);
    char text[INET6_ADDRSTRLEN];
    return inet_ntop(AF_INET6, &parts, text, sizeof text) ? std::string(text) + "/64" : address;
}

int Guard::admit(std::string_view authorization, const std::string& peer, std::int64_t mono_ms)
{
    const std::string digest = authorization.empty() ? std::string() : digest_of(authorization);
    const std::lock_guard hold(mutex_);
    if (const auto known = devices_.find(digest); known != devices_.end()) return device_.take(known->second, mono_ms);
    return visitor_.take(address_group(peer), mono_ms);
}

int Guard::admit_upload(const std::string& peer, std::int64_t mono_ms)
{
    const std::lock_guard hold(mutex_);
    return upload_.take(address_group(peer), mono_ms);
}

bool Guard::knows(std::string_view authorization) const
{
    const std::string digest = digest_of(authorization);
    const std::lock_guard hold(mutex_);
    return devices_.contains(digest);
}

void Guard::learn(std::string_view authorization, const std::string& device)
{
    if (authorization.empty()) return;
    const std::lock_guard hold(mutex_);
    // Sessions end after hours and nobody tells: all begin again as unknown, which costs each of them one look into the ledger.
    if (devices_.size() >= tokens_kept) devices_.clear();
    devices_[digest_of(authorization)] = device;
}

} // namespace chockside::shop
