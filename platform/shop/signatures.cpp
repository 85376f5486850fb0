#include <platform/shop/signatures.h>

#include <core/trust/trust.h>

namespace chockside::shop {

namespace {

/// Only digests of all three stand in the set: 32 bytes each.
std::string name_of(ByteView hash, ByteView signature, ByteView public_key)
{
    Bytes all;
    all.reserve(hash.size() + signature.size() + public_key.size());
    for (const ByteView part : {public_key, signature, hash}) all.insert(all.end(), part.begin(), part.end());
    return to_text(trust::sha256(all));
}

bool right_sizes(ByteView hash, ByteView signature, ByteView public_key)
{
    return hash.size() == 32 && signature.size() == 64 && public_key.size() == 32;
}

} // namespace

bool Signatures::known(const std::string& name)
{
    const std::lock_guard hold(mutex_);
    return now_.contains(name) || before_.contains(name);
}

void Signatures::remember(std::string name)
{
    const std::lock_guard hold(mutex_);
    if (now_.size() >= most_) before_ = std::exchange(now_, {});
    now_.insert(std::move(name));
}

void Signatures::add(ByteView hash, ByteView signature, ByteView public_key)
{
    if (right_sizes(hash, signature, public_key)) remember(name_of(hash, signature, public_key));
}

bool Signatures::hold(ByteView hash, ByteView signature, ByteView public_key)
{
    // Of other sizes the parts would not tell where one ends.
    if (!right_sizes(hash, signature, public_key)) return false;
    std::string name = name_of(hash, signature, public_key);
    if (known(name)) return true;
    if (!trust::verify(trust::Domain::entry, hash, signature, public_key)) return false;
    remember(std::move(name));
    return true;
}

} // namespace chockside::shop
