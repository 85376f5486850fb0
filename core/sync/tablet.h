#pragma once
// The tablet's end: a state machine over a store, a wire, a clock and random numbers. It is driven by answered(), wake() and what the
// app tells it, on one thread (the one that writes the journal); it never blocks and never asks the wall clock.

#include <core/base/random.h>
#include <core/base/time.h>
#include <core/sync/tablet_store.h>
#include <core/sync/wire.h>

#include <memory>

namespace chockside::sync {

enum class Stage { on_device, sent, at_shop, archived };
const char* name_of(Stage);

/// For the queue screen: plain numbers; reasons are codes for platform/words.
struct QueueView {
    std::int64_t entries = 0;      ///< own, in all
    std::int64_t sent = 0;         ///< up to here a request left
    std::int64_t at_shop = 0;      ///< up to here a receipt covers
    std::int64_t archived = 0;
    std::int64_t lacking = 0;      ///< at the shop without their body, for want of an unlocked tablet
    struct File {
        std::string sha256;
        std::int64_t bytes = 0, done = 0;
        Stage stage = Stage::on_device;
    };
    std::vector<File> files;       ///< those not yet at the shop, the first twenty
    std::int64_t refused = 0;      ///< attachments that stay on this device until somebody tries anew: not among `files`
    std::string refused_reason;    ///< why, of one of them: as `reason`
    bool enrolled = false, busy = false, went_back = false;
    std::string doing;             ///< enrol session heads push pull blob, or empty
    std::string files_reason;      ///< why attachments wait, of either way, while entries go on: as `reason`
    std::string reason;            ///< why nothing goes on just now, or else files_reason: a WireFault's name or a refusal's code; empty
    std::string stopped;           ///< why no more is tried before a person looks
    std::int64_t next_try_ms = -1; ///< from now; -1: nothing is waited for
    std::optional<std::int64_t> clock_offset_ms; ///< the shop's clock less this one's, at the last session
    Stage stage_of(std::int64_t seq) const { return seq <= archived ? Stage::archived : seq <= at_shop ? Stage::at_shop : seq <= sent ? Stage::sent : Stage::on_device; }
};

struct TabletSettings {
    std::int64_t poll_ms = 60'000;    ///< between contacts when nothing is to be sent
    std::int64_t gather_ms = 1'000;   ///< entries that come close together go together
    std::int64_t retry_first_ms = 1'000, retry_most_ms = 300'000, link_up_ms = 5'000;
    std::size_t chunk = 256u << 10;   ///< bytes of an attachment that are sent in a request
    std::size_t range = 1u << 20;     ///< bytes of an attachment that are asked for in a request, at most
    std::string name = "tablet";      ///< what the shop calls this device at enrolment
};

class Tablet {
public:
    Tablet(TabletStore&, Wire&, const Clock&, Random&, TabletSettings = {});
    ~Tablet();

    /// Reads what was known. Code: that of the store.
    Status start();
    /// From the shop's QR or text; the contact itself follows by itself. Codes: bad_code (nothing has changed, and a request under way goes
    /// on), and those of TabletStore::apply. But for bad_code no request is under way after it.
    Status enrol(std::string_view text);
    /// A network appeared: a try after U(0, 5 s).
    void link_up();
    void entries_written();
    /// A person says: try now. Also takes up again what was stopped for anything but a fork.
    void try_now();
    /// Whatever is due by the clock. Call it at next_wake(), or oftener.
    void wake();
    /// In ms of the boot clock; nothing: not before something else happens.
    std::optional<std::int64_t> next_wake() const;
    void answered(std::uint64_t id, WireAnswer);

    QueueView view() const;

    /// Receipts and entries that came back by file (handover.h). Codes: message_malformed, not_shop (no signature of the enrolled shop), and
    /// those of TabletStore::apply.
    Status take_receipts(const std::vector<Receipt>&);
    /// What the shop wrote, that came with them. Streams of another device or of another life of the shop, and what does not go on where this
    /// tablet stands, are passed over: the next contact brings it. Codes: as take_receipts().
    Status take_written(const Streams&, const std::vector<Line>&);

private:
    struct Inside;
    std::unique_ptr<Inside> in_;
};

} // namespace chockside::sync
