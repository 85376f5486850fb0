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
    /// The most observations: outside of repetitions, inside them, and for each byte inside them.
    struct Worst {
        double flat = 0, nested = 0, a_byte = 0;
    };
    struct Place {
        std::string prefix;
        int period_ms = 0;
    };

    Status words();
    Status word(const profile::Word&);
    Status frame(const profile::Frame&);
    Status request(const profile::Request&);
    Status index(const profile::Frame&, std::int16_t at);
    Status parts(const std::vector<Part>&, const Place&, Worst&);
    Status part(const Part&, const Place&, Worst&);
    Status fixed(const Part&, const Place&, Worst&);
    Status repeat(const Part&, const Place&, Worst&);
    Status repeated_words(const Part&, Worst&);
    Status optional(const Part&, const Place&, Worst&);
    Status free_text(const Part&, const Place&);
    Status tokens(const std::vector<profile::Field>&, const Place&, Worst&);
    Status token(const profile::Field&, const Place&, Worst&);
    Status token_block(const profile::Field&, const Place&, Worst&);
    Status field_op(const Slot&, const Place&, Worst&);
    Op guard(const profile::When&, std::uint16_t reg);
    void describe(Op&, const profile::Field&);
    void name_text(Op&, const profile::Field&, const Place&);
    Status bits(const profile::Field&, const std::string& name, int period_ms, Op&, Worst&);
    double worst_word() const;
    Result<SignalId> signal(Signal row);
    /// The register of a field that counts or decides; made at its first use.
    std::uint16_t register_of(const profile::Field&);
    Result<std::uint16_t> named_register(const profile::Field& user, const std::string& name);
    Place inside(const profile::Field&, const Place&) const;
    void add_repeated(Worst& whole, const Worst& body, std::size_t most, std::size_t least) const;
    Status close(std::size_t at); ///< ends the body of the op at `at`

    Program& p_;
    FrameProgram* frame_ = nullptr;
    std::size_t room_ = 0;
    std::map<const profile::Field*, std::uint16_t> registers_;
    std::map<const profile::Field*, std::size_t> load_of_; ///< op that reads a field
    std::vector<const profile::Field*> before_;            ///< lines: fields that may count or decide
};

} // namespace chockside::codec::detail
