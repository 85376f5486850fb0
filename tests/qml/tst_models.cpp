// Models row by row under Qt's own model tester; what the pad and the words say is common practice, no source, written out by hand.

#include "entry_pad.h"
#include "flex_model.h"
#include "home_model.h"
#include "home_rows.h"
#include "idle_watch.h"
#include "job_model.h"
#include "live_model.h"
#include "lock_model.h"
#include "queue_model.h"
#include "sample_backend.h"

#include <tests/support/test_main.h>

#include <QAbstractItemModelTester>
#include <QKeyEvent>
#include <QElapsedTimer>
#include <QSignalSpy>

using namespace chockside;
using models::RowsModel;

class TestModels : public QObject {
    Q_OBJECT
    static QVariantMap row(const char* id, int n) { return {{"id", id}, {"n", n}}; }

    /// The last look along the panel, with one more thing that may be said.
    static job::JobView last_look(const char* id, const char* says)
    {
        auto view = app::sample_view("02-write-up");
        view.next = {};
        view.next.id = "close:breakers";
        view.next.kind = job::Prompt::Kind::choose;
        view.next.command = "did";
        view.next.args = json::Object{{"verb", "seen"}, {"of", "breakers"}, {"step", "close.breakers"}};
        view.next.choices = {{"all_in", "Every one is in"}, {id, says}};
        return view;
    }

private slots:
    void a_series_is_turned_by_hand_or_by_itself_at_a_readers_pace()
    {
        models::CarryModel m;
        QVERIFY(!m.shown() && m.symbol().isEmpty());
        m.set({"f.chockside", 15, 98, 60, {"A", "B", "C"}});
        QVERIFY(m.shown() && !m.running());
        QCOMPARE(m.place(), QString("1 of 3"));
        QVERIFY(m.says().contains("15 to 60") && m.says().contains("98"));
        m.step(-1);
        QCOMPARE(m.symbol(), QString("C"));
        m.step(1);
        QCOMPARE(m.symbol(), QString("A"));
        QList<qint64> turned;
        QElapsedTimer clock;
        clock.start();
        QString last = m.symbol();
        connect(&m, &models::CarryModel::changed, &m, [&] {
            if (m.symbol() != last) turned.append(clock.elapsed());
            last = m.symbol();
        });
        m.run(true);
        QTRY_VERIFY_WITH_TIMEOUT(turned.size() >= 4, 5000);
        QVERIFY2(turned[3] >= 1330, qPrintable(QString::number(turned[3]))); // never more than three a second
        m.step(1); // a hand stops the run
        QVERIFY(!m.running());
        const QString held = m.symbol();
        QTest::qWait(models::CarryModel::pace_ms + 200);
        QCOMPARE(m.symbol(), held);
        m.run(true);
        m.done();
        QVERIFY(!m.shown() && !m.running() && m.symbol().isEmpty());
        m.run(true);
        QVERIFY(!m.running());
    }
    void rows_change_one_by_one_and_never_reset()
    {
        RowsModel m({"id", "n"}, "id");
        QAbstractItemModelTester tester(&m, QAbstractItemModelTester::FailureReportingMode::QtTest);
        QSignalSpy reset(&m, &QAbstractItemModel::modelReset), inserted(&m, &QAbstractItemModel::rowsInserted), removed(&m, &QAbstractItemModel::rowsRemoved), changed(&m, &QAbstractItemModel::dataChanged), moved(&m, &QAbstractItemModel::rowsMoved);
        m.set_rows({row("a", 1), row("b", 2), row("c", 3)});
        QCOMPARE(inserted.count(), 3);
        m.set_rows({row("a", 1), row("c", 4)});
        QCOMPARE(removed.count(), 1);
        QCOMPARE(changed.count(), 1);
        m.set_rows({row("c", 4), row("a", 1), row("d", 5)});
        QCOMPARE(moved.count(), 1);
        QCOMPARE(m.value(0, "id").toString(), QString("c"));
        QCOMPARE(m.value(2, "n").toInt(), 5);
        m.set_rows({});
        QCOMPARE(m.count(), 0);
        QCOMPARE(reset.count(), 0);
    }

    void the_same_rows_again_change_nothing()
    {
        RowsModel m({"id", "n"});
        m.set_rows({row("a", 1), row("a", 1)});
        QSignalSpy changed(&m, &QAbstractItemModel::dataChanged), inserted(&m, &QAbstractItemModel::rowsInserted);
        m.set_rows({row("a", 1), row("a", 1)});
        QCOMPARE(changed.count() + inserted.count(), 0);
    }

    void every_sample_view_fills_the_lists()
    {
        models::JobModel job;
        std::vector<std::unique_ptr<QAbstractItemModelTester>> testers;
        for (auto* model : job.lists()->findChildren<QAbstractItemModel*>()) testers.push_back(std::make_unique<QAbstractItemModelTester>(model, QAbstractItemModelTester::FailureReportingMode::QtTest));
        for (const QString& name : app::sample_names()) {
            job.set_view(app::sample_view(name));
            QCOMPARE(job.lists()->rail()->count(), 7);
            QVERIFY(!job.sentence().isEmpty());
            QVERIFY(!job.key_large().isEmpty());
        }
    }

    void a_form_of_lines_waits_for_each_and_sends_them_all()
    {
        models::JobModel job;
        job::JobView view;
        view.job = "j";
        view.next.id = "defer";
        view.next.kind = job::Prompt::Kind::text;
        view.next.command = "defer";
        view.next.fields = {{"item", "What is deferred"}, {"expires", "Ends, day or hours"}};
        job.set_view(view);
        QCOMPARE(job.fields().size(), 2);
        job.fill("item", "34-20-01");
        QVERIFY(!job.key_ready());
        QVERIFY(job.key_small().contains("ends, day or hours"));
        job.fill("expires", "  ");
        QVERIFY(!job.key_ready());
        job.fill("expires", "10 days");
        QVERIFY(job.key_ready());
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.press();
        QCOMPARE(sent.count(), 1);
        const auto command = sent.first().first().value<chockside::job::Command>();
        QCOMPARE(command.args["item"].as_text(), std::string("34-20-01"));
        QCOMPARE(command.args["expires"].as_text(), std::string("10 days"));
    }

    void pad_keeps_a_number_in_order()
    {
        models::EntryPad pad;
        for (const char* key : {".", "5", ".", "2"}) pad.press(key);
        QCOMPARE(pad.text(), QString("0.52"));
        QVERIFY(!pad.press("x"));
        pad.press("-");
        QCOMPARE(pad.value().value(), -0.52);
        pad.press("del");
        QCOMPARE(pad.text(), QString("-0.5"));
        pad.press("clear");
        QVERIFY(!pad.value());
        for (int i = 0; i < 20; ++i) pad.press("9");
        QCOMPARE(pad.text().size(), 8);
    }

    void verdict_names_the_side_of_the_limit()
    {
        models::PromptValue q;
        q.has_limits = true;
        q.low = 90;
        q.high = 102;
        q.unit = "Ω";
        QCOMPARE(models::judge(q, 61.4).words, QString("below the limit"));
        QCOMPARE(models::judge(q, 102.0).words, QString("within the limit"));
        QCOMPARE(models::judge(q, 102.1).mark, QString("fail"));
        QCOMPARE(models::judge(q, std::nullopt).words, QString());
        QCOMPARE(models::limit_text(q), QString("90 to 102\u00A0Ω"));
    }

    void words_are_written_one_way()
    {
        QCOMPARE(models::signed_number(-0.34, 1), QString("\u22120.3"));
        QCOMPARE(models::signed_number(1.1, 1), QString("+1.1"));
        QCOMPARE(models::signed_number(-0.01, 1), QString("0.0"));
        QCOMPARE(models::heading(359.6), QString("000"));
        QCOMPARE(models::heading(-1), QString("359"));
        QCOMPARE(models::countdown(394), QString("06:34"));
        QCOMPARE(models::countdown(3600 + 13 * 60), QString("1\u00A0h\u00A013"));
        QCOMPARE(models::span_text(22'920'000), QString("6\u00A0h\u00A022"));
        QCOMPARE(models::span_text(-5), QString("0\u00A0min"));
        QCOMPARE(models::likelihood(0.8, true), QString("80%"));
        QCOMPARE(models::likelihood(0.004, false), QString("<1"));
        // Nothing is certain: a likelihood is never shown as all of it.
        QCOMPARE(models::likelihood(0.9999, true), QString(">99%"));
        QCOMPARE(models::factor(13), QString("×\u00A013"));
        QCOMPARE(models::factor(1 / 1.5), QString("÷\u00A01.5"));
        QCOMPARE(models::factor(1.0), QString("no help"));
    }

    void choice_waits_for_an_answer_then_sends_it()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_view(app::sample_view("02-write-up"));
        QVERIFY(!job.key_ready());
        job.press();
        QCOMPARE(sent.count(), 0);
        job.choose("showing");
        QCOMPARE(job.key_large(), QString("Showing"));
        job.press();
        QCOMPARE(sent.count(), 1);
        const auto command = sent.at(0).at(0).value<job::Command>();
        QCOMPARE(command.kind, std::string("presence"));
        QCOMPARE(command.args["is"].as_text(), std::string("showing"));
        QVERIFY(!command.id.empty());
    }

    void a_breaker_that_is_out_at_the_last_look_is_recorded_as_out()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_view(last_look("ref_1", "REF 1 is out"));
        job.choose("ref_1");
        job.press();
        job.choose("all_in");
        job.press();
        QCOMPARE(sent.count(), 2);
        const auto out = sent.at(0).at(0).value<job::Command>(), in = sent.at(1).at(0).value<job::Command>();
        QCOMPARE(out.args["verb"].as_text(), std::string("breaker"));
        QCOMPARE(out.args["of"].as_text(), std::string("ref_1"));
        QCOMPARE(out.args["to"].as_text(), std::string("pulled"));
        QVERIFY(!out.args.has("step"));
        QCOMPARE(out.prompt, std::string("close:breakers"));
        QCOMPARE(in.args["step"].as_text(), std::string("close.breakers"));
        QVERIFY(!in.args.has("outcome"));
    }

    void a_choice_that_is_another_way_asks_on_and_writes_nothing()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        auto view = last_look("close:tripped", "One has tripped");
        job::Prompt which;
        which.id = "close:tripped";
        which.kind = job::Prompt::Kind::choose;
        which.command = "did";
        which.args = json::Object{{"verb", "breaker"}, {"to", "tripped"}};
        which.choices = {{"ref_1", "REF 1"}};
        view.others = {which};
        job.set_view(view);
        job.choose("close:tripped");
        job.press();
        QCOMPARE(sent.count(), 0);
        QCOMPARE(job.prompt().id, QString("close:tripped"));
        QVERIFY(!job.key_ready());
        job.choose("ref_1");
        job.press();
        QCOMPARE(sent.count(), 1);
        const auto command = sent.at(0).at(0).value<job::Command>();
        QCOMPARE(command.args["of"].as_text(), std::string("ref_1"));
        QCOMPARE(command.args["to"].as_text(), std::string("tripped"));
    }

    void a_reading_below_zero_can_be_typed_and_judged()
    {
        models::JobModel job;
        auto view = app::sample_view("07-measure");
        view.next.limits = {-50, 100};
        view.next.unit = "ft";
        job.set_view(view);
        for (const char* key : {"8", "0", "-"}) job.type(key);
        QCOMPARE(job.typed(), QString("-80"));
        QCOMPARE(job.verdict(), QString("below the limit"));
        QVERIFY(job.limit().contains(QString::fromUtf8("\u221250 to 100")));
    }

    void number_is_sent_as_typed()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_view(app::sample_view("07-measure"));
        for (const char* key : {"6", "1", ".", "4"}) job.type(key);
        QVERIFY(job.key_large().contains("61.4"));
        QVERIFY(job.key_large().contains("below limit"));
        job.press();
        QCOMPARE(sent.at(0).at(0).value<job::Command>().args["number"].as_text(), std::string("61.4"));
    }

    void signing_wants_name_and_certificate()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_view(app::sample_view("14-acts"));
        QVERIFY(!job.key_ready());
        job.fill("person", "lk");
        job.fill("certificate_kind", "mechanic");
        QVERIFY(!job.key_ready());
        job.fill("certificate_number", "M-40117");
        QVERIFY(!job.key_ready());
        job.fill("name", "L. Kestrel");
        job.fill("pin", "480215");
        job.fill("pin_again", "480251");
        QVERIFY(!job.key_ready());
        job.fill("pin_again", "480215");
        QVERIFY(job.key_ready());
        job.press();
        QVERIFY(!job.draft().contains("pin")); // it stays nowhere
        QCOMPARE(sent.count(), 1);
        const auto command = sent.at(0).at(0).value<job::Command>();
        QCOMPARE(command.kind, std::string("sign"));
        QCOMPARE(command.person, std::string("LK"));
        QCOMPARE(command.args["certificate_number"].as_text(), std::string("M-40117"));
        QCOMPARE(command.pin, std::string("480215"));
        QVERIFY(json::write(command.args).find("480215") == std::string::npos);
    }

    void somebody_known_here_signs_with_the_pin_alone()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_signers({{"LK", "L. Kestrel", "mechanic", "M-40117"}});
        job.set_view(app::sample_view("14-acts"));
        job.fill("person", "lk");
        QVERIFY(job.signer_known());
        QCOMPARE(job.signer_words(), QString("L. Kestrel, mechanic\u00A0M-40117"));
        QVERIFY(!job.key_ready());
        job.fill("pin", "480215");
        QVERIFY(job.key_ready());
        job.press();
        QCOMPARE(sent.count(), 1);
    }

    void a_wait_cannot_be_pressed()
    {
        models::JobModel job;
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_view(app::sample_view("04-make-ready"));
        job.press();
        QCOMPARE(sent.count(), 0);
        QVERIFY(job.key_small().contains("14:27:40"));
    }

    void typed_figures_live_through_views_of_the_same_prompt()
    {
        models::JobModel job;
        auto view = app::sample_view("07-measure");
        job.set_view(view);
        job.type("5");
        view.now_utc_ms += 1000;
        job.set_view(view);
        QCOMPARE(job.typed(), QString("5"));
        view.next.id = "another";
        job.set_view(view);
        QCOMPARE(job.typed(), QString());
    }

    void an_entry_of_the_line_takes_nothing_away()
    {
        models::JobModel job;
        auto view = app::sample_view("07-measure");
        job.set_view(view);
        job.type("5");
        ++view.entries;
        job.set_view(view);
        QCOMPARE(job.typed(), QString("5"));
        job.press();
        ++view.entries;
        job.set_view(view);
        QCOMPARE(job.typed(), QString());
    }

    void another_check_stays_taken_until_it_is_answered_or_left()
    {
        models::JobModel job;
        QSignalSpy taken(&job, &models::JobModel::check_taken);
        auto view = app::sample_view("05-isolate");
        view.others.clear();
        for (const char* check : {"pins", "weather"}) {
            job::Prompt q;
            q.id = "breaker:ref_1:collared"; // both wait for the same act
            q.toward = check;
            q.kind = job::Prompt::Kind::act;
            view.others.push_back(q);
        }
        job.set_view(view);
        const QString proposed = job.prompt().id;
        job.select_other("check:weather");
        QCOMPARE(taken.takeFirst().first().toString(), QString("weather"));
        ++view.entries; // the line writes, and what is worth most changes
        view.next.id = "another";
        job.set_view(view);
        QCOMPARE(job.prompt().id, QString("breaker:ref_1:collared"));
        QVERIFY(job.other_taken());
        // From here on the desk works toward it, act by act.
        view.taken = "weather";
        view.next = view.others[1];
        view.others.pop_back();
        job.set_view(view);
        job.press();
        ++view.entries;
        view.next.id = "check:weather";
        job.set_view(view);
        QVERIFY(job.other_taken());
        QCOMPARE(job.prompt().id, QString("check:weather"));
        job.select_other({});
        QCOMPARE(taken.takeFirst().first().toString(), QString());
        view.taken.clear();
        view.next.id = proposed.toStdString();
        job.set_view(view);
        QVERIFY(!job.other_taken());
        QCOMPARE(job.prompt().id, proposed);
    }

    void another_way_stays_taken_while_the_line_writes()
    {
        models::JobModel job;
        auto view = app::sample_view("05-isolate");
        job::Prompt presence;
        presence.id = "presence";
        presence.kind = job::Prompt::Kind::choose;
        presence.choices = {{"showing", "Showing"}};
        view.others = {presence};
        job.set_view(view);
        job.select_other("presence");
        job.choose("showing");
        ++view.entries;
        job.set_view(view);
        QCOMPARE(job.chosen(), QString("showing"));
        job.press();
        ++view.entries;
        job.set_view(view);
        QVERIFY(!job.other_taken());
    }

    void an_entry_is_voided_amended_or_withdrawn_with_a_reason()
    {
        models::JobModel job;
        job.set_person("LK");
        QSignalSpy sent(&job, &models::JobModel::commanded), written(&job, &models::JobModel::fix_written);
        auto view = app::sample_view("05-isolate");
        view.journal = {{1, "wet", "h1", false, true, "note"}, {2, "Signed", "h2", false, true, "sign"}, {3, "Link lost", "h3", false, true, "live.link_lost"}};
        view.journal[0].field = "text";
        view.journal[1].signature = true;
        view.journal[1].person = "JM";
        view.journal[2].stands = "entry_stands";
        job.set_view(view);
        const auto last = [&] { return sent.last().first().value<job::Command>(); };

        job.open_entry("h3");
        QVERIFY(!job.fix()->ready() && !job.fix()->stands().contains('_') && !job.fix()->stands().isEmpty());
        job.open_entry("h1");
        QVERIFY(!job.fix()->ready());
        job.fix()->fill("reason", "wrong plug");
        QCOMPARE(job.fix()->key_large(), QString("Void the entry"));
        job.fix()->fill("should", "dry");
        QCOMPARE(job.fix()->key_large(), QString("Amend the entry"));
        job.set_view(view); // what is half written stays
        job.fix()->press();
        QCOMPARE(last().kind, std::string("amend"));
        QCOMPARE(last().args["of"].as_text(), std::string("h1"));
        QCOMPARE(last().args["body"]["text"].as_text(), std::string("dry"));
        QCOMPARE(last().person, std::string("LK"));
        QCOMPARE(job.fix()->reason(), QString("wrong plug")); // until it is written
        job.set_written(QString::fromStdString(last().id));
        QCOMPARE(written.count(), 1);
        QVERIFY(job.fix()->reason().isEmpty());

        job.open_entry("h2");
        job.fix()->fill("reason", "one more thing to do");
        QVERIFY(!job.fix()->ready());
        job.fix()->fill("pin", "480215");
        job.fix()->press();
        QCOMPARE(last().kind, std::string("void"));
        QCOMPARE(last().person, std::string("JM"));
        QCOMPARE(last().pin, std::string("480215"));
        QCOMPARE(last().args["meaning"].as_text(), std::string("withdrawn"));
        QVERIFY(job.fix()->pin().isEmpty() && json::write(last().args).find("480215") == std::string::npos);
    }

    void initials_of_an_inspector_are_for_one_signature()
    {
        models::JobModel job;
        job.set_person("LK");
        QSignalSpy sent(&job, &models::JobModel::commanded);
        job.set_view(app::sample_view("14-acts"));
        job.fill("person", "jm");
        job.fill("certificate_kind", "inspector");
        job.fill("certificate_number", "M-2");
        job.fill("name", "J. Merle");
        job.fill("pin", "730914");
        job.fill("pin_again", "730914");
        job.press();
        QCOMPARE(sent.count(), 1);
        QCOMPARE(sent.at(0).at(0).value<job::Command>().person, std::string("JM"));
        job.note("seen");
        QCOMPARE(sent.at(1).at(0).value<job::Command>().person, std::string("LK"));
    }

    void a_flex_test_says_what_chance_would_give()
    {
        models::FlexModel flex;
        QSignalSpy marked(&flex, &models::FlexModel::mark_asked);
        flex.set_places(app::sample_view("05-isolate").isolate.places);
        const QString place = flex.places()->value(0, "id").toString();
        flex.mark(place);
        QCOMPARE(marked.count(), 0);
        flex.set_seen({true, place.toStdString(), 11, 120, {{"", 1, 60, 1}, {place.toStdString(), 9, 50, 1.0 / 120}}});
        QVERIFY(flex.sentence().startsWith("11 drop-outs. Nine came while"));
        QCOMPARE(flex.chance(), QString("By chance about 5 of 11 would fall there. Nine or more: 1 in 120."));
        flex.mark(place);
        QCOMPARE(marked.at(0).at(0).toString(), QString());
    }

    void figures_come_five_times_a_second_and_drop_outs_never_vanish()
    {
        models::LiveModel live;
        QSignalSpy columns(&live, &models::LiveModel::columns_added), figures(live.figures(), &QAbstractItemModel::dataChanged);
        for (int ms = 0; ms < 1000; ms += 10) live.push({ms, {{"Heading", "deg", 200.0 + ms * 0.1, ms != 510, false}}});
        QVERIFY2(columns.count() <= 31 && columns.count() >= 24, qPrintable(QString::number(columns.count())));
        QVERIFY2(figures.count() <= 5, qPrintable(QString::number(figures.count())));
        QVERIFY(std::any_of(live.frames().begin(), live.frames().end(), [](const auto& f) { return !f.values[0].good; }));
    }

    void frozen_keeps_what_is_seen()
    {
        models::LiveModel live;
        live.push({0, {{"Heading", "deg", 200, true, false}}});
        live.set_frozen(true);
        live.push({1000, {{"Heading", "deg", 300, true, false}}});
        QCOMPARE(live.frames().size(), 1u);
    }

    void the_shop_has_everything_only_where_it_has_every_attachment()
    {
        models::QueueModel queue;
        models::QueueSeen seen;
        seen.shop = "https://shop.invalid";
        seen.enrolled = true;
        seen.entries = seen.sent = seen.at_shop = 4;
        queue.set(seen);
        QCOMPARE(queue.sentence(), QString("The shop has everything."));
        seen.refused = 1;
        seen.refused_reason = "refused_file";
        queue.set(seen);
        QCOMPARE(queue.sentence(), QString("The entries are there, but not every attachment."));
        QCOMPARE(queue.files(), QString("Attachments that stay here: 1. The shop does not take an attachment."));
    }

    void a_row_of_home_says_what_stands_open_and_when_the_aircraft_leaves()
    {
        constexpr std::int64_t now = 1'781'708'400'000, minute = 60'000; // 17 June 2026 15:00 Z
        const auto about = [](int open, int breakers) { return json::Value(json::Object{{"open", open}, {"breakers", breakers}, {"gaps", json::Array{2, 3}}, {"entries", 9}, {"leaves", now + 305 * minute}}); };
        const auto row = [&](const char* status, std::int64_t left_ms, json::Value what, bool practice = false) {
            return app::home_rows({{"j", "HDG 2 flags", "Q4-TLN", status, 1, now - left_ms, 9, practice, std::move(what)}}, now).at(0);
        };
        const auto plain = [](std::string text) { return QString::fromStdString(text).replace(QChar(0xA0), ' '); };
        const auto half = row("isolate", 23 * minute, about(6, 2));
        QCOMPARE(plain(half.state), QString("6 open, two of them breakers"));
        QCOMPARE(plain(half.where), QString("in Isolate, left 23 min ago"));
        QCOMPARE(plain(half.note), QString("leaves 20:05 Z, in 5 h 05"));
        QCOMPARE(half.mark, job::Mark::open);
        QVERIFY(half.mine);
        for (int stage = 0; stage < job::stage_count; ++stage) QCOMPARE(half.rail[std::size_t(stage)].open > 0, stage == 2 || stage == 3);
        QCOMPARE(plain(row("isolate", 0, about(1, 1)).state), QString("1 open, a breaker"));
        QCOMPARE(plain(row("isolate", 0, about(2, 2)).state), QString("2 open, all breakers"));
        QCOMPARE(plain(row("isolate", 0, about(3, 1)).state), QString("3 open, one of them a breaker"));
        QCOMPARE(plain(row("isolate", 0, about(4, 0)).state), QString("4 open"));
        QCOMPARE(plain(row("isolate", 0, about(0, 0)).state), QString("nothing stands open"));
        QCOMPARE(plain(row("isolate", 0, about(0, 0), true).note), QString("practice, leaves 20:05 Z, in 5 h 05"));
        const auto released = row("closed", 3 * 24 * 60 * minute, about(1, 0));
        QCOMPARE(plain(released.state), QString("closed, one stays open"));
        QCOMPARE(plain(released.where), QString("14 Jun"));
        QCOMPARE(released.mark, job::Mark::open);
        QCOMPARE(plain(released.note), QString());
        // A row from before, or of a locked tablet.
        QCOMPARE(plain(row("isolate", 61 * minute, {}).state), QString("stands in Isolate"));
        QCOMPARE(plain(row("isolate", 61 * minute, {}).where), QString("left 1 h 01 ago"));
        QCOMPARE(plain(row("closed", 0, {}).state), QString("closed"));
        // More was written since: what stood open then is not what stands open.
        auto older = about(0, 0);
        older.at("entries") = 8;
        QCOMPARE(plain(row("isolate", 0, older).state), QString("stands in Isolate"));
        for (const auto& cell : row("isolate", 0, older).rail) QCOMPARE(cell.open, 0);
    }

    void home_goes_on_with_the_half_done_job()
    {
        models::HomeModel home;
        QSignalSpy opened(&home, &models::HomeModel::open_asked), practised(&home, &models::HomeModel::practice_asked);
        home.press();
        QCOMPARE(practised.count(), 0); // the store is not open yet: nothing is known of any job
        home.set_rows({});
        home.press();
        QCOMPARE(practised.count(), 1);
        home.set_total(10'000);
        QCOMPARE(home.sentence(), QString("10000 jobs on this tablet."));
        home.set_total(0);
        home.set_rows({{"j1", "Q4-RMP", "", "HDG 1 flag", "", job::Mark::open, "", app::sample_view("05-isolate").rail, 23, true}});
        QCOMPARE(home.key_large(), QString("Go on in Isolate"));
        home.press();
        QCOMPARE(opened.at(0).at(0).toString(), QString("j1"));
    }

    void nobody_touching_the_screen_is_told_and_a_key_puts_it_off()
    {
        models::IdleWatch watch;
        watch.set_after(std::chrono::milliseconds(400));
        QSignalSpy idle(&watch, &models::IdleWatch::idle);
        for (int i = 0; i < 8; ++i) {
            QTest::qWait(100);
            QKeyEvent key(QEvent::KeyPress, Qt::Key_A, Qt::NoModifier);
            QCoreApplication::sendEvent(this, &key);
            QCOMPARE(idle.count(), 0);
        }
        QTRY_VERIFY(idle.count() > 0);
    }

    void the_lock_asks_once_and_says_why_it_stayed_shut()
    {
        models::LockModel lock;
        QSignalSpy asked(&lock, &models::LockModel::unlock_asked);
        lock.set(true, {"CW", "LK"});
        QCOMPARE(lock.person(), QString("CW"));
        lock.set_person("LK");
        lock.unlock({});
        QCOMPARE(asked.count(), 0);
        lock.unlock("480215");
        lock.unlock("480215");
        QCOMPARE(asked.count(), 1);
        QCOMPARE(asked[0][0].toString(), QString("LK"));
        lock.refuse("no");
        QVERIFY(!lock.trying());
        QCOMPARE(lock.words(), QString("no"));
        lock.set(false, {"CW", "LK"});
        QVERIFY(!lock.locked());
        QVERIFY(lock.words().isEmpty());
    }
};

CHOCKSIDE_TEST(TestModels)
#include "tst_models.moc"
