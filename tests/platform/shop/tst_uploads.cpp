#include <platform/shop/uploads.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <core/trust/trust.h>

#include <QTemporaryDir>

#include <unistd.h>

using namespace chockside;
using namespace chockside::shop;

class TestShopUploads : public QObject {
    Q_OBJECT

    QTemporaryDir dir_;
    system::SystemClock clock_;
    trust::SystemRandom random_;
    std::string path(const char* name) const { return dir_.path().toStdString() + "/" + name; }

private slots:
    void begun_left_and_taken_up_by_another_process()
    {
        auto blobs = Blobs::open(path("blobs"));
        QVERIFY(blobs);
        const std::string bytes(300000, 'x'), sha = trust::sha256_hex(as_bytes(bytes));
        std::string id;
        {
            Uploads first(std::move(*Folder::open(path("uploads"))), *blobs, clock_, random_, {});
            id = *first.begin("device", sha, bytes.size(), "m");
            QCOMPARE(*first.begin("device", sha, bytes.size(), "m"), id);
            auto lease = first.take(id, {});
            QVERIFY(lease && first.append(*lease, std::string_view(bytes).substr(0, 100000)));
            QCOMPARE(lease->offset(), std::uint64_t(0)); // nothing counts before it is on the disk
            QVERIFY(first.settle(*lease));
            QCOMPARE(lease->offset(), std::uint64_t(100000));
        }
        Uploads second(std::move(*Folder::open(path("uploads"))), *blobs, clock_, random_, {});
        auto lease = second.take(id, {});
        QVERIFY(lease);
        QCOMPARE(lease->offset(), std::uint64_t(100000));
        QVERIFY(!second.append(*lease, std::string(200001, 'x')));
        QVERIFY(second.append(*lease, std::string_view(bytes).substr(100000)) && second.settle(*lease) && second.finish(*lease));
        QCOMPARE(*blobs->bytes(sha, 1u << 20), bytes);
    }
    void a_planted_link_is_not_followed()
    {
        auto folder = Folder::open(path("links"));
        QVERIFY(folder);
        QCOMPARE(::symlink("/etc/passwd", path("links/passwd").c_str()), 0);
        QVERIFY(!folder->read("passwd"));
        QVERIFY(!folder->append("passwd", false));
        QVERIFY(!folder->has("passwd"));
        auto blobs = Blobs::open(path("linked"));
        const std::string sha(64, 'a');
        QVERIFY(Folder::open(path("linked/aa")));
        QCOMPARE(::symlink("/etc/passwd", (path("linked/aa/") + sha).c_str()), 0);
        QVERIFY(!blobs->has(sha) && !blobs->read(sha));
        for (const char* bad : {"..", ".", "../x", "a/b", "", ".hidden", "a\\b"}) QVERIFY2(!folder->read(bad) && !folder->write_whole(bad, "x"), bad);
    }
};
CHOCKSIDE_TEST(TestShopUploads)

#include "tst_uploads.moc"
