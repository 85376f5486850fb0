// The installation's things: breakers, plugs, panels, harness, tolerances, owed work.
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_installation.h>
#include <core/profile/detail/shapes_unit.h>

namespace chockside::profile::detail {

template <>
const Shape& shape_of<Hazard>()
{
    static const Shape shape = Table<Hazard>("hazard", "What must be read before an act.")
        .key("word", &Hazard::word, words_type({"WARNING", "CAUTION", "NOTE"}), "WARNING: injury; CAUTION: damage; NOTE.").needed()
        .key("says", &Hazard::says, says_type(), "In words.").needed()
        .done();
    return shape;
}

template <>
const Shape& shape_of<Breaker>()
{
    static const Shape shape = Table<Breaker>("breaker", "A circuit breaker.")
        .key("label", &Breaker::label, text_type(), "As it is lettered.").needed()
        .key("panel", &Breaker::panel, text_type(), "Panel and place.").needed()
        .key("bus", &Breaker::bus, text_type(), "The bus that feeds it.").needed()
        .key("normal", &Breaker::normal, words_type({"in", "pulled", "collared"}), "Its state in a serviceable aircraft.")
        .key("feeds", &Breaker::feeds, list_type(text_type()), "channel:ch1, plug:p9, or a free name.")
        .key("also_feeds", &Breaker::also_feeds, says_type(), "What else dies with it.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Plug>()
{
    static const Shape shape = Table<Plug>("plug", "A connector that may be taken off.")
        .key("label", &Plug::label, text_type(), "As it is marked.").needed()
        .key("where", &Plug::where, text_type(), "Where it is.")
        .key("panel", &Plug::panel, reference_type({"panel"}), "The panel that opens it; left out: open access.")
        .key("fed_by", &Plug::fed_by, list_type(reference_type({"breaker"})), "Breakers that must be out before it comes off.")
        .key("dead_points", &Plug::dead_points, text_type(), "Where to prove it dead.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Panel>()
{
    static const Shape shape = Table<Panel>("panel", "A panel or door.")
        .key("label", &Panel::label, text_type(), "Its name.").needed()
        .key("access", &Panel::access, words_type({"K", "O", "B", "F", "P", "G"}), "Kind of access.")
        .key("minutes", &Panel::minutes, real_type(0, 10000), "Opening and closing together.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Temporary>()
{
    static const Shape shape = Table<Temporary>("temporary", "Something that must be away again before closing.")
        .key("label", &Temporary::label, text_type(), "Its name.").needed()
        .key("kind", &Temporary::kind, words_type({"cable", "breakout", "cover", "jumper", "switch", "session", "tool", "display", "collar", "cart"}), "What it is.").needed()
        .key("at", &Temporary::at, text_type(), "Where it goes.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Place>()
{
    static const Shape shape = Table<Place>("place", "A place along the harness, from sensor to unit.")
        .key("id", &Place::id, text_type(), "Its id.").needed()
        .key("label", &Place::label, text_type(), "As it is marked.").needed()
        .key("where", &Place::where, text_type(), "Where it is.")
        .key("kind", &Place::kind, words_type({"sensor", "connector", "segment", "unit"}), "What it is.").needed()
        .done();
    return shape;
}

template <>
const Shape& shape_of<Wire>()
{
    static const Shape shape = Table<Wire>("wire", "A wire.")
        .key("id", &Wire::id, text_type(), "Its number.").needed()
        .key("net", &Wire::net, text_type(), "The net it belongs to.").needed()
        .key("from", &Wire::from, text_type(), "Plug and pin.").needed()
        .key("to", &Wire::to, text_type(), "Plug and pin.").needed()
        .key("segment", &Wire::segment, reference_type({"place"}), "The stretch of harness it lies in.")
        .key("gauge", &Wire::gauge, whole_type(0, 40), "Gauge (AWG).")
        .key("length_m", &Wire::length_m, real_type(0, 1000), "Length.")
        .key("shielded", &Wire::shielded, boolean_type(), "Whether it is shielded.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Owed>()
{
    static const Shape shape = Table<Owed>("owed work", "Work that an act raises.")
        .key("id", &Owed::id, text_type(), "Its id.").needed()
        .key("act", &Owed::act, text_type(), "The act.").needed()
        .key("says", &Owed::says, says_type(), "What is owed.").needed()
        .key("rule", &Owed::rule, text_type(), "The regulation or data that asks for it.")
        .key("who", &Owed::who, text_type(), "Who may do it.")
        .key("prove", &Owed::prove, text_type(), "check:ID, swing, or ask:ID.")
        .key("regulation", &Owed::regulation, boolean_type(), "Asked for by regulation: a profile may add such, never drop them.")
        .key("needs", &Owed::needs, object_type(condition_shape), "What must be so while it is proved.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Swing>()
{
    static const Shape shape = Table<Swing>("swing", "How the compass is swung.")
        .key("word", &Swing::word, reference_type({"word", "frame"}), "The word, or the field of a frame, that is compared.").needed()
        .key("headings", &Swing::headings, whole_type(4, 72), "How many headings.")
        .key("tolerance_deg", &Swing::tolerance_deg, real_type(0.01, 90), "From the installation's data; left out: no tolerance is stated.")
        .key("ref", &Swing::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<profile::Complaint>()
{
    static const Shape shape = Table<profile::Complaint>("complaint", "A kind of write-up.")
        .key("says", &profile::Complaint::says, says_type(), "In words.").needed()
        .key("misleading", &profile::Complaint::misleading, boolean_type(), "Wrong data with no flag.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Decision>()
{
    static const Shape shape = Table<Decision>("decision", "What wrong decisions cost, in minutes of work.")
        .key("threshold", &Decision::threshold, real_type(0.5, 1), "Probability from which a finding may be advised.")
        .key("wrong_removal_min", &Decision::wrong_removal_min, real_type(0, 1e6), "A good part removed.")
        .key("missed_min", &Decision::missed_min, real_type(0, 1e6), "A fault sent back into service.")
        .key("misleading_min", &Decision::misleading_min, real_type(0, 1e7), "The same, where data mislead without a flag.")
        .key("deferral_min", &Decision::deferral_min, real_type(0, 1e6), "Putting it off.")
        .key("pair_odds", &Decision::pair_odds, real_type(0, 1), "Prior odds of two causes at once against one.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Tolerance>()
{
    static const Shape shape = Table<Tolerance>("tolerance", "Limits from the installation's data.")
        .key("id", &Tolerance::id, text_type(), "Its id, where it stands in a list.")
        .key("unit", &Tolerance::unit, text_type(), "Unit of the limits.").needed()
        .key("low", &Tolerance::low, any_real(), "Lower limit.").needed()
        .key("high", &Tolerance::high, any_real(), "Upper limit.").needed()
        .key("ref", &Tolerance::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

} // namespace chockside::profile::detail
