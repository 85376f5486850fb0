#include <core/framing/framer.h>

#include <algorithm>
#include <cstring>

namespace chockside::framing {

namespace {

class LineReader final : public Framer {
public:
    LineReader(std::size_t most, char start, char end) : most_(most), start_(static_cast<std::byte>(start)), end_(end) { held_.reserve(most + 3); }

    void feed(ByteView chunk, FrameSink sink) override
    {
        while (!chunk.empty()) {
            const void* end = std::memchr(chunk.data(), end_, chunk.size());
            const std::size_t n = end ? static_cast<std::size_t>(static_cast<const std::byte*>(end) - chunk.data()) : chunk.size();
            const ByteView part = chunk.first(n);
            if (!end) return keep(part);
            if (held_.empty() && !bad_)
                deliver(part, sink);
            else
                finish(part, sink);
            chunk = chunk.subspan(n + 1);
        }
    }

    void reset() override
    {
        held_.clear();
        bad_ = false;
    }

private:
    // More than `most` may wait here: CR and LF of the line before, CR of this one.
    void keep(ByteView part)
    {
        if (bad_) return;
        if (part.size() > most_ + 3 - held_.size()) {
            ++drops_.too_long;
            bad_ = true;
            held_.clear();
            return;
        }
        held_.insert(held_.end(), part.begin(), part.end());
    }

    void finish(ByteView part, FrameSink sink)
    {
        keep(part);
        if (!bad_) deliver(held_, sink);
        reset();
    }

    // At most CR LF in front and CR behind, so that the buffer's bound holds.
    ByteView bare(ByteView line) const
    {
        if (end_ != '\n' && !line.empty() && line.front() == std::byte{'\r'}) line = line.subspan(1);
        if (end_ != '\n' && !line.empty() && line.front() == std::byte{'\n'}) line = line.subspan(1);
        if (!line.empty() && line.back() == std::byte{'\r'}) line = line.first(line.size() - 1);
        return line;
    }

    // Cuts what stands before the last start character; false where there is none.
    bool begin(ByteView& line)
    {
        const std::byte* p = line.data();
        const std::byte* const end = p + line.size();
        const std::byte* last = nullptr;
        while (p != end && (p = static_cast<const std::byte*>(std::memchr(p, std::to_integer<int>(start_), static_cast<std::size_t>(end - p))))) last = p++;
        const std::size_t before = last ? static_cast<std::size_t>(last - line.data()) : line.size();
        drops_.noise_bytes += before;
        line = line.subspan(before);
        return last != nullptr;
    }

    void deliver(ByteView line, FrameSink sink)
    {
        line = bare(line);
        if (line.empty()) return;
        if (line.size() > most_) {
            ++drops_.too_long;
            return;
        }
        if (start_ != std::byte{0} && !begin(line)) return;
        sink(line);
    }

    std::size_t most_;
    std::byte start_;
    int end_;
    Bytes held_;
    bool bad_ = false;
};

} // namespace

std::unique_ptr<Framer> line_reader(std::size_t most, char start, char end)
{
    return std::make_unique<LineReader>(most, start, end);
}

void line_write(ByteView text, Bytes& out, std::string_view end)
{
    out.insert(out.end(), text.begin(), text.end());
    for (char c : end) out.push_back(static_cast<std::byte>(c));
}

// Eight bytes at a time, folded at the end.
std::uint8_t xor_of(ByteView bytes)
{
    std::uint64_t wide = 0, eight = 0;
    const std::byte* p = bytes.data();
    std::size_t n = bytes.size();
    for (; n >= 8; n -= 8, p += 8) {
        std::memcpy(&eight, p, 8);
        wide ^= eight;
    }
    for (int half = 32; half >= 8; half /= 2) wide ^= wide >> half;
    auto x = static_cast<std::uint8_t>(wide & 0xFFu);
    for (; n; --n, ++p) x = static_cast<std::uint8_t>(x ^ std::to_integer<std::uint8_t>(*p));
    return x;
}

std::uint32_t sum_of(ByteView bytes)
{
    std::uint32_t s = 0;
    for (std::byte b : bytes) s += std::to_integer<std::uint32_t>(b);
    return s;
}

} // namespace chockside::framing
