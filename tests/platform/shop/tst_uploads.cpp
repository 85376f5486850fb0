#include <platform/shop/uploads.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <core/trust/trust.h>

#include <QTemporaryDir>

#include <cerrno>
#include <sys/resource.h>
#include <sys/statvfs.h>
#include <sys/syscall.h>
#include <unistd.h>

using namespace chockside;
using namespace chockside::shop;

namespace {

bool disk_fails = false;

} // namespace

/// In place of the C library's, for all of this program.
extern "C" int fdatasync(int fd)
{
    if (!disk_fails) return static_cast<int>(::syscall(SYS_fdatasync, fd));
    errno = EIO;
    return -1;
}

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
    void a_failed_sync_counts_nothing_and_takes_nothing_back()
    {
        auto blobs = Blobs::open(path("blobs"));
        Uploads uploads(std::move(*Folder::open(path("failed"))), *blobs, clock_, random_, {});
        const std::string bytes(900, 'f'), sha = trust::sha256_hex(as_bytes(bytes)), id = *uploads.begin("device", sha, bytes.size(), "m");
        {
            auto lease = uploads.take(id, {});
            QVERIFY(lease && uploads.append(*lease, std::string_view(bytes).substr(0, 100)) && uploads.settle(*lease));
            QVERIFY(uploads.append(*lease, std::string_view(bytes).substr(100, 200)));
            disk_fails = true;
            QVERIFY(!uploads.settle(*lease));
            disk_fails = false;
            QCOMPARE(lease->offset(), std::uint64_t(100));
        }
        {
            auto lease = uploads.take(id, {}); // left with bytes that were never settled
            QVERIFY(lease && lease->offset() == 100 && uploads.append(*lease, std::string_view(bytes).substr(100, 300)));
        }
        auto lease = uploads.take(id, {});
        QVERIFY(lease);
        const auto came = lease->offset();
        QCOMPARE(came, std::uint64_t(400));
        QVERIFY(uploads.append(*lease, std::string_view(bytes).substr(400, 100)) && uploads.settle(*lease));
        QCOMPARE(lease->offset(), std::uint64_t(500));
        QVERIFY(uploads.append(*lease, std::string_view(bytes).substr(500)) && uploads.settle(*lease) && uploads.finish(*lease));
        QCOMPARE(*blobs->bytes(sha, 1u << 20), bytes);
    }
    void without_a_file_handle_nothing_is_gone()
    {
        auto blobs = Blobs::open(path("blobs"));
        Uploads uploads(std::move(*Folder::open(path("handles"))), *blobs, clock_, random_, {});
        const auto id = *uploads.begin("device", std::string(64, 'a'), 900, "m");
        {
            auto lease = uploads.take(id, {});
            QVERIFY(lease && uploads.append(*lease, std::string(100, 'x')) && uploads.settle(*lease));
        }
        rlimit was{};
        ::getrlimit(RLIMIT_NOFILE, &was);
        const rlimit none{0, was.rlim_max};
        ::setrlimit(RLIMIT_NOFILE, &none);
        const auto refused = uploads.take(id, {});
        const std::string code = refused ? "" : refused.error().code;
        ::setrlimit(RLIMIT_NOFILE, &was);
        QCOMPARE(code, std::string("io_error"));
        const auto lease = uploads.take(id, {});
        QVERIFY(lease);
        QCOMPARE(lease->offset(), std::uint64_t(100));
    }
    void a_full_disk_keeps_the_offset()
    {
        auto blobs = Blobs::open(path("blobs"));
        const std::string there = *blobs->put("there");
        std::string id;
        {
            Uploads roomy(std::move(*Folder::open(path("full"))), *blobs, clock_, random_, {});
            id = *roomy.begin("device", std::string(64, 'b'), 900, "m");
            auto lease = roomy.take(id, {});
            QVERIFY(lease && roomy.append(*lease, std::string(100, 'x')) && roomy.settle(*lease));
        }
        UploadLimits limits;
        limits.least_free = 2; // no disk has that
        Uploads full(std::move(*Folder::open(path("full"))), *blobs, clock_, random_, limits);
        QCOMPARE(full.begin("device", std::string(64, 'c'), 1, "m").error().code, std::string("disk_full"));
        QCOMPARE(*full.begin("device", std::string(64, 'b'), 900, "m"), id);
        QVERIFY(full.begin("device", there, 5, "m"));
        auto lease = full.take(id, {});
        QVERIFY(lease);
        QCOMPARE(full.append(*lease, "y").error().code, std::string("disk_full"));
        QCOMPARE(full.stage(*lease, "y").error().code, std::string("disk_full"));
        QCOMPARE(lease->offset(), std::uint64_t(100));
    }
    void what_is_promised_is_taken()
    {
        auto blobs = Blobs::open(path("blobs"));
        UploadLimits limits;
        limits.least_free = 0;
        limits.blob = limits.day = std::uint64_t{1} << 60;
        struct statvfs disk{};
        ::statvfs(path("blobs").c_str(), &disk);
        const auto most = static_cast<std::uint64_t>(disk.f_bavail) * disk.f_frsize / 10 * 6;
        Uploads uploads(std::move(*Folder::open(path("promised"))), *blobs, clock_, random_, limits);
        QVERIFY(uploads.begin("device", std::string(64, 'd'), most, "m"));
        QCOMPARE(uploads.begin("another", std::string(64, 'e'), most, "m").error().code, std::string("disk_full"));
    }
    void two_receivers_share_a_folder()
    {
        auto blobs = Blobs::open(path("blobs"));
        const std::string bytes(900, 's'), sha = trust::sha256_hex(as_bytes(bytes));
        Uploads one(std::move(*Folder::open(path("shared"))), *blobs, clock_, random_, {}), other(std::move(*Folder::open(path("shared"))), *blobs, clock_, random_, {});
        const auto id = *one.begin("device", sha, bytes.size(), "m");
        QCOMPARE(*other.begin("device", sha, bytes.size(), "m"), id);
        {
            auto lease = other.take(id, {});
            QVERIFY(lease && other.append(*lease, std::string_view(bytes).substr(0, 300)) && other.settle(*lease));
            QCOMPARE(one.take(id, {}).error().code, std::string("busy"));
        }
        auto lease = one.take(id, {});
        QVERIFY(lease && lease->offset() == 300 && one.append(*lease, std::string_view(bytes).substr(300)) && one.settle(*lease) && one.finish(*lease));
        QCOMPARE(other.take(id, {})->offset(), std::uint64_t(900));
        const auto ended = *one.begin("device", std::string(64, 'f'), 9, "m");
        QVERIFY(other.take(ended, {}));
        {
            auto last = one.take(ended, {});
            QVERIFY(last && one.terminate(*last));
        }
        QCOMPARE(other.take(ended, {}).error().code, std::string("gone"));
        QCOMPARE(other.take(std::string(32, '0'), {}).error().code, std::string("not_found"));
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
