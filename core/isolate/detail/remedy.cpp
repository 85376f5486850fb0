#include <core/isolate/detail/remedy.h>

namespace chockside::isolate::detail {

namespace {

std::string key_of(const Cause& cause)
{
    if (cause.cause_class == "none" || cause.cause_class == "unlisted") return cause.cause_class;
    if (cause.cause_class == "unit" || cause.cause_class == "sensor") return cause.cause_class + "@" + cause.place;
    return "cause:" + cause.id;
}

} // namespace

std::vector<Remedy> remedies(const Model& model)
{
    std::vector<Remedy> all;
    std::map<std::string, std::size_t> by_key;
    for (std::size_t k = 0; k < model.causes.size(); ++k) {
        const auto [at, first] = by_key.emplace(key_of(model.causes[k]), all.size());
        if (first) all.push_back({model.causes[k].cause_class, {}});
        all[at->second].causes.push_back(k);
    }
    return all;
}

} // namespace chockside::isolate::detail
