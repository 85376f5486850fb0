// Steps, causes, checks, gates and repairs.
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_installation.h>
#include <core/profile/detail/shapes_unit.h>

namespace chockside::profile {

namespace {

const std::vector<std::pair<std::string, CauseClass>>& classes()
{
    using C = CauseClass;
    static const std::vector<std::pair<std::string, C>> words{{"unit", C::unit}, {"sensor", C::sensor}, {"wiring", C::wiring}, {"contact", C::contact},
        {"supply", C::supply}, {"configuration", C::configuration}, {"installation", C::installation}, {"pneumatic", C::pneumatic},
        {"display", C::display}, {"aiding", C::aiding}, {"place", C::place}, {"operation", C::operation}, {"test_setup", C::test_setup},
        {"none", C::none}, {"unlisted", C::unlisted}};
    return words;
}

} // namespace

const char* name_of(CauseClass c)
{
    for (const auto& [word, value] : classes())
        if (value == c) return word.c_str();
    return "";
}

std::optional<CauseClass> cause_class_of(const std::string& name)
{
    for (const auto& [word, value] : classes())
        if (word == name) return value;
    return std::nullopt;
}

} // namespace chockside::profile

namespace chockside::profile::detail {

template <>
const std::vector<std::pair<std::string, CauseClass>>& words_of<CauseClass>()
{
    return classes();
}

template <>
const std::vector<std::pair<std::string, StepKind>>& words_of<StepKind>()
{
    using K = StepKind;
    static const std::vector<std::pair<std::string, K>> words{{"do", K::do_}, {"pull_breaker", K::pull_breaker}, {"push_breaker", K::push_breaker},
        {"connect", K::connect}, {"disconnect", K::disconnect}, {"fit", K::fit}, {"remove", K::remove}, {"open_panel", K::open_panel},
        {"close_panel", K::close_panel}, {"prove_dead", K::prove_dead}, {"power_on", K::power_on}, {"power_off", K::power_off}, {"wait", K::wait},
        {"settle", K::settle}, {"read", K::read}, {"check", K::check}, {"measure", K::measure}, {"photo", K::photo}, {"call", K::call},
        {"swing", K::swing}, {"sign", K::sign}, {"session_open", K::session_open}, {"session_close", K::session_close}, {"link_open", K::link_open}};
    return words;
}

template <>
const std::vector<std::pair<std::string, Check::How>>& words_of<Check::How>()
{
    using H = Check::How;
    static const std::vector<std::pair<std::string, H>> words{{"ask", H::ask}, {"number", H::number}, {"discrete_watch", H::discrete_watch},
        {"self_test", H::self_test}, {"stored_fault", H::stored_fault}, {"word_number", H::word_number}, {"flex", H::flex}, {"page", H::page}};
    return words;
}

namespace {

Type stage_type()
{
    return words_type({"write_up", "as_found", "make_ready", "isolate", "put_right", "prove", "close"});
}

Type hazards()
{
    return list_type(object_type(shape_of<Hazard>), 0, 32);
}

const Shape& normal_shape()
{
    static const Shape shape = Table<CheckRow>("number density", "How a measured number falls.")
        .with("normal", list_type(any_real(), 2, 2), "Mean and standard deviation.", [](CheckRow&, const Node&) {})
        .with("lognormal", list_type(real_type(1e-12, 1e12), 2, 2), "Median and factor.", [](CheckRow&, const Node&) {})
        .done();
    return shape;
}

std::optional<Density> density(const Node& n)
{
    Density d;
    const Node* pair = n.member("normal");
    if (!pair) {
        pair = n.member("lognormal");
        d.kind = Density::Kind::lognormal;
    }
    if (!pair || pair->items.size() != 2) return std::nullopt;
    read(d.a, pair->items[0]);
    read(d.b, pair->items[1]);
    return d;
}

Type rows()
{
    Type t = map_type(either_type({list_type(real_type(0, 1), 1, 16), object_type(normal_shape)}));
    return t;
}

} // namespace

void read(std::vector<CheckRow>& out, const Node& n)
{
    for (const Member& m : n.members) {
        CheckRow row;
        row.of = m.key.starts_with("cause:") ? bare(m.key) : m.key;
        read(row.outcomes, m.value);
        if (m.value.kind == Node::Kind::object) {
            row.outcomes.clear();
            row.number = density(m.value);
        }
        out.push_back(std::move(row));
    }
}

template <>
const Shape& shape_of<Step>()
{
    static const Shape shape = Table<Step>("step", "Something that the technician does.")
        .key("id", &Step::id, text_type(), "Its id.").needed()
        .key("stage", &Step::stage, stage_type(), "The stage it belongs to; left out inside a repair.")
        .key("kind", &Step::kind, enum_type<StepKind>(), "What kind of act.").needed()
        .with("of", reference_type({"breaker", "plug", "temporary", "panel", "check", "channel", "request", "word", "frame", "place"}),
            "What it acts on.", [](Step& s, const Node& n) { s.of = bare(n.text); })
        .key("say", &Step::say, says_type(), "What the technician reads.").needed()
        .key("needs", &Step::needs, object_type(condition_shape), "What must be so before.")
        .key("before", &Step::before, hazards(), "What must be read before.")
        .key("critical", &Step::critical, boolean_type(), "Another person may have to see it.")
        .key("wait_for", &Step::wait_for, words_type({"self_test", "aligned", "warm_up"}), "Waits: for what.")
        .key("ref", &Step::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Cause>()
{
    static const Shape shape = Table<Cause>("cause", "Something that can be at fault.")
        .key("cause_class", &Cause::cause_class, enum_type<CauseClass>(), "Its class.").needed()
        .key("at", &Cause::at, reference_type({"place"}), "Where along the harness.")
        .key("weight", &Cause::weight, real_type(0, 1e6), "Relative prior.").needed()
        .key("weight_by_complaint", &Cause::weight_by_complaint, map_type(real_type(0, 1e6)), "Prior by complaint, where it differs.")
        .key("mode", &Cause::mode, words_type({"hard", "intermittent", "conditional"}), "How it shows.")
        .key("says", &Cause::says, says_type(), "In words.").needed()
        .key("repair", &Cause::repair, reference_type({"repair"}), "What puts it right.")
        .key("ref", &Cause::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<WiringCause>()
{
    static const Shape shape = Table<WiringCause>("wiring cause", "A way in which wires or contacts fail, at each of its places.")
        .key("cause_class", &WiringCause::cause_class, enum_type<CauseClass>(), "Its class.").needed()
        .key("at", &WiringCause::at, list_type(reference_type({"place"}), 1, 64), "The places it can happen at.").needed()
        .key("weight", &WiringCause::weight, real_type(0, 1e6), "Relative prior of all places together: shared by length, or by contacts.").needed()
        .key("weight_by_complaint", &WiringCause::weight_by_complaint, map_type(real_type(0, 1e6)), "Prior by complaint, where it differs.")
        .key("mode", &WiringCause::mode, words_type({"hard", "intermittent", "conditional"}), "How it shows.")
        .key("says", &WiringCause::says, says_type(), "In words; {place} stands for the place's label.").needed()
        .key("repair", &WiringCause::repair, says_type(), "The repair's id; {place} stands for the place's id.")
        .key("ref", &WiringCause::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Check>()
{
    static const Shape shape = Table<Check>("check", "A question that tells causes apart.")
        .key("stage", &Check::stage, stage_type(), "The stage it is asked in.")
        .key("title", &Check::title, says_type(), "Short name.").needed()
        .key("ask", &Check::ask, says_type(), "What is asked of the technician.")
        .key("how", &Check::how, enum_type<Check::How>(), "Where its answer comes from.").needed()
        .key("from", &Check::from, text_type(), "self_test:, fault:, word: or discrete: with an id.")
        .key("outcomes", &Check::outcomes, list_type(text_type(), 2, 16), "The answers.")
        .key("outcome_says", &Check::outcome_says, map_type(says_type()), "The answers in words.")
        .key("unit", &Check::unit, text_type(), "Unit of a number.")
        .key("limits", &Check::limits, range_type(), "Good from, to.")
        .key("meter", &Check::meter, text_type(), "What is measured with.")
        .key("points", &Check::points, list_type(text_type()), "Where the meter goes.")
        .key("minutes", &Check::minutes, real_type(0, 10000), "Own time.")
        .key("people", &Check::people, whole_type(1, 9), "People it takes.")
        .key("panel", &Check::panel, reference_type({"panel"}), "The panel it needs open.")
        .key("needs", &Check::needs, object_type(condition_shape), "What must be so before.")
        .key("disturbs", &Check::disturbs, whole_type(0, 2), "0 nothing, 1 may hide an intermittent, 2 destroys evidence.")
        .key("disturbs_at", &Check::disturbs_at, list_type(reference_type({"place"})), "The places it disturbs.")
        .key("lasting", &Check::lasting, boolean_type(), "What it looks at stays, though the place was disturbed before: a good result keeps its weight.")
        .key("tools", &Check::tools, list_type(text_type(), 0, 8), "Tools it takes.")
        .key("together", &Check::together, map_type(list_type(real_type(0, 1), 2, 16)), "By cause+cause: answers where two at once do more than either.")
        .key("lever", &Check::lever, list_type(words_type({"flex", "wet", "cold", "heat", "load", "power_cycle", "motion"})), "Conditions it forces.")
        .key("given", &Check::given, rows(), "Answers by cause while the fault shows.").needed()
        .key("absent", &Check::absent, rows(), "Answers while it does not.")
        .key("group", &Check::group, text_type(), "Checks of one event count once.")
        .key("proves_fix", &Check::proves_fix, boolean_type(), "May be the failing check that is repeated.")
        .key("repeatable", &Check::repeatable, words_type({"state"}), "Repeats count only after a change of state.")
        .key("before", &Check::before, hazards(), "What must be read before.")
        .key("ref", &Check::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Gate>()
{
    static const Shape shape = Table<Gate>("gate", "What must be known before an advice.")
        .key("says", &Gate::says, says_type(), "In words.").needed()
        .key("needs", &Gate::needs, list_type(reference_type({"check"})), "Checks that must be answered.")
        .key("is", &Gate::is, map_type(list_type(text_type(), 1, 16)), "By check: the answers that satisfy.")
        .key("within", &Gate::within, map_type(range_type()), "By check: the limits that satisfy.")
        .key("any", &Gate::any, boolean_type(), "One of the rows is enough.")
        .key("ways", &Gate::ways, list_type(map_type(list_type(text_type(), 1, 16)), 0, 16), "Whole ways, by check: one met in full is enough.")
        .key("before", &Gate::before, list_type(text_type()), "The advice it guards.")
        .key("complaints", &Gate::complaints, list_type(reference_type({"complaint"}), 0, 64), "It stands for these complaints alone; none: for all.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Repair>()
{
    static const Shape shape = Table<Repair>("repair", "What puts a cause right.")
        .key("say", &Repair::say, says_type(), "In words.").needed()
        .key("act", &Repair::act, text_type(), "The act that raises owed work.")
        .key("steps", &Repair::steps, list_type(object_type(shape_of<Step>)), "Its steps.")
        .key("part_change", &Repair::part_change, boolean_type(), "Part and serial numbers go off and on.")
        .key("part", &Repair::part, text_type(), "The part.")
        .key("before", &Repair::before, hazards(), "What must be read before.")
        .done();
    return shape;
}

} // namespace chockside::profile::detail
