#include <tests/rigs/sim/memory.h>

#include <sqlite3.h>

#include <cstdlib>
#include <new>

namespace chockside::rigs::memory {

namespace {

bool armed = false, for_ever_ = false, hit_ = false;
Of of_ = Of::sqlite;
long nth_ = 0, count = 0;
sqlite3_mem_methods under;

bool fails(Of of)
{
    if (!armed || nth_ == 0 || of != of_) return false;
    ++count;
    const bool now = count == nth_ || (for_ever_ && count > nth_);
    hit_ = hit_ || now;
    return now;
}

void* take(int n)
{
    return fails(Of::sqlite) ? nullptr : under.xMalloc(n);
}

void* retake(void* p, int n)
{
    return fails(Of::sqlite) ? nullptr : under.xRealloc(p, n);
}

} // namespace

void watch_sqlite()
{
    sqlite3_config(SQLITE_CONFIG_GETMALLOC, &under);
    sqlite3_mem_methods over = under;
    over.xMalloc = take;
    over.xRealloc = retake;
    sqlite3_config(SQLITE_CONFIG_MALLOC, &over);
}

void fail(Of of, long nth, bool for_ever)
{
    of_ = of, nth_ = nth, for_ever_ = for_ever, count = 0, hit_ = false;
}

bool hit()
{
    return hit_;
}

Armed::Armed()
{
    armed = true;
}

Armed::~Armed()
{
    armed = false;
}

Paused::Paused() : was_(armed)
{
    armed = false;
}

Paused::~Paused()
{
    armed = was_;
}

} // namespace chockside::rigs::memory

void* operator new(std::size_t n)
{
    using namespace chockside::rigs::memory;
    void* p = fails(Of::news) ? nullptr : std::malloc(n ? n : 1);
    if (!p) throw std::bad_alloc();
    return p;
}

/// std::stable_sort asks for its buffer this way, and does without where there is none.
void* operator new(std::size_t n, const std::nothrow_t&) noexcept
{
    using namespace chockside::rigs::memory;
    return fails(Of::news) ? nullptr : std::malloc(n ? n : 1);
}

void operator delete(void* p, const std::nothrow_t&) noexcept
{
    std::free(p);
}

void operator delete(void* p) noexcept
{
    std::free(p);
}

void operator delete(void* p, std::size_t) noexcept
{
    std::free(p);
}
