// Any text as JSON, as widely as it is read and as narrowly as an entry is: what is read has one canonical text, which reads as itself.
#include "pieces.h"

#include <core/base/json.h>

using namespace chockside;

namespace {

void one_text(const json::Value& v)
{
    const auto text = json::canonical(v);
    fuzz::must(text.has_value() && *text == json::write(v));
    json::ReadLimits wide;
    wide.bytes = std::size_t{1} << 30;
    const auto again = json::read(*text, wide);
    fuzz::must(again.has_value() && json::write(*again) == *text);
    const auto pretty = json::read(json::write_pretty(v), wide);
    fuzz::must(pretty.has_value() && json::write(*pretty) == *text);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto wide = json::read(text);
    if (wide) one_text(*wide);
    json::ReadLimits narrow;
    narrow.refuse_floats = true;
    const auto entry = json::read(text, narrow);
    fuzz::must(!entry || wide);
    if (entry) fuzz::must(*entry == *wide);
    return 0;
}
