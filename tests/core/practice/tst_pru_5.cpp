#include "practice_book.h"

#include <core/practice/hands.h>
#include <core/practice/profile_wire.h>
#include <core/profile/load.h>

#include <tests/support/test_main.h>

#include <map>

using namespace chockside;
using namespace chockside::practice;

// The lines of PRU-5 are read here by hand: '#', fields at commas, '*', two hexadecimal digits of the XOR of what stands between.
class TestPru5 : public QObject {
    Q_OBJECT
private slots:
    void every_line_has_its_check_and_nothing_is_left_unsaid();
    void requests_get_their_answers();
    void a_session_is_refused_with_its_reason();
    void a_broken_wire_is_stored_and_shows();
};

namespace {

std::string read_all(const std::string& path)
{
    std::stringstream text;
    text << std::ifstream(path).rdbuf();
    return text.str();
}

ProfileWire pru_5()
{
    const auto half = profile::load_half(read_all(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_5.unit.json"), profile::Half::unit);
    return std::move(*ProfileWire::make(codec::Plan::compile(half.profile.unit).value()));
}

Aircraft with(const std::string& fault)
{
    Scenario s = practice_book().scenario(fault, 7).value();
    s.fault.stored.clear();
    s.world.pace = {7.5, 30, 10, 22, 18, 20};
    return Aircraft(s, pru_5());
}

unsigned xor_of(const std::string& text)
{
    unsigned sum = 0;
    for (char c : text) sum ^= static_cast<unsigned char>(c);
    return sum;
}

std::string line(const std::string& content)
{
    char digits[8];
    std::snprintf(digits, sizeof digits, "*%02X\r\n", xor_of(content));
    return "#" + content + digits;
}

// Newest content of each sentence; a line that is not as it should be stands under "bad".
std::map<std::string, std::string> heard(const Bytes& bytes)
{
    std::map<std::string, std::string> newest;
    std::stringstream all(to_text(bytes));
    for (std::string one; std::getline(all, one);) {
        const bool whole = one.size() > 5 && one.front() == '#' && one.back() == '\r' && one[one.size() - 4] == '*';
        const std::string content = whole ? one.substr(1, one.size() - 5) : "";
        const bool good = whole && std::stoul(one.substr(one.size() - 3, 2), nullptr, 16) == xor_of(content);
        newest[good ? content.substr(0, content.find(',')) : "bad"] = good ? content : one;
    }
    return newest;
}

std::string ask(Aircraft& a, const std::string& content, const std::string& reply)
{
    a.take();
    a.feed(to_bytes(line(content)));
    return heard(a.take())[reply];
}

} // namespace

void TestPru5::every_line_has_its_check_and_nothing_is_left_unsaid()
{
    Aircraft a = with("nothing");
    Hands(a).cable("J5A");
    a.run(5);
    auto lines = heard(a.take());
    QVERIFY2(!lines.contains("bad"), lines["bad"].c_str());
    QVERIFY(a.parts().spoken->unspoken().empty());
    QVERIFY(lines["PRATT"].starts_with("PRATT,A,"));
    QVERIFY(lines.contains("PRSTA") && lines.contains("PRBUS"));
}

void TestPru5::requests_get_their_answers()
{
    Aircraft a = with("nothing");
    Hands(a).cable("J5A");
    a.run(1);
    QCOMPARE(ask(a, "PRQST", "PRTST"), std::string("PRTST,1,0000"));
    QVERIFY(ask(a, "PRQID", "PRIDN").starts_with("PRIDN,PRU2-100-3,"));
    QCOMPARE(ask(a, "PRQFL", "PRFLT"), std::string("PRFLT,0"));
    QCOMPARE(ask(a, "PRENT,3C55", "PRACK"), std::string("PRACK,PRENT"));
    QCOMPARE(ask(a, "PRHLD", "PRACK"), std::string("PRACK,PRHLD"));
    QCOMPARE(ask(a, "PRLVE", "PRACK"), std::string("PRACK,PRLVE"));
    QCOMPARE(ask(a, "PRHLD", "PRNAK"), std::string("PRNAK,PRHLD,3"));
}

void TestPru5::a_session_is_refused_with_its_reason()
{
    Aircraft a = with("nothing");
    Hands(a).cable("J5A");
    a.run(1);
    QCOMPARE(ask(a, "PRENT,0001", "PRNAK"), std::string("PRNAK,PRENT,3"));
    a.parts().on_ground = false;
    QCOMPARE(ask(a, "PRENT,3C55", "PRNAK"), std::string("PRNAK,PRENT,1"));
}

void TestPru5::a_broken_wire_is_stored_and_shows()
{
    Aircraft a = with("broken_wire");
    Hands hands(a);
    hands.cable("J5A");
    a.run(1);
    QVERIFY(hands.panel("wing_tip", true).done());
    QVERIFY(hands.flex("W7", 1, 60).done());
    a.run(60);
    const std::string faults = ask(a, "PRQFL", "PRFLT");
    QVERIFY2(faults.starts_with("PRFLT,1,0012,"), faults.c_str());
}

CHOCKSIDE_TEST(TestPru5)
#include "tst_pru_5.moc"
