// Jobs worked by somebody who answers anything: each key that stands leads on, each answer does something, each job can be ended.
#include "walk.h"

#include <tests/support/test_main.h>

#include <cstdlib>

using namespace chockside;
using namespace chockside::tests;

class TestWalks : public QObject {
    Q_OBJECT

    static int jobs() { return qEnvironmentVariableIsSet("CHOCKSIDE_WALKS") ? qEnvironmentVariableIntValue("CHOCKSIDE_WALKS") : qEnvironmentVariableIsSet("CHOCKSIDE_LONG") ? 200 : 4; }

private slots:
    void every_key_leads_on_data()
    {
        QTest::addColumn<QString>("profile");
        QTest::addColumn<bool>("silent");
        for (const char* id : bundled_ids) {
            QTest::newRow(id) << id << false;
            QTest::newRow((std::string(id) + ", dead").c_str()) << id << true;
        }
    }
    void every_key_leads_on()
    {
        QFETCH(QString, profile);
        QFETCH(bool, silent);
        const auto p = bundled(profile.toStdString());
        std::map<std::string, int> flaws;
        std::map<std::string, std::string> first;
        std::set<std::string> met;
        int closed = 0, steps = 0;
        for (int i = 1; i <= jobs(); ++i) {
            WalkOptions options;
            options.seed = static_cast<std::uint64_t>(i + qEnvironmentVariableIntValue("CHOCKSIDE_WALKS_FROM"));
            options.silent = silent;
            Walk walk(p, options);
            walk.run();
            closed += walk.closed();
            steps += walk.steps();
            met.insert(walk.prompts().begin(), walk.prompts().end());
            for (const auto& f : walk.flaws()) {
                const std::string words = f.what + " | " + f.prompt + " | " + f.detail;
                if (flaws[words]++ == 0) first[words] = "seed " + std::to_string(options.seed) + ", cause " + walk.cause() + '\n' + walk.told();
            }
        }
        std::string all;
        for (const auto& m : met) all += m + ' ';
        qInfo("%d of %d closed, %d steps, met: %s", closed, jobs(), steps, all.c_str());
        for (const auto& [words, n] : flaws) qInfo("%d x %s\n%s", n, words.c_str(), qEnvironmentVariableIsSet("CHOCKSIDE_TELL") ? first[words].c_str() : "");
        QCOMPARE(flaws.size(), std::size_t(0));
    }
};

CHOCKSIDE_TEST(TestWalks)

#include "tst_walks.moc"
