// The paper that is left behind: whole or not there at all.
#include <platform/report/pdf.h>
#include <platform/system/system.h>

#include <tests/support/test_main.h>

#include <QFile>
#include <QProcess>
#include <QTemporaryDir>

#include <csignal>
#include <sys/resource.h>

using namespace chockside;

namespace {

record::Report report_of(std::vector<record::Block> blocks)
{
    record::Report r;
    r.job = "20260617T142740-0000000001";
    r.tail = "Q4-RMP";
    r.head_hash = std::string(64, 'a');
    r.sections.push_back({"Aircraft entry", false, std::move(blocks)});
    return r;
}

/// While it lives, no file of this process grows beyond so many bytes.
class SmallFiles {
public:
    explicit SmallFiles(rlim_t most) : before_signal_(std::signal(SIGXFSZ, SIG_IGN))
    {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        const rlimit now{most, before_.rlim_max};
        ::setrlimit(RLIMIT_FSIZE, &now);
    }
    ~SmallFiles()
    {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, before_signal_);
    }
    SmallFiles(const SmallFiles&) = delete;
    SmallFiles& operator=(const SmallFiles&) = delete;

private:
    void (*before_signal_)(int);
    rlimit before_{};
};

QByteArray content(const QString& path)
{
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

} // namespace

class TestPdf : public QObject {
    Q_OBJECT

    QTemporaryDir dir_;
    system::SystemDisk disk_;
    QString path_ = dir_.filePath("report.pdf");

    /// As another program reads it.
    QByteArray read_back() const
    {
        QProcess reader;
        reader.start("pdftotext", {path_, "-"});
        return reader.waitForFinished(30'000) ? reader.readAllStandardOutput() : QByteArray();
    }

    Status write(const record::Report& r) { return report::write_pdf(r, report::Paper::a4, disk_, path_.toStdString()); }

private slots:
    void a_disk_that_takes_no_more_is_told_and_leaves_the_report_before()
    {
        QVERIFY(write(report_of({record::Paragraph{"First.", record::Paragraph::Kind::fact}})));
        const QByteArray before = content(path_);
        QVERIFY(before.startsWith("%PDF-") && before.trimmed().endsWith("%%EOF"));
        const Status refused = [&] {
            const SmallFiles small(4096);
            return write(report_of({record::Paragraph{"Second.", record::Paragraph::Kind::fact}}));
        }();
        QVERIFY(!refused);
        QCOMPARE(content(path_), before);
        QVERIFY(write(report_of({record::Paragraph{"Third.", record::Paragraph::Kind::fact}})));
        QVERIFY(content(path_).trimmed().endsWith("%%EOF"));
    }

    void what_is_taller_than_a_page_goes_on_over_the_next_data()
    {
        QTest::addColumn<bool>("in_table");
        QTest::newRow("paragraph") << false;
        QTest::newRow("cell") << true;
    }
    void what_is_taller_than_a_page_goes_on_over_the_next()
    {
        QFETCH(bool, in_table);
        constexpr int words = 1500;
        std::string text;
        for (int i = 0; i < words; ++i) text += "word" + std::to_string(10000 + i) + " ";
        const record::Paragraph para{text, record::Paragraph::Kind::fact};
        const record::Table table{{"UTC", "Entry", "By", "Digest"}, {{"first", "", "LK", "a"}, {"1", text, "LK", "b"}, {"last", "", "LK", "c"}}, {0.14, 0.58, 0.1, 0.18}};
        QVERIFY(write(report_of({in_table ? record::Block(table) : record::Block(para), record::Paragraph{"theend", record::Paragraph::Kind::fact}})));
        const QByteArray read = read_back();
        for (int i = 0; i < words; ++i) QVERIFY2(read.contains("word" + QByteArray::number(10000 + i)), QByteArray::number(i));
        QVERIFY(read.contains("theend"));
        QVERIFY(!in_table || read.contains("last"));
    }

    void a_table_says_its_columns_on_each_page()
    {
        record::Table table{{"UTC", "Entry", "By", "Digest"}, {}, {0.14, 0.58, 0.1, 0.18}};
        for (int i = 0; i < 150; ++i) table.rows.push_back({"12:00:00", "row" + std::to_string(1000 + i), "LK", "0123"});
        QVERIFY(write(report_of({record::Block(table)})));
        const QByteArray read = read_back();
        const auto pages = read.count('\f');
        QVERIFY(pages > 2);
        QCOMPARE(read.count("Digest"), pages);
        QVERIFY(read.contains("row1000") && read.contains("row1149"));
    }

    void a_word_that_is_wider_than_the_page_is_not_cut_off()
    {
        QVERIFY(write(report_of({record::Paragraph{std::string(400, 'W'), record::Paragraph::Kind::fact}})));
        QCOMPARE(read_back().count('W'), 400);
    }
};

CHOCKSIDE_TEST(TestPdf)
#include "tst_pdf.moc"
