// Random models against a second implementation (tests/data/isolate/enumerate.py: products, not logarithms; no shared code).
#include <core/base/json.h>
#include <core/isolate/isolate.h>
#include <tests/support/test_main.h>

#include <QFile>

#include <cmath>

using namespace chockside;
using namespace chockside::isolate;

namespace {

Row row_of(const json::Value& v)
{
    const auto& items = v.as_array();
    if (!items.front().is_text()) {
        Row row;
        for (const auto& p : items) row.outcomes.push_back(p.as_double());
        return row;
    }
    const auto kind = items[0].as_text() == "normal" ? Density::Kind::normal : Density::Kind::lognormal;
    return {{}, Density{kind, items[1].as_double(), items[2].as_double()}};
}

Check check_of(const json::Value& v)
{
    Check c;
    c.id = v["id"].as_text();
    c.group = v["group"].as_text();
    for (const auto& o : v["outcomes"].as_array()) c.outcomes.push_back(o.as_text());
    for (const auto& r : v["given"].as_array()) c.given.push_back(row_of(r));
    for (const auto& r : v["absent"].as_array()) c.absent.push_back(row_of(r));
    return c;
}

Model model_of(const json::Value& v)
{
    Model m;
    m.slip = v["slip"].as_double();
    m.floor = v["floor"].as_double();
    for (const auto& c : v["causes"].as_array())
        m.causes.push_back({c["id"].as_text(), c["cause_class"].as_text(), c["place"].as_text(), c["prior"].as_double(), c["mode"].as_text()});
    for (const auto& c : v["checks"].as_array()) m.checks.push_back(check_of(c));
    return m;
}

std::vector<Evidence> evidence_of(const json::Value& v)
{
    std::vector<Evidence> all;
    for (const auto& e : v.as_array()) {
        Evidence one;
        one.id = e["id"].as_text();
        one.check = e["check"].as_text();
        if (e["answer"].is_text()) one.outcome = e["answer"].as_text();
        else one.number = e["answer"].as_double();
        const std::string& presence = e["presence"].as_text();
        one.presence = presence == "showing" ? Presence::showing : presence == "absent" ? Presence::absent : Presence::unknown;
        for (const auto& place : e["disturbed"].as_array()) one.disturbed_before.push_back(place.as_text());
        all.push_back(one);
    }
    return all;
}

double log_odds(double p)
{
    return std::log(p) - std::log1p(-p);
}

} // namespace

class TestEnumeration : public QObject {
    Q_OBJECT

private slots:
    void initTestCase()
    {
        QFile file(QStringLiteral(CHOCKSIDE_SOURCE_DIR "/tests/data/isolate/random_models.json"));
        QVERIFY(file.open(QIODevice::ReadOnly));
        auto read = json::read(file.readAll().toStdString());
        QVERIFY(read);
        cases_ = *read;
        QCOMPARE(cases_.as_array().size(), std::size_t{80});
    }

    void posterior_is_the_enumerated_one()
    {
        for (const auto& c : cases_.as_array()) {
            const Model model = model_of(c["model"]);
            const auto evidence = evidence_of(c["evidence"]);
            const auto p = posterior(model, evidence);
            QVERIFY(p);
            for (std::size_t k = 0; k < model.causes.size(); ++k)
                for (const auto& l : p->likelihood)
                    if (l.causes.front() == model.causes[k].id) QVERIFY(std::abs(l.p - c["posterior"].as_array()[k].as_double()) < 1e-9);
        }
    }

    void contributions_add_up_to_the_change_of_log_odds()
    {
        for (const auto& c : cases_.as_array()) {
            const Model model = model_of(c["model"]);
            const auto p = posterior(model, evidence_of(c["evidence"]));
            double total = 0;
            for (const auto& cause : model.causes) total += cause.prior;
            for (const auto& cause : model.causes) {
                double sum = 0, now = 0;
                for (const auto& x : p->contributions)
                    if (x.cause == cause.id) sum += x.log_odds;
                for (const auto& l : p->likelihood)
                    if (l.causes.front() == cause.id) now = l.p;
                if (now < 1e-9 || now > 1 - 1e-9) continue;
                QVERIFY(std::abs(sum - (log_odds(now) - log_odds(cause.prior / total))) < 1e-5);
            }
        }
    }

private:
    json::Value cases_;
};

CHOCKSIDE_TEST(TestEnumeration)
#include "tst_enumeration.moc"
