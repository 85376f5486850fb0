#include <core/profile/detail/node.h>

#include <charconv>
#include <cmath>
#include <set>

namespace chockside::profile::detail {

namespace {

constexpr std::size_t most_bytes = 4u << 20;
constexpr int most_depth = 16;

/// Ordered rather than hashed: no choice of keys makes it slow.
struct KeyOrder {
    std::uint64_t* compared;
    bool operator()(const std::string& a, const std::string& b) const { return ++*compared, a < b; }
};

class Parser {
public:
    Parser(std::string_view text, std::uint64_t& compared) : text_(text), compared_(compared) {}

    Result<Node> whole()
    {
        Node root;
        if (text_.size() > most_bytes) return problem("json_too_long");
        if (value(root, 0)) {
            space();
            if (at_ < text_.size()) syntax("nothing");
        }
        if (!error_.code.empty()) return Unexpected{error_};
        return root;
    }

private:
    bool value(Node& n, int depth)
    {
        space();
        mark(n);
        if (depth > most_depth) return stop("json_too_deep");
        switch (peek()) {
        case '{': return object(n, depth);
        case '[': return list(n, depth);
        case '"': n.kind = Node::Kind::text; return string(n.text);
        case 't': n.truth = true; n.kind = Node::Kind::boolean; return literal("true");
        case 'f': n.kind = Node::Kind::boolean; return literal("false");
        case 'n': return literal("null");
        default: return number(n);
        }
    }

    bool object(Node& n, int depth)
    {
        n.kind = Node::Kind::object;
        std::set<std::string, KeyOrder> keys(KeyOrder{&compared_});
        take();
        space();
        if (peek() == '}') return take(), true;
        for (;;) {
            space();
            Member m;
            m.line = line_;
            m.column = column();
            if (peek() != '"') return syntax("key");
            if (!string(m.key)) return false;
            if (!keys.insert(m.key).second) return duplicate(m);
            space();
            if (peek() != ':') return syntax("colon");
            take();
            if (!value(m.value, depth + 1)) return false;
            n.members.push_back(std::move(m));
            space();
            if (peek() == '}') return take(), true;
            if (peek() != ',') return syntax("comma_or_brace");
            take();
        }
    }

    bool list(Node& n, int depth)
    {
        n.kind = Node::Kind::list;
        take();
        space();
        if (peek() == ']') return take(), true;
        for (;;) {
            n.items.emplace_back();
            if (!value(n.items.back(), depth + 1)) return false;
            space();
            if (peek() == ']') return take(), true;
            if (peek() != ',') return syntax("comma_or_bracket");
            take();
        }
    }

    bool number(Node& n)
    {
        const std::size_t from = at_;
        if (peek() == '-') take();
        if (!digit()) return syntax("value");
        if (peek() == '0') {
            take();
            if (digit()) return syntax("no_leading_zero");
        }
        while (digit()) take();
        bool whole = true;
        if (peek() == '.') {
            whole = false;
            take();
            if (!digit()) return syntax("digit");
            while (digit()) take();
        }
        if (peek() == 'e' || peek() == 'E') {
            whole = false;
            take();
            if (peek() == '+' || peek() == '-') take();
            if (!digit()) return syntax("digit");
            while (digit()) take();
        }
        const char* first = text_.data() + from;
        const char* last = text_.data() + at_;
        const auto read = std::from_chars(first, last, n.number);
        if (read.ec != std::errc{} || !std::isfinite(n.number)) return stop("json_number");
        n.kind = Node::Kind::real;
        if (whole && std::from_chars(first, last, n.integer).ec == std::errc{}) n.kind = Node::Kind::whole;
        return true;
    }

    bool string(std::string& out)
    {
        take();
        for (;;) {
            const char c = peek();
            if (at_ >= text_.size() || static_cast<unsigned char>(c) < 0x20) return syntax("closing_quote");
            if (c == '"') return take(), true;
            if (c == '\\') {
                if (!escape(out)) return false;
            } else if (!utf8(out)) {
                return false;
            }
        }
    }

    bool escape(std::string& out)
    {
        take();
        const char c = peek();
        constexpr std::string_view from = "\"\\/bfnrt", to = "\"\\/\b\f\n\r\t";
        if (const std::size_t i = from.find(c); i != std::string_view::npos && at_ < text_.size()) {
            out += to[i];
            return take(), true;
        }
        if (c != 'u') return syntax("escape");
        take();
        long code = hex4();
        if (code >= 0xD800 && code < 0xDC00 && text_.substr(at_, 2) == "\\u") {
            take();
            take();
            const long low = hex4();
            code = low >= 0xDC00 && low < 0xE000 ? 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00) : -1;
        }
        if (code < 0 || (code >= 0xD800 && code < 0xE000)) return syntax("escape");
        append(out, static_cast<unsigned long>(code));
        return true;
    }

    long hex4()
    {
        unsigned code = 0;
        const std::string_view digits = text_.substr(std::min(at_, text_.size()), 4);
        const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), code, 16);
        if (digits.size() != 4 || read.ptr != digits.data() + 4) return -1;
        at_ += 4;
        return static_cast<long>(code);
    }

    static void append(std::string& out, unsigned long c)
    {
        const auto put = [&](unsigned long v) { out += static_cast<char>(static_cast<unsigned char>(v)); };
        if (c < 0x80) return put(c);
        if (c < 0x800) {
            put(0xC0 | c >> 6);
        } else {
            if (c < 0x10000) {
                put(0xE0 | c >> 12);
            } else {
                put(0xF0 | c >> 18);
                put(0x80 | (c >> 12 & 0x3F));
            }
            put(0x80 | (c >> 6 & 0x3F));
        }
        put(0x80 | (c & 0x3F));
    }

    // RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF.
    bool utf8(std::string& out)
    {
        const auto byte = [&](std::size_t i) { return i < text_.size() ? static_cast<unsigned char>(text_[i]) : 0u; };
        const unsigned lead = byte(at_);
        const std::size_t more = lead < 0x80 ? 0 : lead >= 0xC2 && lead < 0xE0 ? 1 : lead >= 0xE0 && lead < 0xF0 ? 2 : lead >= 0xF0 && lead < 0xF5 ? 3 : 9;
        if (more == 9) return stop("json_not_utf8");
        for (std::size_t i = 1; i <= more; ++i)
            if ((byte(at_ + i) & 0xC0u) != 0x80) return stop("json_not_utf8");
        const unsigned second = byte(at_ + 1);
        const bool bad = (lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F) || (lead == 0xF0 && second < 0x90)
            || (lead == 0xF4 && second > 0x8F);
        if (bad) return stop("json_not_utf8");
        out.append(text_, at_, more + 1);
        at_ += more + 1;
        return true;
    }

    bool literal(std::string_view word)
    {
        if (text_.substr(at_, word.size()) != word) return syntax("value");
        at_ += word.size();
        return true;
    }

    void space()
    {
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == '\n') {
                ++line_;
                line_start_ = at_ + 1;
            } else if (c != ' ' && c != '\t' && c != '\r') {
                return;
            }
            ++at_;
        }
    }

    char peek() const { return at_ < text_.size() ? text_[at_] : '\0'; }
    void take() { ++at_; }
    bool digit() const { return peek() >= '0' && peek() <= '9'; }
    int column() const { return static_cast<int>(at_ - line_start_) + 1; }
    void mark(Node& n) const
    {
        n.line = line_;
        n.column = column();
    }

    Unexpected<Problem> problem(const char* code, Problem::Args more = {}) const
    {
        Problem::Args args{{"line", std::to_string(line_)}, {"column", std::to_string(column())}};
        args.insert(args.end(), more.begin(), more.end());
        return fail(code, {}, args);
    }
    bool stop(const char* code, Problem::Args more = {})
    {
        if (error_.code.empty()) error_ = problem(code, std::move(more)).error;
        return false;
    }
    bool syntax(const char* wanted) { return stop("json_syntax", {{"what", wanted}}); }
    bool duplicate(const Member& m)
    {
        at_ = line_start_ + static_cast<std::size_t>(m.column) - 1;
        return stop("json_duplicate_key", {{"key", m.key}});
    }

    std::string_view text_;
    std::uint64_t& compared_;
    std::size_t at_ = 0, line_start_ = 0;
    int line_ = 1;
    Problem error_;
};

} // namespace

Result<Node> parse(std::string_view text, std::uint64_t* compared)
{
    std::uint64_t own = 0;
    return Parser(text, compared ? *compared : own).whole();
}

} // namespace chockside::profile::detail
