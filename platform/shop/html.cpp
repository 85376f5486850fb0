#include <platform/shop/html.h>

#include <core/base/bytes.h>

namespace chockside::shop {

namespace {

std::size_t character_length(unsigned char first)
{
    return first < 0x80 ? 1 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
}

void add_escaped(std::string& out, std::string_view text)
{
    for (std::size_t at = 0; at < text.size();) {
        const char c = text[at];
        const auto u = static_cast<unsigned char>(c);
        const auto length = character_length(u);
        const auto whole = text.substr(at, length);
        if (u >= 0x80) {
            // Right-to-left overrides and their kin can make a line read as another: they are shown as what they are, nothing.
            const bool turns = whole == "\u202A" || whole == "\u202B" || whole == "\u202D" || whole == "\u202E" || whole == "\u2066" || whole == "\u2067" || whole == "\u2068";
            const bool good = whole.size() == length && is_utf8(whole) && !turns;
            out += good ? whole : std::string_view("\uFFFD");
            at += good || turns ? length : 1;
            continue;
        }
        ++at;
        switch (c) {
        case '&': out += "&amp;"; break;
        case '<': out += "&lt;"; break;
        case '>': out += "&gt;"; break;
        case '"': out += "&quot;"; break;
        case '\'': out += "&#39;"; break;
        default:
            if (u >= 0x20 || c == '\n' || c == '\t') out += c;
            else out += "\uFFFD";
        }
    }
}

bool own_address(std::string_view value)
{
    if (value.empty()) return false;
    if (value.front() == '?' || value.front() == '#') return true;
    return value.front() == '/' && (value.size() == 1 || (value[1] != '/' && value[1] != '\\'));
}

} // namespace

std::string escaped(std::string_view text)
{
    std::string out;
    out.reserve(text.size() + text.size() / 8);
    add_escaped(out, text);
    return out;
}

Html& Html::text(std::string_view t)
{
    add_escaped(out_, t);
    return *this;
}

Html& Html::open(Literal tag, std::initializer_list<Attribute> attributes)
{
    out_ += '<';
    out_ += tag.view();
    for (const Attribute& a : attributes) {
        const auto name = a.name.view();
        const bool address = name == "href" || name == "src" || name == "action" || name == "formaction";
        out_ += ' ';
        out_ += name;
        out_ += "=\"";
        add_escaped(out_, address && !own_address(a.value) ? std::string_view("#") : std::string_view(a.value));
        out_ += '"';
    }
    out_ += '>';
    return *this;
}

Html& Html::close(Literal tag)
{
    out_ += "</";
    out_ += tag.view();
    out_ += '>';
    return *this;
}

Html& Html::element(Literal tag, std::initializer_list<Attribute> attributes, std::string_view inside)
{
    return open(tag, attributes).text(inside).close(tag);
}

} // namespace chockside::shop
