#pragma once
// The shape of a profile as one table: key, type, range, needed or not, one sentence. Loading, the published schema, complaints and
// `explain` all read it.

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace chockside::profile {

namespace detail {
struct Node;
}

struct Shape;

struct Type {
    enum class Kind {
        text,      ///< a string; with `words` one of a closed list
        whole,     ///< a number without a fraction
        real,
        boolean,
        code,      ///< a whole number, or a string as "0x1F"
        wide_code, ///< the same, up to 128 bits in hexadecimal
        says,      ///< words for people: a string, or an object by language tag
        reference, ///< an id, with its kind in front ("breaker:ref_1"); the kind may be left out where `kinds` has one only
        list,
        map,       ///< an object whose keys are ids
        object,
        either,    ///< one of `any`
        nothing_more, ///< any JSON (keys that start with x_)
    };
    Kind kind = Kind::text;
    std::vector<std::string> words;
    double low = 0, high = 0; ///< numbers and lengths of lists; both 0: no limits
    std::vector<std::string> kinds;
    std::string declares;     ///< maps and lists of objects: the kind of thing whose ids stand here
    bool numbered_keys = false; ///< maps: the keys are whole numbers or "0x1F"
    std::shared_ptr<const Type> item;
    const Shape& (*shape)() = nullptr;
    std::vector<Type> any;
};

struct Key {
    std::string name;
    Type type;
    bool needed = false;
    std::string says;
    std::function<void(void* object, const detail::Node&)> put;
};

struct Shape {
    std::string name;
    std::string says;
    std::vector<Key> keys;
    bool one_leaf = false; ///< conditions: exactly one of the keys, with "is" beside it where the key is a leaf
    const Key* key(const std::string& wanted) const;
};

/// The whole document.
const Shape& profile_shape();
/// The two halves, as they stand in files of their own.
const Shape& unit_shape();
const Shape& installation_shape();

} // namespace chockside::profile
