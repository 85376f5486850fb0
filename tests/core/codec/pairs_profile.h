#pragma once
// The framings, checks and fields of tests/data/codec/pairs.py once more, in the language of profiles.

#include <QJsonObject>
#include <QMap>
#include <QString>

namespace chockside::tests {

inline const QMap<QString, QString>& pair_framings()
{
    static const QMap<QString, QString> all{
        {"slip", R"("kind": "slip", "order": "big", "select": {"type": "u8"})"},
        {"cobs", R"("kind": "cobs", "order": "little", "select": {"type": "u16"})"},
        {"length", R"("kind": "length_prefixed", "sync": "aa55", "length_at": 2, "length_adds": 4, "order": "big", "select": {"type": "u8"})"},
        {"bare_length", R"("kind": "length_prefixed", "length_at": 0, "length_bytes": 2, "length_order": "little", "length_adds": 2, "order": "big",
            "select": {"type": "u24"})"},
        {"enclosed", R"("kind": "length_prefixed", "sync": "02", "length_at": 1, "tail": "03", "order": "little", "select": {"type": "u8"})"},
        {"fixed", R"("kind": "fixed", "sync": "7e", "fixed_bytes": SIZE, "order": "little", "select": {"type": "none"})"},
        {"gap", R"("kind": "gap", "gap_ms": 5, "order": "big", "select": {"type": "u8", "at": 1})"},
        {"lines", R"("kind": "lines", "start": "$", "split": ",", "select": {"type": "text"})"},
        {"bare_lines", R"("kind": "lines", "split": ";", "end": "cr", "select": {"type": "none"})"}};
    return all;
}

inline QString pair_id(const QString& framing)
{
    static const QMap<QString, QString> all{{"slip", "0x42"}, {"cobs", "0x1234"}, {"length", "7"}, {"bare_length", "0x010203"}, {"enclosed", "7"},
        {"fixed", "0"}, {"gap", "7"}, {"lines", "TST"}, {"bare_lines", "0"}};
    return all[framing];
}

inline QString pair_check(const QString& check)
{
    static const QMap<QString, QString> all{{"xor8", R"("sum": "xor8")"}, {"sum8", R"("sum": "sum8")"}, {"sum8_zero", R"("sum": "sum8_zero")"},
        {"sum16_little", R"("sum": "sum16", "order": "little")"}, {"crc8", R"("crc": "CRC-8/SMBUS")"}, {"crc16", R"("crc": "CRC-16/IBM-3740")"},
        {"crc16_little", R"("crc": "CRC-16/MODBUS", "order": "little")"}, {"crc24", R"("crc": "CRC-24/OPENPGP")"},
        {"crc32", R"("crc": "CRC-32/ISO-HDLC", "order": "little")"}, {"crc64", R"("crc": "CRC-64/XZ")"},
        {"crc100_told", R"("crc": {"width": 100, "poly": "0x8000000000000000000000B1B", "init": "0x123456789ABCDEF0123456789", "refin": false, "refout": true,
            "xorout": "0xABC"}, "order": "little")"},
        {"crc12_told", R"("crc": {"width": 12, "poly": "0x80B", "init": "0x123", "refin": true, "refout": false, "xorout": "0xABC"})"}};
    return all.value(check, QString("\"crc\": \"%1\"").arg(check)); // a name of the catalogue
}

inline const QMap<QString, QString>& pair_fields()
{
    static const QString row = R"("fields": [{"name": "c", "type": "u16"}, {"name": "d", "type": "i8"}])";
    static const QMap<QString, QString> all{
        {"u32_little", R"({"name": "x", "type": "u32", "order": "little"})"},
        {"i24_big", R"({"name": "x", "type": "i24", "order": "big"})"},
        {"magnitude16", R"({"name": "x", "type": "u16", "sign": "magnitude"})"},
        {"magnitude24", R"({"name": "x", "type": "u24", "sign": "magnitude"})"},
        {"bit_ranges", R"({"name": "low", "type": "u16", "at": {"byte": AT, "bit": 0, "width": 3}}, {"name": "x", "type": "u16", "sign": "two", "at": {"byte": AT, "bit": 3, "width": 9}},
            {"name": "high", "type": "u16", "at": {"byte": AT, "bit": 12}})"},
        {"wide_bits", R"({"name": "x", "type": "u40", "at": {"bit": 3, "width": 33}})"},
        {"bnr", R"({"name": "x", "type": "i16", "full_scale": 180})"},
        {"bnr_in_bits", R"({"name": "x", "type": "u24", "sign": "two", "full_scale": 512, "at": {"bit": 2, "width": 20}})"},
        {"scaled", R"({"name": "x", "type": "u16", "scale": 0.01, "offset": -40})"},
        {"bcd", R"({"name": "x", "type": "bcd", "digits": 5})"},
        {"bcd_nibble", R"({"name": "x", "type": "bcd", "digits": 5, "sign": "nibble"})"},
        {"bcd_top_bit", R"({"name": "x", "type": "bcd", "digits": 4, "sign": "magnitude", "scale": 0.1})"},
        {"f32", R"({"name": "x", "type": "f32", "digits": 3})"},
        {"f64", R"({"name": "x", "type": "f64", "digits": 3})"},
        {"f32_big", R"({"name": "x", "type": "f32", "order": "big"})"},
        {"f64_little", R"({"name": "x", "type": "f64", "order": "little"})"},
        {"text_padded", R"({"name": "x", "type": "text", "bytes": 8, "pad": " "})"},
        {"text_zero", R"({"name": "x", "type": "text", "ends": "zero"})"},
        {"text_counted", R"({"name": "n", "type": "u8"}, {"name": "x", "type": "text", "length": "n"})"},
        {"text_to_the_end", R"({"name": "x", "type": "text", "ends": "frame"})"},
        {"number_text", R"({"name": "x", "type": "number_text", "bytes": 8, "digits": 2})"},
        {"hex_text", R"({"name": "x", "type": "hex_text", "bytes": 4})"},
        {"letter", R"({"name": "x", "type": "letter", "enum": {"0x41": "valid", "0x56": "void"}})"},
        {"enumeration", R"({"name": "x", "type": "u8", "enum": {"0": "standby", "1": "on", "2": "failed"}})"},
        {"flags", R"({"name": "x", "type": "u8", "bits": {"0": "p", "2": "q"}})"},
        {"placed", R"({"name": "x", "type": "u16", "at": SKIP})"},
        {"group_by_count", R"({"name": "n", "type": "u8"}, {"name": "x", "repeat": {"count": "n"}, )" + row + "}"},
        {"group_to_the_end", R"({"name": "x", "repeat": {"to": "end"}, )" + row + "}"},
        {"nested", R"({"name": "n", "type": "u8"}, {"name": "x", "repeat": {"count": "n"}, "fields": [{"name": "m", "type": "u8"},
            {"name": "y", "repeat": {"count": "m"}, "fields": [{"name": "v", "type": "u16"}]}]})"},
        {"optional_by_code", R"({"name": "k", "type": "u8"}, {"name": "x", "type": "u16", "when": {"field": "k", "is": [3, "0x02"]}})"},
        {"optional_by_bit", R"({"name": "k", "type": "u8"}, {"name": "x", "type": "u16", "when": {"field": "k", "bit": 1}},
            {"name": "g", "when": {"field": "k", "clear": 0}, )" + row + "}"},
        {"arinc", R"({"name": "x", "type": "arinc429"})"},
        {"arinc_reversed", R"({"name": "x", "type": "arinc429", "label": "reversed"})"},
        {"arinc_by_count", R"({"name": "n", "type": "u8"}, {"name": "x", "type": "arinc429", "label": "reversed", "repeat": {"count": "n"}})"},
        {"arinc_to_the_end", R"({"name": "x", "type": "arinc429", "repeat": {"to": "end"}})"}};
    return all;
}

/// The unit half of one case.
inline QString pair_unit(const QJsonObject& c)
{
    const QString framing = c["framing"].toString(), check = c["check"].toString(), name = c["field"].toString();
    // Bytes before the field `a`: sync, length, selector as the framing says.
    static const QMap<QString, int> lead{{"slip", 1}, {"cobs", 2}, {"length", 4}, {"bare_length", 5}, {"enclosed", 3}, {"fixed", 1}, {"gap", 2}};
    const int at = lead.value(framing) + 1;
    QString field = pair_fields().value(name, QString(R"({"name": "x", "type": "%1"})").arg(name));
    field.replace("AT", QString::number(at)).replace("SKIP", QString::number(at + 2));
    QString shape = pair_framings()[framing];
    shape.replace("SIZE", QString::number(c["bytes"].toInt()));
    if (check != "none") {
        const QString more = framing == "enclosed" ? ", \"from\": 1" : framing == "bare_lines" ? ", \"mark\": \"\"" : "";
        shape += ", \"checksum\": {" + pair_check(check) + more + "}";
    }
    const QString before = framing == "gap" ? R"({"name": "address", "type": "u8", "at": 0}, )" : "";
    const bool last = name.endsWith("to_the_end");
    const QString first = framing == "gap" ? QString(R"({"name": "a", "type": "u8", "at": %1}, )").arg(at - 1) : R"({"name": "a", "type": "u8"}, )";
    return R"({"id": "pair", "kind": "other", "channels": ["ch1"], "timings": {"self_test_s": [1, 2], "warm_up_s": 0}, "line": {"rate": 115200},
        "framing": {"max_bytes": 300, )" + shape + R"(}, "frames": {"f": {"id": ")" + pair_id(framing) + R"(", "fields": [)" + before + first + field
        + (last ? "" : R"(, {"name": "z", "type": "u16"})") + R"(]}},
        "words": {"heading": {"label": "320", "bnr": {"msb": 28, "lsb": 15, "full_scale": 180}, "unit": "deg", "wraps": true},
          "field_h": {"label": "161", "bcd": {"digits": 5, "scale": 1}}, "wired": {"label": "270", "bits": {"11": "p", "12": "q"}}}})";
}

} // namespace chockside::tests
