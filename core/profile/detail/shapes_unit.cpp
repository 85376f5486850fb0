// The unit half but its frames: timings, line, framing, session, what self-test bits and stored codes say.
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_unit.h>

namespace chockside::profile::detail {

const Shape& source_ref_shape()
{
    static const Shape shape = Table<SourceRef>("source reference", "Where a statement is written.")
        .key("source", &SourceRef::source, reference_type({"source"}), "Id of the document.").needed()
        .key("at", &SourceRef::at, text_type(), "Paragraph, table or step.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<SourceRef>()
{
    return source_ref_shape();
}

const Shape& source_document_shape()
{
    static const Shape shape = Table<SourceDocument>("source", "A document that the profile was written from.")
        .key("document", &SourceDocument::document, text_type(), "Its name.").needed()
        .key("revision", &SourceDocument::revision, text_type(), "Its revision.").needed()
        .done();
    return shape;
}

template <>
const Shape& shape_of<SourceDocument>()
{
    return source_document_shape();
}

const Shape& said_shape()
{
    static const Shape shape = Table<Said>("meaning", "What a self-test bit or a stored code says.")
        .key("id", &Said::id, text_type(), "Its id; self-test bits have theirs as the key.")
        .key("says", &Said::says, says_type(), "In words.").needed()
        .key("points_at", &Said::points_at, list_type(text_type()), "Causes it speaks for; the installation's likelihoods decide.")
        .key("ref", &Said::ref, object_type(source_ref_shape), "Where it is written.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Said>()
{
    return said_shape();
}

template <>
const std::vector<std::pair<std::string, Framing::Kind>>& words_of<Framing::Kind>()
{
    using K = Framing::Kind;
    static const std::vector<std::pair<std::string, K>> words{
        {"slip", K::slip}, {"cobs", K::cobs}, {"lines", K::lines}, {"length_prefixed", K::length_prefixed}, {"fixed", K::fixed},
        {"gap", K::gap}};
    return words;
}

namespace {

const Shape& settle_shape()
{
    static const Shape shape = Table<SettleRule>("settle", "When a word is steady.")
        .key("of", &SettleRule::word, reference_type({"word"}), "The word.").needed()
        .key("window_s", &SettleRule::window_s, real_type(0.1, 3600), "Length of the window.").needed()
        .key("slope_max", &SettleRule::slope_max, real_type(0, 1e6), "Units of the word per second.").needed()
        .key("scatter_max", &SettleRule::scatter_max, real_type(0, 1e6), "Standard deviation in units of the word.").needed()
        .key("confidence", &SettleRule::confidence, real_type(0.5, 0.9999), "With what confidence both are below.")
        .done();
    return shape;
}

const Shape& timings_shape()
{
    static const Shape shape = Table<Timings>("timings", "How long the unit takes.")
        .with("self_test_s", list_type(real_type(0, 3600), 2, 2), "Shortest and longest power-up test.",
            [](Timings& t, const Node& n) {
                if (n.items.size() != 2) return;
                read(t.self_test_min_s, n.items[0]);
                read(t.self_test_max_s, n.items[1]);
            })
        .needed()
        .key("alignment_s", &Timings::alignment_s, real_type(0, 86400), "Alignment at rest, from the end of the test.")
        .key("warm_up_s", &Timings::warm_up_s, real_type(0, 86400), "Warm-up, from the end of the test.").needed()
        .key("settle", &Timings::settle, object_type(settle_shape), "When a reading may be taken.")
        .done();
    return shape;
}

const Shape& line_shape()
{
    static const Shape shape = Table<Line>("line", "The serial line.")
        .key("rate", &Line::rate, whole_type(50, 4000000), "Bits a second.").needed()
        .key("data_bits", &Line::data_bits, whole_type(5, 8), "Data bits.")
        .key("parity", &Line::parity, words_type({"none", "odd", "even", "mark", "space"}), "Parity.")
        .key("stop_bits", &Line::stop_bits, real_type(1, 2), "Stop bits: 1, 1.5 or 2.")
        .key("dtr", &Line::dtr, words_type({"on", "off"}), "Data terminal ready.")
        .key("rts", &Line::rts, words_type({"on", "off"}), "Request to send.")
        .key("reply_ms", &Line::reply_ms, whole_type(1, 60000), "Longest wait for a reply.")
        .key("silence_ms", &Line::silence_ms, whole_type(1, 600000), "Silence that means the unit is gone.")
        .done();
    return shape;
}

const Shape& crc_shape()
{
    static const Shape shape = Table<framing::CrcParameters>("crc", "A CRC by the parameters that the public catalogue uses.")
        .key("width", &framing::CrcParameters::width, whole_type(3, 128), "Bits.").needed()
        .key("poly", &framing::CrcParameters::poly, wide_code_type(), "Polynomial without its highest term.").needed()
        .key("init", &framing::CrcParameters::init, wide_code_type(), "Register at the start.").needed()
        .key("refin", &framing::CrcParameters::reflect_in, boolean_type(), "Bytes enter lowest bit first.").needed()
        .key("refout", &framing::CrcParameters::reflect_out, boolean_type(), "The register is turned round at the end.").needed()
        .key("xorout", &framing::CrcParameters::xor_out, wide_code_type(), "Exclusive-or at the end.").needed()
        .done();
    return shape;
}

void read_crc(Checksum& c, const Node& n)
{
    c.kind = Checksum::Kind::crc;
    if (n.kind == Node::Kind::object) {
        c.crc = {"by parameters", 16, 0, 0, false, false, 0};
        fill_object(crc_shape(), &c.crc, n);
    } else if (const auto known = framing::crc_by_name(n.text)) {
        c.crc = *known;
    }
}

void read_sum(Checksum& c, const Node& n)
{
    using K = Checksum::Kind;
    c.kind = n.text == "xor8" ? K::xor8 : n.text == "sum16" ? K::sum16 : n.text == "sum8_zero" ? K::sum8_zero : K::sum8;
}

const Shape& checksum_shape()
{
    static const Shape shape = Table<Checksum>("checksum", "The check over a frame from its first byte (its selector included) to the check itself; of a line, from behind the start character.")
        .with("crc", either_type({words_type(framing::crc_names()), object_type(crc_shape)}), "A CRC by its name in the public catalogue, or by its parameters.", read_crc)
        .with("sum", words_type({"xor8", "sum8", "sum8_zero", "sum16"}), "Exclusive-or, sum modulo 256, what makes the sum 0, or sum modulo 65536.", read_sum)
        .with("place", words_type({"last"}), "Where it stands.", [](Checksum&, const Node&) {})
        .key("order", &Checksum::order, enum_type<Order>(), "Its byte order.")
        .with("from", whole_type(0, 255), "Bytes at the start that it does not cover.",
            [](Checksum& c, const Node& n) { c.from = static_cast<std::size_t>(code_of(n).value_or(0)); })
        .with("mark", text_type(), "Lines: the character before its digits, \"*\" if not told; \"\": none.",
            [](Checksum& c, const Node& n) { c.mark = n.text.empty() ? '\0' : n.text.front(); })
        .done();
    return shape;
}

void read_select(Framing& f, const Node& n)
{
    static const std::map<std::string, int> bytes{{"u8", 1}, {"u16", 2}, {"u24", 3}, {"u32", 4}};
    const auto found = bytes.find(n.text);
    f.select_none = n.text == "none";
    f.select_bytes = found == bytes.end() ? 0 : found->second;
}

std::string line_end(const std::string& told)
{
    return told == "crlf" ? "\r\n" : told == "cr" ? "\r" : told == "lf" ? "\n" : told == "etx" ? "\x03" : told.substr(0, 1);
}

const Shape& select_shape()
{
    static const Shape shape = Table<Framing>("select", "The field that tells frames apart.")
        .key("name", &Framing::select_name, text_type(), "Its name.")
        .with("type", words_type({"none", "u8", "u16", "u24", "u32", "text"}), "Its type; text for lines.",
            read_select)
        .needed()
        .key("at", &Framing::select_at, whole_type(0, 255), "Its offset, if it does not follow sync pattern and length; fields before it are placed by \"at\".")
        .done();
    return shape;
}

template <char Framing::* member>
void read_character(Framing& f, const Node& n)
{
    if (n.text.size() == 1) f.*member = n.text.front();
}

const Shape& framing_shape()
{
    static const Shape shape = Table<Framing>("framing", "How frames stand on the line.")
        .key("kind", &Framing::kind, enum_type<Framing::Kind>(), "SLIP (RFC 1055), COBS, text lines, a carried length, a fixed length, or silence between frames.").needed()
        .with("max_bytes", whole_type(4, 60000), "Longest frame with its check, without escapes.",
            [](Framing& f, const Node& n) { f.max_bytes = static_cast<std::size_t>(code_of(n).value_or(0)); })
        .needed()
        .key("checksum", &Framing::checksum, object_type(checksum_shape), "The check; left out: none.")
        .key("order", &Framing::order, enum_type<Order>(), "Byte order of all numbers.")
        .with("select", object_type(select_shape), "What tells frames apart.", [](Framing& f, const Node& n) { fill_object(select_shape(), &f, n); })
        .needed()
        .with("start", text_type(), "Lines: the first character of a sentence.", read_character<&Framing::start>)
        .with("split", text_type(), "Lines: the character between fields.", read_character<&Framing::split>)
        .with("end", text_type(), "Lines: what ends one: crlf, cr, lf, etx, or a character.", [](Framing& f, const Node& n) { f.end = line_end(n.text); })
        .key("sync", &Framing::sync, text_type(), "Fixed or carried length: the bytes that start a frame, in hexadecimal.")
        .with("fixed_bytes", whole_type(1, 60000), "Fixed length: the whole frame.",
            [](Framing& f, const Node& n) { f.fixed_bytes = static_cast<std::size_t>(code_of(n).value_or(0)); })
        .with("length_at", whole_type(0, 255), "Carried length: offset of the length field.",
            [](Framing& f, const Node& n) { f.length_at = static_cast<std::size_t>(code_of(n).value_or(0)); })
        .key("length_bytes", &Framing::length_bytes, whole_type(1, 4), "Carried length: its size.")
        .key("length_order", &Framing::length_order, enum_type<Order>(), "Carried length: its byte order, if not that of the numbers.")
        .key("length_adds", &Framing::length_adds, whole_type(-255, 255), "Carried length: whole frame less the length field.")
        .key("tail", &Framing::tail, text_type(), "Fixed bytes behind the check, in hexadecimal; of no use to lines.")
        .key("gap_ms", &Framing::gap_ms, real_type(0.1, 10000), "Silence: how long it is at least.")
        .done();
    return shape;
}

const Shape& keep_alive_shape()
{
    static const Shape shape = Table<Session>("keep_alive", "What keeps a session open.")
        .key("request", &Session::keep_alive, reference_type({"request"}), "Sent again and again.").needed()
        .key("every_s", &Session::every_s, real_type(0.1, 3600), "How often.").needed()
        .key("lost_after_s", &Session::lost_after_s, real_type(0.1, 3600), "Without it, the unit ends the session after this time.").needed()
        .done();
    return shape;
}

const Shape& refused_shape()
{
    static const Shape shape = Table<Session>("refused", "How the unit refuses.")
        .key("by", &Session::refused_by, reference_type({"frame"}), "The frame that refuses.").needed()
        .key("why", &Session::refused_why, text_type(), "Its field with the reason.").needed()
        .key("mend", &Session::mend, map_type(text_type()), "By reason: step:..., wait, or profile.")
        .done();
    return shape;
}

const Shape& session_shape()
{
    static const Shape shape = Table<Session>("session", "The ground-test session.")
        .key("enter", &Session::enter, reference_type({"request"}), "Opens it.").needed()
        .with("keep_alive", object_type(keep_alive_shape), "Keeps it.", [](Session& s, const Node& n) { fill_object(keep_alive_shape(), &s, n); })
        .key("leave", &Session::leave, reference_type({"request"}), "Ends it.").needed()
        .with("refused", object_type(refused_shape), "How it is refused.", [](Session& s, const Node& n) { fill_object(refused_shape(), &s, n); })
        .done();
    return shape;
}

// "frame:fault_page.fault" -> frame and group or field.
void split_place(const Node& n, std::string& frame, std::string& part)
{
    const std::string name = bare(n.text);
    const std::size_t dot = name.find('.');
    frame = name.substr(0, dot);
    part = dot == std::string::npos ? "" : name.substr(dot + 1);
}

const Shape& faults_shape()
{
    static const Shape shape = Table<StoredFaults>("faults", "Stored fault codes.")
        .with("from", reference_type({"frame"}), "frame:FRAME.GROUP where they come.",
            [](StoredFaults& f, const Node& n) { split_place(n, f.frame, f.group); })
        .needed()
        .key("code", &StoredFaults::code_field, text_type(), "Field of the group with the code.").needed()
        .key("table", &StoredFaults::table, numbered_map(object_type(said_shape)), "What each code says.").needed()
        .done();
    return shape;
}

const Shape& discrete_shape()
{
    static const Shape shape = Table<Discrete>("discrete", "A bit that is a wire of the unit.")
        .with("from", reference_type({"frame"}), "frame:FRAME.FIELD with the bit.",
            [](Discrete& d, const Node& n) { split_place(n, d.from_frame, d.from_field); })
        .needed()
        .key("signal", &Discrete::signal, text_type(), "Name of the bit, if not the discrete's own.")
        .key("pin", &Discrete::pin, text_type(), "Connector and pin.")
        .key("0", &Discrete::when_0, says_type(), "What 0 means.").needed()
        .key("1", &Discrete::when_1, says_type(), "What 1 means.").needed()
        .done();
    return shape;
}

} // namespace

template <> const Shape& shape_of<SettleRule>() { return settle_shape(); }
template <> const Shape& shape_of<Timings>() { return timings_shape(); }
template <> const Shape& shape_of<Line>() { return line_shape(); }
template <> const Shape& shape_of<Checksum>() { return checksum_shape(); }
template <> const Shape& shape_of<Framing>() { return framing_shape(); }
template <> const Shape& shape_of<Session>() { return session_shape(); }
template <> const Shape& shape_of<StoredFaults>() { return faults_shape(); }
template <> const Shape& shape_of<Discrete>() { return discrete_shape(); }

} // namespace chockside::profile::detail

namespace chockside::profile {

using namespace detail;

const Shape& unit_shape()
{
    static const Shape shape = Table<Unit>("unit", "What the box says and how; written once for a type of unit.")
        .key("id", &Unit::id, text_type(), "Its id.").needed()
        .key("kind", &Unit::kind, words_type({"attitude_heading_reference", "air_data_computer", "magnetic_sensor", "other"}), "What it is.").needed()
        .key("channels", &Unit::channels, list_type(text_type(), 1, 4), "Its channels, \"ch1\", \"ch2\"...").needed()
        .key("timings", &Unit::timings, object_type(timings_shape), "Test, alignment and warm-up.").needed()
        .key("line", &Unit::line, object_type(line_shape), "The serial line.").needed()
        .key("framing", &Unit::framing, object_type(framing_shape), "How frames stand on it.").needed()
        .key("enums", &Unit::enums, map_type(numbered_map(text_type()), "enum"), "Named lists of codes.")
        .key("frames", &Unit::frames, map_type(object_type(frame_shape), "frame"), "What the unit sends.").needed()
        .key("words", &Unit::words, map_type(object_type(word_shape), "word"), "ARINC 429 words inside frames.")
        .key("requests", &Unit::requests, map_type(object_type(request_shape), "request"), "What may be asked.")
        .key("session", &Unit::session, object_type(session_shape), "The ground-test session.")
        .key("self_test", &Unit::self_test, map_type(object_type(said_shape), "self_test"), "What the self-test bits say.")
        .key("faults", &Unit::faults, object_type(faults_shape), "What the stored codes say.")
        .key("discretes", &Unit::discretes, map_type(object_type(discrete_shape), "discrete"), "Bits that are wires.")
        .done();
    return shape;
}

} // namespace chockside::profile
