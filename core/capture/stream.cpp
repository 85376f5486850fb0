#include <core/capture/stream.h>

#include <algorithm>

namespace chockside::capture {

Source source_of(ByteView whole)
{
    return [whole](std::span<std::byte> room) mutable -> Result<std::size_t> {
        const std::size_t n = std::min(room.size(), whole.size());
        std::copy_n(whole.begin(), n, room.begin());
        whole = whole.subspan(n);
        return n;
    };
}

/// Keeps what the reader has not used and reads on behind it; the window grows only where one block does not fit.
Status Stream::fill()
{
    const std::size_t used = reader_ ? reader_->used() : 0;
    std::copy(window_.begin() + static_cast<std::ptrdiff_t>(used), window_.begin() + static_cast<std::ptrdiff_t>(filled_), window_.begin());
    filled_ -= used;
    if (window_.empty()) window_.resize(window_bytes);
    if (filled_ == window_.size()) window_.resize(window_.size() * 2);
    while (!ended_ && filled_ < window_.size()) {
        const auto n = source_(std::span(window_).subspan(filled_));
        if (!n) return Unexpected{n.error()};
        ended_ = *n == 0;
        filled_ += *n;
        bytes_ += *n;
    }
    const ByteView now = ByteView(window_).first(filled_);
    if (reader_) return reader_->go_on(now), Status();
    auto opened = Reader::open(now);
    if (!opened) return Unexpected{opened.error()};
    reader_ = std::move(*opened);
    return {};
}

Result<std::optional<Packet>> Stream::next()
{
    while (!done_) {
        if (reader_) {
            if (auto packet = reader_->next()) return packet;
            damage_ = reader_->damage();
            cut_tail_ = ended_ ? reader_->cut_tail() : 0;
            if (done_ = ended_ || !damage_.empty(); done_) break;
            if (reader_->used() == 0 && filled_ >= longest_block) damage_ = "block_length", done_ = true;
            if (done_) break;
        }
        if (auto ok = fill(); !ok) {
            done_ = true;
            return Unexpected{ok.error()};
        }
    }
    return std::optional<Packet>();
}

} // namespace chockside::capture
