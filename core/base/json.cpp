#include <core/base/json.h>

namespace chockside::json {

namespace {
const std::string no_text;
const Array no_array;
const Object no_object;
const Value null;
}

bool Value::as_bool(bool other) const
{
    const bool* v = std::get_if<bool>(&v_);
    return v ? *v : other;
}

std::int64_t Value::as_int(std::int64_t other) const
{
    if (const auto* v = std::get_if<std::int64_t>(&v_)) return *v;
    if (const auto* v = std::get_if<double>(&v_); v && *v > -9.2e18 && *v < 9.2e18) return static_cast<std::int64_t>(*v);
    return other;
}

double Value::as_double(double other) const
{
    if (const auto* v = std::get_if<double>(&v_)) return *v;
    if (const auto* v = std::get_if<std::int64_t>(&v_)) return static_cast<double>(*v);
    return other;
}

const std::string& Value::as_text() const
{
    const auto* v = std::get_if<std::string>(&v_);
    return v ? *v : no_text;
}

const Array& Value::as_array() const
{
    const auto* v = std::get_if<Array>(&v_);
    return v ? *v : no_array;
}

const Object& Value::as_object() const
{
    const auto* v = std::get_if<Object>(&v_);
    return v ? *v : no_object;
}

const Value& Value::operator[](std::string_view key) const
{
    const Object& members = as_object();
    const auto found = members.find(key);
    return found == members.end() ? null : found->second;
}

Value& Value::at(const std::string& key)
{
    if (!is_object()) v_ = Object{};
    return std::get<Object>(v_)[key];
}

bool Value::has(std::string_view key) const
{
    const Object& members = as_object();
    return members.find(key) != members.end();
}

void Value::push(Value v)
{
    if (!is_array()) v_ = Array{};
    std::get<Array>(v_).push_back(std::move(v));
}

} // namespace chockside::json
