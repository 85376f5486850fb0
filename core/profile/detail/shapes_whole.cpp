// The two halves together: the installation's collections, and the document.
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_installation.h>
#include <core/profile/detail/shapes_unit.h>

namespace chockside::profile::detail {

namespace {

using Pair = std::pair<std::string, std::vector<std::string>>;

const Shape& test_plug_shape()
{
    static const Shape shape = Table<Pair>("test plug", "Where a channel is reached.")
        .key("where", &Pair::first, text_type(), "Where it is.").needed()
        .key("fed_by", &Pair::second, list_type(reference_type({"breaker"})), "Breakers that feed the channel.")
        .done();
    return shape;
}

template <class T>
Type items(const char* declares)
{
    return map_type(object_type(shape_of<T>), declares);
}

template <class T>
Type listed(const char* declares)
{
    return list_type(object_type(shape_of<T>, declares), 0, 2000);
}

} // namespace

void read(Pair& out, const Node& n)
{
    fill_object(test_plug_shape(), &out, n);
}

template <> const Shape& shape_of<Unit>() { return unit_shape(); }
template <> const Shape& shape_of<Installation>() { return installation_shape(); }

namespace {

const Shape& use_shape()
{
    static const Shape shape = Table<Profile>("use", "A half that stands in a file of its own, beside this one.")
        .with("use", text_type(), "Id of the half.", [](Profile&, const Node&) {}).needed()
        .with("revision", whole_type(0, 1e9), "Revision that is meant.", [](Profile&, const Node&) {})
        .with("sha256", text_type(), "Digest of its bytes.", [](Profile&, const Node&) {})
        .done();
    return shape;
}

} // namespace

} // namespace chockside::profile::detail

namespace chockside::profile {

using namespace detail;

const Shape& installation_shape()
{
    static const Shape shape = Table<Installation>("installation", "One aircraft type: breakers, harness, steps, causes, checks, owed work.")
        .key("id", &Installation::id, text_type(), "Its id.").needed()
        .key("aircraft_type", &Installation::aircraft_type, text_type(), "The type.").needed()
        .key("complaints", &Installation::complaints, items<profile::Complaint>("complaint"), "Kinds of write-up.")
        .key("test_plugs", &Installation::test_plugs, map_type(object_type(test_plug_shape)), "By channel: where the serial line is reached.")
        .key("breakers", &Installation::breakers, items<Breaker>("breaker"), "Circuit breakers.")
        .key("plugs", &Installation::plugs, items<Plug>("plug"), "Connectors that may come off.")
        .key("panels", &Installation::panels, items<Panel>("panel"), "Panels and doors.")
        .key("temporaries", &Installation::temporaries, items<Temporary>("temporary"), "What must be away again.")
        .key("places", &Installation::places, listed<Place>("place"), "The harness from sensor to unit, in order.")
        .key("wires", &Installation::wires, listed<Wire>("wire"), "The wiring table.")
        .key("cautions", &Installation::cautions, list_type(object_type(shape_of<Hazard>)), "Read before any work.")
        .key("steps", &Installation::steps, listed<Step>("step"), "Steps, in order.")
        .key("causes", &Installation::causes, items<Cause>("cause"), "What can be at fault.")
        .key("wiring_causes", &Installation::wiring_causes, items<WiringCause>("wiring_cause"), "How wires and contacts fail: a cause for each place of the wiring table.")
        .key("checks", &Installation::checks, items<Check>("check"), "Questions that tell causes apart.")
        .key("gates", &Installation::gates, items<Gate>("gate"), "What must be known before an advice.")
        .key("repairs", &Installation::repairs, items<Repair>("repair"), "What puts causes right.")
        .key("owed", &Installation::owed, listed<Owed>("owed"), "Work that acts raise.")
        .key("swing", &Installation::swing, object_type(shape_of<Swing>), "How the compass is swung.")
        .key("decision", &Installation::decision, object_type(shape_of<Decision>), "What wrong decisions cost.")
        .key("expected", &Installation::expected, map_type(list_type(text_type(), 1, 100)), "By \"frame.field\": values of a right configuration.")
        .key("tolerances", &Installation::tolerances, items<Tolerance>("tolerance"), "Limits from the installation's data.")
        .key("required_inspections", &Installation::required_inspections, list_type(reference_type({"step", "owed", "check", "repair"})),
            "What another person must see.")
        .done();
    return shape;
}

const Shape& profile_shape()
{
    static const Shape shape = Table<Profile>("profile", "A unit in an aircraft type.")
        .key("format", &Profile::format, whole_type(1, 1000000), "Format of this document: 1.").needed()
        .key("id", &Profile::id, text_type(), "Its id.").needed()
        .key("revision", &Profile::revision, whole_type(0, 1e9), "Rises with every change.")
        .key("practice", &Profile::practice, boolean_type(), "For the practice world only.")
        .key("title", &Profile::title, says_type(), "Its name for people.")
        .key("sources", &Profile::sources, map_type(object_type(source_document_shape), "source"), "Documents it was written from.")
        .key("needs", &Profile::needs, list_type(text_type(), 0, 32), "Abilities without which it cannot be used.")
        .with("unit", either_type({object_type(use_shape), object_type(unit_shape)}), "The unit half, or where it is.", [](Profile&, const Node&) {})
        .needed()
        .with("installation", either_type({object_type(use_shape), object_type(installation_shape)}), "The installation half, or where it is.",
            [](Profile&, const Node&) {})
        .needed()
        .done();
    return shape;
}

} // namespace chockside::profile
