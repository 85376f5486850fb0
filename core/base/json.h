#pragma once
// A small JSON value, its bounded reader, and its canonical writer (RFC 8785). The reader's engine lives in one .cpp.

#include <core/base/bytes.h>
#include <core/base/result.h>

#include <cstdint>
#include <initializer_list>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace chockside::json {

class Value;
using Array = std::vector<Value>;
/// Members in the order of their keys by code unit of UTF-8; writers re-sort by UTF-16 where it differs.
using Object = std::map<std::string, Value, std::less<>>;

enum class Kind { null, boolean, integer, real, text, array, object };

class Value {
public:
    Value() = default;
    Value(std::nullptr_t) {}
    Value(bool v) : v_(v) {}
    Value(int v) : v_(std::int64_t{v}) {}
    Value(unsigned v) : v_(std::int64_t{v}) {}
    Value(std::int64_t v) : v_(v) {}
    Value(std::uint64_t v) : v_(static_cast<std::int64_t>(v)) {}
    Value(double v) : v_(v) {}
    Value(const char* v) : v_(std::string(v)) {}
    Value(std::string_view v) : v_(std::string(v)) {}
    Value(std::string v) : v_(std::move(v)) {}
    Value(Array v) : v_(std::move(v)) {}
    Value(Object v) : v_(std::move(v)) {}

    Kind kind() const { return static_cast<Kind>(v_.index()); }
    bool is_null() const { return kind() == Kind::null; }
    bool is_text() const { return kind() == Kind::text; }
    bool is_object() const { return kind() == Kind::object; }
    bool is_array() const { return kind() == Kind::array; }
    bool is_number() const { return kind() == Kind::integer || kind() == Kind::real; }

    /// The content, or a neutral value (false, 0, "", empty) where the kind is another. Never throws.
    bool as_bool(bool other = false) const;
    std::int64_t as_int(std::int64_t other = 0) const;
    double as_double(double other = 0) const;
    const std::string& as_text() const;
    const Array& as_array() const;
    const Object& as_object() const;

    /// Member of an object, or null.
    const Value& operator[](std::string_view key) const;
    /// Turns the value into an object where it is none, and makes the member.
    Value& at(const std::string& key);
    bool has(std::string_view key) const;
    void push(Value v);

    bool operator==(const Value&) const = default;

private:
    std::variant<std::monostate, bool, std::int64_t, double, std::string, Array, Object> v_;
};

struct ReadLimits {
    std::size_t bytes = 4u << 20;
    int depth = 64;
    bool refuse_floats = false; ///< entry bodies: integers within +-(2^53-1) and text only
};

/// Reads one JSON text. Codes (args line, column, what): json_syntax, json_duplicate_key, json_too_deep, json_too_long, json_not_utf8,
/// json_number (integer beyond 2^53-1 where refuse_floats, or not finite).
Result<Value> read(std::string_view text, const ReadLimits& limits = {});

/// RFC 8785 text: keys sorted by UTF-16 code units, no white space, ECMAScript numbers. Codes: json_number (NaN, infinities),
/// json_not_utf8.
Result<std::string> canonical(const Value& value);
/// Same text for values known to be finite; aborts on NaN (a programming error). Bytes that are no UTF-8 become U+FFFD.
std::string write(const Value& value);
/// Indented by two, keys sorted, for people.
std::string write_pretty(const Value& value);

/// ECMAScript Number::toString (ECMA-262, 6.1.6.1.20) of a finite double, as RFC 8785 section 3.2.2.3 asks.
std::string number_text(double value);

} // namespace chockside::json
