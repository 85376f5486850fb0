// What comes from the shop and from other tablets: into the open job, the list of jobs, the profiles at hand.
#include <platform/desk/desk_worker.h>

namespace chockside::desk {

void DeskWorker::take_came(const std::set<std::string>& jobs)
{
    if (!engine_) return;
    came_.insert(jobs.begin(), jobs.end());
    came_.erase("shop");
    // A job's profile may come after its entries.
    const bool files = came_.erase(std::string()) > 0;
    const auto load = [this](const std::string& sha) { return profile_for(sha); };
    std::set<std::string> later;
    for (const std::string& job : came_) {
        const bool here = engine_->has_job() && engine_->state().job == job;
        if (!here && !engine_->row_of(job, load)) later.insert(job);
    }
    came_ = std::move(later);
    if (engine_->has_job() && engine_->take_in()) publish();
    if (files) list_profiles();
    tell_from_shop();
    publish_rows();
}

void DeskWorker::tell_from_shop()
{
    if (!engine_ || !shop_) return;
    const auto authors = shop_->authors();
    if (authors.empty()) return; // no shop is known: a start looks for nothing
    auto told = desk::from_shop(engine_->store(), authors);
    if (!told) {
        emit problem(told.error());
        return;
    }
    unopened_.clear();
    if (const auto to_all = engine_->store().entries("shop"); to_all && !to_all->empty()) unopened_.insert("shop");
    for (const auto& w : told->write_ups)
        if (!w.opened) unopened_.insert(w.job);
    emit from_shop(std::move(*told));
}

void DeskWorker::list_profiles()
{
    std::map<std::string, std::string> published;
    const auto told = engine_ && shop_ ? desk::from_shop(engine_->store(), shop_->authors()) : Result<FromShop>(FromShop{});
    for (const auto& p : told ? told->profiles : std::vector<PublishedProfile>())
        if (const auto bytes = engine_->store().attachment(p.sha256)) published[p.sha256] = to_text(*bytes);
    emit profiles(profiles_at_hand(disk_, options_.assets_folder, options_.data_folder + "/profiles", published));
}

/// What the shop published is signed with all that it writes; nobody signs a file that lies in a folder.
bool DeskWorker::profile_is_signed()
{
    const auto known = shop_ ? published(engine_->store(), shop_->authors(), engine_->profile().sha256) : Result<bool>(false);
    return known && *known;
}

Result<std::string> DeskWorker::bundle_of(const std::string& name)
{
    const auto digest = published_digest(name);
    if (!digest) return bundled_bytes(disk_, options_.assets_folder, name.empty() ? options_.profile : name, options_.data_folder + "/profiles");
    auto bytes = engine_->store().attachment(*digest);
    if (!bytes) return Unexpected{bytes.error()};
    return to_text(*bytes);
}

} // namespace chockside::desk
