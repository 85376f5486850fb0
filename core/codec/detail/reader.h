#pragma once

#include <core/codec/detail/program.h>

#include <optional>
#include <string_view>

namespace chockside::codec::detail {

/// The state of one decoder and the machine that runs a frame's ops. Nothing leaves it until the frame has been read to its end.
class Reader {
public:
    explicit Reader(const Program&);

    enum class Outcome { good, short_frame, too_long, out_of_range, bad_text };
    Outcome run(const FrameProgram&, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no);
    /// `tokens`: what follows the selector, or nothing where nothing does.
    Outcome run_line(const FrameProgram&, std::optional<ByteView> tokens, std::int64_t t_ns, std::uint32_t frame_no);

    std::span<const Observation> observations() const { return {out_.data(), count_}; }
    const std::vector<std::pair<std::string, std::string>>& texts(const FrameProgram& f) const { return texts_[index_of(f)]; }

    std::uint64_t parity_errors = 0, unknown_words = 0, out_of_range = 0;

private:
    void begin(const FrameProgram&, std::int64_t t_ns, std::uint32_t frame_no);
    Outcome runs(const Op* op, const Op* end);
    Outcome loop(const Op&);
    Outcome loop_words(const Op&);
    Outcome free_text(const Op&);
    bool holds(const Op& guard) const;
    bool left() const { return line_ ? rest_.has_value() : cursor_ < bytes_.size(); }
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
    Outcome token(const Op&);
    void no_value(const Op&, Validity);
    void number(const Op&, std::uint64_t raw, std::int64_t whole);
    void emit(SignalId, std::uint64_t raw, double value, Validity);
    double scaled(const Op&, double) const;
    Validity judge(const Op&, double value);
    void end_texts();
    std::size_t index_of(const FrameProgram& f) const { return static_cast<std::size_t>(&f - p_.frames.data()); }

    const Program& p_;
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
    std::byte split_{};
    std::optional<ByteView> rest_; ///< lines: tokens that were not read yet
    std::int64_t t_ns_ = 0;
    std::uint32_t frame_no_ = 0;
};

} // namespace chockside::codec::detail
