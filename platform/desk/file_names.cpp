#include <platform/desk/file_names.h>

#include <algorithm>
#include <string_view>

namespace chockside::desk {

namespace {

constexpr std::size_t part_most = 64; // bytes; a name may have 255 with its endings

bool ends_a_character(const std::string& text, std::size_t at)
{
    return at >= text.size() || (static_cast<unsigned char>(text[at]) & 0xC0) != 0x80;
}

/// Folders' marks, control characters and what sticks and cards do not take become a line; a dot in front would hide the file.
std::string safe(const std::string& text)
{
    std::size_t end = std::min(text.size(), part_most);
    while (!ends_a_character(text, end)) --end;
    std::string out = text.substr(0, end);
    for (char& c : out)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F || std::string_view("/\\:*?\"<>|").find(c) != std::string_view::npos) c = '_';
    if (out.empty() || out.front() == '.' || out.front() == '-') out.insert(out.begin(), '_');
    return out;
}

} // namespace

std::string export_stem(const std::string& tail, const std::string& job)
{
    return safe(tail) + "-" + safe(job);
}

} // namespace chockside::desk
