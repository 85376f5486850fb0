#pragma once
// JSON with places: every value knows its line and column, members keep their order, a double key is refused.

#include <core/base/result.h>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace chockside::profile::detail {

struct Member;

struct Node {
    enum class Kind { null, boolean, whole, real, text, list, object };
    Kind kind = Kind::null;
    bool truth = false;
    std::int64_t integer = 0;
    double number = 0; ///< of whole and real
    std::string text;
    std::vector<Node> items;
    std::vector<Member> members;
    int line = 0, column = 0;

    bool is_number() const { return kind == Kind::whole || kind == Kind::real; }
    const Node* member(std::string_view key) const;
};

struct Member {
    std::string key;
    int line = 0, column = 0;
    Node value;
};

/// RFC 8259, UTF-8, depth at most 16, at most 4 MiB. Codes: json_syntax (args line, column, what), json_duplicate_key, json_too_deep,
/// json_too_long, json_not_utf8, json_number; every one with line and column. To `compared` is added how often two keys were compared.
Result<Node> parse(std::string_view text, std::uint64_t* compared = nullptr);

/// The value at an RFC 6901 pointer, or the nearest one above it.
const Node& locate(const Node& root, std::string_view pointer);
/// One more part, escaped.
std::string below(const std::string& pointer, std::string_view part);

} // namespace chockside::profile::detail
