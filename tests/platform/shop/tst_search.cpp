// The search of jobs against its definition: of all jobs, those that hold for each word given one that begins so, newest first.
#include <platform/shop/search.h>
#include <tests/support/test_main.h>

#include <QTemporaryDir>

#include <algorithm>
#include <map>
#include <random>

using namespace chockside;
using namespace chockside::shop;

namespace {

struct Job {
    std::int64_t changed = 0;
    std::set<std::string> words;
};

std::vector<std::string> by_definition(const std::map<std::string, Job>& jobs, const std::vector<std::string>& asked)
{
    std::vector<std::pair<std::int64_t, std::string>> found;
    for (const auto& [name, job] : jobs) {
        const bool all = std::all_of(asked.begin(), asked.end(), [&](const std::string& begin) {
            return std::any_of(job.words.begin(), job.words.end(), [&](const std::string& w) { return w.compare(0, begin.size(), begin) == 0; });
        });
        if (all) found.emplace_back(-job.changed, name);
    }
    std::sort(found.begin(), found.end());
    std::vector<std::string> names;
    for (auto& [changed, name] : found) names.push_back(std::move(name));
    return names;
}

} // namespace

class TestShopSearch : public QObject {
    Q_OBJECT

    QTemporaryDir dir_;
    std::unique_ptr<Database> database_;
    std::unique_ptr<Connection> c_;
    std::map<std::string, Job> jobs_;
    std::mt19937 random_{20261126};
    std::string word() // few beginnings that hundreds share, many that few do
    {
        static const char* const stems[] = {"connector", "conn", "hdg", "q4-", "rad", "\xc3\xa4gir", "s"};
        std::string w = stems[random_() % 7];
        for (auto n = random_() % 4; n > 0; --n) w += static_cast<char>('a' + random_() % 5);
        return w;
    }

private slots:
    void initTestCase()
    {
        database_ = sqlite_database(dir_.path().toStdString() + "/shop.db");
        auto c = database_->connect(false);
        QVERIFY(c);
        c_ = std::move(*c);
        QVERIFY(Search::make_tables(*c_));
        std::vector<Params> rows;
        for (int n = 0; n < 600; ++n) {
            Job job{static_cast<std::int64_t>(random_() % 100000), {}};
            for (int i = 0; i < 6; ++i) job.words.insert(word());
            const std::string name = "job-" + std::to_string(n);
            for (const auto& w : job.words) rows.push_back(Search::row(name, w, job.changed));
            jobs_[name] = job;
        }
        QVERIFY(c_->begin(true) && Search::put(*c_, rows) && c_->commit());
    }

    void as_the_definition_says()
    {
        for (int turn = 0; turn < 300; ++turn) {
            std::vector<std::string> asked;
            std::string text;
            for (auto n = 1 + random_() % 3; n > 0; --n) {
                asked.push_back(word());
                asked.back().resize(1 + random_() % asked.back().size());
                if (static_cast<unsigned char>(asked.back().back()) >= 0x80) asked.back() = "\xc3\xa4";
                text += asked.back() + (random_() % 2 ? ", " : " ");
            }
            const auto should = by_definition(jobs_, asked);
            const std::size_t skip = random_() % 30, most = 1 + random_() % 60;
            const auto found = Search::find(*c_, text, skip, most);
            QVERIFY2(found, found ? "" : (found.error().code + " " + found.error().place).c_str());
            std::vector<std::string> page;
            for (std::size_t i = skip; i < should.size() && page.size() < most; ++i) page.push_back(should[i]);
            QVERIFY2(*found == page, text.c_str());
        }
    }

    void a_job_that_changed_comes_first()
    {
        std::vector<Params> again;
        for (const auto& w : jobs_["job-7"].words) again.push_back(Search::row("job-7", w, 1'000'000));
        QVERIFY(Search::put(*c_, again));
        QCOMPARE(Search::find(*c_, *jobs_["job-7"].words.begin(), 0, 1)->front(), std::string("job-7"));
    }

    void what_is_no_word_finds_nothing()
    {
        for (const char* text : {"", "   ", "%", "'; DROP TABLE job_word; --\"", "*"}) {
            const auto found = Search::find(*c_, text, 0, 10);
            QVERIFY(found);
            QVERIFY(found->empty());
        }
    }

    void words_are_small_letters_and_at_most_forty_bytes()
    {
        QCOMPARE(Search::words("HDG 2, Q4-RMP. \xc3\x84gir"), (std::set<std::string>{"hdg", "2", "q4-rmp", "\xc3\x84gir"}));
        QCOMPARE(Search::words(std::string(60, 'x')), (std::set<std::string>{std::string(40, 'x')}));
    }
};

CHOCKSIDE_TEST(TestShopSearch)
#include "tst_search.moc"
