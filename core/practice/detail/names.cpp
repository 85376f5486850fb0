#include <core/practice/detail/names.h>

namespace chockside::practice::detail {

namespace {

bool is_mark(char c)
{
    return !((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '+');
}

std::string plain(std::string_view text)
{
    std::string out;
    for (char c : text)
        if (!is_mark(c)) out += (c >= 'A' && c <= 'Z') ? static_cast<char>(c - 'A' + 'a') : c;
    return out;
}

} // namespace

bool same_name(std::string_view a, std::string_view b)
{
    return plain(a) == plain(b);
}

std::vector<std::string> words_of(std::string_view text)
{
    std::vector<std::string> words;
    std::string word;
    const auto close = [&] {
        while (!word.empty() && is_mark(word.back())) word.pop_back();
        if (!word.empty()) words.push_back(word);
        word.clear();
    };
    for (char c : text) {
        if (c == ' ' || c == '\t') close();
        else word += c;
    }
    close();
    return words;
}

bool contains_name(std::string_view text, std::string_view name)
{
    return plain(text).find(plain(name)) != std::string::npos;
}

} // namespace chockside::practice::detail
