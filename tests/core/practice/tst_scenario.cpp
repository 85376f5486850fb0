#include "practice_book.h"

#include <tests/support/test_main.h>

#include <algorithm>
#include <set>

using namespace chockside;
using namespace chockside::practice;

class TestScenario : public QObject {
    Q_OBJECT
private slots:
    void every_crew_answer_is_a_published_code();
    void same_seed_draws_the_same_scenario();
    void a_thousand_seeds_draw_every_fault_near_its_share();
    void parameters_spread_between_seeds();
    void a_book_with_a_missing_number_is_refused_by_its_place();
    void an_unknown_fault_is_refused();
};

void TestScenario::every_crew_answer_is_a_published_code()
{
    const Book book = practice_book();
    for (const std::string& id : book.fault_ids())
        for (std::uint64_t seed = 0; seed < 50; ++seed) {
            const Scenario scenario = book.scenario(id, seed).value();
            for (const auto& [question, answer] : scenario.fault.crew) {
                const auto codes = book.answers(question);
                QVERIFY2(std::find(codes.begin(), codes.end(), answer) != codes.end(), (id + " " + question + " " + answer).c_str());
            }
        }
}

void TestScenario::same_seed_draws_the_same_scenario()
{
    const Book book = practice_book();
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const Scenario a = book.draw(seed), b = book.draw(seed);
        QCOMPARE(a.fault.id, b.fault.id);
        QCOMPARE(a.fault.crew, b.fault.crew);
        QCOMPARE(a.fault.effects.size(), b.fault.effects.size());
        for (std::size_t i = 0; i < a.fault.effects.size(); ++i) QCOMPARE(a.fault.effects[i].number, b.fault.effects[i].number);
    }
}

// Shares stand in the file: 3 3 3 3 3 3 3 3 4 2 2 2 2 of 36. Bounds are four standard deviations of the binomial.
void TestScenario::a_thousand_seeds_draw_every_fault_near_its_share()
{
    const Book book = practice_book();
    std::map<std::string, int> drawn;
    for (std::uint64_t seed = 0; seed < 3600; ++seed) ++drawn[book.draw(seed).fault.id];
    QCOMPARE(drawn.size(), book.fault_ids().size());
    QVERIFY(std::abs(drawn["wet_plug"] - 400) < 76);
    QVERIFY(std::abs(drawn["unit_input"] - 300) < 67);
    QVERIFY(std::abs(drawn["unit_clock"] - 200) < 55);
}

void TestScenario::parameters_spread_between_seeds()
{
    const Book book = practice_book();
    std::set<double> ohms;
    for (std::uint64_t seed = 0; seed < 20; ++seed) ohms.insert(book.scenario("breaker_resistance", seed)->fault.effects[0].num("ohm"));
    QCOMPARE(ohms.size(), 20u);
    QVERIFY(*ohms.begin() > 0.7);
    QVERIFY(*ohms.rbegin() < 1.15);
}

void TestScenario::a_book_with_a_missing_number_is_refused_by_its_place()
{
    const auto book = Book::read(R"({"format": 1, "aircraft": {}, "faults": [{}]})");
    QVERIFY(!book);
    QCOMPARE(book.error().code, std::string("practice_missing"));
    QCOMPARE(book.error().place, std::string("/aircraft/tail"));
    QVERIFY(!Book::read("{"));
    QCOMPARE(Book::read("{\"format\": 2}").error().code, std::string("practice_format"));
}

void TestScenario::an_unknown_fault_is_refused()
{
    QCOMPARE(practice_book().scenario("gremlin", 1).error().code, std::string("practice_no_such_fault"));
}

CHOCKSIDE_TEST(TestScenario)
#include "tst_scenario.moc"
