// json_documents COUNT SEED [--reals]: random documents, one a line: the text as a careless writer would put it (members in random order,
// white space, escapes), a tab, and the canonical text. --reals adds fractions of any size; without it a document is one that an entry takes.
#include <core/base/json.h>
#include <core/base/random.h>

#include <bit>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>

using namespace chockside;

namespace {

struct Maker {
    SeededRandom random;
    bool reals;

    std::string text()
    {
        static const char* pieces[] = {"a", "Z", "0", " ", "\"", "\\", "/", "\n", "\t", "\r", "\b", "\f", "\x01", "\x1f", "\x7f", "\u00e9", "\u20ac", "\ufb33", "\U0001f600", "e\u0301"};
        std::string s;
        for (std::size_t n = random.below(8); n > 0; --n) s += pieces[random.below(std::size(pieces))];
        return s;
    }

    std::string key()
    {
        if (reals && random.below(3) == 0) return text();
        std::string s;
        for (std::size_t n = 1 + random.below(5); n > 0; --n) s += "abzA_0.-"[random.below(8)];
        return s;
    }

    json::Value number()
    {
        const auto bits = (std::uint64_t{random.below(1u << 16)} << 48) ^ (std::uint64_t{random.below(1u << 24)} << 24) ^ random.below(1u << 24);
        if (!reals || random.below(2)) return json::Value(static_cast<std::int64_t>(bits >> (11 + random.below(53))) * (random.below(2) ? 1 : -1));
        const double value = std::bit_cast<double>(bits);
        if (std::isfinite(value)) return json::Value(value);
        return json::Value(static_cast<double>(random.below(1000)) / 8);
    }

    json::Value value(int depth)
    {
        switch (random.below(depth > 4 ? 4 : 6)) {
        case 0: return nullptr;
        case 1: return random.below(2) == 1;
        case 2: return number();
        case 3: return text();
        case 4: {
            json::Value list(json::Array{});
            for (std::size_t n = random.below(5); n > 0; --n) list.push(value(depth + 1));
            return list;
        }
        default: {
            json::Value object(json::Object{});
            for (std::size_t n = random.below(6); n > 0; --n) object.at(key()) = value(depth + 1);
            return object;
        }
        }
    }

    std::string space() { return std::string(random.below(2), ' '); }

    std::string careless_text(const std::string& text)
    {
        std::string out = "\"";
        for (const char c : text) {
            const auto u = static_cast<unsigned char>(c);
            char escape[8];
            std::snprintf(escape, sizeof escape, "\\u%04X", u);
            const bool must = u < 0x20 || c == '"' || c == '\\';
            if (must || (u < 0x80 && random.below(5) == 0)) out += escape;
            else out += c;
        }
        return out + "\"";
    }

    std::string careless_number(const json::Value& v)
    {
        if (v.kind() == json::Kind::integer) return std::to_string(v.as_int());
        char out[40];
        std::snprintf(out, sizeof out, random.below(2) ? "%.17g" : "%.17E", v.as_double());
        return out;
    }

    std::string careless(const json::Value& v)
    {
        if (v.is_text()) return careless_text(v.as_text());
        if (v.is_number()) return careless_number(v);
        if (!v.is_array() && !v.is_object()) return json::write(v);
        std::vector<std::string> parts;
        for (const auto& item : v.as_array()) parts.push_back(careless(item));
        for (const auto& [key, member] : v.as_object()) parts.push_back(careless_text(key) + space() + ":" + space() + careless(member));
        for (std::size_t i = parts.size(); v.is_object() && i > 1; --i) std::swap(parts[i - 1], parts[random.below(i)]);
        std::string out(1, v.is_array() ? '[' : '{');
        for (std::size_t i = 0; i < parts.size(); ++i) out += (i ? "," : "") + space() + parts[i];
        return out + space() + (v.is_array() ? ']' : '}');
    }
};

} // namespace

int main(int argc, char** argv)
{
    if (argc < 3) return std::fputs("json_documents COUNT SEED [--reals]\n", stderr), 2;
    Maker maker{SeededRandom(std::strtoull(argv[2], nullptr, 10)), argc > 3 && std::strcmp(argv[3], "--reals") == 0};
    for (long n = std::atol(argv[1]); n > 0; --n) {
        const std::string loose = maker.careless(maker.value(0));
        const auto read = json::read(loose);
        if (!read) return std::fprintf(stderr, "not read: %s\n", loose.c_str()), 1;
        const auto canonical = json::canonical(*read);
        if (!canonical) return std::fprintf(stderr, "not written: %s\n", loose.c_str()), 1;
        std::printf("%s\t%s\n", loose.c_str(), canonical->c_str());
    }
    return 0;
}
