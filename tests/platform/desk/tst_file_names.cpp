// What a person typed becomes the name of a file: one name, in the folder that was asked for.
#include <platform/desk/file_names.h>

#include <tests/support/test_main.h>

using namespace chockside;
using desk::export_stem;

class TestFileNames : public QObject {
    Q_OBJECT

private slots:
    void a_usual_name_stays_as_it_is()
    {
        QCOMPARE(export_stem("Q4-RMP", "20260617T142740-0000000001"), std::string("Q4-RMP-20260617T142740-0000000001"));
        QCOMPARE(export_stem("\u00C9-12 A", "j"), std::string("\u00C9-12 A-j"));
    }

    void nothing_leads_out_of_the_folder_data()
    {
        QTest::addColumn<QString>("tail");
        for (const char* tail : {"Q4/RMP", "../../evil", "..", ".", "", "/etc/x", "a\\b", "a:b*?\"<>|", "a\nb", "-rf", ".hidden"}) QTest::newRow(tail) << QString(tail);
    }
    void nothing_leads_out_of_the_folder()
    {
        QFETCH(QString, tail);
        for (const std::string& stem : {export_stem(tail.toStdString(), "job"), export_stem("Q4", tail.toStdString())}) {
            QVERIFY2(stem.find_first_of("/\\:*?\"<>|\n") == std::string::npos, stem.c_str());
            QVERIFY2(stem.front() != '.' && stem.front() != '-', stem.c_str());
        }
    }

    void a_long_name_is_cut_between_characters()
    {
        std::string tail(63, 'a');
        tail += "\u00C9\u00C9";
        QCOMPARE(export_stem(tail, "j"), std::string(63, 'a') + "-j");
        QVERIFY(export_stem(std::string(5000, 'b'), std::string(5000, 'c')).size() < 200);
    }
};

CHOCKSIDE_TEST(TestFileNames)
#include "tst_file_names.moc"
