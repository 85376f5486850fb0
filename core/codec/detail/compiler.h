#pragma once

#include <core/base/result.h>
#include <core/codec/detail/layout.h>
#include <core/codec/detail/program.h>

namespace chockside::codec::detail {

/// Builds a Program frame by frame; the first problem stops it.
class Compiler {
public:
    explicit Compiler(Program& program) : p_(program) {}
    Status run();

private:
    Status words();
    Status word(const profile::Word&);
    Status frame(const profile::Frame&);
    Status index(const profile::Frame&, std::int16_t at);
    Status runs(const std::vector<Run>&, const profile::Frame&);
    Status slots(const std::vector<Slot>&, const std::string& prefix, int period_ms);
    Status repeated(const Run&, const profile::Frame&);
    Status line(const profile::Frame&);
    Status field_op(const Slot&, const std::string& prefix, int period_ms);
    void describe(Op&, const profile::Field&);
    Status bits(const profile::Field&, const std::string& name, int period_ms, Op&);
    Result<SignalId> signal(Signal row);
    std::uint8_t register_of(const std::string& counter) const;

    Program& p_;
    FrameProgram* frame_ = nullptr;
    std::size_t per_body_ = 0;                 ///< observations of the part being compiled
    std::vector<std::string> counters_;        ///< names of counting fields, by register
};

} // namespace chockside::codec::detail
