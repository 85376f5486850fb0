#include <core/trend/growing.h>

#include <algorithm>

namespace chockside::trend {

namespace {

constexpr std::size_t head_bytes = 28; ///< of a section; less than that is still to come

std::string stem_of(const std::string& segment) { return segment.substr(0, segment.rfind('-')); }

} // namespace

Result<bool> Growing::take(const std::string& segment, ByteView bytes)
{
    if (segment != segment_) {
        if (!feeder_ || stem_of(segment) != stem_of(segment_)) feeder_.emplace(trend_, plan_);
        segment_ = segment;
        reader_.reset();
        taken_ = 0;
    }
    if (bytes.size() < std::max(taken_, head_bytes)) return false;
    if (!reader_) {
        auto opened = capture::Reader::open(bytes);
        if (!opened) return Unexpected{opened.error()};
        reader_ = std::move(*opened);
    } else {
        reader_->go_on(bytes.subspan(taken_));
    }
    bool some = false;
    while (const auto packet = reader_->next()) {
        if (auto ok = feeder_->packet(*packet); !ok) return Unexpected{ok.error()};
        some = true;
    }
    taken_ += reader_->used();
    if (!reader_->damage().empty()) return fail(reader_->damage(), segment);
    return some;
}

} // namespace chockside::trend
