#pragma once
// The desk's end of the exchange with the shop: the tablet's engine on the engine thread, the network on its own. Nobody taps anything; where
// no shop is known it stands still.

#include <core/base/time.h>
#include <core/sync/carry.h>
#include <core/sync/journal_store.h>
#include <core/sync/tablet.h>
#include <platform/net/net_wire.h>

#include <QObject>
#include <QTimer>

#include <functional>
#include <memory>
#include <set>
#include <string>
#include <vector>

namespace chockside::desk {

class ShopLink final : public QObject {
    Q_OBJECT
public:
    /// The store outlives it.
    ShopLink(journal::Store&, const Clock&, Random&, std::string device_name);
    ~ShopLink() override;

    void start();
    /// The text of the shop's code.
    Status enrol(std::string_view text);
    void try_now();
    void entries_written();
    /// What the shop has no receipt of, without a network. Codes: those of sync::to_carry.
    Result<sync::Carried> carry(std::size_t most_bytes) { return sync::to_carry(kept_, most_bytes); }
    /// The text of a file that came back from the shop. Codes: those of sync::receipt_file_from and Tablet::take_receipts.
    Status take_back(std::string_view text);
    /// Bodies can be read again: those that went without are sent.
    void unlocked();
    sync::QueueView view() const { return tablet_->view(); }
    /// Where the shop is; empty where none is known.
    std::string shop() const { return shop_; }
    /// The shop as an author: its stream for this device, and the one for all.
    std::vector<std::string> authors();

signals:
    void changed();
    /// Entries of these jobs came; "": an attachment did.
    void came(std::set<std::string> jobs);

private:
    /// The enrolment names the shop that the wire leads to: the wire is made when it is known.
    class Later;
    void connect_wire();
    void answered(std::uint64_t id, sync::WireAnswer answer);
    void settle();

    const Clock& clock_;
    sync::JournalStore kept_;
    std::unique_ptr<Later> later_;
    std::unique_ptr<net::NetWire> wire_;
    std::unique_ptr<sync::Tablet> tablet_;
    std::string shop_;
    QTimer wake_;
};

} // namespace chockside::desk
