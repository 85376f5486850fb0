#include <core/heading/swing_csv.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::heading;

class TestSwingCsv : public QObject {
    Q_OBJECT

private slots:
    void readsPoints();
    void readsSigmaCommentsAndWindowsLines();
    void namesTheLine_data();
    void namesTheLine();
};

void TestSwingCsv::readsPoints()
{
    const auto points = read_swing_csv("reference_deg,indicated_deg\n0.5,358\n90,91.25\n");
    QVERIFY(points.has_value());
    QCOMPARE(points->size(), std::size_t{2});
    QCOMPARE((*points)[0].reference_deg, 0.5);
    QCOMPARE((*points)[1].indicated_deg, 91.25);
    QVERIFY(!(*points)[0].sigma_deg);
}

void TestSwingCsv::readsSigmaCommentsAndWindowsLines()
{
    const auto points = read_swing_csv("\xEF\xBB\xBF# swing of the day\r\nreference_deg, indicated_deg, sigma_deg\r\n\r\n10,11,0.2\r\n360,1,0.3");
    QVERIFY(points.has_value());
    QCOMPARE(points->size(), std::size_t{2});
    QCOMPARE(*(*points)[1].sigma_deg, 0.3);
}

void TestSwingCsv::namesTheLine_data()
{
    QTest::addColumn<QByteArray>("text");
    QTest::addColumn<QByteArray>("code");
    QTest::addColumn<QByteArray>("line");
    const QByteArray head = "reference_deg,indicated_deg\n10,11\n";
    QTest::newRow("decimal commas") << head + "12,5,13,0\n" << QByteArray("decimal_comma") << QByteArray("3");
    QTest::newRow("one decimal comma") << head + "12,5,13\n" << QByteArray("decimal_comma") << QByteArray("3");
    QTest::newRow("decimal commas in quotes") << head + "\"12,5\",\"13,0\"\n" << QByteArray("decimal_comma") << QByteArray("3");
    QTest::newRow("semicolon with commas") << head + "12,5;13,0\n" << QByteArray("decimal_comma") << QByteArray("3");
    QTest::newRow("semicolon") << head + "12;13\n" << QByteArray("semicolon") << QByteArray("3");
    QTest::newRow("one field") << head + "12\n" << QByteArray("wrong_field_count") << QByteArray("3");
    QTest::newRow("a word") << head + "\n12,north\n" << QByteArray("not_a_number") << QByteArray("4");
    QTest::newRow("beyond a turn") << head + "12,361\n" << QByteArray("heading_out_of_range") << QByteArray("3");
    QTest::newRow("negative") << head + "-1,3\n" << QByteArray("heading_out_of_range") << QByteArray("3");
    QTest::newRow("no header") << QByteArray("10,11\n") << QByteArray("no_header") << QByteArray("1");
    QTest::newRow("empty") << QByteArray("") << QByteArray("no_header") << QByteArray("1");
    QTest::newRow("columns changed over") << QByteArray("reference_deg,sigma_deg\n") << QByteArray("unknown_column") << QByteArray("1");
    QTest::newRow("header alone") << QByteArray("reference_deg,indicated_deg\n") << QByteArray("no_points") << QByteArray("2");
    QTest::newRow("sigma of nothing") << QByteArray("reference_deg,indicated_deg,sigma_deg\n1,2,0\n") << QByteArray("bad_sigma") << QByteArray("2");
}

void TestSwingCsv::namesTheLine()
{
    QFETCH(QByteArray, text);
    QFETCH(QByteArray, code);
    QFETCH(QByteArray, line);
    const auto points = read_swing_csv(text.toStdString());
    QVERIFY(!points.has_value());
    QCOMPARE(points.error().code, code.toStdString());
    QCOMPARE(points.error().args.front(), (std::pair<std::string, std::string>{"line", line.toStdString()}));
}

CHOCKSIDE_TEST(TestSwingCsv)
#include "tst_swing_csv.moc"
