#include "prompt_value.h"
#include "words.h"

#include <array>

namespace chockside::models {

PromptValue PromptValue::of(const job::Prompt& prompt)
{
    static constexpr std::array kinds{"act", "choose", "number", "wait", "read", "photo", "part", "swing_point", "sign", "text", "none"};
    PromptValue v;
    v.id = words(prompt.id);
    v.kind = QLatin1String(kinds[static_cast<std::size_t>(prompt.kind) % kinds.size()]);
    v.say = words(prompt.say);
    v.detail = words(prompt.detail);
    v.unit = unit_sign(prompt.unit);
    v.meter = words(prompt.meter);
    v.points = words(prompt.points);
    v.verb = words(prompt.verb);
    v.label = words(prompt.label);
    v.to = words(prompt.to);
    v.missing = words(prompt.missing);
    v.met_by = words(prompt.met_by);
    v.ref = words(prompt.ref);
    v.hold = prompt.hold;
    v.ready = prompt.ready;
    v.has_limits = prompt.limits.has_value();
    if (prompt.limits) std::tie(v.low, v.high) = *prompt.limits;
    return v;
}

} // namespace chockside::models
