// Which port an adapter that was pulled stands on now. Two of one kind without a serial number can't be told apart by what they say of
// themselves: the one that never went away is not the one that came back.
#include <platform/serial/port_list.h>
#include <tests/support/test_main.h>

using namespace chockside;

namespace {

serial::PortInfo adapter(const char* name, const char* serial_number = "")
{
    return {name, QString("/dev/") + name, "bridge", "", serial_number, 0x0403, 0x6001};
}

} // namespace

class TestComeBack : public QObject {
    Q_OBJECT

private slots:
    void it_is_found_under_its_own_name_and_under_a_new_one()
    {
        const QString identity = adapter("ttyUSB0").identity();
        QCOMPARE(serial::come_back({adapter("ttyUSB0")}, "ttyUSB0", identity, {}), QString("ttyUSB0"));
        QCOMPARE(serial::come_back({adapter("ttyUSB0")}, "/dev/ttyUSB0", identity, {}), QString("/dev/ttyUSB0"));
        QCOMPARE(serial::come_back({adapter("ttyUSB3")}, "/dev/ttyUSB0", identity, {}), QString("/dev/ttyUSB3"));
    }

    void the_other_channels_adapter_is_not_taken_for_it()
    {
        const QString identity = adapter("ttyUSB0").identity();
        QCOMPARE(serial::come_back({adapter("ttyUSB1")}, "/dev/ttyUSB0", identity, {"/dev/ttyUSB1"}), QString());
        QCOMPARE(serial::come_back({adapter("ttyUSB1"), adapter("ttyUSB2")}, "/dev/ttyUSB0", identity, {"/dev/ttyUSB1"}), QString("/dev/ttyUSB2"));
    }

    void another_one_under_the_old_name_is_not_it()
    {
        const QString identity = adapter("ttyUSB0", "A1").identity();
        QCOMPARE(serial::come_back({adapter("ttyUSB0", "B2")}, "/dev/ttyUSB0", identity, {}), QString());
        QCOMPARE(serial::come_back({}, "/dev/pts/7", {}, {}), QString("/dev/pts/7")); // no adapter: its name is all there is
    }
};

CHOCKSIDE_TEST(TestComeBack)
#include "tst_come_back.moc"
