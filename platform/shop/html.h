#pragma once
// Pages out of typed pieces: markup is a literal of this source, everything else is text and is escaped. There is no way to add a string
// as markup, so nothing that came from a tablet can become any.

#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>

namespace chockside::shop {

/// Known when this was compiled: the only kind of markup, tag or attribute name there is.
class Literal {
public:
    template <std::size_t n>
    consteval Literal(const char (&text)[n]) : text_(text, n - 1)
    {
    }
    std::string_view view() const { return text_; }

private:
    std::string_view text_;
};

struct Attribute {
    Literal name;
    std::string value;
};

class Html {
public:
    Html& markup(Literal m)
    {
        out_ += m.view();
        return *this;
    }
    Html& text(std::string_view);
    /// href, src and action take paths of this site only ("/...", "?...", "#..."); anything else becomes "#".
    Html& open(Literal tag, std::initializer_list<Attribute> attributes = {});
    Html& close(Literal tag);
    Html& element(Literal tag, std::initializer_list<Attribute> attributes, std::string_view inside);
    Html& element(Literal tag, std::string_view inside) { return element(tag, {}, inside); }
    Html& add(const Html& other)
    {
        out_ += other.out_;
        return *this;
    }
    const std::string& done() const { return out_; }
    std::string take() { return std::move(out_); }

private:
    std::string out_;
};

/// Text that is safe between tags and in quoted attributes: & < > " ' as references; bytes that are no UTF-8 and control characters as U+FFFD.
std::string escaped(std::string_view);

} // namespace chockside::shop
