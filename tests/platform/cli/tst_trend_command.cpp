// The command over a capture of 64 MB (1 GB with CHOCKSIDE_LONG=1): opened, plotted, searched; its peak of resident memory as the kernel
// counted it (wait4).
#include <tests/support/capture_maker.h>
#include <tests/support/test_main.h>

#include <QFile>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QTemporaryDir>

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;

namespace {

struct Ran {
    int code = -1;
    long peak_kib = 0;
};

Ran run(std::vector<std::string> words, const QString& out)
{
    std::vector<char*> argv;
    for (std::string& w : words) argv.push_back(w.data());
    argv.push_back(nullptr);
    const QByteArray path = out.toUtf8();
    const pid_t child = ::vfork();
    if (child == 0) {
        const int fd = ::open(path.constData(), O_CREAT | O_TRUNC | O_WRONLY, 0600);
        ::dup2(fd, 1);
        ::execv(argv[0], argv.data());
        ::_exit(127);
    }
    int status = 0;
    rusage used{};
    ::wait4(child, &status, 0, &used);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, used.ru_maxrss};
}

QJsonObject answer(const QString& path)
{
    QFile f(path);
    return f.open(QIODevice::ReadOnly) ? QJsonDocument::fromJson(f.readAll()).object() : QJsonObject();
}

} // namespace

class TestTrendCommand : public QObject {
    Q_OBJECT

private slots:
    void a_large_capture_stays_within_its_memory()
    {
        const bool whole = qEnvironmentVariableIsSet("CHOCKSIDE_LONG");
        const qint64 size = whole ? 1'000'000'000 : 64'000'000;
        // 256 MiB for 1 GB; for 64 MB what a process of this program takes empty, and the same bounded buffers.
        const long most_kib = (whole ? 256 : 64) * 1024;
        QTemporaryDir folder;
        const QString path = folder.filePath("large.pcapng"), out = folder.filePath("out.json");
        QFile file(path);
        QVERIFY(file.open(QIODevice::WriteOnly));
        Bytes bytes;
        capture::write_section({"ttyS0", "115200 8N1", 115200, ""}, bytes);
        tests::CaptureMaker maker(11);
        while (file.pos() < size) {
            maker.packets(2000, 8, [&](const capture::Packet& p) { capture::write_packet(p, bytes); });
            file.write(reinterpret_cast<const char*>(bytes.data()), static_cast<qint64>(bytes.size()));
            bytes.clear();
        }
        file.close();
        const std::vector<std::string> base{CHOCKSIDE_BIN_DIR "/chockside-cli", "trend", path.toStdString(), "--profile", CHOCKSIDE_SOURCE_DIR "/assets/profiles/sandgrouse_12_pru_2.json", "--json", "--signal", "word.heading"};
        auto plot = base, search = base;
        plot.insert(plot.end(), {"--columns", "1000"});
        search.insert(search.end(), {"--search", "invalid"});
        const Ran plotted = run(plot, out);
        QCOMPARE(plotted.code, 0);
        double n = 0;
        for (const auto& c : answer(out)["columns"].toArray()) n += c.toObject()["count"].toDouble();
        QVERIFY(n > static_cast<double>(size) / 40);
        QVERIFY2(plotted.peak_kib < most_kib, qPrintable(QString::number(plotted.peak_kib)));
        const Ran searched = run(search, out);
        QCOMPARE(searched.code, 0);
        QVERIFY(answer(out)["matches"].toArray().size() > 50);
        QVERIFY2(searched.peak_kib < most_kib, qPrintable(QString::number(searched.peak_kib)));
        qInfo("%lld bytes: %ld and %ld KiB", static_cast<long long>(QFileInfo(path).size()), plotted.peak_kib, searched.peak_kib);
    }
};

CHOCKSIDE_TEST(TestTrendCommand)
#include "tst_trend_command.moc"
