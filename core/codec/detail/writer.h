#pragma once

#include <core/base/result.h>
#include <core/codec/detail/layout.h>
#include <core/codec/encoder.h>

namespace chockside::codec::detail {

/// What the fields of a frame are worth, from the innermost group outwards.
struct Scope {
    const FieldValues* values = nullptr;
    const Scope* outer = nullptr;
    const FieldValue* find(const std::string& name) const;
};

/// Writes one field's bytes at `at` (the buffer is long enough). Codes as Encoder::frame says.
class Writer {
public:
    Writer(const profile::Unit& unit) : unit_(unit) {}
    Status field(const profile::Field&, const FieldValues&, Bytes& out, std::size_t at) const;
    void arinc(const profile::Field&, std::uint32_t word, Bytes& out, std::size_t at) const;
    Result<double> number(const profile::Field&, const FieldValue&) const;
    /// Its bits together, where they are given by their names.
    static std::optional<double> by_bits(const profile::Field&, const FieldValues&);
    /// As it stands in a text line.
    Result<std::string> token(const profile::Field&, const FieldValue&) const;
    Result<std::string> token(const profile::Field&, std::uint64_t constant) const;
    /// Whether a field that `source` decides on is there.
    Result<bool> holds(const profile::When&, const profile::Field& source, const Scope&) const;

private:
    Status value(const profile::Field&, const FieldValue&, Bytes& out, std::size_t at) const;
    Status raw(const profile::Field&, std::uint64_t raw, Bytes& out, std::size_t at) const;
    Status integer(const profile::Field&, double value, Bytes& out, std::size_t at) const;
    Result<std::uint64_t> code(const profile::Field&, double value) const;
    Status bcd(const profile::Field&, double plain, Bytes& out, std::size_t at) const;
    Status text(const profile::Field&, const std::string&, Bytes& out, std::size_t at) const;
    Status written(const profile::Field&, std::string text, Bytes& out, std::size_t at) const;
    void put(const profile::Field&, std::uint64_t bits, std::size_t bytes, Bytes& out, std::size_t at) const;

    const profile::Unit& unit_;
};

} // namespace chockside::codec::detail
