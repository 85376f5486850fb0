#pragma once

#include <core/codec/detail/program.h>
#include <core/codec/detail/tokens.h>

#include <optional>
#include <string_view>

namespace chockside::codec::detail {

template <bool newer> struct ShortLine;

/// Whether the field's width has room for the number.
inline bool fits(const Op& op, std::int64_t whole)
{
    if (op.width >= 63) return true;
    const bool is_signed = (op.flags & (twos | magnitude)) != 0;
    const std::int64_t over = std::int64_t{1} << (is_signed ? op.width - 1 : op.width);
    return whole < over && whole >= (is_signed ? -over : 0);
}

/// The state of one decoder and the machine that runs a frame's ops. Nothing leaves it until the frame has been read to its end.
class Reader {
public:
    /// `newer`: text lines go by code for newer processors.
    Reader(const Program&, bool newer);

    enum class Outcome { good, short_frame, too_long, out_of_range, bad_text };
    Outcome run(const FrameProgram&, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no);
    /// A text line: `body` is what lies in `frame` between its start and its check. `f`: which kind it is, or null where it is of none.
    Outcome line(ByteView body, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no, const FrameProgram*& f);

    std::span<const Observation> observations() const { return {out_.data(), count_}; }
    const std::vector<std::pair<std::string, std::string>>& texts(const FrameProgram& f) const { return texts_[f.index]; }

    std::uint64_t parity_errors = 0, unknown_words = 0, out_of_range = 0;

private:
    template <bool> friend struct ShortLine;
    Outcome any_line(ByteView body, const FrameProgram*& f);
    void begin(const FrameProgram&, std::int64_t t_ns, std::uint32_t frame_no);
    const FrameProgram* frame_of(std::string_view id) const;
    const FrameProgram* only() const { return p_.frames.size() == 1 ? p_.frames.data() : nullptr; }
    Outcome runs(const Op* op, const Op* end);
    Outcome loop(const Op&);
    Outcome loop_words(const Op&);
    Outcome free_text(const Op&);
    bool holds(const Op& guard) const;
    bool left() const { return line_ ? tokens_.left() : cursor_ < bytes_.size(); }
    void slot(const Op&, const std::byte* p);
    void load(const Op&, const std::byte* p);
    void real(const Op&, const std::byte* p);
    void bcd(const Op&, const std::byte* p);
    void text(const Op&, ByteView);
    void digits(const Op&, std::string_view);
    void decimal(const Op&, std::string_view);
    void hex(const Op&, std::string_view);
    void letter(const Op&, std::string_view);
    void written(const Op&, ByteView);
    void words(const Op&, const std::byte* p, std::size_t n);
    void word(std::uint32_t);
    Outcome token(const Op&, ByteView);
    void no_value(const Op&, Validity);
    void number(const Op&, std::uint64_t raw, std::int64_t whole);
    void emit(SignalId, std::uint64_t raw, double value, Validity);
    double scaled(const Op&, double) const;
    Validity judge(const Op&, double value);
    void end_texts();

    const Program& p_;
    bool (*const short_line_)(Reader&, ByteView body, const FrameProgram*& f, Outcome&);
    std::vector<Observation> out_;
    std::size_t count_ = 0;
    using Texts = std::vector<std::pair<std::string, std::string>>;
    std::vector<Texts> texts_;
    Texts spare_; ///< texts that a shorter frame left over keep their memory here
    std::size_t text_index_ = 0, frame_ = 0;
    std::vector<std::uint64_t> registers_;
    ByteView bytes_;
    std::size_t cursor_ = 0;
    bool line_ = false;
    Tokens tokens_;           ///< lines: those that were not read yet
    std::string_view around_; ///< what may be read beside a written number
    std::int64_t t_ns_ = 0;
    std::uint32_t frame_no_ = 0;
};

inline void Reader::begin(const FrameProgram& f, std::int64_t t_ns, std::uint32_t frame_no)
{
    count_ = 0;
    text_index_ = 0;
    frame_ = f.index;
    t_ns_ = t_ns;
    frame_no_ = frame_no;
    cursor_ = 0;
}

inline Reader::Outcome Reader::line(ByteView body, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no, const FrameProgram*& f)
{
    around_ = as_text(frame);
    line_ = true;
    t_ns_ = t_ns;
    frame_no_ = frame_no;
    Outcome outcome = Outcome::good;
    if (frame.size() < 64 && short_line_(*this, body, f, outcome)) [[likely]] return outcome;
    return any_line(body, f);
}

inline void Reader::emit(SignalId signal, std::uint64_t raw, double value, Validity validity)
{
    out_[count_++] = {t_ns_, raw, value, frame_no_, signal, validity};
}

inline double Reader::scaled(const Op& op, double v) const
{
    return op.scale == none ? v : v * p_.scales[op.scale].factor + p_.scales[op.scale].offset;
}

inline Validity Reader::judge(const Op& op, double value)
{
    if (op.limit == none) return Validity::good;
    const Limit& l = p_.limits[op.limit];
    if (value >= l.low && value <= l.high) return Validity::good;
    ++out_of_range;
    return Validity::out_of_range;
}

} // namespace chockside::codec::detail
