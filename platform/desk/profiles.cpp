#include <platform/desk/profiles.h>

#include <core/profile/load.h>
#include <core/trust/trust.h>

namespace chockside::desk {

namespace {

constexpr std::uint64_t most = 4u << 20;

Result<std::string> text_of(Disk& disk, const std::string& path)
{
    auto bytes = disk.read(path, most);
    if (!bytes) return Unexpected{bytes.error()};
    return to_text(*bytes);
}

} // namespace

Result<std::string> bundled_bytes(Disk& disk, const std::string& assets, const std::string& name)
{
    const std::string folder = assets + "/profiles/";
    auto main = text_of(disk, folder + name + ".json");
    if (!main) return Unexpected{main.error()};
    json::Value bundle(json::Object{});
    bundle.at("main") = *main;
    auto parsed = json::read(*main);
    if (!parsed) return Unexpected{parsed.error()};
    for (const char* half : {"unit", "installation"}) {
        const std::string use = (*parsed)[half]["use"].as_text();
        if (use.empty()) continue;
        auto text = text_of(disk, folder + use + "." + half + ".json");
        if (!text) return Unexpected{text.error()};
        bundle.at(use + "." + half) = *text;
    }
    return json::write(bundle);
}

Result<std::shared_ptr<const profile::Profile>> parse_bundle(const std::string& text)
{
    auto bundle = json::read(text);
    if (!bundle) return Unexpected{bundle.error()};
    const profile::FindHalf half = [&](const std::string& use, profile::Half which) -> Result<std::string> {
        const std::string name = use + (which == profile::Half::unit ? ".unit" : ".installation");
        if (!(*bundle)[name].is_text()) return fail("not_found", name);
        return (*bundle)[name].as_text();
    };
    auto loaded = profile::load((*bundle)["main"].as_text(), half);
    for (const auto& c : loaded.complaints)
        if (c.severity == profile::Severity::error) return fail("bad_profile", c.file, {{"line", std::to_string(c.line)}, {"code", c.code}, {"pointer", c.pointer}, {"mend", c.mend}});
    auto p = std::make_shared<profile::Profile>(std::move(loaded.profile));
    p->sha256 = trust::sha256_hex(as_bytes(text));
    return std::shared_ptr<const profile::Profile>(std::move(p));
}

Result<std::shared_ptr<const profile::Profile>> load_bundled(Disk& disk, const std::string& assets, const std::string& name, journal::Store& store, const std::string& sha)
{
    if (auto kept = store.attachment(sha)) return parse_bundle(to_text(*kept));
    auto bytes = bundled_bytes(disk, assets, name);
    if (!bytes) return Unexpected{bytes.error()};
    auto p = parse_bundle(*bytes);
    if (p && (*p)->sha256 != sha) return fail("profile_not_kept", sha);
    return p;
}

} // namespace chockside::desk
