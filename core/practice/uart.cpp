#include <core/practice/uart.h>

#include <cmath>

namespace chockside::practice {

namespace {

constexpr std::size_t bits_per_byte = 10;

// Level in sender's bit times from the first start bit; before and after, the line is idle and high.
class LineLevel {
public:
    explicit LineLevel(ByteView sent) : sent_(sent) {}

    bool high(double at) const
    {
        if (at < 0) return true;
        const auto bit = static_cast<std::size_t>(at);
        const std::size_t byte = bit / bits_per_byte, place = bit % bits_per_byte;
        if (byte >= sent_.size() || place == bits_per_byte - 1) return true;
        return place != 0 && (std::to_integer<unsigned>(sent_[byte]) >> (place - 1) & 1u) != 0;
    }
    double end() const { return static_cast<double>(sent_.size() * bits_per_byte); }
    /// The first falling edge at or after `from`, or the end.
    double next_start(double from) const
    {
        double at = from;
        while (at < end() && !high(at)) at = std::floor(at) + 1;
        while (at < end() && high(at)) at = std::floor(at) + 1;
        return at;
    }

private:
    ByteView sent_;
};

} // namespace

Bytes heard(ByteView sent, double sent_rate, double read_rate)
{
    if (sent_rate == read_rate) return Bytes(sent.begin(), sent.end());
    const LineLevel line(sent);
    const double bit = sent_rate / read_rate;
    Bytes out;
    // The first byte starts with an edge at 0, which next_start would skip.
    for (double start = 0; start < line.end(); start = line.next_start(start + 9.5 * bit)) {
        unsigned value = 0;
        for (unsigned i = 0; i < 8; ++i) value |= (line.high(start + (1.5 + i) * bit) ? 1u : 0u) << i;
        out.push_back(static_cast<std::byte>(value));
    }
    return out;
}

} // namespace chockside::practice
