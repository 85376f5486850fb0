#pragma once

#include <cstddef>
#include <functional>

namespace chockside::shop {

/// Calls work(first, end) for parts that together are 0..n, on the cores that no other spread holds, and returns when all are done. For work
/// of some ten microseconds a piece or more; from any thread.
void spread(std::size_t n, const std::function<void(std::size_t first, std::size_t end)>& work);

} // namespace chockside::shop
