#include <core/trend/rebuild.h>

namespace chockside::trend {

Status Feeder::received(ByteView bytes, std::int64_t t_ns)
{
    Status status;
    if (bytes.empty()) return status;
    decoder_.feed(bytes, t_ns, [&](const codec::FrameView& f) {
        for (const codec::Observation& o : f.observations) {
            if (!status) return;
            status = trend_.add(o);
        }
    });
    return status;
}

Result<Rebuilt> rebuild(std::span<const capture::Source> sources, std::shared_ptr<const codec::Plan> plan, Trend& trend, const std::function<bool(const Rebuilt&)>& go_on)
{
    Rebuilt out;
    Feeder feeder(trend, std::move(plan));
    for (const capture::Source& source : sources) {
        capture::Stream stream(source);
        while (!out.stopped) {
            const auto packet = stream.next();
            if (!packet) return Unexpected{packet.error()};
            if (!*packet) break;
            if (auto ok = feeder.packet(**packet); !ok) return Unexpected{ok.error()};
            if (++out.packets % 65'536 == 0 && go_on && !go_on(out)) out.stopped = true;
        }
        out.bytes += stream.bytes();
        out.cut_tails += stream.cut_tail() > 0;
        if (!stream.damage().empty()) out.damage.push_back(stream.damage());
    }
    out.counters = feeder.counters();
    if (auto ok = trend.sync(); !ok) return Unexpected{ok.error()};
    return out;
}

} // namespace chockside::trend
