#include <core/codec/signal_name.h>

#include <algorithm>

namespace chockside::codec {

std::string field_of(const std::string& signal)
{
    return signal.substr(signal.rfind('.') + 1);
}

std::string words_of(const std::string& signal)
{
    std::string words = field_of(signal);
    std::ranges::replace(words, '_', ' ');
    return words;
}

} // namespace chockside::codec
