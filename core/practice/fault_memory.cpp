#include <core/practice/fault_memory.h>

namespace chockside::practice {

namespace {

constexpr std::size_t most_rows = 48;
constexpr int most_count = 99; // two decimal digits on the line

} // namespace

void FaultMemory::watch(int code, bool present, int power_up, double at_s)
{
    StoredFault* row = nullptr;
    for (StoredFault& r : rows_)
        if (r.code == code && r.power_up == power_up) row = &r;
    if (!present) {
        if (row) row->active = false;
        return;
    }
    if (!row) {
        if (rows_.size() == most_rows) rows_.erase(rows_.begin());
        rows_.push_back({code, power_up, 0, 0, false});
        row = &rows_.back();
    }
    if (!row->active && row->count < most_count) ++row->count;
    row->active = true;
    row->at_s = at_s;
}

void FaultMemory::settle(int code)
{
    for (StoredFault& r : rows_)
        if (r.code == code) r.active = false;
}

} // namespace chockside::practice
