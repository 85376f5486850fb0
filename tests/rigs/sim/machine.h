#pragma once
// A disk in memory under the real code: everything below /sim, whoever calls (SQLite's own file layer, the platform's files), lands here
// through calls.cpp. It fails calls on demand, and it can write down what happened, so that a power cut may be laid anywhere.

#include <core/base/bytes.h>
#include <core/base/random.h>

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace chockside::rigs::sim {

inline const std::string root = "/sim";

enum class Call { open, read, write, sync, truncate, allocate, unlink, rename, mkdir };
constexpr std::size_t calls = 9;
const char* name_of(Call);

/// The n-th call of one kind fails, once or from then on.
struct Fault {
    Call call = Call::write;
    long nth = 0; ///< from 1
    bool for_ever = false;
    int error = 0;
    bool half = false; ///< a write first takes half of its bytes
};

/// What happened to the disk. A mark is no event of the disk: the rig's own note between two.
struct Event {
    enum Kind { write, resize, sync, name, unname, rename, mark };
    Kind kind;
    int node = 0;             ///< the file, or the folder of a name
    std::uint64_t at = 0;     ///< offset, size, or the mark
    Bytes bytes = {};
    std::string from = {}, to = {};
    int target = 0;           ///< the file that is named
};

struct Node {
    bool folder = false;
    bool volatile_ = false;   ///< SQLite's shared memory: nothing of it outlives the machine
    Bytes bytes = {};
    std::map<std::string, int> names = {};
};

class Machine {
public:
    Machine();
    std::vector<Node> nodes; ///< 0 is the root
    std::vector<Event>* log = nullptr;
    std::optional<Fault> fault;
    std::array<long, calls> count{};

    /// -1 where there is none.
    int find(const std::string& path) const;
    int parent(const std::string& path) const;
    int make(const std::string& path, bool folder);
    void write(int node, std::uint64_t at, ByteView);
    void resize(int node, std::uint64_t size);
    void sync(int node);
    bool remove(const std::string& path);
    bool rename(const std::string& from, const std::string& to);
    void mark(std::uint64_t);
    /// Counts a call; its error number where it has to fail, else 0.
    int fails(Call);

private:
    void note(Event);
};

/// Calls below /sim go to it; none while it is null. Open files of another machine are gone, as after a power cut.
void use(Machine*);
Machine* used();

/// What the medium holds for certain, and what of it is still on its way.
class Medium {
public:
    explicit Medium(const Machine& start);
    /// Follows the log by one event.
    void follow(const std::vector<Event>& log, std::size_t event);
    /// The power goes: of each file none, all, a beginning, a random part or torn sectors of what was not synced, in any order; likewise
    /// of the names in each folder.
    Machine cut(const std::vector<Event>& log, SeededRandom&) const;

private:
    struct Held {
        Node sure;
        std::vector<std::size_t> waiting; ///< events, oldest first
    };
    std::vector<Held> held_;
    Held& at(int node);
};

} // namespace chockside::rigs::sim
