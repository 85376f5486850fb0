#include <core/practice/defects.h>

#include <core/practice/detail/names.h>

namespace chockside::practice {

const Effect* Defects::find(std::string_view kind) const
{
    for (const Effect& effect : effects_)
        if (effect.kind == kind) return &effect;
    return nullptr;
}

const Effect* Defects::find(std::string_view kind, std::string_view key, std::string_view word) const
{
    for (const Effect& effect : effects_)
        if (effect.kind == kind && effect.text(std::string(key)) == word) return &effect;
    return nullptr;
}

const Effect* Defects::find(std::string_view kind, int channel) const
{
    for (const Effect& effect : effects_)
        if (effect.kind == kind && effect.channel() == channel) return &effect;
    return nullptr;
}

int Defects::repair(std::string_view what)
{
    return static_cast<int>(std::erase_if(effects_, [&](const Effect& e) { return detail::same_name(e.cured_by, what); }));
}

} // namespace chockside::practice
