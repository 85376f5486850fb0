// Any text as a unit half and as a whole profile: complaints, never a crash; what is usable compiles or says why, and explains itself.
#include "pieces.h"

#include <core/codec/encoder.h>
#include <core/codec/decoder.h>
#include <core/profile/explain.h>
#include <core/profile/load.h>

using namespace chockside;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto half = profile::load_half(text, profile::Half::unit);
    profile::explain(half.profile);
    if (half.usable())
        if (const auto plan = codec::Plan::compile(half.profile.unit)) {
            codec::Decoder decoder(*plan);
            decoder.feed(fuzz::view(data, size), 0, [](const codec::FrameView&) {});
            for (const auto& r : half.profile.unit.requests) (void)codec::Encoder(*plan).request(r.name, {});
        }
    const profile::FindHalf none = [](const std::string&, profile::Half) -> Result<std::string> { return fail("not_found"); };
    const auto whole = profile::load(text, none);
    profile::explain(whole.profile);
    return 0;
}
