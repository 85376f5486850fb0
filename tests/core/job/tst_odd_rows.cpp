// A profile that the lint refuses may still be reasoned with, in a job that was begun with it: what its rows lack is passed over.
#include "small_profile.h"

#include <core/job/isolate_model.h>
#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside;
using namespace chockside::tests;

class TestOddRows : public QObject {
    Q_OBJECT

private slots:
    void rows_of_another_kind_or_length_are_passed_over_data()
    {
        QTest::addColumn<int>("check");
        QTest::addColumn<int>("row");
        QTest::addColumn<QList<double>>("outcomes");
        QTest::newRow("a density in a check with outcomes") << 0 << 0 << QList<double>{};
        QTest::newRow("too few probabilities") << 0 << 0 << QList<double>{1};
        QTest::newRow("too many probabilities") << 0 << 0 << QList<double>{0.2, 0.3, 0.5};
        QTest::newRow("a density for the second cause") << 0 << 1 << QList<double>{};
        QTest::newRow("a density for all others") << 0 << 2 << QList<double>{};
        QTest::newRow("probabilities in a measured check") << 1 << 0 << QList<double>{0.5, 0.5};
    }
    void rows_of_another_kind_or_length_are_passed_over()
    {
        QFETCH(int, check);
        QFETCH(int, row);
        QFETCH(QList<double>, outcomes);
        profile::Profile p = small_profile();
        profile::Cause sensor = p.installation.causes.front(), unlisted = sensor;
        sensor.id = "sensor";
        sensor.cause_class = profile::CauseClass::sensor;
        unlisted.id = "unlisted";
        unlisted.cause_class = profile::CauseClass::unlisted;
        p.installation.causes.push_back(sensor);
        p.installation.causes.push_back(unlisted);
        auto& given = p.installation.checks.front().given;
        given.insert(given.begin() + 1, {"sensor", {0.5, 0.5}, {}});
        auto& odd = p.installation.checks[static_cast<std::size_t>(check)].given[static_cast<std::size_t>(row)];
        odd.outcomes.assign(outcomes.begin(), outcomes.end());
        odd.number.reset();
        if (outcomes.isEmpty()) odd.number = profile::Density{profile::Density::Kind::normal, 1, 1};

        const auto model = job::isolate_model(p, "heading_flag");
        for (const auto& c : model.checks)
            for (const auto& rows : {c.given, c.absent})
                for (const auto& r : rows) {
                    QVERIFY(r.outcomes.empty() || r.outcomes.size() == c.outcomes.size());
                    for (const double v : r.outcomes) QVERIFY(std::isfinite(v));
                }
    }
};

CHOCKSIDE_TEST(TestOddRows)
#include "tst_odd_rows.moc"
