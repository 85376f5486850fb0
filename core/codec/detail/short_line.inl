// Compiled twice: CHOCKSIDE_SHORT_LINE_NEWER is true or false, CHOCKSIDE_TARGET the attribute of its functions.
#include <core/codec/detail/decimal.h>
#include <core/codec/detail/short_line.h>

#include <bit>

namespace chockside::codec::detail {

template <>
struct ShortLine<CHOCKSIDE_SHORT_LINE_NEWER> {
    CHOCKSIDE_TARGET [[gnu::always_inline]] static inline const FrameProgram* frame_of(const Reader& r, std::string_view id)
    {
        std::uint64_t key = 0;
        const bool is_short = eight_of(id, r.around_, 0, key);
        for (const FrameProgram& f : r.p_.frames)
            if (f.id_text.size() == id.size() && (is_short ? f.id_key == key : f.id_text == id)) return &f;
        return nullptr;
    }

    CHOCKSIDE_TARGET [[gnu::always_inline]] static inline bool number(std::string_view t, std::string_view around, Decimal& d, double& value)
    {
#if CHOCKSIDE_SHORT_LINE_NEWER
        return read_short_newer(t, around, d, value);
#else
        if (!read_short(t, around, d)) return false;
        value = value_of(d);
        return true;
#endif
    }

    // A short number without codes and bits; false: the usual way, which knows more.
    CHOCKSIDE_TARGET [[gnu::always_inline]] static inline bool quick(Reader& r, const Op& op, std::string_view t, std::string_view around, Observation& out)
    {
        Decimal d;
        double plain = 0;
        if (!op.quick || !number(t, around, d, plain)) return false;
        if (op.kind == OpKind::decimal) {
            out.raw = std::bit_cast<std::uint64_t>(plain);
        } else {
            const auto size = static_cast<std::int64_t>(d.digits), whole = d.minus ? -size : size;
            if (d.point || !fits(op, whole)) return false;
            plain = static_cast<double>(whole); // of -0 without its sign
            out.raw = static_cast<std::uint64_t>(whole);
        }
        out.signal = op.signal;
        out.value = op.bare ? plain : r.scaled(op, plain);
        out.validity = op.bare ? Validity::good : r.judge(op, out.value);
        return true;
    }

    // State is local, so that stores into the output cannot touch it.
    CHOCKSIDE_TARGET [[gnu::always_inline]] static inline Reader::Outcome fields(Reader& r, const FrameProgram& f, ShortTokens tokens)
    {
        const Op* op = r.p_.ops.data() + f.first_op;
        const Op* const end = op + f.op_count;
        const std::string_view around = r.around_;
        const std::int64_t t_ns = r.t_ns_;
        const std::uint32_t frame_no = r.frame_no_;
        Observation* out = r.out_.data();
        Reader::Outcome outcome = Reader::Outcome::good;
        for (; op != end; ++op) {
            if (!tokens.left()) {
                outcome = Reader::Outcome::short_frame;
                break;
            }
            const ByteView one = tokens.next();
            if (quick(r, *op, as_text(one), around, *out)) [[likely]] {
                out->t_ns = t_ns;
                out->frame_no = frame_no;
                ++out;
                continue;
            }
            r.count_ = static_cast<std::size_t>(out - r.out_.data());
            outcome = r.token(*op, one);
            out = r.out_.data() + r.count_;
            if (outcome != Reader::Outcome::good) break;
        }
        r.count_ = static_cast<std::size_t>(out - r.out_.data());
        if (!f.texts.empty()) r.end_texts();
        if (outcome != Reader::Outcome::good) return outcome;
        return tokens.left() ? Reader::Outcome::too_long : Reader::Outcome::good;
    }

    // The selector is the first token; a line of one kind has none.
    CHOCKSIDE_TARGET [[gnu::flatten]] static bool read(Reader& r, ByteView body, const FrameProgram*& f, Reader::Outcome& outcome)
    {
        ShortTokens tokens(body, r.around_, static_cast<std::byte>(r.p_.unit.framing.split));
        f = r.p_.unit.framing.select_none ? r.only() : frame_of(r, as_text(tokens.next()));
        if (!f || !f->plain_line) return false;
        r.begin(*f, r.t_ns_, r.frame_no_);
        outcome = fields(r, *f, tokens);
        return true;
    }
};

} // namespace chockside::codec::detail
