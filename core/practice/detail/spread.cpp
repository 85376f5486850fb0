#include <core/practice/detail/spread.h>

#include <cmath>

namespace chockside::practice::detail {

json::Value spread(const json::Value& rule, SeededRandom& random)
{
    if (!rule.is_object()) return rule;
    if (rule.has("choose")) {
        const json::Array& options = rule["choose"].as_array();
        return options.empty() ? json::Value{} : options[random.below(options.size())];
    }
    if (rule.has("median")) return rule["median"].as_double() * std::exp(std::log(rule["factor"].as_double(1)) * random.normal());
    return random.uniform(rule["from"].as_double(), rule["to"].as_double());
}

std::string weighted(const json::Value& weights, SeededRandom& random)
{
    double total = 0;
    for (const auto& [code, weight] : weights.as_object()) total += weight.as_double();
    double left = random.uniform() * total;
    std::string last;
    for (const auto& [code, weight] : weights.as_object()) {
        last = code;
        left -= weight.as_double();
        if (left < 0) break;
    }
    return last;
}

} // namespace chockside::practice::detail
