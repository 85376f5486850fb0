// What is read of an upload's and any request's head before a route is known: any bytes. Nothing leaves that could be a field or a path of
// its own, and what was read can be written again.
#include "pieces.h"

#include <platform/shop/http.h>
#include <platform/shop/tus.h>

#include <set>

using namespace chockside;
using namespace chockside::shop;

namespace {

std::string written(const Fields& fields)
{
    std::string out;
    for (const auto& [key, value] : fields) {
        if (!out.empty()) out += ',';
        out += key;
        if (!value.empty()) out += ' ' + to_base64(as_bytes(value));
    }
    return out;
}

void metadata(std::string_view t)
{
    const auto fields = upload_metadata(t);
    if (!fields) return;
    std::set<std::string> keys;
    for (const auto& [key, value] : *fields) {
        fuzz::must(keys.insert(key).second && key.find_first_of(" ,\r\n") == std::string::npos);
        fuzz::must(value.size() <= t.size());
    }
    const auto again = upload_metadata(written(*fields));
    fuzz::must(again && *again == *fields);
}

void checksum(std::string_view t)
{
    const auto c = upload_checksum(t);
    if (!c) return;
    fuzz::must(!c->digest.empty() && c->algorithm.find(' ') == std::string::npos);
    const auto again = upload_checksum(c->algorithm + ' ' + to_base64(as_bytes(c->digest)));
    fuzz::must(again && again->digest == c->digest && again->algorithm == c->algorithm);
}

void address(std::string_view t)
{
    if (const auto d = percent_decoded(t)) fuzz::must(d->size() <= t.size());
    const std::string coded = percent_encoded(t);
    fuzz::must(coded.find_first_of(" \r\n/&=?#\"<>") == std::string::npos && percent_decoded(coded) == std::string(t));
    if (const auto f = form_fields(t)) fuzz::must(f->size() <= 200);
    fuzz::must(cookie(t, "shop").find(';') == std::string::npos);
    Head h;
    h.query = t;
    (void)h.value("q");
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    if (size == 0) return 0;
    const std::string_view t(reinterpret_cast<const char*>(data + 1), size - 1);
    switch (data[0] % 3) {
    case 0: metadata(t); break;
    case 1: checksum(t); break;
    default: address(t);
    }
    return 0;
}
