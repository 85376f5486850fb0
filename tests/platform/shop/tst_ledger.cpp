// A batch that meets an entry that stands: refused as "exists", and after back() it is as if it had never come.
#include <platform/shop/ledger_sql.h>
#include <tests/support/test_main.h>

#include <QTemporaryDir>

using namespace chockside;
using namespace chockside::shop;

namespace {

constexpr std::size_t many = 150;

std::vector<sync::Stored> batch(const std::string& author, std::int64_t first_seq, std::int64_t first_index)
{
    std::vector<sync::Stored> all;
    for (std::size_t i = 0; i < many; ++i) {
        const auto n = static_cast<std::int64_t>(i);
        sync::Stored s;
        s.line = {"envelope " + author + std::to_string(first_seq + n), std::string(128, 'a'), std::string(64, 'b'), "body"};
        s.stated.author = author;
        s.stated.seq = first_seq + n;
        s.stated.job = "job " + std::to_string(n % 3);
        s.stated.hash = author + std::to_string(first_seq + n);
        s.stated.att = {"attachment " + std::to_string(n % 7)};
        s.index = first_index + n;
        all.push_back(std::move(s));
    }
    return all;
}

} // namespace

class TestShopLedger : public QObject {
    Q_OBJECT

    QTemporaryDir dir_;
    std::unique_ptr<Database> database_ = sqlite_database(dir_.path().toStdString() + "/shop.db");
    SqlLedger ledger_{*database_, false};

    std::int64_t count(const std::string& table)
    {
        auto r = ledger_.connection()->run("SELECT count(*) FROM " + table);
        return r ? r->number(0, 0) : -1;
    }
    std::vector<std::int64_t> counts() { return {count("entry"), count("att"), count("job_author")}; }

private slots:
    void a_batch_is_whole()
    {
        QVERIFY(ledger_.make_tables());
        QVERIFY(ledger_.begin(true));
        QVERIFY(ledger_.append(batch("a", 1, 0)));
        QVERIFY(ledger_.append({}));
        QVERIFY(ledger_.share(std::vector<std::string>{"job 0", "job 1", "job 0"}, "a"));
        QVERIFY(ledger_.commit());
        QCOMPARE(counts(), (std::vector<std::int64_t>{many, 21, 3}));
        const auto last = ledger_.vector_of("job 2");
        QVERIFY(last && last->at("a") == 150);
        QVERIFY(*ledger_.shares("job 1", "a") && !*ledger_.shares("job 2", "a"));
        QCOMPARE(ledger_.head("a")->hash, std::string("a150"));
        QCOMPARE(*ledger_.log_size(), std::int64_t(many));
    }
    void a_long_job_id_is_told_apart_to_its_end()
    {
        const std::string beginning(60'000, 'j'), one = beginning + "1", other = beginning + "2", key = job_key(one);
        QVERIFY(key.size() <= 512 && key.size() > 500 && key != job_key(other) && job_key(key) != key);
        QCOMPARE(job_key(std::string(500, 'k')), std::string(500, 'k'));
        const std::string wide = job_key(QString(QChar(0x20ac)).repeated(300).toStdString());
        QVERIFY(is_utf8(wide) && wide.size() <= 512);
        const auto before = counts();
        QVERIFY(ledger_.begin(true));
        QVERIFY(ledger_.share(std::vector<std::string>{one}, "long"));
        QVERIFY(*ledger_.shares(one, "long") && !*ledger_.shares(other, "long") && !*ledger_.shares(key, "long"));
        ledger_.rollback();
        QCOMPARE(counts(), before);
    }
    void what_stands_is_met_and_taken_back()
    {
        const auto before = counts();
        for (const auto& [author, seq, index] : {std::tuple("a", std::int64_t{150}, std::int64_t{150}), std::tuple("b", std::int64_t{1}, std::int64_t{149}), std::tuple("a", std::int64_t{1}, std::int64_t{0})}) {
            QVERIFY(ledger_.begin(true));
            QVERIFY(ledger_.mark());
            const auto met = ledger_.append(batch(author, seq, index));
            QVERIFY(!met);
            QCOMPARE(met.error().code, std::string("exists"));
            QVERIFY(ledger_.back());
            QVERIFY(ledger_.commit());
            QCOMPARE(counts(), before);
        }
    }
};

CHOCKSIDE_TEST(TestShopLedger)
#include "tst_ledger.moc"
