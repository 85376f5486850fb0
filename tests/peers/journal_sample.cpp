// journal_sample FOLDER [--held]: a store with a short job of two authors' worth of work and a sign-off by a person's own key; --held: whose PIN opens it.
#include <core/journal/sign_off.h>
#include <core/journal/store.h>
#include <core/people/people.h>
#include <platform/system/system.h>

#include <cstdio>
#include <string_view>

using namespace chockside;

namespace {

journal::Draft draft(const char* kind, json::Value body)
{
    journal::Draft d;
    d.kind = kind;
    d.person = "LK";
    d.body = std::move(body);
    return d;
}

} // namespace

int main(int argc, char** argv)
{
    const bool held = argc == 3 && std::string_view(argv[2]) == "--held";
    if (argc != 2 && !held) return std::fputs("journal_sample FOLDER\n", stderr), 2;
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    auto store = journal::Store::open(disk, clock, random, {argv[1], false, 0});
    if (!store) return 3;
    const auto put = [&](const char* job, const journal::Draft& d) { return (*store)->append(job, {}, std::span(&d, 1)).has_value(); };
    people::People people(disk, clock, random, std::string(argv[1]) + "/people", {1, 64 << 10});
    people.seal_with({[&](const std::string& about, ByteView plain) { return (*store)->seal_note(about, plain); }, [&](const std::string& about, ByteView sealed) { return (*store)->unseal_note(about, sealed); }});
    const auto person = people.enrol({"LK", "L. Kestrel (invented)", "airframe mechanic (invented)", "NM-117", {}}, "480215");
    json::Value sign(json::Object{{"meaning", "worked"}, {"words", "Work done as written"}, {"shown", "Complaint: heading 12\u00b0 off.\nDone: \"P9\" dried.\n"}});
    const auto signature = people.sign("LK", "480215", as_bytes(journal::sign_off_statement("job", "LK", sign)));
    if (!person || !signature) return 3;
    sign.at("key") = person->public_key;
    sign.at("signature") = to_hex(*signature);
    const bool written = put("job", draft("opened", json::Object{{"tail", "Q4-RMP"}, {"complaint", "heading 12\u00b0 off"}})) && put("else", draft("opened", json::Object{{"tail", "Q4-TLN"}}))
        && put("job", draft("did", json::Object{{"verb", "breaker"}, {"of", "ref_1"}, {"to", "pulled"}})) && put("job", draft("note", json::Object{{"text", "tab\tand \\ and \u20ac"}})) && put("job", draft("sign", sign));
    const Bytes sketch = to_bytes("sketch of P9" + std::string(100'000, '~'));
    const bool kept = (*store)->put_attachment(trust::sha256_hex(sketch), sketch, "text/plain").has_value() && (!held || (*store)->add_holder(person->public_key).has_value());
    return written && kept ? 0 : 3;
}
