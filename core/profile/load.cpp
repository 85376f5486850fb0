#include <core/profile/load.h>

#include <core/profile/detail/check.h>
#include <core/profile/detail/fill.h>
#include <core/profile/lint.h>
#include <core/profile/rows.h>

#include <algorithm>
#include <charconv>

namespace chockside::profile {

using namespace detail;

bool LoadOutcome::usable() const
{
    return std::none_of(complaints.begin(), complaints.end(), [](const Objection& c) { return c.severity == Severity::error; });
}

namespace {

/// One profile being read: its documents stay until the lint has found its places in them.
class Loading {
public:
    Loading(LoadOutcome& out, const FindHalf& find) : out_(out), find_(find), check_(out.complaints) {}

    void run(std::string_view text)
    {
        const Node* root = document(text, {}, {});
        if (!root) return;
        check_.document(profile_shape(), *root, {});
        fill_object(profile_shape(), &out_.profile, *root);
        place(lint_whole(out_.profile), *root, {}, {});
        const bool unit = half(*root, "unit", Half::unit);
        const bool installation = half(*root, "installation", Half::installation);
        if (unit && installation) finish();
    }

    void run_half(std::string_view text, Half which)
    {
        const Node* root = document(text, {}, {});
        if (!root) return;
        take(*root, which, {});
        half_only_ = true;
        finish();
    }

private:
    struct Document {
        std::string file, pointer; ///< where the half's lint pointers start
        Half half;
        const Node* root;
    };

    const Node* document(std::string_view text, const std::string& file, const std::string& pointer)
    {
        Result<Node> parsed = parse(text);
        if (!parsed) {
            complain_syntax(parsed.error(), file, pointer);
            return nullptr;
        }
        return kept_.emplace_back(std::make_unique<Node>(std::move(*parsed))).get();
    }

    bool half(const Node& root, const char* key, Half which)
    {
        const Node* n = root.member(key);
        if (!n || n->kind != Node::Kind::object) return false;
        const Node* use = n->member("use");
        if (!use) {
            fill_half(*n, which);
            places_.push_back({{}, below({}, key), which, n});
            return true;
        }
        const Result<std::string> text = find_(use->text, which);
        if (!text) {
            out_.complaints.push_back({{}, below(below({}, key), "use"), use->line, use->column, Severity::error, "half_not_found",
                {{"use", use->text}, {"why", text.error().code}}, {}});
            return false;
        }
        const std::string file = use->text + (which == Half::unit ? ".unit.json" : ".installation.json");
        const Node* other = document(*text, file, {});
        if (!other) return false;
        take(*other, which, file);
        return true;
    }

    void take(const Node& root, Half which, const std::string& file)
    {
        check_.document(which == Half::unit ? unit_shape() : installation_shape(), root, file);
        fill_half(root, which);
        places_.push_back({file, {}, which, &root});
    }

    void fill_half(const Node& n, Half which)
    {
        if (which == Half::unit)
            fill_object(unit_shape(), &out_.profile.unit, n);
        else {
            fill_object(installation_shape(), &out_.profile.installation, n);
            add_wiring_causes(out_.profile.installation);
        }
    }

    void finish()
    {
        name_codes(out_.profile.unit);
        for (const std::string& c : out_.profile.unit.channels) check_.declare("channel", c);
        if (!half_only_) check_.finish();
        for (const Document& d : places_)
            place(d.half == Half::unit ? lint_unit(out_.profile) : lint_installation(out_.profile), *d.root, d.file, d.pointer);
    }

    void place(Complaints list, const Node& root, const std::string& file, const std::string& above)
    {
        for (Objection& c : list) {
            const Node& at = locate(root, c.pointer);
            c.file = file;
            c.pointer = above + c.pointer;
            c.line = at.line;
            c.column = at.column;
            out_.complaints.push_back(std::move(c));
        }
    }

    // Enumerations written in place get a name of their own, so that the rest knows one kind only.
    static void name_codes(Unit& unit)
    {
        for (Frame& frame : unit.frames) name_codes(unit, frame.fields, frame.name);
    }
    static void name_codes(Unit& unit, std::vector<Field>& fields, const std::string& above)
    {
        for (Field& f : fields) {
            const std::string name = above + "." + f.name;
            if (!f.codes.empty()) {
                unit.enums[name] = f.codes;
                f.enumeration = name;
            }
            name_codes(unit, f.fields, name);
        }
    }

    void complain_syntax(const Problem& p, const std::string& file, const std::string& pointer)
    {
        Objection c{file, pointer, 0, 0, Severity::error, p.code, {}, {}};
        for (const auto& [name, value] : p.args) {
            int* number = name == "line" ? &c.line : name == "column" ? &c.column : nullptr;
            if (number)
                std::from_chars(value.data(), value.data() + value.size(), *number);
            else
                c.args.emplace_back(name, value);
        }
        out_.complaints.push_back(std::move(c));
    }

    LoadOutcome& out_;
    const FindHalf& find_;
    ShapeCheck check_;
    std::vector<std::unique_ptr<Node>> kept_;
    std::vector<Document> places_;
    bool half_only_ = false;
};

} // namespace

LoadOutcome load(std::string_view text, const FindHalf& find_half)
{
    LoadOutcome out;
    Loading(out, find_half).run(text);
    return out;
}

LoadOutcome load(std::string_view text, const std::function<Result<std::string>(const std::string&)>& find_half)
{
    return load(text, FindHalf([&](const std::string& id, Half) { return find_half(id); }));
}

LoadOutcome load_half(std::string_view text, Half half)
{
    LoadOutcome out;
    const FindHalf none = [](const std::string& id, Half) -> Result<std::string> { return fail("not_found", id); };
    Loading(out, none).run_half(text, half);
    return out;
}

} // namespace chockside::profile
