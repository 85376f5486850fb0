#pragma once
// Memory that runs out on demand: the n-th allocation while armed, of SQLite or by `new`, once or from then on.

namespace chockside::rigs::memory {

enum class Of { sqlite, news };

/// Before the first use of SQLite.
void watch_sqlite();
/// Counts from 1 anew; 0: none fails.
void fail(Of, long nth, bool for_ever);
/// Whether it came to that allocation.
bool hit();

/// Only what is allocated while one lives is counted and may fail: the store's calls, not the rig's own.
class Armed {
public:
    Armed();
    ~Armed();
    Armed(const Armed&) = delete;
    Armed& operator=(const Armed&) = delete;
};

/// The machine under the store takes what it needs.
class Paused {
public:
    Paused();
    ~Paused();
    Paused(const Paused&) = delete;
    Paused& operator=(const Paused&) = delete;

private:
    bool was_;
};

} // namespace chockside::rigs::memory
