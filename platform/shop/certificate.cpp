#include <platform/shop/certificate.h>

#include <core/trust/trust.h>

#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/x509.h>

#include <fcntl.h>
#include <memory>
#include <unistd.h>

namespace chockside::shop {

namespace {

template <auto end>
struct End {
    template <class T>
    void operator()(T* p) const
    {
        end(p);
    }
};
using Key = std::unique_ptr<EVP_PKEY, End<EVP_PKEY_free>>;
using Certificate = std::unique_ptr<X509, End<X509_free>>;

struct Shut {
    void operator()(FILE* f) const { std::fclose(f); }
};
using File = std::unique_ptr<FILE, Shut>;

File private_file(const std::string& path)
{
    const int fd = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0600);
    return File(fd >= 0 ? ::fdopen(fd, "w") : nullptr);
}

} // namespace

Status make_certificate(const std::string& certificate_file, const std::string& key_file, const std::string& host)
{
    const Key key(EVP_EC_gen("P-256"));
    const Certificate c(X509_new());
    if (!key || !c) return fail("no_certificate", "key");
    X509_set_version(c.get(), X509_VERSION_3);
    Bytes serial(8);
    trust::SystemRandom().fill(serial);
    std::uint64_t number = 1;
    for (const auto b : serial) number = number << 7 | (std::to_integer<std::uint64_t>(b) & 0x7f);
    ASN1_INTEGER_set_uint64(X509_get_serialNumber(c.get()), number);
    X509_gmtime_adj(X509_getm_notBefore(c.get()), -24 * 3600);
    X509_gmtime_adj(X509_getm_notAfter(c.get()), 10L * 365 * 24 * 3600);
    X509_set_pubkey(c.get(), key.get());
    X509_NAME* name = X509_get_subject_name(c.get());
    X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_UTF8, reinterpret_cast<const unsigned char*>(host.c_str()), -1, -1, 0);
    X509_set_issuer_name(c.get(), name);
    if (X509_sign(c.get(), key.get(), EVP_sha256()) == 0) return fail("no_certificate", "sign");
    const File k = private_file(key_file), f = private_file(certificate_file);
    if (!k || !f || PEM_write_PrivateKey(k.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) != 1 || PEM_write_X509(f.get(), c.get()) != 1) return fail("io_error", certificate_file);
    return {};
}

Result<std::string> pin_of(const std::string& certificate_file)
{
    const File f(std::fopen(certificate_file.c_str(), "r"));
    const Certificate c(f ? PEM_read_X509(f.get(), nullptr, nullptr, nullptr) : nullptr);
    if (!c) return fail("no_certificate", certificate_file);
    unsigned char* der = nullptr;
    const int length = i2d_X509_PUBKEY(X509_get_X509_PUBKEY(c.get()), &der);
    if (length <= 0) return fail("no_certificate", certificate_file);
    const auto digest = trust::sha256(std::as_bytes(std::span(der, static_cast<std::size_t>(length))));
    OPENSSL_free(der);
    return to_base64(digest);
}

} // namespace chockside::shop
