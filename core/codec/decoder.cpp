#include <core/codec/decoder.h>

#include <core/codec/detail/reader.h>
#include <core/framing/framer.h>

namespace chockside::codec {

using detail::FrameProgram;
using detail::Reader;

struct Decoder::State {
    std::shared_ptr<const Plan> plan;
    const detail::Program& program;
    std::unique_ptr<framing::Framer> framer;
    Reader reader;
    Counters counters;
    std::uint32_t frame_no = 0;
    bool lines;

    std::int64_t byte_ns;
    std::int64_t last_ns = 0; ///< when the last byte had come

    State(std::shared_ptr<const Plan> p, bool newer)
        : plan(std::move(p)), program(plan->program()), framer(detail::make_framer(program.unit)), reader(program, newer), lines(program.lines()),
          byte_ns(detail::byte_ns(program.unit.line))
    {
    }

    const FrameProgram* select(ByteView frame) const
    {
        const auto n = static_cast<std::size_t>(program.unit.framing.select_bytes);
        if (n == 0) return program.frames.size() == 1 ? &program.frames.front() : nullptr;
        if (frame.size() < program.select_at + n) return nullptr;
        if (n == 1) {
            const std::int16_t at = program.frame_by_byte[std::to_integer<std::size_t>(frame[program.select_at])];
            return at < 0 ? nullptr : &program.frames[static_cast<std::size_t>(at)];
        }
        std::uint32_t id = 0;
        const bool big = program.unit.framing.order == profile::Order::big;
        for (std::size_t i = 0; i < n; ++i) id = id << 8 | std::to_integer<std::uint32_t>(frame[program.select_at + (big ? i : n - 1 - i)]);
        const auto found = program.frame_by_id.find(id);
        return found == program.frame_by_id.end() ? nullptr : &program.frames[static_cast<std::size_t>(found->second)];
    }

    Reader::Outcome binary(ByteView body, std::int64_t t_ns, const FrameProgram*& f)
    {
        f = select(body);
        return f ? reader.run(*f, body, t_ns, frame_no) : Reader::Outcome::good;
    }

    std::uint64_t& counter(const FrameProgram* f, Reader::Outcome outcome)
    {
        if (!f) return counters.unknown_id;
        switch (outcome) {
        case Reader::Outcome::short_frame: return counters.short_frame;
        case Reader::Outcome::too_long: return counters.too_long;
        case Reader::Outcome::out_of_range: return counters.out_of_range;
        case Reader::Outcome::bad_text: return counters.bad_text;
        case Reader::Outcome::good: break;
        }
        return counters.frames;
    }

    bool take(ByteView frame, std::int64_t t_ns, const std::function<void(const FrameView&)>& sink)
    {
        ++frame_no;
        ByteView body = frame;
        if (!(lines ? program.check.strip_line(body) : program.check.strip(body))) return ++counters.bad_checksum, false;
        const FrameProgram* f = nullptr;
        const Reader::Outcome outcome = lines ? reader.line(body, frame, t_ns, frame_no, f) : binary(body, t_ns, f);
        if (f && outcome == Reader::Outcome::good) [[likely]] {
            ++counters.frames;
            sink({f->name, frame_no, t_ns, reader.observations(), reader.texts(*f)});
        } else {
            ++counter(f, outcome);
        }
        return true;
    }

    // What the framer and the reader count is added to what was counted before.
    template <class Feed>
    void counted(Feed feed)
    {
        const framing::Drops before = framer->drops();
        const std::uint64_t parity = reader.parity_errors, unknown = reader.unknown_words, range = reader.out_of_range;
        feed();
        const framing::Drops& after = framer->drops();
        counters.too_long += after.too_long - before.too_long;
        counters.resync += after.bad_escape - before.bad_escape + after.noise_bytes - before.noise_bytes;
        counters.parity_errors += reader.parity_errors - parity;
        counters.unknown_words += reader.unknown_words - unknown;
        counters.out_of_range += reader.out_of_range - range;
    }
};

Decoder::Decoder(std::shared_ptr<const Plan> plan, bool newer) : state_(std::make_unique<State>(std::move(plan), newer)) {}
Decoder::~Decoder() = default;
Decoder::Decoder(Decoder&&) noexcept = default;
Decoder& Decoder::operator=(Decoder&&) noexcept = default;

void Decoder::feed(ByteView bytes, std::int64_t t_ns, const std::function<void(const FrameView&)>& sink)
{
    State& s = *state_;
    s.counters.bytes += bytes.size();
    const auto take = [&](ByteView frame) { return s.take(frame, t_ns, sink); };
    const std::int64_t began = t_ns - static_cast<std::int64_t>(bytes.size()) * s.byte_ns;
    s.counted([&] {
        s.framer->quiet(began - s.last_ns, take);
        s.framer->feed(bytes, take);
    });
    s.last_ns = t_ns;
}

void Decoder::quiet(std::int64_t t_ns, const std::function<void(const FrameView&)>& sink)
{
    State& s = *state_;
    s.counted([&] { s.framer->quiet(t_ns - s.last_ns, [&](ByteView frame) { return s.take(frame, t_ns, sink); }); });
}

const Counters& Decoder::counters() const
{
    return state_->counters;
}

void Decoder::reset()
{
    state_->framer->reset();
}

} // namespace chockside::codec
