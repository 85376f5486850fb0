#include <platform/desk/signing.h>

#include <core/journal/sign_off.h>

#include <algorithm>

namespace chockside::desk {

namespace {

/// No trace of a PIN may reach a body.
json::Value without_secrets(const json::Value& args)
{
    json::Object kept = args.as_object();
    for (const char* key : {"person", "pin", "pin_again", "key", "signature"}) kept.erase(key);
    return kept;
}

Result<people::Person> enrolled(people::People& people, const job::Command& command)
{
    if (auto there = people.find(command.person)) return *there;
    people::Person fresh{command.person, command.args["name"].as_text(), command.args["certificate_kind"].as_text(), command.args["certificate_number"].as_text(), {}};
    if (fresh.name.empty() || fresh.certificate_kind.empty() || fresh.certificate_number.empty()) return fail("need", "sign", {{"what", "name, certificate kind and number"}});
    return people.enrol(std::move(fresh), command.pin);
}

Result<job::Command> signed_by(people::People& people, const job::Command& command, const std::string& job, const std::string& shown)
{
    const auto person = enrolled(people, command);
    if (!person) return Unexpected{person.error()};
    job::Command done{command.id, command.kind, without_secrets(command.args), command.person};
    done.args.at("name") = person->name;
    done.args.at("certificate_kind") = person->certificate_kind;
    done.args.at("certificate_number") = person->certificate_number;
    done.args.at("shown") = shown;
    const auto signature = people.sign(person->id, command.pin, as_bytes(journal::sign_off_statement(job, person->id, done.args)));
    if (!signature) return Unexpected{signature.error()};
    done.args.at("key") = person->public_key;
    done.args.at("signature") = to_hex(*signature);
    return done;
}

} // namespace

Result<job::Command> with_signature(people::People& people, job::Command& command, const std::string& job, const std::string& shown)
{
    auto done = signed_by(people, command, job, shown);
    trust::wipe(std::as_writable_bytes(std::span(command.pin)));
    return done;
}

} // namespace chockside::desk
