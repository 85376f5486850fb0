#include <platform/cli/rehearse_command.h>

#include <platform/desk/desk.h>
#include <platform/desk/practice_driver.h>
#include <platform/desk/rehearsal.h>
#include <platform/system/system.h>

#include <QCoreApplication>
#include <QDateTime>
#include <QDir>
#include <QFile>
#include <QGuiApplication>
#include <QTimer>

#include <clocale>
#include <cstdio>
#include <utility>

namespace chockside::cli {

namespace {

json::Value as_json(const desk::RehearsalResult& r, const QString& pdf, const QString& journal)
{
    json::Value v(json::Object{});
    v.at("closed") = r.closed;
    v.at("right") = r.right();
    v.at("stuck") = r.stuck;
    v.at("finding") = r.finding_kind;
    v.at("finding_class") = r.finding_class;
    v.at("leads") = r.leads;
    v.at("finding_cause") = r.finding_cause;
    v.at("p") = r.p;
    v.at("truth") = r.truth;
    v.at("truth_class") = r.truth_class;
    v.at("found_out") = r.found_out;
    v.at("unit_advised") = r.unit_advised;
    v.at("part_off") = r.part_off;
    v.at("entries") = r.entries;
    v.at("job_minutes") = r.job_minutes;
    json::Value missing(json::Array{}), mishaps(json::Array{});
    for (const auto& m : r.missing) missing.push(m);
    for (const auto& m : r.mishaps) mishaps.push(m);
    v.at("missing") = missing;
    v.at("mishaps") = mishaps;
    v.at("pdf") = pdf.toStdString();
    v.at("journal") = journal.toStdString();
    return v;
}

void say(const desk::RehearsalResult& r, const QString& pdf, const QString& journal)
{
    std::printf("PRACTICE job %s, %d entries, %.0f min of aircraft time.\n", r.closed ? "closed" : "not closed", r.entries, r.job_minutes);
    if (!r.stuck.empty()) std::printf("Stopped: %s\n", r.stuck.c_str());
    const std::string found = r.finding_kind == "not_proven" ? "not proven, likeliest " + r.leads : r.finding_class + " " + r.finding_cause;
    std::printf("Finding: %s (%.0f %%). Truth: %s (%s). %s\n", found.c_str(), 100 * r.p, r.truth.c_str(), r.truth_class.c_str(),
        r.right() ? "Right." : "Not right.");
    for (const auto& m : r.mishaps) std::printf("Mishap: %s\n", m.c_str());
    std::printf("PDF: %s\nJournal: %s\n", qPrintable(pdf), qPrintable(journal));
}

/// Resident pages as the kernel counts them, in kB; 0 where it does not say.
long resident_kb()
{
    QFile status(QStringLiteral("/proc/self/status"));
    if (!status.open(QIODevice::ReadOnly)) return 0;
    const QByteArray all = status.readAll();
    const auto at = all.indexOf("VmRSS:");
    return at < 0 ? 0 : all.mid(at + 6, 20).trimmed().split(' ').front().toLong();
}

} // namespace

int rehearse(const RehearseOptions& o)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    int argc = 1;
    std::string name = "chockside-cli";
    char* argv[] = {name.data(), nullptr};
    QGuiApplication app(argc, argv);
    std::setlocale(LC_NUMERIC, "C"); // the application took the system's
    const QString out = QDir(QString::fromStdString(o.out)).absolutePath();
    QDir().mkpath(out + "/data");
    desk::Desk desk({(out + "/data").toStdString(), system::assets_folder(), o.profile});
    desk::PracticeDriver world;
    desk::RehearsalOptions options;
    options.scale = o.scale;
    options.seed = o.seed;
    options.slip = o.slip;
    options.forget = o.forget;
    options.dwell_min = o.dwell_min;
    options.talk = o.talk;
    desk::Rehearsal technician(desk, world, options);
    int code = 3;
    desk::RehearsalResult result;

    QObject::connect(&world, &desk::PracticeDriver::failed, &app, [&](const QString& why) {
        std::fprintf(stderr, "practice aircraft: %s\n", qPrintable(why));
        app.exit(3);
    });
    // A folder that was rehearsed in before asks for the PIN of who signed there.
    bool open = false;
    QObject::connect(&desk, &desk::Desk::locked, &app, [&](bool locked) {
        if (locked) return desk.unlock(QString::fromStdString(options.worker), QString::fromLatin1(desk::Rehearsal::worker_pin));
        if (std::exchange(open, true)) return;
        world.start(QString::fromStdString(o.program), QString::fromStdString(system::assets_folder() + "/profiles/" + o.profile + ".json"), out, o.seed, QString::fromStdString(o.fault), o.scale);
    });
    QObject::connect(&world, &desk::PracticeDriver::ready, &app, [&](const json::Value& where) {
        desk.set_port(QString::fromStdString(where["pty"].as_text()));
        json::Value ask(json::Object{});
        ask.at("eye") = "writeup";
        world.ask(ask, [&](const json::Value& writeup) {
            job::Opening opening;
            opening.tail = writeup["tail"].as_text();
            opening.complaint = writeup["complaint"].as_text();
            opening.complaint_kind = writeup["kind"].as_text();
            opening.practice = true;
            opening.scale_milli = static_cast<std::int64_t>(o.scale * 1000);
            opening.departure_utc_ms = QDateTime::currentMSecsSinceEpoch() + 5 * 3600 * 1000;
            opening.decide_utc_ms = opening.departure_utc_ms - 90 * 60 * 1000;
            desk.open_new(opening, QString::fromStdString(options.worker));
            technician.begin();
        });
    });
    QObject::connect(&technician, &desk::Rehearsal::done, &app, [&](const desk::RehearsalResult& r) {
        result = r;
        code = r.closed && r.right() ? 0 : 1;
        desk.export_to(out);
    });
    QObject::connect(&desk, &desk::Desk::problem, &app, [&](const Problem& p) {
        // Before the first view there is no job, and nothing else would end this. That a copied folder goes on under another name is no problem.
        const bool no_job = !desk.view() && p.code != "copied" && p.code != "restored";
        if (no_job || p.code == "io_error") {
            std::fprintf(stderr, "%s %s\n", p.code.c_str(), p.place.c_str());
            for (const auto& [key, value] : p.args) std::fprintf(stderr, "  %s: %s\n", key.c_str(), value.c_str());
            app.exit(3);
        }
    });
    QObject::connect(&desk, &desk::Desk::exported, &app, [&](const QString& pdf, const QString& journal) {
        if (o.json) std::printf("%s\n", json::write(as_json(result, pdf, journal)).c_str());
        else say(result, pdf, journal);
        std::fflush(stdout);
        app.exit(code);
    });
    QTimer minute;
    QObject::connect(&minute, &QTimer::timeout, &app, [] {
        std::printf("RSS %ld\n", resident_kb());
        std::fflush(stdout);
    });
    if (o.rss) minute.start(static_cast<int>(60'000 / o.scale));
    desk.start();
    return app.exec();
}

} // namespace chockside::cli
