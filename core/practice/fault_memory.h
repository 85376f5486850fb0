#pragma once

#include <vector>

namespace chockside::practice {

struct StoredFault {
    int code = 0;
    int power_up = 0;
    double at_s = 0; ///< uptime of the last occurrence
    int count = 0;
    bool active = false;
};

/// Non-volatile; one row per code and power-up, newest last, the oldest of more than 48 falls out.
class FaultMemory {
public:
    void recall(StoredFault old) { rows_.push_back(old); }
    /// Call every step: a rising edge counts.
    void watch(int code, bool present, int power_up, double at_s);
    void settle(int code);
    const std::vector<StoredFault>& rows() const { return rows_; }

private:
    std::vector<StoredFault> rows_;
};

} // namespace chockside::practice
