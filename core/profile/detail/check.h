#pragma once

#include <core/profile/objection.h>
#include <core/profile/detail/node.h>
#include <core/profile/shape.h>

#include <map>
#include <set>

namespace chockside::profile::detail {

/// Walks a document along its shape, complains about what does not fit, and gathers ids and references. One object for all files of a
/// profile, as references cross them.
class ShapeCheck {
public:
    explicit ShapeCheck(Complaints& out) : out_(out) {}
    void document(const Shape&, const Node& root, const std::string& file, const std::string& pointer = {});
    /// Ids that are named elsewhere than as keys ("channel:ch1").
    void declare(const std::string& kind, const std::string& id) { ids_[kind].insert(id); }
    bool declared(const std::string& kind, const std::string& id) const;
    /// After all documents: references that lead nowhere.
    void finish();
    const std::map<std::string, std::set<std::string>>& ids() const { return ids_; }

private:
    struct Reference {
        std::vector<std::string> kinds;
        std::string text, file, pointer;
        int line, column;
    };
    void value(const Type&, const Node&, const std::string& pointer);
    void object(const Shape&, const Node&, const std::string& pointer);
    void one_leaf(const Shape&, const Node&, const std::string& pointer);
    void number(const Type&, const Node&, const std::string& pointer);
    void text(const Type&, const Node&, const std::string& pointer);
    void list(const Type&, const Node&, const std::string& pointer);
    void map(const Type&, const Node&, const std::string& pointer);
    void either(const Type&, const Node&, const std::string& pointer);
    void wrong_kind(const Type&, const Node&, const std::string& pointer);
    void complain(const char* code, int line, int column, const std::string& pointer, Problem::Args args, std::string mend = {});
    bool resolves(const Reference&) const;

    Complaints& out_;
    std::string file_;
    std::map<std::string, std::set<std::string>> ids_;
    std::vector<Reference> references_;
};

/// The word of the list that is nearest in spelling, if near at all.
std::string nearest(const std::string& word, const std::vector<std::string>& list);
/// A type in one word, for arguments of complaints.
std::string name_of(const Type&);
/// Whether a node is of a type's kind, ranges apart.
bool fits(const Type&, const Node&);

} // namespace chockside::profile::detail
