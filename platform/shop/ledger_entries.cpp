// Chains, log and shares of the SqlLedger.
#include <platform/shop/ledger_sql.h>

#include <core/trust/trust.h>

#include <algorithm>
#include <map>

namespace chockside::shop {

using sync::Stored;

namespace {

Blob bytes_of_hex(const std::string& hex)
{
    const auto bytes = from_hex(hex);
    return {bytes ? to_text(*bytes) : std::string()};
}

} // namespace

std::string job_key(const std::string& job)
{
    constexpr std::size_t longest = 500, beginning = 448;
    return job.size() <= longest ? job : cut(job, beginning) + trust::sha256_hex(as_bytes(job));
}

Result<std::string> SqlLedger::job_of(const std::string& key)
{
    if (job_key(key) == key) return key;
    auto r = run("SELECT envelope FROM entry WHERE job=$1 LIMIT 1", {key});
    if (!r) return Unexpected{r.error()};
    const auto said = r->empty() ? Result<sync::Stated>(fail("damaged", "job")) : sync::stated(r->text(0, 0));
    if (!said) return Unexpected{said.error()};
    return said->job;
}

Result<sync::Head> SqlLedger::head(const std::string& author)
{
    auto r = run("SELECT seq,hash FROM entry WHERE author=$1 ORDER BY seq DESC LIMIT 1", {author});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? sync::Head{} : sync::Head{r->number(0, 0), r->text(0, 1)};
}

Result<std::vector<Stored>> SqlLedger::entries(const std::string& author, const std::string& job, std::int64_t after, std::size_t limit)
{
    const auto most = static_cast<std::int64_t>(limit);
    auto r = job.empty() ? run("SELECT idx,author,seq,envelope,signature,salt,body,received_at FROM entry WHERE author=$1 AND seq>$2 ORDER BY seq LIMIT $3", {author, after, most})
                         : run("SELECT idx,author,seq,envelope,signature,salt,body,received_at FROM entry WHERE job=$1 AND author=$2 AND seq>$3 ORDER BY seq LIMIT $4", {job_key(job), author, after, most});
    if (!r) return Unexpected{r.error()};
    std::vector<Stored> all;
    for (std::size_t i = 0; i < r->size(); ++i) {
        auto one = stored_from(*r, i);
        if (!one) return Unexpected{one.error()};
        all.push_back(std::move(*one));
    }
    return all;
}

Result<journal::Vector> SqlLedger::vector_of(const std::string& job)
{
    auto r = run("SELECT author,last FROM job_author WHERE job=$1", {job_key(job)});
    if (!r) return Unexpected{r.error()};
    journal::Vector v;
    for (std::size_t i = 0; i < r->size(); ++i) v[r->text(i, 0)] = r->number(i, 1);
    return v;
}

Status SqlLedger::append(std::span<const Stored> all)
{
    if (!connection_) return fail("gone", "database");
    std::vector<Params> rows, names, lasts;
    std::map<std::pair<std::string, std::string>, std::int64_t> last;
    for (const Stored& s : all) {
        const sync::Line& l = s.line;
        const std::string job = job_key(s.stated.job);
        rows.push_back({s.index, s.stated.author, s.stated.seq, job, s.stated.hash, Blob{l.envelope}, bytes_of_hex(l.signature), bytes_of_hex(l.salt), Blob{l.body}, s.received_at});
        for (const auto& sha : s.stated.att) names.push_back({sha, s.stated.author, job});
        last[{job, s.stated.author}] = s.stated.seq;
    }
    for (const auto& [whose, seq] : last) lasts.push_back({whose.first, whose.second, seq});
    std::int64_t put = 0;
    if (auto ok = connection_->run_each("INSERT INTO entry(idx,author,seq,job,hash,envelope,signature,salt,body,received_at) VALUES($1,$2,$3,$4,$5,$6,$7,$8,$9,$10) ON CONFLICT DO NOTHING", rows, &put); !ok) return ok;
    if (put != static_cast<std::int64_t>(all.size())) return fail("exists", "ledger");
    if (auto ok = connection_->run_each("INSERT INTO att(sha,author,job) VALUES($1,$2,$3) ON CONFLICT DO NOTHING", names); !ok) return ok;
    return connection_->run_each("INSERT INTO job_author(job,author,last) VALUES($1,$2,$3) ON CONFLICT(job,author) DO UPDATE SET last=excluded.last", lasts);
}

Status SqlLedger::fill_body(const std::string& author, std::int64_t seq, const std::string& salt, const std::string& body)
{
    if (auto filled = done("UPDATE entry SET salt=$1,body=$2 WHERE author=$3 AND seq=$4 AND length(body)=0 AND length(salt)=0", {bytes_of_hex(salt), Blob{body}, author, seq}); !filled) return filled;
    return done("INSERT INTO job_again(job,profile,times) SELECT job,'',1 FROM entry WHERE author=$1 AND seq=$2 ON CONFLICT(profile,job) DO UPDATE SET times=job_again.times+1", {author, seq});
}

Result<std::vector<sync::Range>> SqlLedger::lacking(const std::string& author, std::size_t most)
{
    auto r = run("SELECT seq FROM entry WHERE author=$1 AND length(body)=0 ORDER BY seq LIMIT 200000", {author});
    if (!r) return Unexpected{r.error()};
    std::vector<sync::Range> all;
    for (std::size_t i = 0; i < r->size(); ++i) {
        const auto seq = r->number(i, 0);
        if (!all.empty() && all.back().last + 1 == seq) all.back().last = seq;
        else if (all.size() == most) break;
        else all.push_back({seq, seq});
    }
    return all;
}

Status SqlLedger::quarantine(const sync::Quarantined& q)
{
    return done("INSERT INTO quarantine(hash,author,seq,has,line,received_at) VALUES($1,$2,$3,$4,$5,$6) ON CONFLICT DO NOTHING", {q.hash, q.author, q.seq, q.has, Blob{sync::text_of(q.line)}, q.received_at});
}

Result<std::vector<sync::Quarantined>> SqlLedger::quarantined()
{
    auto r = run("SELECT hash,author,seq,has,line,received_at FROM quarantine ORDER BY received_at,author,seq");
    if (!r) return Unexpected{r.error()};
    std::vector<sync::Quarantined> all;
    for (std::size_t i = 0; i < r->size(); ++i) {
        auto line = sync::line_from(r->text(i, 4));
        if (!line) return fail("damaged", "quarantine");
        all.push_back({std::move(*line), r->text(i, 1), r->number(i, 2), r->text(i, 0), r->text(i, 3), r->number(i, 5)});
    }
    return all;
}

Result<std::int64_t> SqlLedger::log_size()
{
    auto r = run("SELECT idx FROM entry ORDER BY idx DESC LIMIT 1");
    if (!r) return Unexpected{r.error()};
    return r->empty() ? 0 : r->number(0, 0) + 1;
}

Result<sync::Digest> SqlLedger::node(sync::NodeName name)
{
    auto r = run("SELECT digest FROM node WHERE level=$1 AND idx=$2", {static_cast<std::int64_t>(name.level), name.index});
    if (!r) return Unexpected{r.error()};
    if (r->empty()) return fail("not_found", "node");
    sync::Digest d{};
    const auto bytes = to_bytes(r->text(0, 0));
    if (bytes.size() != d.size()) return fail("damaged", "node");
    std::copy(bytes.begin(), bytes.end(), d.begin());
    return d;
}

Status SqlLedger::put_nodes(const std::vector<sync::Node>& nodes)
{
    std::vector<Params> rows;
    for (const auto& n : nodes) rows.push_back({static_cast<std::int64_t>(n.name.level), n.name.index, Blob{to_text(n.digest)}});
    if (!connection_) return fail("gone", "database");
    return connection_->run_each("INSERT INTO node(level,idx,digest) VALUES($1,$2,$3)", rows);
}

Status SqlLedger::share(std::span<const std::string> jobs, const std::string& device)
{
    if (!connection_) return fail("gone", "database");
    std::vector<Params> rows;
    for (const auto& job : jobs) rows.push_back({device, job_key(job)});
    return connection_->run_each("INSERT INTO share(device,job) VALUES($1,$2) ON CONFLICT DO NOTHING", rows);
}

Result<bool> SqlLedger::shares(const std::string& job, const std::string& device)
{
    auto r = run("SELECT device FROM share WHERE device=$1 AND job=$2", {device, job_key(job)});
    if (!r) return Unexpected{r.error()};
    return !r->empty();
}

Result<std::vector<std::tuple<std::string, std::string, std::int64_t>>> SqlLedger::shared(const std::string& device, const std::string& after, std::size_t limit)
{
    auto r = run("SELECT j.job,j.author,j.last FROM job_author j WHERE j.job IN (SELECT s.job FROM share s WHERE s.device=$1 AND s.job>$2 AND EXISTS(SELECT 1 FROM job_author o WHERE o.job=s.job AND o.author<>$1) "
                 "ORDER BY s.job LIMIT $3) ORDER BY j.job,j.author",
        {device, job_key(after), static_cast<std::int64_t>(limit)});
    if (!r) return Unexpected{r.error()};
    std::vector<std::tuple<std::string, std::string, std::int64_t>> all;
    std::string key, job;
    for (std::size_t i = 0; i < r->size(); ++i) {
        if (key != r->text(i, 0) || i == 0) {
            key = r->text(i, 0);
            auto known = job_of(key);
            if (!known) return Unexpected{known.error()};
            job = std::move(*known);
        }
        all.emplace_back(job, r->text(i, 1), r->number(i, 2));
    }
    return all;
}

Result<bool> SqlLedger::names_blob(const std::string& device, const std::vector<std::string>& streams, const std::string& sha256)
{
    auto r = run("SELECT a.author,s.device FROM att a LEFT JOIN share s ON s.job=a.job AND s.device=$1 WHERE a.sha=$2", {device, sha256});
    if (!r) return Unexpected{r.error()};
    for (std::size_t i = 0; i < r->size(); ++i)
        if (!r->null(i, 1) || std::find(streams.begin(), streams.end(), r->text(i, 0)) != streams.end()) return true;
    return false;
}

} // namespace chockside::shop
