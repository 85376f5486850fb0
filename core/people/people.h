#pragma once
// The people who sign on this device: one file each, which holds their public key in clear and their secret key behind their PIN. The key
// is unlocked for one signature, or to open the store, and wiped; name and certificate lie sealed under the store's key.
// Wrong tries cost a growing delay that a restart or a turned clock does not shorten.

#include <core/base/disk.h>
#include <core/base/time.h>
#include <core/trust/trust.h>
#include <core/trust/wrap.h>

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace chockside::people {

struct Person {
    std::string id;                 ///< initials as the journal's envelopes carry them: letters and digits, upper case, 1 to 8
    std::string name;
    std::string certificate_kind, certificate_number;
    std::string public_key;         ///< hex, 64
};

/// How long before the next try after `wrong` wrong ones in a row: none up to four, then 30 s doubling to an hour. Milliseconds.
std::int64_t delay_ms(int wrong);

class People {
public:
    static constexpr std::size_t pin_least = 6;

    People(Disk&, const Clock&, Random&, std::string folder, trust::Stretch = {});

    /// How names and certificates are kept unreadable at rest: `about` binds what is sealed. Without it they stand in clear.
    struct Sealing {
        std::function<Result<Bytes>(const std::string& about, ByteView plain)> seal;
        std::function<Result<Bytes>(const std::string& about, ByteView sealed)> unseal;
    };
    void seal_with(Sealing sealing) { sealing_ = std::move(sealing); }

    /// By id; without name and certificate while those can't be read. Files that can't be read as a person are left out.
    Result<std::vector<Person>> list();
    std::optional<Person> find(const std::string& id);

    /// Makes the person's key and keeps it under the PIN. `public_key` is given by this device, not taken. Codes: bad_name (id), pin_short,
    /// person_known, disk_full, io_error, no_memory.
    Result<Person> enrol(Person, std::string_view pin);
    /// Signs a sign-off's statement with the person's key. Codes: not_found, wrong_pin (left: tries without a delay), pin_wait (seconds),
    /// bad_key, io_error.
    Result<Bytes> sign(const std::string& id, std::string_view pin, ByteView statement);
    /// The key itself, to open the store with. Codes: as sign().
    Result<trust::KeyPair> key(const std::string& id, std::string_view pin);
    Status change_pin(const std::string& id, std::string_view pin, std::string_view new_pin);
    /// A new key for the person: what both keys signed over "old new" tells everybody that the one follows the other.
    struct Rotated {
        Person person;
        std::string old_key, by_old, by_new; ///< hex
    };
    /// `made` is told of both keys (hex) before the new one is in the person's file: whatever opens to the old one must open to both by
    /// then, as a kill leaves either in the file. What it complains of ends the rotation, and the old key stays. Codes: as sign(), no_memory.
    using Made = std::function<Status(const std::string& old_key, const std::string& new_key)>;
    Result<Rotated> rotate(const std::string& id, std::string_view pin, const Made& made);
    /// The message that both keys of a rotation sign, under Domain::enrolment.
    static Bytes rotation_message(const std::string& old_key, const std::string& new_key);

private:
    struct Held {
        Person person;
        trust::Wrapped key;
        std::string sealed;          ///< name and certificate as they lie, hex; kept as it is while it can't be read
        int wrong = 0;
        std::int64_t since_mono = 0; ///< of the last wrong try, boot clock
        std::string since_boot;
    };

    std::string path(const std::string& id) const;
    void read_sealed(Held&);
    Result<Held> load(const std::string& id);
    Status keep(const Held&);
    std::int64_t wait_ms(Held&);
    Result<trust::KeyPair> unlock(Held&, std::string_view pin);

    Disk& disk_;
    const Clock& clock_;
    Random& random_;
    std::string folder_;
    trust::Stretch stretch_;
    Sealing sealing_;
    std::map<std::string, std::int64_t> started_; ///< when this process began to wait for a delay of another boot
};

} // namespace chockside::people
