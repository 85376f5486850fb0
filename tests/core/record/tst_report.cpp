// The paper says what was recorded.
#include "../job/small_profile.h"

#include <core/job/build_view.h>
#include <core/record/report.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::tests;

class TestReport : public QObject {
    Q_OBJECT

    profile::Profile p_ = small_profile();
    job::JobState s_;
    Pen pen_;

    void write(const std::string& kind, json::Value b) { job::apply(p_, s_, pen_.write(kind, std::move(b))); }

    std::string finding_line() const
    {
        job::Context c;
        c.now = {pen_.wall, pen_.mono, pen_.boot};
        const auto report = record::make_report(p_, s_, job::build_view(p_, s_, c, job::reason(p_, s_, c)), "");
        for (const auto& section : report.sections)
            for (const auto& block : section.blocks)
                if (const auto* text = std::get_if<record::Paragraph>(&block); text && text->text.find("inding") != std::string::npos && text->kind == record::Paragraph::Kind::fact && section.title == "Troubleshooting sheet") return text->text;
        return {};
    }

    std::vector<std::vector<std::string>> rows_of(const std::string& title) const
    {
        job::Context c;
        c.now = {pen_.wall, pen_.mono, pen_.boot};
        const auto report = record::make_report(p_, s_, job::build_view(p_, s_, c, job::reason(p_, s_, c)), "");
        for (const auto& section : report.sections)
            for (const auto& block : section.blocks)
                if (const auto* table = std::get_if<record::Table>(&block); table && section.title == title) return table->rows;
        return {};
    }

private slots:
    void init()
    {
        s_ = {};
        pen_ = {};
        write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}, {"complaint_kind", "heading_flag"}}));
        write("answer", body({{"check", "flag_watch"}, {"outcome", "flag"}, {"presence", "showing"}}));
    }

    void the_finding_stands_with_the_likelihood_that_was_recorded()
    {
        QCOMPARE(finding_line(), std::string("No finding yet."));
        write("finding", body({{"advice", "isolated"}, {"class", "unit"}, {"cause", "unit_ch1"}, {"p", "0.6870"}}));
        QCOMPARE(finding_line(), std::string("Finding: PRU-2 channel 1 (69\u00A0%)."));
        write("answer", body({{"check", "flag_watch"}, {"outcome", "steady"}, {"presence", "showing"}}));
        QCOMPARE(finding_line(), std::string("Finding: PRU-2 channel 1 (69\u00A0%)."));
    }

    void a_night_is_read_back_by_its_days()
    {
        write("note", body({{"text", "before"}}));
        pen_.wall += 4 * 3'600'000; // past midnight
        write("note", body({{"text", "after"}}));
        write("note", body({{"text", "later"}}));
        write("sign", body({{"meaning", "worked"}, {"certificate_kind", "A&P"}, {"certificate_number", "P-1"}}));
        const auto journal = rows_of("Journal");
        QVERIFY(journal.size() > 3);
        QCOMPARE(journal.front().front(), std::string("2026-05-28 20:26:40"));
        std::vector<std::string> with_date;
        for (const auto& row : journal)
            if (row.front().size() > 8) with_date.push_back(row.front());
        QCOMPARE(with_date, (std::vector<std::string>{"2026-05-28 20:26:40", "2026-05-29 00:26:40"}));
        for (const auto& act : rows_of("Acts"))
            if (act.front() == "Worked") QCOMPARE(act.back(), std::string("2026-05-29 00:26:40\u00A0Z"));
    }

    void what_is_not_proven_has_no_likelihood()
    {
        write("finding", body({{"advice", "not_proven"}, {"class", "unlisted"}, {"cause", ""}, {"p", "0.3270"}}));
        QCOMPARE(finding_line(), std::string("Finding: Not proven."));
    }
};

CHOCKSIDE_TEST(TestReport)
#include "tst_report.moc"
