#include <core/job/state.h>

#include <algorithm>

namespace chockside::job {

namespace {

bool before(const Register::Write& a, const Register::Write& b)
{
    return a.stamp.author != b.stamp.author ? a.stamp.author < b.stamp.author : a.stamp.seq < b.stamp.seq;
}

} // namespace

bool covers(const journal::Vector& seen, const std::string& author, std::int64_t seq)
{
    const auto known = seen.find(author);
    return known != seen.end() && known->second >= seq;
}

void Register::set(const std::string& value, const Stamp& stamp, const journal::Vector& seen)
{
    std::erase_if(writes, [&](const Write& write) {
        const bool own_past = write.stamp.author == stamp.author && write.stamp.seq < stamp.seq;
        return own_past || covers(seen, write.stamp.author, write.stamp.seq);
    });
    const Write write{value, stamp};
    writes.insert(std::upper_bound(writes.begin(), writes.end(), write, before), write);
}

bool Register::contested() const
{
    return std::any_of(writes.begin(), writes.end(), [&](const Write& w) { return w.value != writes.front().value; });
}

std::optional<std::string> Register::agreed() const
{
    if (writes.empty() || contested()) return std::nullopt;
    return writes.front().value;
}

bool Register::certainly(const std::string& value) const
{
    return !writes.empty() && std::all_of(writes.begin(), writes.end(), [&](const Write& w) { return w.value == value; });
}

bool Register::perhaps(const std::string& value) const
{
    return std::any_of(writes.begin(), writes.end(), [&](const Write& w) { return w.value == value; });
}

} // namespace chockside::job
