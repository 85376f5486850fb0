#include <tests/rigs/sim/machine.h>

#include <algorithm>
#include <cstring>

namespace chockside::rigs::sim {

namespace {

std::string last_name(const std::string& path)
{
    return path.substr(path.rfind('/') + 1);
}

void put(Bytes& bytes, std::uint64_t at, ByteView what)
{
    if (bytes.size() < at + what.size()) bytes.resize(at + what.size());
    std::memcpy(bytes.data() + at, what.data(), what.size());
}

} // namespace

const char* name_of(Call c)
{
    constexpr const char* names[] = {"open", "read", "write", "sync", "truncate", "allocate", "unlink", "rename", "mkdir"};
    return names[static_cast<int>(c)];
}

Machine::Machine()
{
    nodes.push_back({true});
}

int Machine::find(const std::string& path) const
{
    int node = 0;
    for (std::size_t at = root.size(); at < path.size();) {
        const std::size_t end = std::min(path.find('/', at + 1), path.size());
        const std::string part = path.substr(at + 1, end - at - 1);
        at = end;
        if (part.empty()) continue;
        const auto& names = nodes[static_cast<std::size_t>(node)].names;
        const auto found = names.find(part);
        if (found == names.end()) return -1;
        node = found->second;
    }
    return node;
}

int Machine::parent(const std::string& path) const
{
    return find(path.substr(0, path.rfind('/')));
}

void Machine::note(Event e)
{
    if (log) log->push_back(std::move(e));
}

int Machine::make(const std::string& path, bool folder)
{
    const int in = parent(path), node = static_cast<int>(nodes.size());
    const std::string name = last_name(path);
    nodes.push_back({folder, name.ends_with("-shm")});
    nodes[static_cast<std::size_t>(in)].names[name] = node;
    if (!nodes.back().volatile_) note({Event::name, in, folder, {}, {}, name, node});
    return node;
}

void Machine::write(int node, std::uint64_t at, ByteView what)
{
    Node& n = nodes[static_cast<std::size_t>(node)];
    put(n.bytes, at, what);
    if (log && !n.volatile_) note({Event::write, node, at, Bytes(what.begin(), what.end())});
}

void Machine::resize(int node, std::uint64_t size)
{
    Node& n = nodes[static_cast<std::size_t>(node)];
    n.bytes.resize(size);
    if (!n.volatile_) note({Event::resize, node, size});
}

void Machine::sync(int node)
{
    note({Event::sync, node});
}

bool Machine::remove(const std::string& path)
{
    const int in = parent(path);
    if (in < 0 || find(path) < 0) return false;
    nodes[static_cast<std::size_t>(in)].names.erase(last_name(path));
    note({Event::unname, in, 0, {}, last_name(path)});
    return true;
}

bool Machine::rename(const std::string& from, const std::string& to)
{
    const int node = find(from), in = parent(to);
    // All our renames stay in their folder.
    if (node < 0 || in < 0 || in != parent(from)) return false;
    auto& names = nodes[static_cast<std::size_t>(in)].names;
    names.erase(last_name(from));
    names[last_name(to)] = node;
    note({Event::rename, in, 0, {}, last_name(from), last_name(to), node});
    return true;
}

void Machine::mark(std::uint64_t n)
{
    note({Event::mark, 0, n});
}

int Machine::fails(Call call)
{
    const long n = ++count[static_cast<std::size_t>(call)];
    const bool hit = fault && fault->call == call && (n == fault->nth || (fault->for_ever && n > fault->nth));
    return hit ? fault->error : 0;
}

Medium::Medium(const Machine& start)
{
    for (const Node& n : start.nodes) held_.push_back({n, {}});
}

Medium::Held& Medium::at(int node)
{
    if (static_cast<std::size_t>(node) >= held_.size()) held_.resize(static_cast<std::size_t>(node) + 1);
    return held_[static_cast<std::size_t>(node)];
}

namespace {

void apply(Node& n, const Event& e)
{
    switch (e.kind) {
    case Event::write: put(n.bytes, e.at, e.bytes); break;
    case Event::resize: n.bytes.resize(e.at); break;
    case Event::name: n.names[e.to] = e.target; break;
    case Event::unname: n.names.erase(e.from); break;
    case Event::rename: n.names.erase(e.from), n.names[e.to] = e.target; break;
    case Event::sync:
    case Event::mark: break;
    }
}

constexpr std::size_t sector = 512;

void apply_torn(Node& n, const Event& e, SeededRandom& random)
{
    for (std::size_t from = 0; from < e.bytes.size();) {
        const std::size_t to = std::min<std::size_t>((e.at + from) / sector * sector + sector - e.at, e.bytes.size());
        if (random.below(2)) put(n.bytes, e.at + from, ByteView(e.bytes).subspan(from, to - from));
        from = to;
    }
}

/// Which of the waiting events arrived.
void arrive(Node& n, const std::vector<std::size_t>& waiting, const std::vector<Event>& log, SeededRandom& random)
{
    if (waiting.empty()) return;
    enum { none, all, beginning, part, torn };
    const auto way = random.below(5);
    const std::size_t first = random.below(waiting.size() + 1);
    for (std::size_t i = 0; i < waiting.size(); ++i) {
        const Event& e = log[waiting[i]];
        if (way == none || (way == beginning && i >= first) || (way == part && random.below(2))) continue;
        if (way == torn && e.kind == Event::write) apply_torn(n, e, random);
        else if (way != torn || random.below(2)) apply(n, e);
    }
}

} // namespace

void Medium::follow(const std::vector<Event>& log, std::size_t event)
{
    const Event& e = log[event];
    if (e.kind == Event::mark) return;
    if (e.kind == Event::name) at(e.target).sure.folder = e.at != 0;
    Held& h = at(e.node);
    if (e.kind != Event::sync) return h.waiting.push_back(event);
    for (const std::size_t w : h.waiting) apply(h.sure, log[w]);
    h.waiting.clear();
}

Machine Medium::cut(const std::vector<Event>& log, SeededRandom& random) const
{
    Machine m;
    m.nodes.assign(held_.size(), {});
    for (std::size_t i = 0; i < held_.size(); ++i) {
        m.nodes[i] = held_[i].sure;
        arrive(m.nodes[i], held_[i].waiting, log, random);
    }
    return m;
}

} // namespace chockside::rigs::sim
