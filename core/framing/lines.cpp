#include <core/framing/framer.h>

#include <algorithm>
#include <cstring>

namespace chockside::framing {

namespace {

class LineReader final : public Framer {
public:
    LineReader(std::size_t most, char start) : most_(most), start_(static_cast<std::byte>(start)) { held_.reserve(most + 1); }

    void feed(ByteView chunk, FrameSink sink) override
    {
        while (!chunk.empty()) {
            const void* lf = std::memchr(chunk.data(), '\n', chunk.size());
            const std::size_t n = lf ? static_cast<std::size_t>(static_cast<const std::byte*>(lf) - chunk.data()) : chunk.size();
            const ByteView part = chunk.first(n);
            if (!lf) return keep(part);
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
    // One byte more than `most` may wait here: the CR.
    void keep(ByteView part)
    {
        if (bad_) return;
        if (part.size() > most_ + 1 - held_.size()) {
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

    void deliver(ByteView line, FrameSink sink)
    {
        if (!line.empty() && line.back() == std::byte{'\r'}) line = line.first(line.size() - 1);
        if (line.empty()) return;
        if (line.size() > most_) {
            ++drops_.too_long;
            return;
        }
        if (start_ != std::byte{0}) {
            const auto last = std::find(line.rbegin(), line.rend(), start_);
            if (last == line.rend()) {
                drops_.noise_bytes += line.size();
                return;
            }
            const auto before = static_cast<std::size_t>(line.rend() - last) - 1;
            drops_.noise_bytes += before;
            line = line.subspan(before);
        }
        sink(line);
    }

    std::size_t most_;
    std::byte start_;
    Bytes held_;
    bool bad_ = false;
};

} // namespace

std::unique_ptr<Framer> line_reader(std::size_t most, char start)
{
    return std::make_unique<LineReader>(most, start);
}

void line_write(ByteView text, Bytes& out)
{
    out.insert(out.end(), text.begin(), text.end());
    out.push_back(std::byte{'\r'});
    out.push_back(std::byte{'\n'});
}

std::uint8_t xor_of(ByteView bytes)
{
    std::uint8_t x = 0;
    for (std::byte b : bytes) x = static_cast<std::uint8_t>(x ^ std::to_integer<std::uint8_t>(b));
    return x;
}

std::uint8_t sum_of(ByteView bytes)
{
    unsigned s = 0;
    for (std::byte b : bytes) s += std::to_integer<unsigned>(b);
    return static_cast<std::uint8_t>(s & 0xFFu);
}

} // namespace chockside::framing
