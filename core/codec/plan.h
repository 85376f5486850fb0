#pragma once

#include <core/base/result.h>
#include <core/codec/observation.h>
#include <core/profile/model.h>

#include <memory>

namespace chockside::codec {

namespace detail {
struct Program;
}

/// A unit's frames and words compiled for reading; immutable, shared between threads.
class Plan {
public:
    /// Codes: duplicate_frame_id, bad_frame_id, duplicate_signal, duplicate_label, unknown_count, bad_field, bad_word, too_many_signals,
    /// too_many_values, frame_too_long (the least of a frame exceeds framing.max_bytes), framing_unsupported. Args name the part.
    static Result<std::shared_ptr<const Plan>> compile(const profile::Unit&);
    ~Plan();

    const SignalTable& signal_table() const;
#ifndef signals // a macro of Qt's; code that meets it says signal_table()
    const SignalTable& signals() const { return signal_table(); }
#endif
    /// Most observations that one frame can give.
    std::size_t worst_observations() const;
    const profile::Unit& unit() const;
    const detail::Program& program() const { return *program_; }

private:
    Plan();
    std::unique_ptr<detail::Program> program_;
};

} // namespace chockside::codec
