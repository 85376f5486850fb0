// Every entry that the line writes is told in words. The kinds and reasons are read from the sources: a list by hand knows only of what
// somebody thought of.
#include "small_profile.h"

#include <core/job/detail/describe.h>
#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>
#include <QRegularExpression>

using namespace chockside;
using namespace chockside::tests;

class TestDescribe : public QObject {
    Q_OBJECT

    static QStringList named(const QString& folder, const char* how)
    {
        QStringList found;
        const QDir dir(CHOCKSIDE_SOURCE_DIR "/core/" + folder);
        for (const QString& name : dir.entryList({"*.cpp"})) {
            QFile file(dir.filePath(name));
            if (!file.open(QIODevice::ReadOnly)) continue;
            const QString text = QString::fromUtf8(file.readAll());
            for (auto it = QRegularExpression(how).globalMatch(text); it.hasNext();) found.append(it.next().captured(1));
        }
        found.removeDuplicates();
        return found;
    }
    static std::string told(const std::string& kind, json::Value b) { return job::detail::describe(small_profile(), Pen{}.write(kind, std::move(b))); }

private slots:
    void every_kind_that_the_line_writes_has_words()
    {
        const QStringList kinds = named("watch", R"re(\badd\("(\w+)")re") + QStringList{"dropouts", "identity", "configuration", "link_opened", "link_restored"};
        QVERIFY(kinds.size() > 12);
        for (const QString& kind : kinds) {
            const std::string words = told("live." + kind.toStdString(), json::Value(json::Object{}));
            QVERIFY2(words.find('_') == std::string::npos && words != kind.toStdString(), words.c_str());
        }
    }

    void every_reason_why_no_session_opens_has_words()
    {
        const QStringList reasons = named("link", R"re(refuse\("(\w+)")re");
        QVERIFY(reasons.contains("no_answer"));
        for (const QString& reason : reasons) {
            const std::string words = told("live.session_refused", body({{"reason", reason.toStdString()}}));
            QVERIFY2(words.find(reason.toStdString()) == std::string::npos, words.c_str());
        }
        QCOMPARE(told("live.session_refused", body({{"reason", "Test plug not fitted"}})), std::string("Session refused: Test plug not fitted"));
        QCOMPARE(told("live.session_refused", body({{"reason", ""}})), std::string("Session refused, no reason given"));
    }

    void a_swings_result_is_no_code()
    {
        for (const char* result : {"pass", "fail", "not_proven", "no_tolerance"}) QVERIFY(told("swing_result", body({{"result", result}})).find('_') == std::string::npos);
    }
};

CHOCKSIDE_TEST(TestDescribe)
#include "tst_describe.moc"
