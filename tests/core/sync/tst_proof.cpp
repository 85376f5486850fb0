// The log's tree against published roots and against the definition, written out once more over plain leaves.
#include <core/sync/proof.h>

#include <tests/support/test_main.h>

#include <map>

using namespace chockside;
using namespace chockside::sync;

namespace {

struct Tree {
    std::map<NodeName, Digest> nodes;
    std::vector<Digest> leaves;
    FindNode find = [this](NodeName n) -> Result<Digest> {
        const auto found = nodes.find(n);
        return found == nodes.end() ? Result<Digest>(fail("not_found")) : Result<Digest>(found->second);
    };
    void add(ByteView bytes)
    {
        const auto grown = grow(static_cast<std::int64_t>(leaves.size()), leaf_digest(bytes), find);
        for (const auto& n : *grown) nodes[n.name] = n.digest;
        leaves.push_back(leaf_digest(bytes));
    }
};

/// RFC 9162, section 2.1.1, word for word.
Digest naive(std::span<const Digest> d)
{
    if (d.size() == 1) return d[0];
    std::size_t k = 1;
    while (2 * k < d.size()) k *= 2;
    return node_digest(naive(d.first(k)), naive(d.subspan(k)));
}

} // namespace

class TestProof : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Eight leaves and the roots of the trees over the first n of them, as the reference tests of Certificate Transparency (RFC 6962,
    // whose hashes RFC 9162 keeps) publish them. From memory; a digest that agrees does not do so by chance.
    void published_roots()
    {
        const char* leaves[] = {"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"};
        const char* roots[] = {"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d", "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
            "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77", "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
            "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4", "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
            "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c", "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"};
        Tree t;
        QCOMPARE(to_hex(*root_of(0, t.find)), std::string("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"));
        for (int i = 0; i < 8; ++i) {
            t.add(*from_hex(leaves[i]));
            QCOMPARE(to_hex(*root_of(i + 1, t.find)), std::string(roots[i]));
        }
    }

    void every_proof_of_every_small_tree()
    {
        Tree t;
        std::vector<Digest> roots{*root_of(0, t.find)};
        for (std::int64_t n = 1; n <= 40; ++n) {
            t.add(as_bytes(std::to_string(n)));
            roots.push_back(*root_of(n, t.find));
            QVERIFY(roots.back() == naive(t.leaves));
            for (std::int64_t i = 0; i < n; ++i) {
                Path path = *inclusion(i, n, t.find);
                const Digest& leaf = t.leaves[static_cast<std::size_t>(i)];
                QVERIFY(verify_inclusion(leaf, i, n, path, roots.back()));
                QVERIFY(!verify_inclusion(leaf, i + 1, n, path, roots.back()));
                for (auto& d : path) {
                    d[5] ^= std::byte{1};
                    QVERIFY(!verify_inclusion(leaf, i, n, path, roots.back()));
                    d[5] ^= std::byte{1};
                }
                path.push_back(leaf);
                QVERIFY(!verify_inclusion(leaf, i, n, path, roots.back()));
            }
            for (std::int64_t m = 1; m <= n; ++m) {
                Path path = *consistency(m, n, t.find);
                const auto& from = roots[static_cast<std::size_t>(m)];
                QVERIFY(verify_consistency(m, n, path, from, roots.back()));
                if (m < n) QVERIFY(!verify_consistency(m, n, path, roots[static_cast<std::size_t>(m) - 1], roots.back()));
                for (auto& d : path) {
                    d[9] ^= std::byte{4};
                    QVERIFY(!verify_consistency(m, n, path, from, roots.back()));
                    d[9] ^= std::byte{4};
                }
            }
        }
    }

    void a_log_that_was_rewritten_has_no_proof()
    {
        Tree a, b;
        for (int i = 0; i < 20; ++i) a.add(as_bytes(std::to_string(i))), b.add(as_bytes(std::to_string(i == 7 ? 99 : i)));
        QVERIFY(!verify_consistency(10, 20, *consistency(10, 20, b.find), *root_of(10, a.find), *root_of(20, b.find)));
    }
};

CHOCKSIDE_TEST(TestProof)
#include "tst_proof.moc"
