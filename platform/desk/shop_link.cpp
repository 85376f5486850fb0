#include <platform/desk/shop_link.h>

#include <algorithm>
#include <limits>

namespace chockside::desk {

class ShopLink::Later final : public sync::Wire {
public:
    explicit Later(ShopLink& link) : link_(link) {}
    void send(std::uint64_t id, sync::Request request, std::size_t most) override
    {
        if (!link_.wire_) link_.connect_wire();
        if (link_.wire_) link_.wire_->send(id, std::move(request), most);
        else QMetaObject::invokeMethod(&link_, [l = &link_, id] { l->answered(id, {sync::WireFault::no_route, {}}); }, Qt::QueuedConnection);
    }
    void cancel(std::uint64_t id) override
    {
        if (link_.wire_) link_.wire_->cancel(id);
    }

private:
    ShopLink& link_;
};

ShopLink::ShopLink(journal::Store& store, const Clock& clock, Random& random, std::string device_name) : clock_(clock), kept_(store), later_(std::make_unique<Later>(*this))
{
    sync::TabletSettings settings;
    if (!device_name.empty()) settings.name = std::move(device_name);
    tablet_ = std::make_unique<sync::Tablet>(kept_, *later_, clock, random, settings);
    wake_.setSingleShot(true);
    connect(&wake_, &QTimer::timeout, this, [this] {
        tablet_->wake();
        settle();
    });
}

ShopLink::~ShopLink()
{
    wire_.reset();
}

void ShopLink::connect_wire()
{
    const auto known = kept_.known();
    if (!known || known->account.url.empty()) return;
    net::Shop shop{known->account.url, known->account.pins};
    while (!shop.url.empty() && shop.url.back() == '/') shop.url.pop_back();
    if (!net::flaw(shop).empty()) return;
    shop_ = shop.url;
    wire_ = std::make_unique<net::NetWire>(std::move(shop), this, [this](std::uint64_t id, sync::WireAnswer answer) { answered(id, std::move(answer)); });
}

void ShopLink::start()
{
    if (!tablet_->start()) return;
    if (const auto known = kept_.known(); known && !known->account.url.empty()) {
        shop_ = known->account.url;
        tablet_->link_up();
    }
    settle();
}

Status ShopLink::enrol(std::string_view text)
{
    auto done = tablet_->enrol(text);
    if (!tablet_->view().busy) wire_.reset(); // it may lead to another shop now; one that owes an answer stays
    settle();
    return done;
}

void ShopLink::try_now()
{
    tablet_->try_now();
    settle();
}

void ShopLink::entries_written()
{
    if (shop_.empty()) return;
    tablet_->entries_written();
    settle();
}

void ShopLink::unlocked()
{
    if (!shop_.empty()) try_now();
}

Status ShopLink::take_back(std::string_view text)
{
    const auto file = sync::receipt_file_from(text);
    if (!file) return Unexpected{file.error()};
    auto taken = tablet_->take_receipts(file->receipts);
    if (taken && file->streams) taken = tablet_->take_written(*file->streams, file->lines);
    settle();
    return taken;
}

void ShopLink::answered(std::uint64_t id, sync::WireAnswer answer)
{
    tablet_->answered(id, std::move(answer));
    settle();
}

void ShopLink::settle()
{
    wake_.stop();
    // The engine names the moment by the boot clock; a device that slept is late, which harms nothing.
    if (const auto at = tablet_->next_wake()) wake_.start(static_cast<int>(std::clamp<std::int64_t>(*at - clock_.now().mono_ms, 0, std::numeric_limits<int>::max())));
    emit changed();
    if (auto jobs = kept_.came(); !jobs.empty()) emit came(std::move(jobs));
}

std::vector<std::string> ShopLink::authors()
{
    std::vector<std::string> all;
    const auto known = kept_.known();
    if (!known || !known->streams) return all;
    for (const std::string& key : {known->streams->device_key, known->streams->broadcast_key})
        if (const auto bytes = from_hex(key)) all.push_back(trust::author_id(*bytes));
    return all;
}

} // namespace chockside::desk
