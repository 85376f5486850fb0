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

    explicit State(std::shared_ptr<const Plan> p)
        : plan(std::move(p)), program(plan->program()), framer(detail::make_framer(program.unit.framing)), reader(program)
    {
    }

    bool lines() const { return program.unit.framing.kind == profile::Framing::Kind::lines; }

    const FrameProgram* select(ByteView frame) const
    {
        if (lines()) return select_line(frame);
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

    const FrameProgram* select_line(ByteView line) const
    {
        const std::string_view text(reinterpret_cast<const char*>(line.data()), line.size());
        const std::string_view id = text.substr(0, text.find(program.unit.framing.split));
        for (const FrameProgram& f : program.frames)
            if (f.id_text == id) return &f;
        return nullptr;
    }

    bool take(ByteView frame, std::int64_t t_ns, const std::function<void(const FrameView&)>& sink)
    {
        ++frame_no;
        const std::optional<ByteView> body = program.check.strip(frame);
        if (!body) return ++counters.bad_checksum, false;
        const FrameProgram* f = select(*body);
        if (!f) return ++counters.unknown_id, true;
        const Reader::Outcome outcome = lines() ? reader.run_line(*f, *body, program.unit.framing.split, t_ns, frame_no)
                                                : reader.run(*f, *body, t_ns, frame_no);
        if (outcome == Reader::Outcome::short_frame) return ++counters.short_frame, true;
        if (outcome == Reader::Outcome::too_long) return ++counters.too_long, true;
        if (outcome == Reader::Outcome::out_of_range) return ++counters.out_of_range, true;
        ++counters.frames;
        sink({f->name, frame_no, t_ns, reader.observations(), reader.texts(*f)});
        return true;
    }
};

Decoder::Decoder(std::shared_ptr<const Plan> plan) : state_(std::make_unique<State>(std::move(plan))) {}
Decoder::~Decoder() = default;
Decoder::Decoder(Decoder&&) noexcept = default;
Decoder& Decoder::operator=(Decoder&&) noexcept = default;

void Decoder::feed(ByteView bytes, std::int64_t t_ns, const std::function<void(const FrameView&)>& sink)
{
    State& s = *state_;
    Counters& c = s.counters;
    c.bytes += bytes.size();
    const framing::Drops before = s.framer->drops();
    const std::uint64_t parity = s.reader.parity_errors, unknown = s.reader.unknown_words, range = s.reader.out_of_range;
    s.framer->feed(bytes, [&](ByteView frame) { return s.take(frame, t_ns, sink); });
    const framing::Drops& after = s.framer->drops();
    c.too_long += after.too_long - before.too_long;
    c.resync += after.bad_escape - before.bad_escape + after.noise_bytes - before.noise_bytes;
    c.parity_errors += s.reader.parity_errors - parity;
    c.unknown_words += s.reader.unknown_words - unknown;
    c.out_of_range += s.reader.out_of_range - range;
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
