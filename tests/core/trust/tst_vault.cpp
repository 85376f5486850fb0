#include <core/trust/sealed_file.h>
#include <core/trust/sealing_disk.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <map>

using namespace chockside;
using trust::Vault;

namespace {

template <class R>
std::string code(const R& r)
{
    return r ? "ok" : r.error().code;
}

Bytes flipped(Bytes b, std::size_t at)
{
    b[at] ^= std::byte{0x10};
    return b;
}

Bytes some(std::size_t n, std::uint64_t seed = 5)
{
    SeededRandom random(seed);
    Bytes b(n);
    random.fill(b);
    return b;
}

/// Files in memory; from the `fails_at`-th append on (1 is the first) none succeeds until the disk is whole again.
struct MemoryDisk final : Disk {
    struct File final : AppendFile {
        File(MemoryDisk& d, Bytes& b) : disk(d), bytes(b) {}
        Status append(ByteView more) override
        {
            if (++disk.appends == disk.fails_at) return fail("disk_full");
            bytes.insert(bytes.end(), more.begin(), more.end());
            return {};
        }
        Status sync() override { return {}; }
        std::uint64_t size() const override { return bytes.size(); }
        MemoryDisk& disk;
        Bytes& bytes;
    };
    struct Held final : Lock {};
    std::map<std::string, Bytes> files;
    int appends = 0, fails_at = 0;
    bool opens = true;

    Status make_folder(const std::string&) override { return {}; }
    Result<Bytes> read(const std::string& path, std::uint64_t) override { return files.contains(path) ? Result<Bytes>(files[path]) : Result<Bytes>(fail("not_found")); }
    Status write_whole(const std::string& path, ByteView b) override
    {
        files[path] = Bytes(b.begin(), b.end());
        return {};
    }
    Result<std::unique_ptr<AppendFile>> append_to(const std::string& path) override
    {
        if (!opens) return fail("no_permission");
        return std::unique_ptr<AppendFile>(std::make_unique<File>(*this, files[path]));
    }
    Result<std::vector<std::string>> list(const std::string&) override
    {
        std::vector<std::string> names;
        for (const auto& [name, bytes] : files) names.push_back(name);
        return names;
    }
    Status remove(const std::string& path) override { return files.erase(path) ? Status{} : Status(fail("not_found")); }
    Result<std::unique_ptr<Lock>> lock(const std::string&) override { return std::unique_ptr<Lock>(std::make_unique<Held>()); }
    Result<std::uint64_t> free_bytes(const std::string&) override { return std::uint64_t{7}; }
};

struct Place {
    SeededRandom random{11};
    Vault vault = Vault::make(random);
    Vault::NewKey key = vault.begin(random);
};

} // namespace

class TestVault : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void a_shut_vault_writes_and_reads_again_with_its_secret_alone()
    {
        SeededRandom random(12);
        Vault first = Vault::make(random);
        const Bytes secret = first.secret();
        Vault v = std::move(*Vault::with_public_key(first.public_key()));
        QVERIFY(!v.is_open() && v.secret().empty() && !v.can_write());
        QVERIFY(v.seal("a", as_bytes("words"), random).empty());
        QCOMPARE(code(trust::seal_file(v, as_bytes("words"))), std::string("pin_needed"));
        const auto key = v.begin(random);
        const Bytes sealed = v.seal("a", as_bytes("words"), random);
        QCOMPARE(code(v.unseal("a", sealed)), std::string("ok"));
        v.shut();
        QVERIFY(!v.can_write() && v.knows(key.number));
        QCOMPARE(code(v.unseal("a", sealed)), std::string("pin_needed"));
        QVERIFY(v.open_with(secret).has_value());
        QCOMPARE(*v.unseal("a", sealed), to_bytes("words"));
        Vault other = std::move(*Vault::from_secret(secret));
        QVERIFY(other.public_key() == first.public_key());
        other.know(key.number, key.box);
        QCOMPARE(*other.unseal("a", sealed), to_bytes("words"));
    }

    void what_is_no_key_of_it_is_refused()
    {
        Place p;
        const Bytes secret = p.vault.secret();
        for (const std::size_t size : {0u, 31u, 33u}) {
            QCOMPARE(code(Vault::from_secret(Bytes(size))), std::string("bad_key"));
            QCOMPARE(code(Vault::with_public_key(Bytes(size))), std::string("bad_key"));
            QCOMPARE(code(p.vault.open_with(Bytes(size))), std::string("bad_key"));
        }
        // Bits 3 to 254 of an X25519 secret count (RFC 7748, section 5); another one is another key.
        QCOMPARE(code(p.vault.open_with(flipped(secret, 4))), std::string("bad_key"));
        QVERIFY(p.vault.is_open());
    }

    void a_changed_cut_or_exchanged_text_does_not_open()
    {
        Place p;
        const Bytes sealed = p.vault.seal("body/a/1", as_bytes("sixteen letters."), p.random);
        QCOMPARE(sealed.size(), std::size_t{4 + 24 + 16 + 16});
        QCOMPARE(code(p.vault.unseal("body/a/2", sealed)), std::string("bad_seal"));
        for (std::size_t i = 0; i < sealed.size(); ++i) {
            QCOMPARE(code(p.vault.unseal("body/a/1", flipped(sealed, i))), std::string("bad_seal"));
            QCOMPARE(code(p.vault.unseal("body/a/1", ByteView(sealed).first(i))), std::string("bad_seal"));
        }
    }

    void a_changed_cut_or_exchanged_box_does_not_open()
    {
        Place p;
        const Bytes secret = p.vault.secret(), box = p.key.box;
        QCOMPARE(box.size(), std::size_t{32 + 48});
        QCOMPARE(trust::open_box(box, p.vault.public_key(), secret)->size(), std::size_t{32});
        for (std::size_t i = 0; i < box.size(); ++i) {
            QCOMPARE(code(trust::open_box(flipped(box, i), p.vault.public_key(), secret)), std::string("bad_seal"));
            QCOMPARE(code(trust::open_box(ByteView(box).first(i), p.vault.public_key(), secret)), std::string("bad_seal"));
        }
        QCOMPARE(code(trust::open_box(box, p.vault.public_key(), Bytes(31))), std::string("bad_seal"));
        QCOMPARE(code(trust::open_box(box, Bytes(31), secret)), std::string("bad_seal"));
        QCOMPARE(code(trust::open_box(box, p.vault.public_key(), flipped(secret, 4))), std::string("bad_seal"));
        // All zero is of small order: the shared secret would be known to everybody (RFC 7748, section 6.1).
        QVERIFY(trust::box_to(Bytes(32), secret, p.random).empty());
    }

    void a_persons_box_is_for_that_person()
    {
        SeededRandom random(13);
        const auto a = trust::KeyPair::make(random), b = trust::KeyPair::make(random);
        const Bytes secret = some(32);
        const auto box = trust::box_to_person(a.public_key(), secret, random);
        QCOMPARE(*trust::open_persons_box(*box, a), secret);
        QCOMPARE(code(trust::open_persons_box(*box, b)), std::string("bad_seal"));
        QCOMPARE(code(trust::box_to_person(Bytes(31), secret, random)), std::string("bad_key"));
        Bytes neutral(32); // the point (0, 1), of order one (RFC 8032, section 5.1.2 for the spelling)
        neutral[0] = std::byte{1};
        QCOMPARE(code(trust::box_to_person(neutral, secret, random)), std::string("bad_key"));
    }

    void a_data_key_that_is_none_is_named()
    {
        Place p;
        QCOMPARE(code(p.vault.data_key(99)), std::string("bad_seal"));
        p.vault.know(7, flipped(p.key.box, 40));
        QCOMPARE(code(p.vault.data_key(7)), std::string("bad_seal"));
        p.vault.know(8, trust::box_to(p.vault.public_key(), Bytes(31), p.random));
        QCOMPARE(code(p.vault.data_key(8)), std::string("bad_seal"));
    }

    void writing_goes_on_under_the_newest_key()
    {
        Place p;
        const Bytes secret = p.vault.secret();
        const auto second = p.vault.begin(p.random);
        QCOMPARE(p.key.number, 1u);
        QCOMPARE(second.number, 2u);
        Vault again = std::move(*Vault::from_secret(secret));
        QVERIFY(!again.go_on());
        again.know(1, p.key.box);
        again.know(2, second.box);
        QVERIFY(again.go_on());
        QCOMPARE(again.writing(), 2u);
        again.know(3, flipped(second.box, 3));
        QVERIFY(!again.go_on());
        again.shut();
        QVERIFY(!again.go_on());
    }

    void a_file_of_any_length_comes_back()
    {
        Place p;
        for (const std::size_t size : {0, 1, 65535, 65536, 65537, 200000}) {
            const Bytes plain = some(static_cast<std::size_t>(size));
            const auto file = trust::seal_file(p.vault, plain);
            QVERIFY(trust::is_sealed(*file));
            const auto back = trust::unseal_file(p.vault, *file);
            QVERIFY(back->whole && back->bytes == plain);
        }
        QVERIFY(!trust::is_sealed(some(100)));
        QCOMPARE(code(trust::unseal_file(p.vault, some(100))), std::string("bad_seal"));
    }

    void a_cut_file_gives_its_whole_chunks_and_says_so()
    {
        Place p;
        trust::SealingStream stream(*p.vault.data_key(1), 1);
        Bytes file = stream.header();
        std::vector<std::size_t> ends;
        for (const bool last : {false, false, true}) {
            const Bytes chunk = stream.push(some(20), last);
            file.insert(file.end(), chunk.begin(), chunk.end());
            ends.push_back(file.size());
        }
        QCOMPARE(file.size(), std::size_t{36 + 3 * (4 + 20 + 17)});
        for (std::size_t n = 0; n < file.size(); ++n) {
            const auto cut = trust::unseal_file(p.vault, ByteView(file).first(n));
            if (n < 36) {
                QCOMPARE(code(cut), std::string("bad_seal"));
                continue;
            }
            const auto chunks = std::ranges::count_if(ends, [n](std::size_t end) { return end <= n; });
            QVERIFY(!cut->whole);
            QCOMPARE(cut->bytes.size(), static_cast<std::size_t>(20 * chunks));
        }
        for (std::size_t n = 0; n < file.size(); ++n) {
            const auto changed = trust::unseal_file(p.vault, flipped(file, n));
            // A longer length in front of the last chunk looks like a cut one.
            QVERIFY(!changed || !changed->whole);
        }
        Bytes without_first(file.begin(), file.begin() + 36);
        without_first.insert(without_first.end(), file.begin() + static_cast<std::ptrdiff_t>(ends[0]), file.end());
        QCOMPARE(code(trust::unseal_file(p.vault, without_first)), std::string("bad_seal"));
        Bytes more = file;
        more.push_back({});
        QCOMPARE(code(trust::unseal_file(p.vault, more)), std::string("bad_seal"));
        p.vault.shut();
        QCOMPARE(code(trust::unseal_file(p.vault, file)), std::string("pin_needed"));
    }

    void a_file_seals_itself_as_it_grows()
    {
        Place p;
        MemoryDisk under;
        const Bytes plain = some(600000);
        {
            trust::SealingDisk disk(under, *p.vault.data_key(1), 1);
            const auto file = std::move(*disk.append_to("c"));
            QVERIFY(file->append(plain).has_value());
            QVERIFY(file->sync().has_value());
            QCOMPARE(file->size(), std::uint64_t{600000});
        }
        const std::string name = std::string("c") + trust::SealingDisk::ending;
        const auto back = trust::unseal_file(p.vault, under.files[name]);
        QVERIFY(back->whole && back->bytes == plain);
        trust::SealingDisk disk(under, *p.vault.data_key(1), 1);
        QCOMPARE(code((*disk.append_to("c"))->append(plain)), std::string("exists"));
        QCOMPARE(*trust::unseal_file(p.vault, under.files[name])->bytes.begin(), *plain.begin());
        under.opens = false;
        QCOMPARE(code(disk.append_to("d")), std::string("no_permission"));
    }

    // After half a chunk nothing behind it could be read: the file takes nothing more, and what came before it stays.
    void a_write_that_failed_ends_the_file()
    {
        Place p;
        for (int at = 1; at <= 4; ++at) {
            MemoryDisk under;
            under.fails_at = at;
            int kept = 0;
            {
                trust::SealingDisk disk(under, *p.vault.data_key(1), 1);
                const auto file = std::move(*disk.append_to("c"));
                for (int i = 0; i < 5; ++i) kept += file->append(some(10)).has_value();
                QCOMPARE(kept, std::max(0, at - 2));
                QCOMPARE(code(file->append(some(10))), std::string("io_error"));
            }
            const auto back = trust::unseal_file(p.vault, under.files[std::string("c") + trust::SealingDisk::ending]);
            if (at == 1) QCOMPARE(code(back), std::string("bad_seal"));
            else QVERIFY(!back->whole && back->bytes.size() == static_cast<std::size_t>(10 * kept));
        }
    }

    void everything_else_goes_to_the_disk_under_it()
    {
        Place p;
        MemoryDisk under;
        trust::SealingDisk disk(under, *p.vault.data_key(1), 1);
        QVERIFY(disk.make_folder("f").has_value());
        QVERIFY(disk.write_whole("a", as_bytes("x")).has_value());
        QVERIFY(disk.move("a", "b").has_value());
        QCOMPARE(*disk.read("b", 10), to_bytes("x"));
        QCOMPARE(disk.list("f")->size(), std::size_t{1});
        QVERIFY(disk.remove("b").has_value());
        QCOMPARE(code(disk.read("b", 10)), std::string("not_found"));
        QVERIFY(disk.lock("l").has_value());
        QCOMPARE(*disk.free_bytes("f"), std::uint64_t{7});
    }
};

CHOCKSIDE_TEST(TestVault)
#include "tst_vault.moc"
