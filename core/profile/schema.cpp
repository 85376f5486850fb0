#include <core/profile/schema.h>

#include <algorithm>

namespace chockside::profile {

namespace {

using Kind = Type::Kind;
using json::Array;
using json::Object;
using json::Value;

class SchemaWriter {
public:
    Value whole(const Shape& shape)
    {
        Value root = reference(shape);
        Object out{{"$schema", "http://json-schema.org/draft-07/schema#"}, {"title", shape.name}, {"description", shape.says}};
        out["allOf"] = Array{root};
        out["definitions"] = definitions_;
        return out;
    }

private:
    // Each shape is written once; shapes may hold themselves.
    Value reference(const Shape& shape)
    {
        std::string name = shape.name;
        std::replace(name.begin(), name.end(), ' ', '_');
        while (written_.contains(name) && written_[name] != &shape) name += "_2";
        written_[name] = &shape;
        if (!definitions_.contains(name)) {
            definitions_[name] = nullptr;
            Value made = object(shape);
            definitions_[name] = std::move(made);
        }
        return Object{{"$ref", "#/definitions/" + name}};
    }

    Value object(const Shape& shape)
    {
        Object properties;
        Array needed, leaves;
        for (const Key& k : shape.keys) {
            Value type = value(k.type);
            properties[k.name] = Object{{"description", k.says}, {"allOf", Array{std::move(type)}}};
            if (k.needed) needed.push_back(k.name);
            if (k.name != "is") leaves.push_back(Object{{"required", Array{k.name}}});
        }
        Object out{{"type", "object"}, {"description", shape.says}, {"properties", properties}, {"additionalProperties", false},
            {"patternProperties", Object{{"^x_", true}}}};
        if (!needed.empty()) out["required"] = needed;
        if (shape.one_leaf) out["oneOf"] = leaves;
        return out;
    }

    Value value(const Type& t)
    {
        switch (t.kind) {
        case Kind::text: return text(t);
        case Kind::whole: return number(t, "integer");
        case Kind::real: return number(t, "number");
        case Kind::boolean: return Object{{"type", "boolean"}};
        case Kind::code:
        case Kind::wide_code: return code();
        case Kind::says: {
            Object by_language{{"type", "object"}, {"minProperties", 1}, {"additionalProperties", Object{{"type", "string"}}}};
            return Object{{"anyOf", Array{Object{{"type", "string"}}, by_language}}};
        }
        case Kind::reference: return Object{{"type", "string"}};
        case Kind::list: return list(t);
        case Kind::map: return map(t);
        case Kind::object: return reference(t.shape());
        case Kind::nothing_more: return true;
        case Kind::either: break;
        }
        Array any;
        for (const Type& one : t.any) any.push_back(value(one));
        return Object{{"anyOf", any}};
    }

    static Value text(const Type& t)
    {
        Object out{{"type", "string"}};
        Array words;
        for (const std::string& w : t.words) words.push_back(w);
        if (!words.empty()) out["enum"] = words;
        return out;
    }

    // "1.0" is an integer to draft-07; the loader asks for a number without a point, which no schema can.
    static Value number(const Type& t, const char* type)
    {
        Object out{{"type", type}};
        if (t.low != 0 || t.high != 0) {
            out["minimum"] = t.low;
            out["maximum"] = t.high;
        }
        return out;
    }

    static Value code()
    {
        return Object{{"anyOf", Array{Object{{"type", "integer"}, {"minimum", 0}}, Object{{"type", "string"}, {"pattern", "^(0[xX][0-9A-Fa-f]+|[0-9]+)$"}}}}};
    }

    Value list(const Type& t)
    {
        return Object{{"type", "array"}, {"items", value(*t.item)}, {"minItems", static_cast<std::int64_t>(t.low)}, {"maxItems", static_cast<std::int64_t>(t.high)}};
    }

    Value map(const Type& t)
    {
        Object out{{"type", "object"}, {"additionalProperties", value(*t.item)}};
        if (t.numbered_keys) out["propertyNames"] = Object{{"pattern", "^(0[xX][0-9A-Fa-f]+|[0-9]+)$"}};
        return out;
    }

    Object definitions_;
    std::map<std::string, const Shape*> written_;
};

} // namespace

Value schema_of(const Shape& shape)
{
    return SchemaWriter().whole(shape);
}

} // namespace chockside::profile
