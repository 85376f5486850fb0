#include <platform/shop/search.h>

#include <algorithm>
#include <cctype>

namespace chockside::shop {

namespace {

constexpr std::size_t word_bytes = 40, words_most = 8;
/// A beginning that more words share is looked for in one go over all of its rows.
constexpr std::size_t apart_most = 48;
constexpr std::int64_t counted_most = 500;

struct Span {
    Blob first, end; ///< bytes from `first` to before `end`
};

Span span_of(const std::string& begin)
{
    return {Blob{begin}, Blob{begin + "\xff"}};
}

/// Distinct words of a span; nothing where there are more than are looked for one by one.
Result<std::optional<std::vector<Blob>>> words_in(Connection& c, const Span& span)
{
    std::vector<Blob> found;
    const char* sql = "SELECT word FROM job_word WHERE word>=$1 AND word<$2 ORDER BY word LIMIT 1";
    for (Blob from = span.first;; from = Blob{found.back().bytes + '\0'}) {
        auto r = c.run(sql, {from, span.end});
        if (!r) return Unexpected{r.error()};
        if (r->empty()) return std::optional(std::move(found));
        if (found.size() == apart_most) return std::optional<std::vector<Blob>>();
        found.push_back(Blob{r->text(0, 0)});
    }
}

/// The span whose rows are fewest leads; the others are asked for job by job.
Result<std::vector<Span>> by_weight(Connection& c, const std::set<std::string>& words)
{
    std::vector<std::pair<std::int64_t, Span>> weighed;
    for (const auto& word : words) {
        if (weighed.size() == words_most) break;
        const Span span = span_of(word);
        auto n = c.run("SELECT count(*) FROM (SELECT 1 FROM job_word WHERE word>=$1 AND word<$2 LIMIT $3) t", {span.first, span.end, counted_most});
        if (!n) return Unexpected{n.error()};
        weighed.emplace_back(n->number(0, 0), span);
    }
    std::stable_sort(weighed.begin(), weighed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<Span> spans;
    for (auto& [n, span] : weighed) spans.push_back(std::move(span));
    return spans;
}

/// The newest jobs of the rows that `sql` picks by `params` and that hold a word of each other span as well.
Result<Rows> newest(Connection& c, std::string sql, Params params, std::span<const Span> others, std::int64_t most)
{
    for (const Span& other : others) {
        const auto at = params.size();
        sql += " AND EXISTS(SELECT 1 FROM job_word o WHERE o.job=w.job AND o.word>=$" + std::to_string(at + 1) + " AND o.word<$" + std::to_string(at + 2) + ")";
        params.push_back(other.first);
        params.push_back(other.end);
    }
    sql += " ORDER BY w.changed DESC, w.job LIMIT $" + std::to_string(params.size() + 1);
    params.push_back(most);
    return c.run(sql, params);
}

} // namespace

Status Search::make_tables(Connection& c)
{
    for (const char* sql : {"CREATE TABLE IF NOT EXISTS job_word(job TEXT NOT NULL, word BYTEA NOT NULL, changed BIGINT NOT NULL, PRIMARY KEY(job, word))",
             "CREATE INDEX IF NOT EXISTS job_word_newest ON job_word(word, changed, job)"})
        if (auto made = c.run(sql); !made) return Unexpected{made.error()};
    return {};
}

std::set<std::string> Search::words(std::string_view text)
{
    std::set<std::string> found;
    std::string word;
    const auto end = [&] {
        if (!word.empty()) found.insert(word);
        word.clear();
    };
    for (const char c : text) {
        const auto u = static_cast<unsigned char>(c);
        if (!std::isalnum(u) && u < 0x80 && c != '-') end();
        else if (word.size() < word_bytes) word += static_cast<char>(u < 0x80 ? std::tolower(u) : c);
    }
    end();
    return found;
}

Status Search::put(Connection& c, std::span<const Params> rows)
{
    return c.run_each("INSERT INTO job_word(job,word,changed) VALUES($1,$2,$3) ON CONFLICT(job,word) DO UPDATE SET changed=excluded.changed", rows);
}

Result<std::vector<std::string>> Search::find(Connection& c, std::string_view text, std::size_t skip, std::size_t most)
{
    auto spans = by_weight(c, words(text));
    if (!spans) return Unexpected{spans.error()};
    if (spans->empty()) return std::vector<std::string>();
    const Span& leads = spans->front();
    const auto others = std::span(*spans).subspan(1);
    const auto enough = static_cast<std::int64_t>(skip + most);
    auto apart = words_in(c, leads);
    if (!apart) return Unexpected{apart.error()};
    std::set<std::pair<std::int64_t, std::string>> jobs; // newest first: by the time's negative
    const auto take = [&](const Result<Rows>& r) {
        for (std::size_t i = 0; r && i < r->size(); ++i) jobs.emplace(-r->number(i, 1), r->text(i, 0));
        return r.has_value();
    };
    if (!*apart) {
        const auto all = newest(c, "SELECT DISTINCT w.job,w.changed FROM job_word w WHERE w.word>=$1 AND w.word<$2", {leads.first, leads.end}, others, enough);
        if (!take(all)) return Unexpected{all.error()};
    }
    else for (const Blob& word : **apart) {
        const auto of_word = newest(c, "SELECT w.job,w.changed FROM job_word w WHERE w.word=$1", {word}, others, enough);
        if (!take(of_word)) return Unexpected{of_word.error()};
    }
    std::vector<std::string> page;
    std::size_t at = 0;
    for (const auto& [changed, job] : jobs)
        if (at++ >= skip && page.size() < most) page.push_back(job);
    return page;
}

} // namespace chockside::shop
