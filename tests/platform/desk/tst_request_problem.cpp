// A request that did not go well is told in words, whatever became of it.
#include <core/link/port_check.h>
#include <platform/desk/request_problem.h>
#include <platform/words/words.h>

#include <tests/support/test_main.h>

using namespace chockside;
using desk::request_problem;
using desk::session_problem;

namespace {

std::string told(json::Object outcome)
{
    outcome["request"] = "read_faults";
    return words::line(request_problem("step:read_faults", json::Value(std::move(outcome))));
}

} // namespace

class TestRequestProblem : public QObject {
    Q_OBJECT

private slots:
    void each_end_has_its_words()
    {
        QCOMPARE(told({{"result", "timed_out"}, {"reason", ""}}), std::string("The unit does not answer. Try again; if it stays silent, try the port check."));
        QCOMPARE(told({{"result", "refused"}, {"reason", "not_on_ground"}, {"mend", "Set the ground switch."}}), std::string("The unit refuses: not_on_ground. Set the ground switch."));
        QCOMPARE(told({{"result", "refused"}, {"reason", ""}, {"mend", ""}}), std::string("The unit refuses: it gives no reason."));
        QCOMPARE(told({{"result", "not_allowed"}, {"reason", "cautions_open"}}), std::string("The cautions have not been answered. Read and answer them."));
        QCOMPARE(told({{"result", "failed"}, {"reason", "port_closed"}}), std::string("The port is closed. Open it."));
        QCOMPARE(told({{"result", "failed"}, {"reason", "missing_argument"}, {"args", json::Object{{"argument", "page"}}}}), std::string("read_faults needs the argument page."));
        QVERIFY(QString::fromStdString(told({{"result", "failed"}, {"reason", "pages_inconsistent"}})).startsWith("read_faults: the unit does not tell"));
    }

    void a_session_that_nobody_answered_is_no_refusal()
    {
        QCOMPARE(words::of(session_problem("step:session", "no_answer", "")).message, std::string("The unit does not answer."));
        QCOMPARE(words::line(session_problem("step:session", "busy", "Wait for the end of the test.")), std::string("The unit refuses: busy. Wait for the end of the test."));
    }

    void a_port_that_does_not_open_says_why()
    {
        link::PortFacts facts;
        facts.port = "/dev/ttyX";
        facts.open_code = "port_failed";
        facts.open_args = {{"said", "Input/output error"}};
        const auto steps = link::check_port(facts, {});
        QCOMPARE(words::of(link::first_gap(steps)->seen).message, std::string("The port does not open: Input/output error."));
    }
};

CHOCKSIDE_TEST(TestRequestProblem)
#include "tst_request_problem.moc"
