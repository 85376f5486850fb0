#include <core/base/json.h>

#include <nlohmann/json.hpp>

#include <cmath>
#include <iterator>

namespace chockside::json {

namespace {

using Sax = nlohmann::json_sax<nlohmann::json>;
constexpr std::int64_t safe_integer = (std::int64_t{1} << 53) - 1;

/// Counts what the parser has taken, so that a refused key or number has its line too.
struct CountingIterator {
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = const char&;

    const char* at = nullptr;
    std::size_t* taken = nullptr;

    reference operator*() const { return *at; }
    CountingIterator& operator++() { return ++at, ++*taken, *this; }
    CountingIterator operator++(int)
    {
        CountingIterator before = *this;
        ++*this;
        return before;
    }
    bool operator==(const CountingIterator& o) const { return at == o.at; }
};

/// Builds our value; refuses what the limits refuse. nlohmann's DOM would silently keep the last of two equal keys.
class Builder final : public Sax {
public:
    explicit Builder(const ReadLimits& limits) : limits_(limits) {}

    bool null() override { return put(Value()); }
    bool boolean(bool v) override { return put(Value(v)); }
    bool number_integer(number_integer_t v) override { return integer(v); }
    bool number_unsigned(number_unsigned_t v) override
    {
        if (v > static_cast<std::uint64_t>(INT64_MAX)) return limits_.refuse_floats ? refuse("json_number") : put(Value(static_cast<double>(v)));
        return integer(static_cast<std::int64_t>(v));
    }
    bool number_float(number_float_t v, const string_t&) override
    {
        if (limits_.refuse_floats || !std::isfinite(v)) return refuse("json_number");
        return put(Value(v));
    }
    bool string(string_t& v) override { return put(Value(std::move(v))); }
    bool binary(binary_t&) override { return refuse("json_syntax"); }
    bool start_object(std::size_t) override { return open(Value(Object{})); }
    bool start_array(std::size_t) override { return open(Value(Array{})); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }
    bool key(string_t& v) override
    {
        Frame& frame = stack_.back();
        if (frame.value.has(v)) return refuse("json_duplicate_key", v);
        frame.key = std::move(v);
        return true;
    }
    bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception& ex) override
    {
        constexpr int out_of_range = 406;
        if (ex.id == out_of_range) return refuse("json_number");
        const std::string what = ex.what();
        return refuse(what.find("UTF-8") != std::string::npos ? "json_not_utf8" : "json_syntax");
    }

    Value result;
    std::string code, detail;

private:
    struct Frame {
        Value value;
        std::string key;
    };

    bool refuse(std::string why, std::string what = {})
    {
        if (code.empty()) code = std::move(why), detail = std::move(what);
        return false;
    }
    bool integer(std::int64_t v)
    {
        if (limits_.refuse_floats && (v > safe_integer || v < -safe_integer)) return refuse("json_number");
        return put(Value(v));
    }
    bool open(Value v)
    {
        if (static_cast<int>(stack_.size()) >= limits_.depth) return refuse("json_too_deep");
        stack_.push_back({std::move(v), {}});
        return true;
    }
    bool close()
    {
        Value done = std::move(stack_.back().value);
        stack_.pop_back();
        return put(std::move(done));
    }
    bool put(Value v)
    {
        if (stack_.empty()) {
            result = std::move(v);
            return true;
        }
        Frame& frame = stack_.back();
        if (frame.value.is_array()) frame.value.push(std::move(v));
        else frame.value.at(frame.key) = std::move(v);
        return true;
    }

    const ReadLimits& limits_;
    std::vector<Frame> stack_;
};

template <class Iterator>
bool parsed(Iterator begin, Iterator end, Builder& builder)
{
    bool ok = false;
    try {
        ok = nlohmann::json::sax_parse(begin, end, &builder);
    } catch (const std::exception&) {
        builder.code = "json_syntax";
    }
    return ok && builder.code.empty();
}

std::pair<int, int> line_column(std::string_view text, std::size_t position)
{
    int line = 1, column = 1;
    for (std::size_t i = 0; i + 1 < position && i < text.size(); ++i) {
        ++column;
        if (text[i] == '\n') ++line, column = 1;
    }
    return {line, column};
}

} // namespace

Result<Value> read(std::string_view text, const ReadLimits& limits)
{
    if (text.size() > limits.bytes) return fail("json_too_long", "", {{"most", std::to_string(limits.bytes)}});
    Builder quick(limits);
    if (parsed(text.data(), text.data() + text.size(), quick)) return std::move(quick.result);
    // Only who is refused pays for knowing where.
    Builder builder(limits);
    std::size_t taken = 0;
    (void)parsed(CountingIterator{text.data(), &taken}, CountingIterator{text.data() + text.size(), &taken}, builder);
    const auto [line, column] = line_column(text, taken);
    return fail(builder.code.empty() ? "json_syntax" : builder.code, builder.detail,
        {{"line", std::to_string(line)}, {"column", std::to_string(column)}, {"what", builder.detail}, {"key", builder.detail}});
}

} // namespace chockside::json
