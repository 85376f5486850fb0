#include <platform/desk/profiles.h>

#include <core/profile/load.h>
#include <core/trust/trust.h>

#include <algorithm>

namespace chockside::desk {

namespace {

constexpr std::uint64_t most = 4u << 20;
constexpr std::string_view own_mark = "own/";
const std::string shop_mark = "shop/";

bool is_main(const std::string& file)
{
    return file.ends_with(".json") && !file.ends_with(".unit.json") && !file.ends_with(".installation.json") && !file.ends_with(".schema.json");
}

Result<std::string> text_of(Disk& disk, const std::string& path)
{
    auto bytes = disk.read(path, most);
    if (!bytes) return Unexpected{bytes.error()};
    return to_text(*bytes);
}

ProfileAtHand at_hand(const std::string& name, const Result<std::string>& bytes)
{
    ProfileAtHand p;
    p.name = p.title = name;
    const auto profile = bytes ? parse_bundle(*bytes) : Result<std::shared_ptr<const profile::Profile>>(Unexpected{bytes.error()});
    if (!profile) {
        p.wrong = profile.error().code;
        std::string line;
        for (const auto& [key, value] : profile.error().args) {
            if (key == "code") p.wrong = value;
            if (key == "line") line = ", line " + value;
        }
        p.wrong += line;
        return p;
    }
    const profile::Profile& q = **profile;
    p.id = q.id;
    if (!q.title.empty()) p.title = q.title.in();
    p.aircraft_type = q.installation.aircraft_type;
    p.unit = q.unit.id;
    p.revision = q.revision;
    p.practice = q.practice;
    for (const auto& c : q.installation.complaints) p.complaints.emplace_back(c.id, c.says.in());
    return p;
}

} // namespace

std::optional<std::string> published_digest(const std::string& name)
{
    return name.starts_with(shop_mark) ? std::optional(name.substr(shop_mark.size())) : std::nullopt;
}

Result<std::string> bundled_bytes(Disk& disk, const std::string& assets, const std::string& name, const std::string& own_folder)
{
    const bool own = name.starts_with(own_mark);
    const std::string given = assets + "/profiles/", folder = own ? own_folder + "/" : given, plain = own ? name.substr(own_mark.size()) : name;
    if (plain.empty() || plain.find('/') != std::string::npos) return fail("not_found", name);
    auto main = text_of(disk, folder + plain + ".json");
    if (!main) return Unexpected{main.error()};
    json::Value bundle(json::Object{});
    bundle.at("main") = *main;
    auto parsed = json::read(*main);
    if (!parsed) return Unexpected{parsed.error()};
    for (const char* half : {"unit", "installation"}) {
        const std::string use = (*parsed)[half]["use"].as_text();
        if (use.empty() || use.find('/') != std::string::npos) continue;
        auto text = text_of(disk, folder + use + "." + half + ".json");
        if (!text && own) text = text_of(disk, given + use + "." + half + ".json");
        if (!text) return Unexpected{text.error()};
        bundle.at(use + "." + half) = *text;
    }
    return json::write(bundle);
}

std::vector<ProfileAtHand> profiles_at_hand(Disk& disk, const std::string& assets, const std::string& own_folder, const std::map<std::string, std::string>& published)
{
    std::vector<ProfileAtHand> all;
    for (const auto& [sha, bundle] : published) {
        all.push_back(at_hand(shop_mark + sha, bundle));
        all.back().published = true;
    }
    const std::vector<ProfileAtHand> newer = all;
    const auto replaced = [&](const ProfileAtHand& p) {
        return std::ranges::any_of(newer, [&](const ProfileAtHand& q) { return q.wrong.empty() && q.id == p.id && !p.id.empty() && q.revision >= p.revision; });
    };
    std::ranges::sort(all, {}, &ProfileAtHand::title);
    for (const auto& [folder, mark] : {std::pair{own_folder, std::string(own_mark)}, std::pair{assets + "/profiles", std::string()}}) {
        const auto files = disk.list(folder);
        if (!files) continue;
        const std::size_t first = all.size();
        for (const std::string& file : *files) {
            if (!is_main(file)) continue;
            const std::string name = mark + file.substr(0, file.size() - 5);
            if (auto p = at_hand(name, bundled_bytes(disk, assets, name, own_folder)); !replaced(p)) all.push_back(std::move(p));
        }
        std::ranges::sort(all.begin() + static_cast<std::ptrdiff_t>(first), all.end(), {}, &ProfileAtHand::title);
    }
    return all;
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
