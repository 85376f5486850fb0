#include <platform/desk/earlier.h>
#include <platform/desk/engine.h>
#include <platform/desk/from_shop.h>

#include <core/job/open_items.h>

#include <algorithm>
#include <set>

namespace chockside::desk {

namespace {

std::string status_of(const profile::Profile& p, const job::JobState& s)
{
    if (s.closed) return "closed";
    return job::name_of(job::stage_of_state(p, s));
}

/// What a list of jobs says of it before it is opened, true for so many entries.
json::Value about_of(const profile::Profile& p, const job::JobState& s, std::size_t entries)
{
    const auto items = job::open_items(p, s);
    std::set<std::int64_t> gaps;
    for (const auto& item : items) gaps.insert(static_cast<std::int64_t>(item.opened_in));
    json::Value about(json::Object{});
    about.at("open") = static_cast<std::int64_t>(items.size());
    about.at("breakers") = static_cast<std::int64_t>(std::ranges::count_if(items, [](const job::OpenItem& i) { return i.id.starts_with("breaker:"); }));
    about.at("gaps") = json::Value(json::Array(gaps.begin(), gaps.end()));
    about.at("entries") = static_cast<std::int64_t>(entries);
    if (s.departure > 0) about.at("leaves") = s.departure;
    return about;
}

} // namespace

Engine::Engine(std::unique_ptr<journal::Store> store, const Clock& clock) : store_(std::move(store)), clock_(clock) {}

/// Time and a few digits that no other device draws. It stands in clear in every envelope, so it names no aircraft.
std::string Engine::new_job_id() const
{
    const Now now = clock_.now();
    std::string id = to_rfc3339(now.utc_ms).substr(0, 19);
    std::erase_if(id, [](char c) { return c == ':' || c == '-'; });
    const std::string drawn = store_->author() + "/" + std::to_string(now.utc_ms) + "/" + now.boot + "/" + std::to_string(now.mono_ms);
    return id + "-" + trust::sha256_hex(as_bytes(drawn)).substr(0, 10);
}

journal::JobRow Engine::row_of(const std::string& job, const std::vector<journal::Entry>& entries, const profile::Profile* profile, const job::JobState& state) const
{
    const journal::Entry* opened = opening_of(entries);
    journal::JobRow row;
    row.job = job;
    row.title = state.complaint;
    row.tail = state.tail;
    row.status = profile ? status_of(*profile, state) : std::string();
    row.opened_utc_ms = opened ? opened->envelope.wall : clock_.now().utc_ms;
    row.entries = static_cast<int>(entries.size());
    row.practice = state.practice;
    if (profile) row.about = about_of(*profile, state, entries.size());
    return row;
}

std::optional<journal::JobRow> Engine::row() const
{
    if (!profile_ || job_.empty()) return std::nullopt;
    auto row = row_of(job_, entries_, profile_.get(), state_);
    row.changed_utc_ms = clock_.now().utc_ms;
    return row;
}

bool Engine::row_of(const std::string& job, const std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string&)>& load)
{
    if (store_->locked()) return false;
    const auto entries = store_->entries(job);
    const journal::Entry* opened = entries ? opening_of(*entries) : nullptr;
    if (!opened || !opened->body.is_object()) return true;
    const auto profile = load(opened->body["profile_sha"].as_text());
    job::JobState state;
    if (profile) {
        state = job::fold(**profile, *entries);
    } else {
        state.tail = opened->body["tail"].as_text();
        state.complaint = opened->body["complaint"].as_text();
        state.practice = opened->body["practice"].as_bool();
    }
    auto row = row_of(job, *entries, profile ? profile->get() : nullptr, state);
    for (const auto& e : *entries) row.changed_utc_ms = std::max(row.changed_utc_ms, e.envelope.wall);
    (void)store_->set_row(row);
    return profile.has_value();
}

bool Engine::take_in()
{
    if (!profile_ || store_->locked()) return false; // without their bodies entries would undo what is known
    auto all = store_->entries(job_);
    if (!all || all->size() == entries_.size()) return false;
    entries_ = std::move(*all);
    state_ = job::fold(*profile_, entries_);
    reasoned_at_ = -1;
    if (const auto r = row()) (void)store_->set_row(*r);
    return true;
}

void Engine::take(const std::vector<journal::Entry>& written)
{
    bool anew = false;
    for (const auto& e : written) {
        entries_.push_back(e);
        anew = anew || e.envelope.kind == "void" || e.envelope.kind == "amend";
        if (!anew) job::apply(*profile_, state_, e);
    }
    if (anew) state_ = job::fold(*profile_, entries_);
}

Result<Engine::Stored> Engine::write_new(std::shared_ptr<const profile::Profile> profile, const std::string& profile_bytes, const job::Opening& opening, const std::string& person)
{
    const std::string id = opening.given.empty() ? new_job_id() : opening.given;
    std::vector<journal::Entry> before;
    if (!opening.given.empty()) {
        auto told = store_->entries(id);
        if (!told) return Unexpected{told.error()};
        if (opening_of(*told)) return fail("already_opened", id);
        before = std::move(*told);
    }
    if (auto kept = store_->put_attachment(profile->sha256, as_bytes(profile_bytes), "application/json"); !kept) return Unexpected{kept.error()};
    journal::Draft draft = job::open_draft(*profile, opening, person);
    draft.att.push_back(profile->sha256);
    auto written = store_->append(id, id + "/open", std::span(&draft, 1));
    if (!written) return Unexpected{written.error()};
    before.insert(before.end(), written->begin(), written->end());
    return Stored{id, std::move(profile), std::move(before)};
}

void Engine::enter_new(Stored opened, const std::string& person)
{
    enter(std::move(opened), false);
    person_ = person;
    keep_row();
}

Result<Engine::Stored> Engine::read_stored(const std::string& job, const std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string&)>& load)
{
    auto stored = store_->entries(job);
    if (!stored) return Unexpected{stored.error()};
    const journal::Entry* opened = opening_of(*stored);
    if (!opened) return fail("not_found", job);
    auto profile = load(opened->body["profile_sha"].as_text());
    if (!profile) return Unexpected{profile.error()};
    return Stored{job, std::move(*profile), std::move(*stored)};
}

void Engine::open_stored(Stored stored)
{
    enter(std::move(stored), true);
}

void Engine::enter(Stored stored, bool resumed)
{
    profile_ = std::move(stored.profile);
    job_ = std::move(stored.job);
    toward_.clear();
    taken_.clear();
    entries_ = std::move(stored.entries);
    state_ = job::fold(*profile_, entries_);
    person_.clear(); // who wrote last is not who is here
    live_ = {};
    reasoned_at_ = -1;
    resumed_ = resumed;
}

job::Context Engine::context() const
{
    return {clock_.now(), live_, resumed_ && !live_.uptime_s, person_, toward_, earlier_, taken_};
}

Status Engine::submit(const job::Command& command)
{
    if (!profile_) return fail("no_job");
    job::Command own = command;
    if (own.id.empty()) own.id = job_ + "/" + store_->author() + "/" + std::to_string(entries_.size()) + "/" + std::to_string(next_command_++);
    auto drafts = job::guard(*profile_, state_, context(), own);
    if (!drafts) return Unexpected{drafts.error()};
    const std::size_t before = entries_.size();
    auto written = store_->append(job_, own.id, *drafts);
    if (!written) return Unexpected{written.error()};
    // A repeat answers with entries that are folded already.
    if (!written->empty() && before > 0)
        for (const auto& e : entries_)
            if (e.hash == written->front().hash) return {};
    const auto listed = [this] { return std::pair(status_of(*profile_, state_), about_of(*profile_, state_, 0)); };
    const auto was = listed();
    take(*written);
    if (listed() != was || entries_.size() % 16 == 0)
        if (const auto r = row()) (void)store_->set_row(*r);
    return {};
}

void Engine::keep_row()
{
    if (const auto r = row()) (void)store_->set_row(*r);
}

bool Engine::answer_automatically()
{
    if (!profile_) return false;
    bool any = false;
    for (auto& command : job::automatic_answers(*profile_, state_, context())) {
        command.id = job_ + "/" + command.id;
        any = static_cast<bool>(submit(command)) || any;
    }
    return any;
}

void Engine::look_back(const std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string&)>& load)
{
    earlier_ = std::make_shared<const std::vector<job::EarlierJob>>(earlier_jobs(*store_, job_, state_.tail, state_.practice, load));
}

void Engine::set_live(const job::LiveFacts& live)
{
    live_ = live;
}

void Engine::take(std::string check)
{
    taken_ = std::move(check);
    toward_.clear();
}

const job::Reasoning& Engine::reasoning()
{
    if (reasoned_at_ != state_.entries) {
        reasoning_ = job::reason(*profile_, state_, context());
        reasoned_at_ = state_.entries;
    }
    return reasoning_;
}

/// Entries of others came from the shop, or by its hand.
void Engine::tell_sent(job::JobView& v) const
{
    v.unsent = 0;
    std::set<std::string> here_only;
    for (const auto& e : entries_)
        if (e.envelope.author == store_->author() && e.envelope.seq > at_shop_) {
            ++v.unsent;
            here_only.insert(e.hash);
        }
    for (auto& line : v.journal) line.sent = !here_only.contains(line.hash);
}

job::JobView Engine::view()
{
    job::JobView v = job::build_view(*profile_, state_, context(), reasoning());
    toward_ = v.next.toward;
    taken_ = v.taken;
    tell_sent(v);
    return v;
}

} // namespace chockside::desk
