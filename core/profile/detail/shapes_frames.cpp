// Frames, fields and words of the unit half.
#include <core/profile/detail/fill.h>
#include <core/profile/detail/shapes_unit.h>

namespace chockside::profile::detail {

using Kind = Node::Kind;

template <>
const std::vector<std::pair<std::string, FieldType>>& words_of<FieldType>()
{
    using T = FieldType;
    static const std::vector<std::pair<std::string, T>> words{{"u8", T::u8}, {"u16", T::u16}, {"u24", T::u24}, {"u32", T::u32}, {"u40", T::u40},
        {"u48", T::u48}, {"u56", T::u56}, {"u64", T::u64}, {"i8", T::i8}, {"i16", T::i16}, {"i24", T::i24}, {"i32", T::i32}, {"i40", T::i40},
        {"i48", T::i48}, {"i56", T::i56}, {"i64", T::i64}, {"f32", T::f32}, {"f64", T::f64}, {"bcd", T::bcd}, {"text", T::text},
        {"arinc429", T::arinc429}, {"group", T::group}, {"number_text", T::number_text}, {"hex_text", T::hex_text}, {"letter", T::letter}};
    return words;
}

template <>
const std::vector<std::pair<std::string, Order>>& words_of<Order>()
{
    static const std::vector<std::pair<std::string, Order>> words{{"big", Order::big}, {"little", Order::little}};
    return words;
}

template <>
const std::vector<std::pair<std::string, Sign>>& words_of<Sign>()
{
    static const std::vector<std::pair<std::string, Sign>> words{{"two", Sign::two}, {"magnitude", Sign::magnitude}, {"nibble", Sign::nibble}};
    return words;
}

namespace {

const Shape& place_shape()
{
    static const Shape shape = Table<Field>("field place", "Where a field lies.")
        .key("byte", &Field::at_byte, whole_type(0, 60000), "Byte from the start of the frame (of the group), the first is 0.")
        .key("bit", &Field::at_bit, whole_type(0, 63), "Lowest bit within the field's integer, the least significant is 0.")
        .key("width", &Field::bit_width, whole_type(1, 64), "Number of bits; without it all bits above.")
        .done();
    return shape;
}

const Shape& repeat_shape()
{
    static const Shape shape = Table<Field>("repeat", "How often a field comes: one of count and to.")
        .key("count", &Field::repeat_count, text_type(), "An earlier whole-number field of the frame that counts.")
        .with("to", words_type({"end"}), "As often as there is something left.", [](Field& f, const Node&) { f.repeat_to_end = true; })
        .key("most", &Field::repeat_most, whole_type(1, 60000), "No more often than this.")
        .done();
    return shape;
}

const Shape& when_shape()
{
    static const Shape shape = Table<When>("when", "A field that is there only where an earlier field says so: one of is, bit and clear.")
        .key("field", &When::field, text_type(), "The earlier whole-number field.").needed()
        .key("is", &When::is, list_type(code_type(), 1, 256), "Its codes.")
        .key("bit", &When::bit, whole_type(0, 63), "Its bit that is set.")
        .key("clear", &When::clear, whole_type(0, 63), "Its bit that is clear.")
        .done();
    return shape;
}

const Shape& field_shape();

void read_place(Field& f, const Node& n)
{
    if (n.kind == Kind::object)
        fill_object(place_shape(), &f, n);
    else
        read(f.at_byte, n);
}

void read_enum(Field& f, const Node& n)
{
    if (n.kind == Kind::object)
        read(f.codes, n);
    else
        f.enumeration = bare(n.text);
}

const Shape& field_shape()
{
    static const Shape shape = Table<Field>("field", "A field of a frame; fields follow one another unless one says where it lies.")
        .key("name", &Field::name, text_type(), "Lower-case name, with words joined by underscores.")
        .key("type", &Field::type, enum_type<FieldType>(), "How it is coded; a field with fields of its own is a group.")
        .with("at", either_type({whole_type(0, 60000), object_type(place_shape)}), "Where it lies, if not behind the one before.", read_place)
        .key("order", &Field::order, enum_type<Order>(), "Byte order, if not that of the framing.")
        .key("sign", &Field::sign, enum_type<Sign>(), "Two's complement (i8 to i64 are that by themselves), a sign bit, or a BCD sign nibble at the end.")
        .key("scale", &Field::scale, any_real(), "Value of one step in the unit.")
        .key("full_scale", &Field::full_scale, real_type(1e-9, 1e15), "Instead of scale: the value of the sign bit (unsigned: of one more than the largest code), as BNR data are stated.")
        .key("offset", &Field::offset, any_real(), "Value of zero.")
        .key("unit", &Field::unit, text_type(), "Unit of the scaled value.")
        .key("role", &Field::role, words_type({"uptime", "self_test_phase", "page", "pages"}), "What Chockside uses it for besides showing it.")
        .with("enum", either_type({reference_type({"enum"}), numbered_map(text_type())}), "The names of its codes.", read_enum)
        .key("bits", &Field::bits, numbered_map(text_type()), "Names of single bits, the least significant is 0.")
        .key("invalid", &Field::invalid, list_type(code_type()), "Codes that carry no value.")
        .key("range", &Field::range, range_type(), "Lowest and highest value that is believed; of a counting field, the counts allowed.")
        .key("bytes", &Field::bytes, whole_type(1, 4096), "Length of a text, or of a number written as text; with length or ends: the most.")
        .key("length", &Field::length_field, text_type(), "Texts: an earlier whole-number field that counts its bytes.")
        .key("ends", &Field::ends, words_type({"zero", "frame"}), "Texts: it ends with a zero byte, or with the frame.")
        .key("pad", &Field::pad, text_type(), "The character that fills a text up.")
        .key("digits", &Field::digits, whole_type(0, 16), "Digits of a BCD number; decimals of a number sent as text.")
        .with("label", words_type({"wire", "reversed"}), "ARINC words: label bits as on the bus, or already turned to their value.",
            [](Field& f, const Node& n) { f.label_reversed = n.text == "reversed"; })
        .with("repeat", object_type(repeat_shape), "Comes more than once.",
            [](Field& f, const Node& n) { fill_object(repeat_shape(), &f, n); })
        .key("when", &Field::when, object_type(when_shape), "Is there under a condition only.")
        .with("fields", list_type(object_type(field_shape)), "The fields of a group.",
            [](Field& f, const Node& n) {
                f.type = FieldType::group;
                read(f.fields, n);
            })
        .key("show", &Field::show, words_type({"hex"}), "How people see the number.")
        .key("value", &Field::constant, code_type(), "Requests: the fixed value.")
        .key("arg", &Field::arg, text_type(), "Requests: the argument that is sent here.")
        .done();
    return shape;
}

const Shape& bnr_shape()
{
    static const Shape shape = Table<Word>("bnr", "A two's complement word; the sign is one bit above msb.")
        .key("msb", &Word::msb, whole_type(12, 28), "Most significant magnitude bit.").needed()
        .key("lsb", &Word::lsb, whole_type(11, 28), "Least significant bit.").needed()
        .key("full_scale", &Word::full_scale, real_type(1e-9, 1e9), "Value of the sign bit.").needed()
        .done();
    return shape;
}

const Shape& bcd_shape()
{
    static const Shape shape = Table<Word>("bcd", "A decimal word, digits from bit 29 down.")
        .key("digits", &Word::digits, whole_type(1, 5), "Number of digits.").needed()
        .key("scale", &Word::scale, real_type(1e-9, 1e9), "Value of one.").needed()
        .done();
    return shape;
}

void read_label(Word& w, const Node& n)
{
    w.label = -1;
    if (n.text.size() != 3) return;
    int label = 0;
    for (char c : n.text) {
        if (c < '0' || c > '7') return;
        label = label * 8 + (c - '0');
    }
    w.label = label <= 0377 ? label : -1;
}

template <Word::Coding coding, const Shape& (*shape)()>
void read_coding(Word& w, const Node& n)
{
    w.coding = coding;
    fill_object(shape(), &w, n);
}

} // namespace

template <>
const Shape& shape_of<When>()
{
    return when_shape();
}

template <>
const Shape& shape_of<Field>()
{
    return field_shape();
}

const Shape& word_shape()
{
    static const Shape shape = Table<Word>("word", "An ARINC 429 word by label. Exactly one of bnr, bcd and bits.")
        .with("label", text_type(), "Three octal digits, \"320\".", read_label).needed()
        .with("bnr", object_type(bnr_shape), "Two's complement.", read_coding<Word::Coding::bnr, bnr_shape>)
        .with("bcd", object_type(bcd_shape), "Decimal digits.", read_coding<Word::Coding::bcd, bcd_shape>)
        .with("bits", numbered_map(text_type()), "Discrete word: names of bits 11 to 29.",
            [](Word& w, const Node& n) {
                w.coding = Word::Coding::discrete;
                read(w.bits, n);
            })
        .key("unit", &Word::unit, text_type(), "Unit of the value.")
        .key("quantity", &Word::quantity, text_type(), "What it measures: heading_magnetic, pitch, roll, field_horizontal...")
        .key("wraps", &Word::wraps, boolean_type(), "An angle that starts again after a turn; the value is shown from 0 to a turn.")
        .key("period_ms", &Word::period_ms, whole_type(0, 3600000), "How often it comes.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Word>()
{
    return word_shape();
}

namespace {

template <class T>
void read_frame_id(T& f, const Node& n)
{
    if (const auto code = code_of(n))
        f.id = static_cast<std::uint32_t>(*code);
    if (n.kind == Kind::text) f.id_text = n.text;
}

const Shape& send_shape()
{
    static const Shape shape = Table<Request>("send", "What a request sends.")
        .with("id", either_type({code_type(), text_type()}), "The selector of the frame.", read_frame_id<Request>).needed()
        .key("fields", &Request::fields, list_type(object_type(field_shape)), "Fixed values and arguments, in order.")
        .done();
    return shape;
}

const Shape& paging_shape()
{
    static const Shape shape = Table<Paging>("paging", "A reply that comes in pages, one request each.")
        .key("arg", &Paging::arg, text_type(), "The argument that asks for a page.").needed()
        .key("first", &Paging::first, whole_type(0, 255), "Number of the first page.")
        .key("page", &Paging::page, text_type(), "Field of the reply: its page.").needed()
        .key("total", &Paging::total, text_type(), "Field of the reply: how many pages there are.").needed()
        .key("items", &Paging::items, text_type(), "Group of the reply that is collected.").needed()
        .key("most", &Paging::most, whole_type(1, 100000), "No more items than this.")
        .done();
    return shape;
}

} // namespace

template <>
const Shape& shape_of<Paging>()
{
    return paging_shape();
}

template <>
const std::vector<std::pair<std::string, Effect>>& words_of<Effect>()
{
    static const std::vector<std::pair<std::string, Effect>> words{{"read", Effect::read}, {"session", Effect::session}, {"write", Effect::write}};
    return words;
}

const Shape& request_shape()
{
    static const Shape shape = Table<Request>("request", "Something that may be asked of the unit.")
        .key("effect", &Request::effect, enum_type<Effect>(), "What it may change: nothing, the ground-test session, or the unit's memory.").needed()
        .with("send", object_type(send_shape), "The frame that goes out.", [](Request& r, const Node& n) { fill_object(send_shape(), &r, n); }).needed()
        .key("reply", &Request::reply, reference_type({"frame"}), "The frame that answers.").needed()
        .key("tries", &Request::tries, whole_type(1, 20), "How often it is sent before giving up.")
        .key("paging", &Request::paging, object_type(paging_shape), "How its pages are collected.")
        .done();
    return shape;
}

template <>
const Shape& shape_of<Request>()
{
    return request_shape();
}

const Shape& frame_shape()
{
    static const Shape shape = Table<Frame>("frame", "A frame that the unit sends.")
        .with("id", either_type({code_type(), text_type()}), "Its selector; of a text line, the first field.", read_frame_id<Frame>).needed()
        .key("period_ms", &Frame::period_ms, whole_type(0, 3600000), "How often it comes by itself; left out: only as a reply.")
        .key("fields", &Frame::fields, list_type(object_type(field_shape)), "What it carries, in order.").needed()
        .done();
    return shape;
}

template <>
const Shape& shape_of<Frame>()
{
    return frame_shape();
}

} // namespace chockside::profile::detail
