#include <platform/keyring/keyring.h>

#include <core/trust/trust.h>

#undef signals
#include <libsecret/secret.h>

#include <condition_variable>
#include <cstdlib>
#include <mutex>
#include <thread>

namespace chockside::keyring {

namespace {

constexpr std::chrono::seconds brief{2}, for_a_person{30};

const SecretSchema* schema()
{
    static const SecretSchema s = {"org.chockside.Key", SECRET_SCHEMA_NONE, {{"name", SECRET_SCHEMA_ATTRIBUTE_STRING}, {nullptr, SECRET_SCHEMA_ATTRIBUTE_STRING}}, 0, {}, {}, {}, {}, {}, {}, {}};
    return &s;
}

/// Cancels a call that takes too long.
class Timely {
public:
    explicit Timely(std::chrono::seconds patience) : call_(g_cancellable_new()), watch_([this, patience] {
        std::unique_lock hold(mutex_);
        if (!over_.wait_for(hold, patience, [this] { return done_; })) g_cancellable_cancel(call_);
    })
    {
    }
    ~Timely()
    {
        {
            const std::lock_guard hold(mutex_);
            done_ = true;
        }
        over_.notify_one();
        watch_.join();
        g_object_unref(call_);
    }
    Timely(const Timely&) = delete;
    Timely& operator=(const Timely&) = delete;
    GCancellable* call() { return call_; }

private:
    GCancellable* call_;
    std::mutex mutex_;
    std::condition_variable over_;
    bool done_ = false;
    std::thread watch_;
};

Unexpected<Problem> silent(GError* error)
{
    const std::string why = error ? error->message : "";
    g_clear_error(&error);
    return fail("silent", "keyring", {{"what", why}});
}

class Keyring final : public trust::KeyKeeper {
public:
    Result<Bytes> read(const std::string& name, trust::Patience patience) override
    {
        Timely patient(patience == trust::Patience::brief ? brief : for_a_person);
        GError* error = nullptr;
        gchar* found = secret_password_lookup_sync(schema(), patient.call(), &error, "name", name.c_str(), nullptr);
        if (error) return silent(error);
        if (!found) return answers() ? Result<Bytes>(fail("not_found", name)) : Result<Bytes>(fail("silent", "keyring"));
        auto secret = from_hex(found);
        secret_password_free(found);
        return secret ? Result<Bytes>(std::move(*secret)) : Result<Bytes>(fail("not_found", name));
    }

    Status keep(const std::string& name, ByteView secret) override
    {
        Timely patient(brief);
        GError* error = nullptr;
        std::string text = to_hex(secret);
        const bool kept = secret_password_store_sync(schema(), SECRET_COLLECTION_DEFAULT, "Chockside: key of this device", text.c_str(), patient.call(), &error, "name", name.c_str(), nullptr);
        trust::wipe(std::as_writable_bytes(std::span(text)));
        return kept ? Status{} : Status(silent(error));
    }

private:
    /// A shut collection finds nothing and says so: only an open one may be believed.
    bool answers()
    {
        Timely patient(brief);
        SecretService* service = secret_service_get_sync(SECRET_SERVICE_NONE, patient.call(), nullptr);
        if (!service) return false;
        SecretCollection* own = secret_collection_for_alias_sync(service, SECRET_COLLECTION_DEFAULT, SECRET_COLLECTION_NONE, patient.call(), nullptr);
        const bool open = own && !secret_collection_get_locked(own);
        if (own) g_object_unref(own);
        g_object_unref(service);
        return open;
    }
};

} // namespace

std::unique_ptr<trust::KeyKeeper> open()
{
    // Without an address GLib would start a bus of its own.
    const char* bus = std::getenv("DBUS_SESSION_BUS_ADDRESS");
    return bus && *bus ? std::make_unique<Keyring>() : nullptr;
}

} // namespace chockside::keyring
