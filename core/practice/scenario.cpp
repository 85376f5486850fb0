#include <core/practice/scenario.h>

#include <core/practice/detail/read_world.h>
#include <core/practice/detail/spoken_faults.h>
#include <core/practice/detail/spread.h>

#include <cstdlib>

namespace chockside::practice {

namespace {

Effect read_effect(const json::Value& rule, SeededRandom& random)
{
    Effect effect;
    for (const auto& [key, value] : rule.as_object()) {
        const json::Value drawn = detail::spread(value, random);
        if (key == "effect") effect.kind = drawn.as_text();
        else if (key == "cured_by") effect.cured_by = drawn.as_text();
        else if (drawn.is_text()) effect.word[key] = drawn.as_text();
        else if (drawn.is_number()) effect.number[key] = drawn.as_double();
        else effect.number[key] = drawn.as_bool() ? 1 : 0;
    }
    return effect;
}

OldRecord read_record(const json::Value& v)
{
    OldRecord record;
    if (v.has("fault")) record.code = detail::own_code(v["fault"].as_text());
    else record.code = static_cast<int>(std::strtol(v["code"].as_text().c_str(), nullptr, 16));
    record.channel = static_cast<int>(v["channel"].as_int(1));
    record.power_ups_ago = static_cast<int>(v["power_ups_ago"].as_int());
    record.at_s = static_cast<int>(v["at_s"].as_int());
    record.count = static_cast<int>(v["count"].as_int(1));
    return record;
}

// What any fault memory holds after some months of service, and that means nothing today.
void add_history(Fault& fault, SeededRandom& random)
{
    if (random.uniform() < 0.5) return;
    const int channel = 1 + static_cast<int>(random.below(2));
    fault.stored.push_back({0x0302, channel, 40 + static_cast<int>(random.below(150)), static_cast<int>(random.below(4000)), 1});
}

Fault read_fault(const json::Value& v, const json::Value& usual, SeededRandom& random)
{
    Fault fault;
    fault.id = v["id"].as_text();
    fault.fault_class = v["class"].as_text();
    fault.complaint = v["complaint"].as_text();
    fault.writeup = v["writeup"].as_text();
    for (const auto& [question, weights] : usual.as_object())
        fault.crew[question] = detail::weighted(v["crew"].has(question) ? v["crew"][question] : weights, random);
    for (const auto& [what, serial] : v["serial"].as_object()) fault.serials[what] = serial.as_text();
    for (const json::Value& rule : v["effects"].as_array()) fault.effects.push_back(read_effect(rule, random));
    for (const json::Value& record : v["stored"].as_array()) fault.stored.push_back(read_record(record));
    add_history(fault, random);
    return fault;
}

} // namespace

double Effect::num(const std::string& key, double other) const
{
    const auto it = number.find(key);
    return it == number.end() ? other : it->second;
}

const std::string& Effect::text(const std::string& key) const
{
    static const std::string none;
    const auto it = word.find(key);
    return it == word.end() ? none : it->second;
}

Result<Book> Book::read(std::string_view text)
{
    Result<json::Value> root = json::read(text);
    if (!root) return Unexpected{root.error()};
    if ((*root)["format"].as_int() != 1) return fail("practice_format", "/format");
    Result<World> world = detail::read_world(*root);
    if (!world) return Unexpected{world.error()};
    if ((*root)["faults"].as_array().empty()) return fail("practice_missing", "/faults");
    Book book;
    book.root_ = std::move(*root);
    book.world_ = std::move(*world);
    return book;
}

std::vector<std::string> Book::fault_ids() const
{
    std::vector<std::string> ids;
    for (const json::Value& fault : root_["faults"].as_array()) ids.push_back(fault["id"].as_text());
    return ids;
}

std::vector<std::string> Book::answers(const std::string& question) const
{
    std::vector<std::string> codes;
    for (const json::Value& code : root_["answers"][question].as_array()) codes.push_back(code.as_text());
    return codes;
}

Scenario Book::draw(std::uint64_t seed) const
{
    SeededRandom random(seed);
    json::Object shares;
    for (const json::Value& fault : root_["faults"].as_array()) shares[fault["id"].as_text()] = fault["share"].as_double(1);
    return scenario(detail::weighted(json::Value(std::move(shares)), random), seed).value();
}

Result<Scenario> Book::scenario(const std::string& fault_id, std::uint64_t seed) const
{
    for (const json::Value& fault : root_["faults"].as_array()) {
        if (fault["id"].as_text() != fault_id) continue;
        SeededRandom random(seed * 0x9E3779B97F4A7C15u + 1);
        Scenario scenario{world_, read_fault(fault, root_["usual"], random), seed};
        if (fault.has("bay_c")) scenario.world.bay_c = detail::spread(fault["bay_c"], random).as_double();
        for (const auto& [what, serial] : scenario.fault.serials) scenario.world.serials[what] = serial;
        return scenario;
    }
    return fail("practice_no_such_fault", fault_id);
}

} // namespace chockside::practice
