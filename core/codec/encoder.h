#pragma once

#include <core/arinc429/word.h>
#include <core/base/bytes.h>
#include <core/codec/plan.h>

#include <map>
#include <variant>

namespace chockside::codec {

struct FieldValue;
/// By field name. A number; text (for a text field, or the name of an enumeration code); groups; or ARINC words, bit 1 as 2^0.
/// Instead of a field with named bits, its bits may be given by name as 0 or 1 (those not given are 0).
using FieldValues = std::map<std::string, FieldValue>;
struct FieldValue {
    std::variant<double, std::string, std::vector<FieldValues>, std::vector<std::uint32_t>> content;
    FieldValue(double v) : content(v) {}
    FieldValue(int v) : content(static_cast<double>(v)) {}
    FieldValue(unsigned v) : content(static_cast<double>(v)) {}
    FieldValue(bool v) : content(v ? 1.0 : 0.0) {}
    FieldValue(std::string v) : content(std::move(v)) {}
    FieldValue(const char* v) : content(std::string(v)) {}
    FieldValue(std::vector<FieldValues> v) : content(std::move(v)) {}
    FieldValue(std::vector<std::uint32_t> v) : content(std::move(v)) {}
};

/// The way back: whole frames as they go onto the line (selector, fields, checksum, escapes).
class Encoder {
public:
    explicit Encoder(std::shared_ptr<const Plan>);

    /// Codes: unknown_request, missing_argument, value_too_big.
    Result<Bytes> request(const std::string& name, const std::map<std::string, std::int64_t>& args) const;
    /// A counting field that is not given counts its group or its text. Codes: unknown_frame, missing_value, wrong_kind, value_too_big,
    /// count_mismatch, unknown_value, text_too_long, frame_too_long, not_in_this_frame (given, but its condition does not hold).
    Result<Bytes> frame(const std::string& name, const FieldValues& values) const;

private:
    std::shared_ptr<const Plan> plan_;
};

/// A whole ARINC word with right parity. BNR and BCD take the value in the word's unit; a discrete word takes its data bits as a
/// number (bit 11 is 1, bit 12 is 2...). A BCD value that does not fit goes out as no computed data, a BNR value at its end.
std::uint32_t encode_word(const profile::Word&, double value, arinc429::Ssm ssm = arinc429::Ssm::normal, int sdi = 0);

} // namespace chockside::codec
