#include <platform/words/words.h>

#include <platform/words/table.h>

namespace chockside::words {

namespace {

std::string value_of(const Problem& p, const std::string& name)
{
    for (const auto& [key, value] : p.args)
        if (key == name) return value;
    return name == "place" ? p.place : "?";
}

// "{name}" is the argument of that name.
std::string filled(const std::string& pattern, const Problem& p)
{
    std::string out;
    for (std::size_t at = 0; at < pattern.size();) {
        const std::size_t open = pattern.find('{', at);
        const std::size_t close = open == std::string::npos ? open : pattern.find('}', open);
        out += pattern.substr(at, close == std::string::npos ? std::string::npos : open - at);
        if (close == std::string::npos) break;
        out += value_of(p, pattern.substr(open + 1, close - open - 1));
        at = close + 1;
    }
    return out;
}

std::string bare(const Problem& p)
{
    std::string out = p.code;
    if (!p.place.empty()) out += " (" + p.place + ")";
    for (const auto& [key, value] : p.args) out += ", " + key + " " + value;
    return out;
}

} // namespace

Words of(const Problem& p)
{
    for (const Row& row : table())
        if (row.code == p.code) return {filled(row.message, p), filled(row.mend, p)};
    return {bare(p), {}};
}

std::string line(const Problem& p)
{
    const Words w = of(p);
    return w.mend.empty() ? w.message : w.message + " " + w.mend;
}

std::vector<std::string> codes()
{
    std::vector<std::string> out;
    for (const Row& row : table()) out.push_back(row.code);
    return out;
}

} // namespace chockside::words
